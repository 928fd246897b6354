"""What a plan is like for the dining room and on the plate: how late, how far spread, what stood too long."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.check import breaks, cost_of
from kitchen_timer.plan.question import CourseKey, Question


@dataclass(frozen=True)
class Figures:
    """One plan of one snapshot."""

    cost: float
    """Plate-seconds."""
    late_s: tuple[int, ...]
    """Of every course, seconds from target to landing; never negative."""
    spread_s: tuple[int, ...]
    """Of every course, seconds from its first component done to its last."""
    loads: int
    past_keeps: int
    """Loads that stood longer than they keep."""
    broken: int
    """Breaks of any other rule, and courses that are given up although every one of them could land alone."""


def figures_of(question: Question, answer: Answer) -> Figures:
    """Measured by the checker, not by who made the plan."""
    found = breaks(question, answer)
    past = {each.where for each in found if each.rule == 4 and "keeps" in each.what}
    ends: dict[CourseKey, list[int]] = {}
    for key, steps in answer.by_load.items():
        ends.setdefault(key.of_course, []).append(steps[-1].end_at)
    return Figures(
        cost=cost_of(question, answer).total,
        late_s=tuple(max(0, course.landing_at - course.target_at) for course in answer.courses),
        spread_s=tuple(max(of) - min(of) for of in ends.values()),
        loads=len(answer.by_load),
        past_keeps=len(past),
        broken=sum(each.rule != 4 or "keeps" not in each.what for each in found) + len(answer.impossible),
    )


def percentile(values: Sequence[float], share: float) -> float:
    """The smallest value that so large a share of them does not exceed (nearest rank); 0.0 of none.

    >>> percentile([4, 1, 3, 2], 0.5), percentile([4, 1, 3, 2], 0.99)
    (2, 4)
    """
    if not values:
        return 0.0
    return sorted(values)[max(0, ceil(share * len(values)) - 1)]
