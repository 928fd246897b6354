"""The door of the exact planner: a question in, the best plan that CP-SAT finds and what it proves out."""

import threading
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from math import ceil
from typing import Literal

from ortools.sat.python import cp_model as cp

from kitchen_timer.kitchen.dish import Book
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.kitchen.table import Asap
from kitchen_timer.plan.answer import Answer, PlannedCourse, PlannedStep
from kitchen_timer.plan.exact import rules
from kitchen_timer.plan.exact.goal import PRICES, Goal, Terms, cost_found, make_terms, targets_of
from kitchen_timer.plan.exact.joined import join
from kitchen_timer.plan.exact.moment import Found, Model, Moment
from kitchen_timer.plan.exact.raising import Raising
from kitchen_timer.plan.exact.variables import Times, make_times
from kitchen_timer.plan.loads import Load, split_course
from kitchen_timer.plan.question import CourseKey, LoadKey, Question, Wanted

Stop = threading.Event | Callable[[], bool]
Way = Literal["plain", "proving", "bounding", "closing", "following"]
"""``proving`` raises the bound by what cannot all be cheap at once, and finds good plans on the way; ``bounding``
asks for ever dearer plans until there are some; ``closing`` has the tightest linear relaxation, which pays where
windows are narrow; ``following`` tries what the plan in hand says first and has no linear relaxation: quick where
little is free."""
LOOK_S = 0.02
"""How often a running search looks whether it is to stop."""


FOUND = ("OPTIMAL", "FEASIBLE")
"""What the solver says when it has a plan."""


@dataclass(frozen=True)
class Solved:
    """What came out."""

    answer: Answer | None
    """The best plan found; None: none was found, or, with ``proven``, there is none."""
    bound: float | None
    """Proven: with these loads no plan costs less, in plate-seconds. None where only some courses were free or where
    announced cues or overrunning food were in the goal too."""
    proven: bool
    """Nothing better exists, with these loads and as far as ``free`` lets things move."""


@dataclass(frozen=True, eq=False)
class Posed:
    """A question as a model, ready to be solved."""

    times: Times
    targets: Mapping[CourseKey, Moment]
    stands_until: Mapping[LoadKey, Moment]
    terms: Terms
    prices: Goal
    overruns: bool
    """Whether the goal holds more than the cost of a plan."""


def pose(
    question: Question,
    splits: Iterable[Load],
    targets: Mapping[CourseKey, int],
    *,
    free: frozenset[CourseKey] | None = None,
    hint: Answer | None = None,
    prices: Goal = PRICES,
    within_s: int | None = None,
    known: Raising | None = None,
) -> Posed:
    """All the rules of a plan and its goal."""
    times = make_times(
        Model(),
        question,
        splits,
        targets,
        free,
        hint,
        no_dearer=prices is PRICES,
        within_s=within_s,
        narrow=known.narrow if known is not None else lambda windows: None,
    )
    if known is not None:
        known.keep_shut(times)
    joined = join(times)
    until = rules.rule_4_stands_until(times)
    overruns = rules.rule_1_steps_in_order(times)
    rules.rule_2_not_before_now(times)
    rules.rule_3_after(times)
    overruns += rules.rule_4_keeps(times, until)
    rules.rule_5_slots(times, joined)
    rules.rule_6_hands(times, joined)
    rules.rule_7_plating(times)
    rules.rule_8_not_before(times)
    due = targets_of(times, targets)
    terms = make_terms(times, due, until, overruns, prices)
    told = any(load.step_key(step) in question.announced for load in times.moving() for step in range(len(load.starts)))
    times.model.give_hints()
    return Posed(times, due, until, terms, prices, bool(overruns) or told)


def solve(
    question: Question,
    *,
    splits: Iterable[Load],
    seconds: float,
    targets: Mapping[CourseKey, int],
    hint: Answer | None = None,
    workers: int = 1,
    seed: int = 0,
    stop: Stop | None = None,
    free: frozenset[CourseKey] | None = None,
    better: Callable[[Answer], None] | None = None,
    effort: float | None = None,
    prices: Goal = PRICES,
    within_s: int | None = None,
    way: Way = "plain",
    known: Raising | None = None,
) -> Solved:
    """The best plan for a question, searched for at most ``seconds``.

    ``splits`` are the loads that have not begun. ``targets`` names the courses to be planned, each with the instant
    it is wanted at (for a course after another: the earliest with the kitchen to itself); impossible courses, and
    those after them, are left out. ``hint`` is a plan to start from, of help where its loads hold the portions that
    ``splits`` says. ``free`` limits what may move: every other course stays where ``hint`` has it, and is left out
    where it is not in it. ``stop`` ends the search early; ``better`` is told of each plan found. ``effort`` limits the
    search in the solver's own, repeatable units instead of time (about a second each). ``within_s``: no start and no
    landing moves by more seconds than that. ``way`` is how the solver goes about it. ``known``: what prices have proven
    of these loads and a plan no cheaper than ``hint``: only where everything is free.
    """
    posed = pose(question, splits, targets, free=free, hint=hint, prices=prices, within_s=within_s, known=known)
    scale = posed.terms.minimise(posed.times.model.cp)
    if known is not None:
        posed.terms.no_less(posed.times.model.cp, scale, known.bound)
    solver = new_solver(seconds, workers, seed, effort, way)
    told = _Told(posed, hint, better) if better is not None else None
    with stopping(solver, stop):
        status = solver.status_name(solver.solve(posed.times.model.cp, told))
    if status == "INFEASIBLE":
        return Solved(None, None, True)
    answer = read_answer(solver, posed, hint) if status in FOUND else None
    bound = None
    if free is None and within_s is None and not posed.overruns and status != "MODEL_INVALID":
        bound = bound_of(solver, posed, scale)
        if answer is not None:
            bound = min(bound, answer.cost)
            answer = replace(answer, bound=bound)
    return Solved(answer, bound, status == "OPTIMAL")


