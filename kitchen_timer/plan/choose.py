"""The best legal answer in the time there is: a plan at once, then a search that only ever makes it better."""

from collections.abc import Callable
from dataclasses import replace
from random import Random

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.cost import cost_by_course, worth
from kitchen_timer.plan.line import Line
from kitchen_timer.plan.loads import Load, Splits
from kitchen_timer.plan.prepare import answer_of, in_order_of_start, place_all, prepare
from kitchen_timer.plan.question import CourseKey, Question
from kitchen_timer.plan.quick import keep, plan_quickly
from kitchen_timer.plan.resplit import splits_are_free, splits_otherwise
from kitchen_timer.plan.search import Search

__all__ = ["improve", "plan_fully", "plan_quickly"]

FEW = 8
"""Up to so many open courses the whole question goes to the exact planner."""
NEIGHBOURS = 4
"""Courses that are freed together in an exact neighbourhood."""
NEIGHBOURHOOD_S = 0.35
"""The longest that one neighbourhood is searched."""
GREEDY_SHARE = 0.2
"""Part of the time that goes to iterated greedy before exact neighbourhoods."""
GREEDY_MOST_S = 2.0
IN_VAIN = 40
"""Iterated greedy ends after so many rounds for each course that find nothing better."""
NEWEST_SHARE = 0.3
TELL_EVERY_S = 0.2
"""Improvements that follow one another faster are told of together."""


class _Run:
    """One improving run: the best answer so far, and how much time is left."""

    def __init__(
        self,
        question: Question,
        start: Answer,
        seconds: float,
        elapsed: Callable[[], float],
        stop: Callable[[], bool],
        better: Callable[[Answer], None],
        seed: int,
    ) -> None:
        from kitchen_timer.plan.exact.solve import solve  # takes 0.3 s to load, which is not counted as searching

        self._solve = solve
        self.question = question
        self.ready = prepare(question)
        self.begun = {load.key for job in self.ready.jobs.values() for load in job.loads if load.begun is not None}
        self.splits_free = splits_are_free(self.ready)
        self.best = start
        self.total = worth(question, start)
        self.random = Random(seed)
        self._elapsed, self._stop, self._better = elapsed, stop, better
        self.ends = elapsed() + seconds

    def left_s(self) -> float:
        """Seconds left; 0 when told to stop."""
        return 0.0 if self._stop() else max(0.0, self.ends - self._elapsed())

    def offer(self, answer: Answer) -> bool:
        """Take an answer if it is better than the best, and tell of it."""
        total = worth(self.question, answer)
        if total >= self.total - 1e-6:
            return False
        self.best, self.total = answer, total
        self._better(answer)
        return True

    def line(self) -> Line:
        """The best answer on a line (a course that does not go there as it is goes where it fits)."""
        line = self.ready.line()
        keep(self.ready, line, self.best)
        place_all(self.ready, line, [key for key in self.ready.jobs if key not in line.placed])
        return line

    def greedily(self, seconds: float) -> None:
        """Iterated greedy for so long."""
        line = self.line()
        search = Search(self.ready, line, self.random.randrange(1 << 30))
        ends = self._elapsed() + min(seconds, self.left_s())
        told, changed, vain = self._elapsed(), False, 0
        while self._elapsed() < ends and not self._stop() and vain < IN_VAIN * search.movable and search.movable > 1:
            lower = search.once()
            changed, vain = changed or lower, 0 if lower else vain + 1
            if changed and self._elapsed() - told > TELL_EVERY_S:
                self.offer(answer_of(self.ready, line))
                told, changed = self._elapsed(), False
        self.offer(answer_of(self.ready, line))

    def exactly(self, seconds: float, free: frozenset[CourseKey] | None = None, splits: Splits | None = None) -> bool:
        """The exact planner for so long, on some courses or all; True where nothing better exists for them.

        ``splits``: with these loads; None: with those of the best answer.
        """
        targets = {
            key: self.question.now + (job.ready + job.alone_s if job.target is None else job.target)
            for key, job in self.ready.jobs.items()
        }
        solved = self._solve(
            self.question,
            splits=self.splits() if splits is None else splits,
            seconds=min(seconds, self.left_s()),
            targets=targets,
            hint=self.best,
            seed=self.random.randrange(1 << 30),
            stop=self._stop,
            free=free,
            better=None if free is not None else self._offer_whole,
        )
        if solved.answer is not None:
            self._offer_whole(solved.answer)
        if solved.bound is not None and not self.splits_free:
            self.best = replace(self.best, bound=min(solved.bound, self.best.cost))
        return solved.proven

    def splits(self) -> Splits:
        """The loads still to begin, split and numbered as in the best answer, so that it is a hint."""
        return tuple(
            Load(key, steps[0].portions)
            for key, steps in self.best.by_load.items()
            if key not in self.begun and key.of_course in self.ready.jobs
        )

    def _offer_whole(self, answer: Answer) -> None:
        courses = tuple(sorted(answer.courses, key=lambda c: (c.landing_at, c.key)))
        answer = in_order_of_start(answer, self.begun | {key.of_load for key in self.question.announced})
        self.offer(replace(answer, courses=courses, impossible=self.best.impossible))

    def neighbourhood(self) -> frozenset[CourseKey]:
        """The newest course, or one that costs, and those that land nearest to it."""
        movable = [c for c in self.best.courses if self.ready.jobs[c.key].landed is None]
        costs = cost_by_course(self.question, self.best)
        if self.random.random() < NEWEST_SHARE:
            centre = max(movable, key=lambda c: (self.ready.jobs[c.key].wanted.in_at, c.landing_at))
        else:
            centre = self.random.choices(movable, [1.0 + costs[c.key] for c in movable])[0]
        others = sorted((c for c in movable if c is not centre), key=lambda c: abs(c.landing_at - centre.landing_at))
        near = others[: 2 * NEIGHBOURS]
        chosen = self.random.sample(near, min(NEIGHBOURS, len(near)))
        return frozenset([centre.key, *(c.key for c in chosen)])


