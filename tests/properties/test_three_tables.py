"""Three tables that want the same few slots and cooks: the plan found costs what counting every plan says it must."""

from dataclasses import replace
from random import Random
from time import process_time

import pytest

from kitchen_timer.kitchen.dish import Component, Dish
from kitchen_timer.kitchen.table import AtTime
from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.choose import plan_fully, plan_quickly
from kitchen_timer.plan.question import Question
from tests.builders import ASAP, at, component, course, dish, kitchen, question, slots, step
from tests.properties.every_plan import GRID, cheapest, earliest_alone_s, horizon_s, ways

KITCHENS = (1, 8, 14, 16, 24, 27, 30, 31, 33, 35, 38, 47, 50, 51, 52, 53, 54, 55, 56, 58, 60, 67, 68)
"""Seeds of kitchens in which every course can land alone and counting takes less than a second."""


def crowded(seed: int) -> Question:
    """One or two dishes of one or two components, steps of ten to thirty seconds, hardly any room."""
    of = Random(f"crowded {seed}")
    small = kitchen(
        handling=of.choice([0, GRID]),
        pass_hands=of.choice([1, 2, 2]),
        stove=of.choice([1, 1, 1, 2]),
        fryer=slots(of.choice([1, 1, 2]), recovery=of.choice([0, 0, GRID])),
    )
    menu = [_dish(of, f"dish{number}") for number in range(of.choice([1, 2]))]
    tables = [
        course(
            str(table),
            land=of.choice([ASAP, ASAP, ASAP, at(GRID * of.randint(2, 6))]),
            in_at=GRID * of.choice([-1, 0, 0, 1]),
            **{of.choice(menu).dish: of.choice([1, 1, 2])},
        )
        for table in range(1, 4)
    ]
    return question(small, menu, *tables)


def _dish(of: Random, name: str) -> Dish:
    parts = {"hot": _part(of, "fryer", [])}
    if of.random() < 0.5:
        parts["last"] = _part(of, None, ["hot"] if of.random() < 0.6 else [])
    return dish(name, plating=of.choice([0, 0, GRID]), **parts)


def _part(of: Random, on: str | None, after: list[str]) -> Component:
    one = step(
        GRID * of.randint(1, 3),
        on=on,
        fits=of.choice([1, 2]) if on else 1,
        hands=of.choice([None, "ends", "start", "none"]) if on else "all",
    )
    return component("stove", one, keeps=GRID * of.randint(1, 2), after=after)


def aimed(of: Question) -> Question:
    """The same with its targets counted, not planned."""
    wanted = []
    for each in of.courses:
        alone = earliest_alone_s(of, each)
        assert alone is not None
        target = each.land.at if isinstance(each.land, AtTime) else max(of.now, each.in_at) + alone
        wanted.append(replace(each, target_at=target, presses=1 + int(each.table) % 2))
    return replace(of, courses=tuple(wanted))


@pytest.mark.parametrize("seed", KITCHENS)
def test_three_tables_in_a_crowded_kitchen_get_the_cheapest_plan_there_is(seed: int) -> None:
    of = aimed(crowded(seed))
    best = cheapest(of, [ways(of, wanted, horizon_s(of)) for wanted in of.courses])
    assert best is not None
    quick, found = plan_quickly(of), plan_fully(of, 1.5, process_time)
    assert [str(each) for each in breaks(of, found)] == []
    assert found.cost == pytest.approx(best.cost, abs=0.01)
    assert quick.cost >= best.cost - 0.01
