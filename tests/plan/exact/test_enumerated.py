"""The exact planner against trying everything: in kitchens so small that every plan can be written down and checked."""

import random
from collections.abc import Iterator
from dataclasses import replace
from itertools import product

import pytest

from kitchen_timer.plan.answer import Answer, PlannedCourse, PlannedStep
from kitchen_timer.plan.check import breaks, cost_of
from kitchen_timer.plan.exact import land_alone
from kitchen_timer.plan.loads import Load, split
from kitchen_timer.plan.question import CourseKey, Question, StepKey
from tests.builders import ASAP, at, component, course, dish, kitchen, question, slots, step
from tests.plan.exact.posing import solved, targets_of

MOST_PLANS = 1000
"""More than these are not tried."""


def tiny(seed: int) -> Question:
    """Two tables, steps of one to three seconds, one or two slots."""
    of = random.Random(seed)
    small = kitchen(
        handling=of.choice([0, 1]),
        pass_hands=1,
        fry=1,
        stove=of.choice([1, 2]),
        fryer=slots(of.choice([1, 1, 2]), recovery=of.choice([0, 1])),
    )
    dishes = []
    for number in range(of.choice([1, 2])):
        parts = {}
        for part in range(of.choice([1, 1, 2])):
            steps = [
                step(
                    of.randint(1, 3),
                    on=of.choice([None, "fryer", "fryer"]),
                    fits=of.choice([1, 2, 3]),
                    each=of.choice([0, 0, 1]),
                    may_wait=of.choice([0, 2]) if index else 0,
                    hands=of.choice([None, "all", "ends", "start", "none"]),
                )
                for index in range(of.choice([1, 1, 2]))
            ]
            comes_after = ["part0"] if part and of.random() < 0.5 else []
            keeps = of.choice([1, 2, 20, 120])
            parts[f"part{part}"] = component(of.choice(["fry", "stove"]), *steps, keeps=keeps, after=comes_after)
        dishes.append(dish(f"dish{number}", plating=of.choice([0, 1]), **parts))
    courses = [
        course(str(table), land=of.choice([ASAP, at(of.randint(0, 5))]), **{of.choice(dishes).dish: of.randint(1, 2)})
        for table in range(2)
    ]
    return question(small, dishes, *courses)


def ways(of: Question, load: Load, landing: int) -> list[tuple[int, ...]]:
    """Every way to start the steps of a load so that it ends by the landing and waits no longer than it may."""
    steps = of.book[load.key.dish].components[load.key.component].steps
    lengths = [each.length_s(load.portions) for each in steps]
    found: list[tuple[int, ...]] = [(first,) for first in range(landing - sum(lengths) + 1)]
    for index in range(1, len(steps)):
        found = [
            (*begun, begun[-1] + lengths[index - 1] + wait)
            for begun in found
            for wait in range(steps[index].may_wait_s + 1)
            if begun[-1] + lengths[index - 1] + wait + sum(lengths[index:]) <= landing
        ]
    return found


def plans(of: Question, targets: dict[CourseKey, int], most_cost: float) -> Iterator[Answer]:
    """Every plan whose lateness is no more than ``most_cost``, right or wrong."""
    loads = split(of)
    latest = [range(targets[each.key] + int(most_cost / each.plates) + 1) for each in of.courses]
    for landing in product(*latest):
        courses = []
        for wanted, lands in zip(of.courses, landing, strict=True):
            plating = max(of.book[name].plating_s for name, _ in wanted.portions) * wanted.plates
            late = max(0, lands - targets[wanted.key])
            courses.append(PlannedCourse(*wanted.key, wanted.plates, targets[wanted.key], lands, lands + plating, late))
        lands_at = {each.key: each.landing_at for each in courses}
        for chosen in product(*(ways(of, load, lands_at[load.key.of_course]) for load in loads)):
            steps = [
                PlannedStep(
                    StepKey(*load.key, index), what.do, part.station, what.on, load.portions, start,
                    start + what.length_s(load.portions),
                )
                for load, begun in zip(loads, chosen, strict=True)
                for part in [of.book[load.key.dish].components[load.key.component]]
                for index, (what, start) in enumerate(zip(part.steps, begun, strict=True))
            ]  # fmt: skip
            yield Answer(of.now, tuple(courses), tuple(steps))


def cheapest(of: Question, targets: dict[CourseKey, int], most_cost: float) -> float | None:
    """What the cheapest plan without a break costs; None where there are too many to try."""
    least = float("inf")
    for tried, answer in enumerate(plans(of, targets, most_cost)):
        if tried > MOST_PLANS:
            return None
        cost = cost_of(of, answer).total
        if cost < least - 1e-9 and not breaks(of, replace(answer, cost=cost)):
            least = cost
    return least


@pytest.mark.parametrize("seeds", [range(20), range(20, 40), range(40, 60)], ids=str)
def test_nothing_that_can_be_written_down_costs_less(seeds: range) -> None:
    tried = 0
    for seed in seeds:
        of = tiny(seed)
        if any(land_alone(of.kitchen, of.book, dict(each.portions)) is None for each in of.courses):
            continue
        targets = targets_of(of)
        found = solved(of, targets)
        assert found.answer is not None, seed
        assert found.proven, seed
        assert breaks(of, found.answer) == (), seed
        least = cheapest(of, targets, found.answer.cost)
        if least is not None:
            tried += 1
            assert found.answer.cost == pytest.approx(least), seed
    assert tried >= 5
