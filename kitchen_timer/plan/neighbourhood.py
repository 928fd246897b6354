"""What an improving run frees at once: courses that stand in each other's way, as many as can be thought through.

Each kind of neighbourhood, and the local search beside them, is tried as often as it has paid of late: plate-seconds
saved for each second spent. Each grows while it is solved to the end, and shrinks when it is not.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from random import Random

from kitchen_timer.plan.answer import Answer, PlannedCourse
from kitchen_timer.plan.prepare import Prepared
from kitchen_timer.plan.question import CourseKey

KINDS = ("shift", "near", "queue", "newest")
"""Many courses, each moved by a little; a course that costs and those landing around it; a late
course and those before it; the newest order and those around it."""
SHIFTS_S = (15, 40, 90)
FADES = 0.6
"""What is left of an old rate when a new one is known."""


@dataclass
class Kind:
    """How one kind of neighbourhood has done."""

    name: str
    size: int
    rate: float = float("inf")
    """Plate-seconds saved per second, the last tries counting most."""

    def paid(self, gain: float, seconds: float) -> None:
        """Remember what a try saved."""
        now = gain / max(seconds, 1e-3)
        self.rate = now if self.rate == float("inf") else FADES * self.rate + (1 - FADES) * now

    def was(self, proven: bool, most: int) -> None:
        """Grow where the last one was solved to the end, shrink where it was not."""
        self.size = min(most, self.size + 1) if proven else max(2, self.size - 1)


class Neighbourhoods:
    """The kinds, and the choice among them."""

    def __init__(self, ready: Prepared, random: Random, kinds: Iterable[str], size: int, curious: float) -> None:
        """``kinds``: with the local searches. ``curious``: how often any is tried, whatever it has paid."""
        self.ready, self.random, self.curious = ready, random, curious
        self.kinds = [Kind(name, 3 * size if name == "shift" else size) for name in kinds]

    def choose(self) -> Kind:
        """The kind that pays most, now and then any."""
        if self.random.random() < self.curious:
            return self.random.choice(self.kinds)
        return max(self.kinds, key=lambda kind: kind.rate)

    def free(self, kind: Kind, best: Answer, costs: Mapping[CourseKey, float]) -> frozenset[CourseKey]:
        """Courses of the best answer to be freed together."""
        movable = [c for c in best.courses if self.ready.jobs[c.key].landed is None]
        if kind.name == "newest":
            centre = max(movable, key=lambda c: (self.ready.jobs[c.key].wanted.in_at, c.landing_at))
        else:
            centre = self.random.choices(movable, [1.0 + costs[c.key] for c in movable])[0]
        others = [c for c in movable if c is not centre]
        if kind.name == "queue" and centre.late_s:
            at = self.random.randint(centre.target_at, centre.landing_at)
        else:
            at = centre.landing_at
        others.sort(key=lambda c: abs(c.landing_at - at))
        near = others[: kind.size - 1 if kind.name == "shift" else 2 * (kind.size - 1)]
        chosen: list[PlannedCourse] = self.random.sample(near, min(kind.size - 1, len(near)))
        return frozenset([centre.key, *(c.key for c in chosen)])
