"""Prices on scarce hands and slots: no bound they prove is above the optimum, nothing they close is in a good plan."""

import random
from dataclasses import replace

import numpy as np
import pytest

from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.choose import plan_quickly
from kitchen_timer.plan.exact import solve
from kitchen_timer.plan.exact.apart import Apart
from kitchen_timer.plan.exact.limits import Resource
from kitchen_timer.plan.exact.prices import Prices
from kitchen_timer.plan.exact.raising import Raising
from kitchen_timer.plan.exact.rows import laid, least_after, least_before, least_from
from kitchen_timer.plan.loads import split
from kitchen_timer.plan.question import CourseKey, Question
from tests.builders import after, at, component, course, dish, kitchen, question, slots, step
from tests.plan.exact.posing import solved, targets_of
from tests.plan.exact.test_enumerated import tiny


def squid_and_chops(seed: int) -> Question:
    """Three courses of two dishes, one of them perhaps after another, that share a fryer, rings and two cooks."""
    of = random.Random(seed)
    squid = dish(
        "squid",
        plating=of.choice([2, 5]),
        rings=component("fry", step(of.randint(6, 12), on="fryer", fits=2), keeps=of.choice([6, 20])),
        greens=component("stove", step(of.randint(3, 6)), keeps=of.choice([10, 60])),
        dressing=component("stove", step(2, each=1), keeps=8, after=["greens"]),
    )
    chop = dish(
        "chop",
        plating=3,
        chop=component(
            "stove",
            step(of.randint(6, 10), on="rings", fits=of.choice([1, 2])),
            step(4, may_wait=of.choice([0, 5]), hands="all"),
            keeps=of.choice([5, 15]),
        ),
        chips=component("fry", step(8, on="fryer", fits=2), keeps=9),
    )
    small: Kitchen = kitchen(
        handling=of.choice([1, 2]), pass_hands=of.choice([1, 2]), fry=1, stove=of.choice([1, 2]),
        fryer=slots(of.choice([1, 2]), recovery=of.choice([0, 3])), rings=slots(2),
    )  # fmt: skip
    land = of.choice([at(20), after("first", 3)])
    table = "1" if land.kind == "after" else "3"
    return question(
        small,
        [squid, chop],
        course("1", name="first", land=at(15), squid=of.randint(1, 2)),
        course("2", name="first", land=at(of.randint(10, 20)), squid=1, chop=1),
        course(table, name="second", land=land, chop=of.randint(1, 2)),
    )


def in_hand(asked: Question) -> tuple[Answer, dict[CourseKey, int]] | None:
    """A quick plan and the targets; None where a course cannot be made."""
    quick = plan_quickly(asked)
    return None if quick.impossible else (quick, targets_of(asked))


def asked_for(seed: int) -> Question:
    return tiny(seed) if seed % 2 else squid_and_chops(seed)


@pytest.mark.parametrize("seeds", [range(12), range(12, 24)], ids=str)
def test_no_bound_is_above_the_optimum_and_the_optimum_stays_open(seeds: range) -> None:
    raised_above_nothing = 0
    for seed in seeds:
        asked = asked_for(seed)
        found = in_hand(asked)
        if found is None:
            continue
        quick, targets = found
        without = solved(asked, targets)
        assert without.answer is not None, seed
        assert without.proven, seed
        raising = Raising(asked, split(asked), targets, quick)
        raising.go(lambda raising=raising: raising.rounds >= 60)
        assert raising.bound <= without.answer.cost + 1e-6, seed
        raised_above_nothing += raising.bound > 1e-3
        again = solve(
            asked, splits=split(asked), targets=targets, seconds=60, effort=20, hint=quick, way="closing", known=raising
        )
        assert again.proven, seed
        assert again.answer is not None, seed
        assert again.answer.cost == pytest.approx(without.answer.cost), seed
        # With the optimum in hand more is closed, but never the optimum itself.
        raising.cheaper(replace(without.answer, bound=None))
        raising.go(lambda raising=raising: raising.rounds >= 90)
        assert raising.bound <= without.answer.cost + 1e-6, seed
        best = solve(
            asked, splits=split(asked), targets=targets, seconds=60, effort=20, hint=without.answer, known=raising
        )
        assert best.answer is not None, seed
        assert best.answer.cost == pytest.approx(without.answer.cost), seed
    assert raised_above_nothing >= 3


def test_any_prices_prove_a_bound() -> None:
    for seed in range(0, 16, 2):
        asked = asked_for(seed)
        found = in_hand(asked)
        if found is None:
            continue
        quick, targets = found
        optimum = solved(asked, targets).answer
        assert optimum is not None
        apart = Apart(asked, split(asked), targets, quick)
        prices = Prices(apart)
        chance = np.random.default_rng(seed)
        for _ in range(10):
            for resource in prices.of:
                prices.of[resource] = chance.exponential(chance.choice([0.01, 0.1, 1.0]), apart.length)
            apart.lean(0.5)
            apart.share_anew()
            assert prices.least() <= optimum.cost + 1e-6


def two_eggs() -> Question:
    """Two tables want one egg each at the same second; one cook takes 10 s throughout for each."""
    egg = dish("egg", egg=component("stove", step(10), keeps=60), plating=0)
    return question(
        kitchen(stove=1, pass_hands=2), [egg], course("1", land=at(100), egg=1), course("2", land=at(100), egg=1)
    )


def test_the_price_of_the_only_cook_is_what_waiting_costs() -> None:
    # One egg is done at 100, the other at 90 and stands 10 s: 10 * 0.2 = 2 plate-seconds.
    asked = two_eggs()
    found = in_hand(asked)
    assert found is not None
    quick, targets = found
    apart = Apart(asked, split(asked), targets, quick)
    prices = Prices(apart)
    assert prices.least() == 0
    # At 0.2 a second from 90 to 100 both pay 2, whether for the cook then or for standing since 90; 10 * 0.2 goes off.
    prices.of[Resource("station", "stove")][90:100] = 0.2
    assert prices.least() == pytest.approx(2.0)


def test_rows_slide_as_a_loop_would() -> None:
    chance = np.random.default_rng(1)
    row = chance.random(40)
    for within in (0, 1, 2, 3, 7, 8, 39, 40, 100):
        before = [min(row[max(0, i - within) : i + 1]) for i in range(40)]
        afterwards = [min(row[i : i + within + 1]) for i in range(40)]
        assert least_before(row, within) == pytest.approx(before)
        assert least_after(row, within) == pytest.approx(afterwards)
    assert least_from(row) == pytest.approx([min(row[i:]) for i in range(40)])
    assert laid(row, 5, 3, 7)[2:] == pytest.approx(row[:3])
