"""Iterated greedy: take out a few courses near in time, put them back in another order, keep that if it is no worse."""

from random import Random

from kitchen_timer.plan.cost import BROKEN_PER_S
from kitchen_timer.plan.greedy import place
from kitchen_timer.plan.line import Line, PlacedCourse
from kitchen_timer.plan.prepare import Prepared
from kitchen_timer.plan.question import CourseKey
from kitchen_timer.plan.resplit import other_splits

MOST_OUT = 5
"""Courses taken out at once."""
NEAR = 8
"""They are drawn from so many that land nearest to the first."""
RESPLIT = 0.25
"""How often a course of which not all fits at once is put back split otherwise."""


def score(course: PlacedCourse) -> float:
    """What the search makes small: cost, moved cues, and begun food that suffers, in plate-seconds."""
    return course.cost + course.steady + BROKEN_PER_S * course.broken_s


class Search:
    """A line of placed courses that only ever gets better."""

    def __init__(self, ready: Prepared, line: Line, seed: int, stays: frozenset[CourseKey] = frozenset()) -> None:
        """``stays``: courses that are never taken out."""
        self.stays = stays
        self.ready = ready
        self.line = line
        self.random = Random(seed)
        self.total = sum(score(course) for course in line.placed.values())

    @property
    def movable(self) -> int:
        """Courses that can be taken out."""
        return len(self._movable())

    def _movable(self) -> list[CourseKey]:
        return [key for key, course in self.line.placed.items() if course.job.landed is None and key not in self.stays]

    def once(self, *, sideways: bool = True) -> bool:
        """One try; True where the total has become lower. ``sideways``: changes that cost the same are kept too."""
        out = self._choose()
        before = self.line.snapshot()
        old = sum(score(self.line.placed[key]) for key in out)
        for key in out:
            self.line.take_course(key)
        new = self._put_back(out, old if sideways else old - 1e-6)
        if new is None:
            self.line.restore(before)
            self.ready.jobs.update((key, self.line.placed[key].job) for key in out)
            return False
        self.total += new - old
        return new < old - 1e-9

    def _choose(self) -> list[CourseKey]:
        keys, placed = self._movable(), self.line.placed
        if self.random.random() < 0.5:
            weights = [score(placed[key]) + 1.0 for key in keys]
            centre = self.random.choices(keys, weights)[0]
        else:
            centre = self.random.choice(keys)
        at = placed[centre].landing
        near = sorted((k for k in keys if k != centre), key=lambda k: abs(placed[k].landing - at))[:NEAR]
        count = min(self.random.randint(1, MOST_OUT) - 1, len(near))
        out = [centre, *self.random.sample(near, count)]
        for key in list(out):
            out += [k for k in self.ready.followers(key) if k not in out]
        return out

    def _put_back(self, out: list[CourseKey], most: float) -> float | None:
        """Place courses in random order; the new score, or None where it is worse or one does not fit."""
        left = list(out)
        self.random.shuffle(left)
        if self.random.random() < 0.3:
            left.sort(key=lambda k: not self.ready.jobs[k].has_begun)
        new = 0.0
        while left:
            for key in left:
                job = self.ready.jobs[key]
                if job.follows is None or job.up_before is not None or job.follows in self.line.up:
                    break
            left.remove(key)
            if (others := other_splits(self.ready, key)) and self.random.random() < RESPLIT:
                job = self.ready.jobs[key] = self.random.choice(others)
            course = place(self.line, job, self.ready.templates.get(key))
            if course is None:
                return None
            new += score(course)
            if new > most + 1e-9:
                return None
        return new
