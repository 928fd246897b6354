"""The planners in the race, each played on a snapshot with one worker; times are CPU seconds of this process."""

from collections.abc import Callable
from dataclasses import dataclass
from time import process_time

from kitchen_timer.kitchen.table import AtTime
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.choose import improve, plan_quickly
from kitchen_timer.plan.exact import solve
from kitchen_timer.plan.loads import split
from kitchen_timer.plan.question import CourseKey, Question
from kitchen_timer.plan.targets import alone_s

PROVEN_WITHIN = 0.01
"""Plate-seconds between cost and bound that are no gap."""

BUSY = 5
"""CP-SAT counts wall seconds; on a busy machine it gets up to so many times as many, until its CPU seconds are up."""


@dataclass(frozen=True)
class Run:
    """One planner on one snapshot."""

    answer: Answer | None
    """None: it found no plan."""
    first_s: float
    """Until there was any plan."""
    better: tuple[tuple[float, float], ...]
    """``(seconds, cost)`` of the first plan and of each better one."""
    bound: float | None
    took_s: float

    @property
    def proven(self) -> bool:
        """Whether nothing better exists."""
        return self.answer is not None and self.bound is not None and self.answer.cost - self.bound <= PROVEN_WITHIN

    def cost_after(self, seconds: float) -> float | None:
        """The cost of the best plan that there was after so many seconds; None: there was none yet."""
        return min((cost for at, cost in self.better if at <= seconds), default=None)


def at_once(question: Question, planner: Callable[[Question], Answer]) -> Run:
    """A planner that answers once and is done."""
    since = process_time()
    answer = planner(question)
    took_s = process_time() - since
    return Run(answer, took_s, ((took_s, answer.cost),), None, took_s)


def ours(question: Question, seconds: float, seed: int = 0, start: Answer | None = None) -> Run:
    """A plan at once, then the search, so many seconds together."""
    since = process_time()
    first = start or plan_quickly(question)
    first_s = process_time() - since
    better = [(first_s, first.cost)]

    def told(answer: Answer) -> None:
        better.append((process_time() - since, answer.cost))

    best = improve(
        question,
        first,
        seconds=max(0.0, seconds - first_s),
        elapsed=process_time,
        stop=lambda: False,
        better=told,
        seed=seed,
    )
    return Run(best, first_s, tuple(better), best.bound, process_time() - since)


def plain_cp_sat(question: Question, seconds: float, seed: int = 0) -> Run:
    """The exact model of all the rules alone: no plan to start from, no hint, nothing taken apart."""
    since = process_time()
    better: list[tuple[float, float]] = []

    def told(answer: Answer) -> None:
        better.append((process_time() - since, answer.cost))

    solved = solve(
        question,
        splits=split(question),
        seconds=BUSY * seconds,
        targets=targets_of(question),
        seed=seed,
        stop=lambda: process_time() - since >= seconds,
        better=told,
    )
    if solved.answer is not None:
        told(solved.answer)
    first_s = better[0][0] if better else seconds
    return Run(solved.answer, first_s, tuple(better), solved.bound, process_time() - since)


def targets_of(question: Question) -> dict[CourseKey, int]:
    """When each course is wanted; of one after another, the earliest with the kitchen to itself."""
    targets: dict[CourseKey, int] = {}
    for wanted in question.courses:
        alone = alone_s(question.kitchen, question.book, wanted.portions)
        assert alone is not None
        ready = max(question.now, wanted.in_at) + alone
        targets[wanted.key] = wanted.land.at if isinstance(wanted.land, AtTime) else ready
    return targets