def improve(
    question: Question,
    start: Answer,
    *,
    seconds: float,
    elapsed: Callable[[], float],
    stop: Callable[[], bool],
    better: Callable[[Answer], None],
    seed: int = 0,
) -> Answer:
    """Search on from a plan for so many seconds of ``elapsed``; ``better`` is told of every improvement.

    Up to eight open courses the exact planner gets the whole question, hinted; above that iterated greedy is followed
    by exact neighbourhoods. What comes back never costs more than ``start``, with moved cues and what begun food
    suffers counted in; its ``bound`` is set where one was proven.
    """
    run = _Run(question, start, seconds, elapsed, stop, better, seed)
    movable = [course for course in start.courses if course.key in run.ready.jobs]
    movable = [course for course in movable if run.ready.jobs[course.key].landed is None]
    if not movable or run.left_s() <= 0:
        return run.best
    if run.total == 0:
        return replace(run.best, bound=0.0)
    few = len(movable) <= FEW
    run.greedily(min(GREEDY_MOST_S, GREEDY_SHARE * seconds))
    if few and run.exactly(run.left_s()):
        for splits in splits_otherwise(run.ready, run.best) if run.splits_free else ():
            if run.left_s() > 0.02:
                run.exactly(run.left_s(), splits=splits)
        return run.best
    while run.left_s() > 0.02:
        run.exactly(NEIGHBOURHOOD_S, run.neighbourhood())
    return run.best


def plan_fully(question: Question, seconds: float, elapsed: Callable[[], float]) -> Answer:
    """A plan at once and the best that so many seconds of search make of it."""
    start = plan_quickly(question)
    return improve(question, start, seconds=seconds, elapsed=elapsed, stop=lambda: False, better=lambda _: None)