def new_solver(seconds: float, workers: int, seed: int, effort: float | None = None, way: Way = "plain") -> cp.CpSolver:
    """A solver with its limits set."""
    solver = cp.CpSolver()
    solver.parameters.max_time_in_seconds = max(0.001, seconds)
    solver.parameters.num_workers = workers
    solver.parameters.random_seed = seed
    if way == "proving":
        solver.parameters.optimize_with_core = True
    elif way == "bounding":
        solver.parameters.use_objective_lb_search = True
    elif way == "closing":
        solver.parameters.linearization_level = 2
    elif way == "following":
        solver.parameters.linearization_level = 0
        solver.parameters.search_branching = cp.HINT_SEARCH
    if effort is not None:
        solver.parameters.max_deterministic_time = effort
    return solver


def bound_of(solver: cp.CpSolver, posed: Posed, scale: int) -> float:
    """What the solver has proven, in plate-seconds; its goal is whole, so a bound in between is rounded up."""
    if not posed.terms.terms:
        return float(posed.terms.certain)
    return float(posed.terms.certain) + ceil(solver.best_objective_bound - 1e-6) / scale


@contextmanager
def stopping(solver: cp.CpSolver, stop: Stop | None) -> Iterator[None]:
    """Ends the search inside when ``stop`` says so."""
    if stop is None:
        yield
        return
    over = threading.Event()
    says = stop.is_set if isinstance(stop, threading.Event) else stop

    def watch() -> None:
        while not over.wait(LOOK_S):
            if says():
                solver.stop_search()

    watcher = threading.Thread(target=watch, daemon=True)
    watcher.start()
    try:
        yield
    finally:
        over.set()
        watcher.join()


class _Told(cp.CpSolverSolutionCallback):
    """Passes on each plan found."""

    def __init__(self, posed: Posed, hint: Answer | None, better: Callable[[Answer], None]) -> None:
        super().__init__()
        self._posed, self._hint, self._better = posed, hint, better

    def on_solution_callback(self) -> None:
        """A plan was found."""
        self._better(read_answer(self, self._posed, self._hint))


def read_answer(found: Found, posed: Posed, hint: Answer | None) -> Answer:
    """The plan found; impossible courses are those of the hint."""
    times, now = posed.times, posed.times.question.now
    courses, steps = [], []
    for key, course in times.courses.items():
        landing, target = course.landing.value(found), posed.targets[key].value(found)
        courses.append(
            PlannedCourse(
                table=key.table,
                course=key.course,
                plates=course.wanted.plates,
                target_at=now + target,
                landing_at=now + landing,
                up_at=now + course.up.value(found),
                late_s=max(0, landing - target),
            )
        )
        for load in course.loads:
            for index, (start, end) in enumerate(zip(load.starts, load.ends, strict=True)):
                step = load.component.steps[index]
                steps.append(
                    PlannedStep(
                        key=load.step_key(index),
                        do=step.do,
                        station=load.component.station,
                        on=step.on,
                        portions=load.portions,
                        start_at=now + start.value(found),
                        end_at=now + end.value(found),
                    )
                )
    impossible = tuple(given_up for given_up in hint.impossible if given_up.key not in times.courses) if hint else ()
    cost = cost_found(found, times, posed.targets, posed.stands_until, posed.prices)
    return Answer(now, tuple(courses), tuple(steps), impossible, cost)


def land_alone(kitchen: Kitchen, book: Book, portions: Mapping[str, int], seconds: float = 5.0) -> int | None:
    """The earliest that a course can land with the kitchen to itself, in seconds after it may begin.

    ``portions`` are plates by dish. None where it can never land, or where no way was found in ``seconds``.
    """
    wanted = Wanted("alone", "alone", 0, Asap(), tuple(portions.items()))
    question = Question(kitchen, book, 0, (wanted,))
    posed = pose(question, split_course(kitchen, book, wanted), {wanted.key: 0})
    landing = posed.times.courses[wanted.key].landing
    assert landing.var is not None
    posed.times.model.cp.minimize(landing.var)
    solver = new_solver(seconds, workers=1, seed=0)
    status = solver.status_name(solver.solve(posed.times.model.cp))
    return landing.value(solver) if status in FOUND else None
