"""Every plan of a tiny kitchen, one after another, cheapest first: the optimum by sheer counting.

Where every length, keeps, wait and target is a multiple of ``GRID``, some cheapest plan has all its instants on
multiples of it: with the order of things fixed, the rules only bound differences of instants by such multiples, and
the cost bends only there. So counting on the grid finds the true optimum. No planner has a hand in it; the
checker says which plans hold.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from heapq import heappop, heappush
from itertools import product
from math import ceil

from kitchen_timer.kitchen.dish import Dish
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.question import Question, Wanted
from tests.builders import ASAP, plan

GRID = 10


@dataclass(frozen=True)
class Way:
    """One way to make one course: its landing, the starts of its loads, its cost."""

    landing: int
    starts: tuple[tuple[str, tuple[int, ...]], ...]
    cost: float


def span_s(question: Question, wanted: Wanted) -> int:
    """Seconds in which a course can land with the kitchen to itself, if it ever can: all done one after another."""
    total = 0
    for name, plates in wanted.portions:
        for part in question.book[name].components.values():
            for step in part.steps:
                recovery_s = question.kitchen.equipment[step.on].recovery_s if step.on else 0
                total += step.takes.usual_s + step.each_s * (plates - 1) + step.may_wait_s + recovery_s
    return total


def earliest_alone_s(question: Question, wanted: Wanted) -> int | None:
    """Seconds in which a course lands with the kitchen to itself; None: never."""
    alone = replace(question, now=0, courses=(replace(wanted, in_at=0, land=ASAP, target_at=0),))
    for landing in range(0, span_s(question, wanted) + GRID, GRID):
        if next(_ways_landing(alone, alone.courses[0], landing), None) is not None:
            return landing
    return None


def ways(question: Question, wanted: Wanted, horizon: int) -> list[Way]:
    """Every way to make a course by itself that lands by ``horizon``, cheapest first. Its target must be given."""
    alone = replace(question, courses=(wanted,))
    found = [way for at in range(question.now, horizon + GRID, GRID) for way in _ways_landing(alone, wanted, at)]
    return sorted(found, key=lambda way: way.cost)


def cheapest(question: Question, courses: list[list[Way]]) -> Answer | None:
    """The cheapest plan of all; None: no two ways go together."""
    if not all(courses):
        return None
    first = (0,) * len(courses)
    heap = [(sum(of[0].cost for of in courses), first)]
    seen = {first}
    while heap:
        _, at = heappop(heap)
        answer = _answer(question, [of[i] for of, i in zip(courses, at, strict=True)])
        if not breaks(question, answer):
            return answer
        for place in range(len(courses)):
            after = (*at[:place], at[place] + 1, *at[place + 1 :])
            if after not in seen and after[place] < len(courses[place]):
                seen.add(after)
                heappush(heap, (sum(of[i].cost for of, i in zip(courses, after, strict=True)), after))
    return None


def _answer(question: Question, chosen: list[Way]) -> Answer:
    landings = {str(wanted.key): way.landing for wanted, way in zip(question.courses, chosen, strict=True)}
    return plan(question, landings, {load: starts for way in chosen for load, starts in way.starts})


def _ways_landing(alone: Question, wanted: Wanted, landing: int) -> Iterator[Way]:
    dishes = [list(_starts_of(alone.book[name], plates, landing)) for name, plates in wanted.portions]
    for chosen in product(*dishes):
        starts = tuple(
            (f"{wanted.key}/{name}/{part}/1", of_part)
            for (name, _), parts in zip(wanted.portions, chosen, strict=True)
            for part, of_part in parts.items()
        )
        if min(of_part[0] for _, of_part in starts) < max(alone.now, wanted.in_at):
            continue
        answer = plan(alone, {str(wanted.key): landing}, dict(starts))
        if not breaks(alone, answer):
            yield Way(landing, starts, answer.cost)


def _starts_of(of: Dish, plates: int, landing: int) -> Iterator[dict[str, tuple[int, ...]]]:
    """Every way to place the loads of a dish (one of each component) before a landing."""
    order: list[str] = []
    while len(order) < len(of.components):
        for name in of.components:
            needed_by = [other for other, part in of.components.items() if name in part.after]
            if name not in order and all(other in order for other in needed_by):
                order.append(name)

    def place(rest: list[str], placed: dict[str, tuple[int, ...]]) -> Iterator[dict[str, tuple[int, ...]]]:
        if not rest:
            yield placed
            return
        part = of.components[rest[0]]
        lengths = [step.takes.usual_s + step.each_s * (plates - 1) for step in part.steps]
        after = [placed[other][0] for other, each in of.components.items() if rest[0] in each.after]
        stands_until = max(after, default=landing)
        for end in range(min(after, default=landing), stands_until - part.keeps_s - GRID, -GRID):
            if end < stands_until - part.keeps_s:
                break
            for waits in product(*(range(0, step.may_wait_s + GRID, GRID) for step in part.steps[1:])):
                at, starts = end, []
                for length, wait in zip(reversed(lengths), (*reversed(waits), 0), strict=True):
                    starts.append(at - length)
                    at -= length + wait
                yield from place(rest[1:], {**placed, rest[0]: tuple(reversed(starts))})

    yield from place(order, {})


def horizon_s(question: Question) -> int:
    """By when every course can have landed, one after another."""
    plating = sum(
        ceil(wanted.plates) * max(question.book[name].plating_s for name, _ in wanted.portions)
        for wanted in question.courses
    )
    wanted_by = max(wanted.target_at or 0 for wanted in question.courses)
    return wanted_by + plating + sum(span_s(question, wanted) for wanted in question.courses)
