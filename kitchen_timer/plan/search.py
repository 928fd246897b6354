"""Local search: courses near in time put back in another order, and loads that make way; kept if about as good.

A course is put back in a way it has landed before (shapes.py), and a few sooner landings are tried load by load: most
rounds find nothing better, so what counts is how soon that is known. No course is looked for a place at which the round
would be worse than before. Every so often a round looks for all places anew, load by load. Most rounds, and the quick
ones, let loads of others make way for a late course or for a load that stands (make_way.py).
"""

from math import log
from random import Random

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.attempt import Attempt
from kitchen_timer.plan.cost import BROKEN_PER_S
from kitchen_timer.plan.greedy import place, retargeted
from kitchen_timer.plan.jobs import CourseJob, late_for
from kitchen_timer.plan.line import Line, PlacedCourse
from kitchen_timer.plan.make_way import Way
from kitchen_timer.plan.prepare import Prepared, answer_of
from kitchen_timer.plan.profile import first_free
from kitchen_timer.plan.question import CourseKey
from kitchen_timer.plan.resplit import other_splits
from kitchen_timer.plan.shapes import Shapes, has_shapes

MOST_OUT = 5
"""Courses taken out at once."""
NEAR = 8
"""They are drawn from so many that land nearest to the first."""
RESPLIT = 0.25
"""How often a course of which not all fits at once is put back split otherwise."""
THOROUGH = 0.15
"""How often a round places courses as if for the first time: with shapes alone the search gets stuck sooner."""
SOONER_S = (60, 120, 240)
"""How long before its turn a table of twice the usual plates is placed, in the orders tried first."""
SOONER_TRIES = 5
"""Landings tried load by load that are sooner than the one at which a known shape fits."""


def score(course: PlacedCourse) -> float:
    """What the search makes small: cost, moved cues, and begun food that suffers, in plate-seconds."""
    return course.cost + course.steady + BROKEN_PER_S * course.broken_s


WAY, LESS = 0.9, 0.3
"""How often loads make way in a round, and how often of these for a load that stands, not for a late course."""
WARM = 0.01
"""Share of the cost by which a round may end worse on average (the chance of more falls off exponentially)."""
BACK_AFTER = 100
"""Rounds that find nothing better than ever, after which the search goes back to the best."""
LEAST = 1e-6
"""Plate-seconds that count as less."""


