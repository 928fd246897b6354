"""Prices on scarce hands and slots: no bound they prove is above the optimum, nothing they close is in a good plan."""

import random
from dataclasses import replace
from time import process_time

import numpy as np
import pytest

from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.choose import improve, plan_quickly
from kitchen_timer.plan.exact import solve
from kitchen_timer.plan.exact.apart import Apart, Party
from kitchen_timer.plan.exact.closing import _then
from kitchen_timer.plan.exact.limits import Resource
from kitchen_timer.plan.exact.prices import Prices, _after
from kitchen_timer.plan.exact.raising import Raising
from kitchen_timer.plan.exact.rows import NEVER, laid, least_after, least_before, least_from
from kitchen_timer.plan.jobs import lateness
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


def test_a_better_plan_is_told_with_what_is_proven_of_all_ways_to_split_and_no_more() -> None:
    # Five portions, four at once: two loads, split in several ways, so that no bound is told.
    chips = dish("chips", plating=5, chips=component("fry", step(60, on="fryer", fits=2), keeps=90))
    asked = question(
        kitchen(fry=1, fryer=slots(2, recovery=30)), [chips], course("1", land=at(200), chips=5), course("2", chips=3)
    )
    told: list[Answer] = []
    since = process_time()
    best = improve(
        asked, plan_quickly(asked), seconds=0.6, elapsed=lambda: process_time() - since, stop=lambda: False,
        better=told.append,
    )  # fmt: skip
    assert best.bound is None
    assert all(answer.bound is None for answer in told)


def test_three_tables_on_one_fryer_are_proven_through_the_public_planner() -> None:
    asked = squid_and_chops(3)
    since = process_time()
    best = improve(
        asked, plan_quickly(asked), seconds=3, elapsed=lambda: process_time() - since, stop=lambda: False,
        better=lambda answer: None,
    )  # fmt: skip
    optimum = solved(asked).answer
    assert optimum is not None
    assert best.cost == pytest.approx(optimum.cost)
    assert best.bound == pytest.approx(optimum.cost)


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


@pytest.mark.parametrize("wanted_at", [None, 40])
def test_what_comes_after_is_as_late_for_each_landing_as_trying_each_says(wanted_at: int | None) -> None:
    # Six minutes are more than the five after which seconds count three times.
    wanted = course("1", name="second", land=after("first", 3), target=wanted_at, chop=2)
    chance = np.random.default_rng(2)
    first, last, since = 30, 450, 20
    party = Party(wanted, first, last, np.ones(last - first + 1, dtype=np.bool_), 40 if wanted_at else 60, 5, 1)
    others = chance.exponential(300.0, 420)

    def costs(earliest: int, landing: int) -> float:
        target = party.target if wanted_at else max(party.target, earliest)
        return float(lateness(2, landing - target))

    tried = [
        min([NEVER, *(others[u - since] + costs(u, at) for u in range(since, min(at, since + 419) + 1))])
        for at in range(first, last + 1)
    ]
    assert _then(party, others, since) == pytest.approx(tried)
    party.cost = chance.exponential(300.0, last - first + 1)
    forwards = [
        min([NEVER, *(party.cost[at - first] + costs(u, at) for at in range(max(u, first), last + 1))])
        for u in range(since, since + 420)
    ]
    assert _after(party, since, since + 419) == pytest.approx(forwards)
