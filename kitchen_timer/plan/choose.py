"""The best legal answer in the time there is: a plan at once, then a search that only ever makes it better."""

from collections.abc import Callable
from dataclasses import replace
from random import Random
from typing import TYPE_CHECKING

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.cost import BROKEN_PER_S, cost_by_course, worth
from kitchen_timer.plan.line import Line
from kitchen_timer.plan.loads import Load, Splits
from kitchen_timer.plan.neighbourhood import KINDS, SHIFTS_S, Neighbourhoods
from kitchen_timer.plan.prepare import answer_of, in_order_of_start, place_all, prepare
from kitchen_timer.plan.question import CourseKey, Question
from kitchen_timer.plan.quick import keep, plan_quickly
from kitchen_timer.plan.resplit import splits_are_free, splits_otherwise
from kitchen_timer.plan.search import Search
from kitchen_timer.plan.shapes import Shapes
from kitchen_timer.plan.swift.ready import get_ready, is_ready

if TYPE_CHECKING:
    from kitchen_timer.plan.exact.raising import Raising
    from kitchen_timer.plan.exact.solve import Way
    from kitchen_timer.plan.swift.run import Swift

__all__ = ["improve", "plan_fully", "plan_quickly"]

FEW = 8
"""Up to so many open courses the exact planner goes at the whole question once."""
SOME = 10
"""Up to so many open courses a bound is looked for: with more it is far from any plan's cost, and searching pays."""
AT_FIRST = 3
"""Courses that are freed together in the first exact neighbourhoods."""
WHOLE_AFTER, WHOLE_SHARE = 0.2, 0.15
"""Part of the time after which the exact planner goes at the whole question, and for how long a part of it."""
NEIGHBOURHOOD_S = 0.35
"""The longest that one neighbourhood is searched."""
FIRST_S = ((0.06, 0.1), (0.05, 0.3))
"""How long the local search goes on at first, for each open course: with few, with more of them; and the compiled one.
With few the exact neighbourhoods are most of the question, and find what no change of a few courses does."""
BURST_S = ((0.015, 0.04), (0.03, 0.04))
"""And each time again."""
GREEDY_SHARE = 0.2
"""Part of the first time for what the compiled search leaves as it is, where there is any."""
FIRST_SHARE = 0.4
"""No longer at first than this share of the time."""
MANY = 24
"""With more open courses it goes on at first for as many times as long: a neighbourhood is little of all then."""
BOUND_AT: "tuple[tuple[float, float, Way], ...]" = ((0.35, 0.25, "proving"), (0.75, 0.25, "bounding"))
"""Parts of the time after which a bound is looked for, for how long a part of it, and the way where it is far. Twice
only with few courses: there the first also narrows what is searched after it."""
BOUND_MOST_S = 6.0
PRICES_SHARE = 0.6
"""Of the time for a bound, so much at most goes to prices."""
NEAR = 0.25
"""Where no more than this share of the cost is unproven, the exact planner can prove the rest."""
CURIOUS = (0.2, 0.1)
"""How often a kind of neighbourhood is tried whatever it has paid: with few, with more courses."""
BUSY = 6.0
"""How much longer by the clock than its own time the solver may take."""
IN_VAIN = (40, 200)
"""The local search ends after so many rounds for each course that find nothing better: with few, with more of them."""
TELL_SHARE, TELL_LEAST_S, TELL_MOST_S = 0.25, 0.015, 0.2
"""Improvements that follow one another faster than this share of the time so far are told of together: to tell of one
takes as long as some rounds of looking for the next."""


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
        self.targets = {
            key: question.now + (job.ready + job.alone_s if job.target is None else job.target)
            for key, job in self.ready.jobs.items()
        }
        self._bound: float | None = None
        self._raising: Raising | None = None
        self._search: Search | None = None
        self._searched: Answer | None = None
        self.swift = is_ready()
        """Whether the compiled search is there to be used."""
        loads = [load for job in self.ready.jobs.values() for load in job.loads]
        self.keeps_back = self.splits_free or any(load.stays for load in loads)
        """Whether there is anything that the compiled search leaves as it is."""
        self._swift: Swift | None = None
        self._swift_from: Answer | None = None
        self.shapes = Shapes()
        self.began = elapsed()
        self.ends = self.began + seconds

    def left_s(self) -> float:
        """Seconds left; 0 when told to stop."""
        return 0.0 if self._stop() else max(0.0, self.ends - self._elapsed())

    def offer(self, answer: Answer) -> bool:
        """Take an answer if it is better than the best, and tell of it."""
        total = worth(self.question, answer)
        if total >= self.total - 1e-6:
            return False
        # What the solver proves holds for one way to split, and is told only by ``answer``, where there is no other.
        self.best, self.total = replace(answer, bound=None), total
        self._better(self.answer())
        return True

    def line(self) -> Line:
        """The best answer on a line (a course that does not go there as it is goes where it fits)."""
        line = self.ready.line()
        keep(self.ready, line, self.best)
        place_all(self.ready, line, [key for key in self.ready.jobs if key not in line.placed])
        return line

    def greedily(self, seconds: float) -> None:
        """The local search for so long."""
        if self._search is None or self._searched is not self.best:
            first = self._search is None
            self._search = Search(self.ready, self.line(), self.random.randrange(1 << 30), shapes=self.shapes)
            if first:
                self._search.large_first()
        search = self._search
        ends = self._elapsed() + min(seconds, self.left_s())
        told, changed, vain = self._elapsed(), False, 0
        most = IN_VAIN[search.movable > SOME] * search.movable if search.movable > 1 else 0
        while self._elapsed() < ends and not self._stop() and vain < most:
            lower = search.once()
            changed, vain = changed or lower, 0 if lower else vain + 1
            if changed and self._elapsed() - told > self._telling_s():
                self.offer(search.answer())
                told, changed = self._elapsed(), False
        self.offer(search.answer())
        self._searched = self.best

    @property
    def kinds(self) -> tuple[str, ...]:
        """The ways to look for something better that there are here."""
        if not self.swift:
            return ("greedy", *KINDS)
        return ("swift", "greedy", *KINDS) if self.keeps_back else ("swift", *KINDS)

    def locally(self, seconds: float) -> None:
        """The local search for so long, as fast as there is one."""
        greedy_share = 1.0 if not self.swift else GREEDY_SHARE if self.keeps_back else 0.0
        searches = [(self.swiftly, 1.0 - greedy_share), (self.greedily, greedy_share)]
        if self.total - self.best.cost >= BROKEN_PER_S:
            # Begun food that stands too long costs more than all else, and the compiled search leaves it where it is.
            searches.reverse()
        for search, share in searches:
            if share > 0.0:
                search(share * seconds)

    def swiftly(self, seconds: float) -> None:
        """The compiled search for so long."""
        from kitchen_timer.plan.swift.run import Swift  # loads the compiler: only where it is used

        if self._swift is None or self._swift_from is not self.best:
            self._swift = Swift(self.line(), self.random.randrange(1 << 30))
        swift = self._swift
        ends = self._elapsed() + min(seconds, self.left_s())
        while (now := self._elapsed()) < ends and not self._stop() and not swift.in_vain:
            if swift.go(self._elapsed, min(ends, now + self._telling_s()), self._stop):
                swift.have_best()
                self.offer(answer_of(self.ready, swift.line))
        swift.vain = 0
        self._swift_from = self.best

    def _telling_s(self) -> float:
        """Seconds from one improvement told of to the next."""
        return min(TELL_MOST_S, max(TELL_LEAST_S, TELL_SHARE * (self._elapsed() - self.began)))

    def exactly(
        self,
        seconds: float,
        free: frozenset[CourseKey] | None = None,
        within_s: int | None = None,
        way: "Way" = "plain",
        splits: Splits | None = None,
        known: "Raising | None" = None,
    ) -> bool:
        """The exact planner for so long, on some courses or all; True where nothing better exists for them.

        ``splits``: with these loads; None: with those of the best answer. ``within_s``: each moved by so much at most.
        ``known``: what prices have proven already of all courses together.
        """
        splits = self.splits() if splits is None else splits
        seconds = min(seconds, self.left_s())
        ends = self._elapsed() + seconds
        solved = self._solve(
            self.question,
            splits=splits,
            # The solver goes by the clock on the wall; where others keep the machine busy it is to have its time too.
            seconds=BUSY * seconds,
            targets=self.targets,
            hint=self.best,
            seed=self.random.randrange(1 << 30),
            stop=lambda: self._stop() or self._elapsed() >= ends,
            free=free,
            better=None if free is not None else self._offer_whole,
            within_s=within_s,
            way=way,
            known=known,
        )
        if solved.answer is not None:
            self._offer_whole(solved.answer)
        if solved.bound is not None:
            self._proven(solved.bound)
        return solved.proven

    def priced(self, seconds: float, far: "Way") -> bool:
        """Look so long for what no plan costs less than; True where that is what the best plan costs.

        First by prices on scarce hands and slots, which also close what no plan as cheap can do; then the exact planner
        on what is left open: to the end where little is missing, else the way that is good ``far`` from it.
        """
        from kitchen_timer.plan.exact.apart import can_be_taken_apart
        from kitchen_timer.plan.exact.raising import Raising

        everyone = all(key in self.best.by_course for key in self.targets)
        if self.splits_free or not everyone or not can_be_taken_apart(self.question):
            return False
        since, splits = self._elapsed(), self.splits()
        raised = self._raising
        if raised is None or raised.splits != splits:
            raised = self._raising = Raising(self.question, splits, self.targets, self.best)
        else:
            raised.cheaper(self.best)
        raised.go(lambda: self._elapsed() - since > PRICES_SHARE * seconds or self.left_s() <= 0)
        self._proven(raised.bound)
        left_s = seconds - (self._elapsed() - since)
        if raised.proven or left_s <= 0.01:
            return raised.proven
        near = self.total - raised.bound < NEAR * self.total
        return self.exactly(left_s, way="closing" if near else far, known=raised)

    def _proven(self, bound: float) -> None:
        """Remember a bound; where portions may be split in several ways it holds for one of them, and is none."""
        if not self.splits_free:
            self._bound = max(bound, self._bound or 0.0)

    def answer(self) -> Answer:
        """The best answer, with what has been proven of it."""
        return self.best if self._bound is None else replace(self.best, bound=min(self._bound, self.best.cost))

    def once(self, hoods: Neighbourhoods, movable: int) -> bool:
        """One burst of the local search or one neighbourhood; True where nothing better exists at all."""
        kind = hoods.choose()
        before, since = self.total, self._elapsed()
        proven_all = False
        if kind.name == "swift":
            self.swiftly(BURST_S[True][movable > SOME] * movable)
        elif kind.name == "greedy":
            self.greedily(BURST_S[False][movable > SOME] * movable)
        else:
            free = hoods.free(kind, self.best, cost_by_course(self.question, self.best))
            within_s = self.random.choice(SHIFTS_S) if kind.name == "shift" else None
            way: Way = "following" if self.random.random() < 0.5 else "plain"
            whole = len(free) >= movable
            proven = self.exactly(NEIGHBOURHOOD_S, None if whole else free, within_s, way)
            proven_all = proven and whole and within_s is None
            kind.was(proven, movable)
        kind.paid(before - self.total, self._elapsed() - since)
        return proven_all

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

    The local search and exact neighbourhoods of several kinds take turns as they pay. Up to ten open courses a part of
    the time goes to a bound, up to eight also to the whole question. What comes back never costs more than ``start``,
    with moved cues and what begun food suffers counted in; its ``bound`` is set where one was proven: where nothing has
    begun or been announced, and portions can be split in one way only.
    """
    run = _Run(question, start, seconds, elapsed, stop, better, seed)
    movable = [course for course in start.courses if course.key in run.ready.jobs]
    movable = [course for course in movable if run.ready.jobs[course.key].landed is None]
    if not movable or run.left_s() <= 0:
        return run.best
    if run.total == 0:
        return replace(run.best, bound=0.0)
    many = len(movable) > SOME
    run.locally(min(FIRST_S[run.swift][many] * len(movable) * max(1.0, len(movable) / MANY), FIRST_SHARE * seconds))
    hoods = Neighbourhoods(run.ready, run.random, run.kinds, min(AT_FIRST, len(movable)), CURIOUS[many])
    whole = len(movable) <= FEW
    bounds = list(BOUND_AT if len(movable) <= FEW else BOUND_AT[1:] if len(movable) <= SOME else ())
    proven = False
    while not proven and run.left_s() > 0.02:
        if whole and run.left_s() < (1 - WHOLE_AFTER) * seconds:
            whole = False
            proven = run.exactly(WHOLE_SHARE * seconds)
        elif bounds and run.left_s() < (1 - bounds[0][0]) * seconds:
            _, share, way = bounds.pop(0)
            proven = run.priced(min(run.left_s(), share * seconds, BOUND_MOST_S), way)
        else:
            proven = run.once(hoods, len(movable))
    for splits in splits_otherwise(run.ready, run.best) if proven and run.splits_free else ():
        if run.left_s() > 0.02:
            run.exactly(run.left_s(), splits=splits)
    return run.answer()


def plan_fully(question: Question, seconds: float, elapsed: Callable[[], float]) -> Answer:
    """A plan at once and the best that so many seconds of search make of it."""
    if seconds > 0:
        get_ready()
    start = plan_quickly(question)
    return improve(question, start, seconds=seconds, elapsed=elapsed, stop=lambda: False, better=lambda _: None)