class Search:
    """A line of placed courses that is changed again and again; the best that it has been is kept."""

    def __init__(
        self,
        ready: Prepared,
        line: Line,
        seed: int,
        stays: frozenset[CourseKey] = frozenset(),
        shapes: Shapes | None = None,
        way: float = WAY,
    ) -> None:
        """``stays``: courses that are never taken out. ``shapes``: what earlier searches of the question learned.

        ``way``: how often loads make way in a round; in a few rounds other orders are to be tried too.
        """
        self.stays, self.way_share = stays, way
        self.ready = ready
        self.line = line
        self.random = Random(seed)
        self.shapes = Shapes() if shapes is None else shapes
        self.total = self.lowest = sum(score(course) for course in line.placed.values())
        """Of the line as it is, and of the best that it has been."""
        self._best, self._since = line.snapshot(), 0
        self._warm = self._warmth()
        self._thorough = False
        self.way = Way(line, self.random)

    @property
    def movable(self) -> int:
        """Courses that can be taken out."""
        return len(self._movable())

    def _movable(self) -> list[CourseKey]:
        return [key for key, course in self.line.placed.items() if course.job.landed is None and key not in self.stays]

    def answer(self) -> Answer:
        """The line at its best as an answer."""
        self._back()
        return answer_of(self.ready, self.line)

    def once(self, *, sideways: bool = True) -> bool:
        """One try; True where it is better than ever. ``sideways``: changes that cost the same or little more are kept.

        What was not better than ever after ``BACK_AFTER`` rounds goes back to the best.
        """
        worse = -self._warm * log(1.0 - self.random.random()) if sideways else -LEAST
        if self.random.random() < self.way_share:
            self._make_way(worse)
        else:
            out = self._choose()
            self.random.shuffle(out)
            if self.random.random() < 0.3:
                out.sort(key=lambda key: not self.ready.jobs[key].has_begun)
            self._thorough = self.random.random() < THOROUGH
            self._again(out, worse)
        return self._is_best()

    def _is_best(self) -> bool:
        if self.total < self.lowest - LEAST:
            self.lowest, self._best, self._since = self.total, self.line.snapshot(), 0
            self._warm = self._warmth()
            return True
        self._since += 1
        if self._since > BACK_AFTER:
            self._back()
        return False

    def _warmth(self) -> float:
        return WARM * sum(course.cost for course in self.line.placed.values())

    def _back(self) -> None:
        """Go back to the best that there has been."""
        self._since = 0
        if self.total != self.lowest:
            self.line.restore(self._best)
            self.total = self.lowest
            self.ready.jobs.update((key, course.job) for key, course in self.line.placed.items())

    def large_first(self) -> None:
        """Put all courses that can be moved freely back anew, those of many plates before their turn; kept if better.

        A plate late costs the same at any table, and a large table keeps the kitchen less than two small ones do.
        """
        self._thorough = False
        for sooner_s in SOONER_S:
            free = {key for key in self._movable() if has_shapes(self.ready.jobs[key])}
            out = [key for key in free if free.issuperset(self.ready.followers(key))]
            if len(out) < 2:
                return
            placed = [self.line.placed[key] for key in out]
            mean = sum(course.job.weight for course in placed) / len(placed)
            turn = {c.job.key: c.target - sooner_s * (c.job.weight - mean) / mean for c in placed}
            self._again(sorted(out, key=lambda key: (turn[key], key)), -LEAST)
            self._is_best()

    def _again(self, order: list[CourseKey], worse: float) -> None:
        """Take courses out and put them back in that order; all as before where it would be worse by more than that."""
        before = self.line.snapshot()
        taken = [self.line.placed[key] for key in order]
        old = sum(map(score, taken))
        for course in taken:
            self.shapes.learn(self.line, course)
            self.line.take_course(course.job.key)
        new = self._put_back(order, old + worse)
        if new is None:
            self.line.restore(before)
            self.ready.jobs.update((course.job.key, course.job) for course in taken)
        else:
            self.total += new - old

    def _make_way(self, worse: float) -> None:
        """Loads make way for a late course, or for a load that stands; as before where it would be worse by more."""
        before, old = self.line.snapshot(), self.line.placed.copy()
        courses = [old[key] for key in self._movable()]
        moved = self.way.less(courses) if self.random.random() < LESS else self.way.sooner(courses)
        if moved is not None:
            placed = self.line.placed
            for key in [key for key in moved if placed[key].landing != old[key].landing]:
                moved.update(each for each in self.ready.followers(key) if each in placed)
            fits = all(placed[key].landing >= placed[key].job.earliest(self.line.up) for key in moved)
            new = [retargeted(self.line, placed[key]) for key in moved]
            gained = sum(score(old[each.job.key]) - score(each) for each in new)
            if fits and gained > -worse - 1e-9:
                self.total -= gained
                for each in new:
                    self.shapes.learn(self.line, each)
                return
        self.line.restore(before)

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

    def _put_back(self, order: list[CourseKey], most: float) -> float | None:
        """Place courses in that order; the new score, or None where it is worse or one does not fit."""
        left = list(order)
        new = 0.0
        while left:
            for key in left:
                job = self.ready.jobs[key]
                if job.follows is None or job.up_before is not None or job.follows in self.line.up:
                    break
            left.remove(key)
            if (others := other_splits(self.ready, key)) and self.random.random() < RESPLIT:
                job = self.ready.jobs[key] = self.random.choice(others)
            course = self._place(job, most - new + 1e-9)
            if course is None:
                return None
            new += score(course)
            if new > most + 1e-9:
                return None
        return new

    def _place(self, job: CourseJob, most: float) -> PlacedCourse | None:
        """Put a course where it costs less than that, as far as is looked; None where no such place is found.

        Of food that is on, or of which a station was told, every place is looked for anew, whatever it costs.
        """
        if self._thorough or not has_shapes(job) or not self.shapes.of(job):
            course = place(self.line, job, self.ready.templates.get(job.key))
            if course is not None:
                self.shapes.learn(self.line, course)
            return course
        found = self.shapes.find(self.line, job, most)
        if found is None:
            return self._sooner(job, None, most)
        if found.late:
            course = self._sooner(job, found.landing, found.price)
            if course is not None:
                return course
        return self.shapes.put(self.line, job, found)

    def _sooner(self, job: CourseJob, landing: int | None, most: float) -> PlacedCourse | None:
        """Put a course where it lands before ``landing`` and costs less than ``most``; None: not found."""
        attempt = Attempt(self.line, job)
        if attempt.blocked < 0:
            return None
        if landing is None:
            landing = attempt.target + int(late_for(job.weight, most)) + 1
        at = first_free(attempt.blocked, max(attempt.target, attempt.earliest))
        for _ in range(SOONER_TRIES):
            if at >= landing:
                return None
            course = attempt.at(at)
            if course is not None:
                self.shapes.learn(self.line, course)
                if score(course) < most:
                    self.line.put_course(course, loads=False)
                    return course
                attempt.take(course)
                return None
            at = first_free(attempt.blocked, (at + landing + 1) // 2)
        return None
