"""How portions that do not fit at once are split into loads. Arithmetic beside each test; now is 0."""

from dataclasses import replace
from itertools import count

import pytest

from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.choose import improve
from kitchen_timer.plan.exact.solve import solve
from kitchen_timer.plan.loads import Load, ways_to_split
from kitchen_timer.plan.question import LoadKey
from kitchen_timer.plan.quick import plan_quickly
from tests.builders import at, begun, component, course, dish, kitchen, plan, question, slots, step

HOUSE = kitchen(fry=2, fryer=slots(2, recovery=60), handling=5)


def squid(*, keeps=300, takes=90, each=0, fits=3):
    """Three to a basket."""
    return dish("squid", rings=component("fry", step(takes, on="fryer", fits=fits, each=each), keeps=keeps))


def loads_of(answer, table="6"):
    return sorted((steps[0].start_at, steps[0].portions) for key, steps in answer.by_load.items() if key.table == table)


@pytest.mark.parametrize(
    ("portions", "fits", "baskets", "each", "ways"),
    [
        (6, 3, 2, 0, [(6,)]),  # they fit at once: one load
        # 4 + 3 takes as many baskets as 6 + 1 and has three portions wait where that has one: left out.
        (7, 3, 2, 0, [(6, 1), (3, 3, 1)]),
        # Where every portion lengthens a load, even ones are over sooner.
        (7, 3, 2, 10, [(4, 3), (6, 1), (3, 3, 1), (3, 2, 2)]),
        # 4 + 3 takes two of three baskets, 6 + 1 takes all of them first: neither can stand in for the other.
        (7, 2, 3, 0, [(4, 3), (6, 1), (2, 2, 2, 1)]),
        (4, 3, 1, 0, [(3, 1)]),
        (0, 3, 2, 0, [()]),
    ],
)
def test_few_ways_are_tried_and_none_that_another_can_stand_in_for(portions, fits, baskets, each, ways):
    fried = component("fry", step(90, on="fryer", fits=fits, each=each))
    assert list(ways_to_split(kitchen(fry=1, fryer=slots(baskets)), fried, portions)) == ways


def test_the_few_wait_for_the_many():
    # Out at the landing: six. Before them the oil recovers 60 s: one portion waits 90 + 60 = 150 s and costs
    # 150 x 0.2 x 60/300 = 6 plate-seconds. Four and three would have three wait: 18.
    asked = question(HOUSE, [squid()], course("6", land=at(600), squid=7))
    answer = plan_quickly(asked)
    assert (loads_of(answer), answer.cost) == ([(360, 1), (510, 6)], 6.0)
    assert breaks(asked, answer) == ()


def test_even_loads_where_full_ones_would_have_the_first_stand_too_long():
    # One basket of six; 60 s and 20 s for each further portion. Six take 160 s: the one before them would stand
    # 60 + 160 = 220 s and keeps 190. Four take 120 s: the three before them stand 60 + 120 = 180 s.
    house = kitchen(fry=2, fryer=slots(1, recovery=60), handling=5)
    asked = question(house, [squid(keeps=190, takes=60, each=20, fits=6)], course("6", land=at(600), squid=7))
    answer = plan_quickly(asked)
    assert [portions for _, portions in loads_of(answer)] == [3, 4]
    assert breaks(asked, answer) == ()


def test_two_baskets_that_are_lowered_together_are_sooner_done_than_one_load_in_both():
    # 60 s and 20 s for each further portion: six in both baskets take 160 s, three in each 100 s. The one before them
    # stands 60 + 100 = 160 s of the 190 it keeps: 160 x 0.2 x 60/190 plate-seconds.
    asked = question(HOUSE, [squid(keeps=190, takes=60, each=20)], course("6", land=at(600), squid=7))
    answer = plan_quickly(asked)
    assert loads_of(answer) == [(380, 1), (500, 3), (500, 3)]
    assert answer.cost == pytest.approx(160 * 0.2 * 60 / 190)
    assert breaks(asked, answer) == ()


def test_single_baskets_go_one_after_another_while_the_other_basket_is_busy():
    # Table 9 has one basket until 430, its oil until 490: six portions could go in then, out at 580. One basket at a
    # time: 3 or 1 at 0, 150 and 300, out at 390.
    hake = dish("hake", skin=component("fry", step(430, on="fryer", hands="none"), keeps=600))
    nine = course("9", hake=1, target=430, begun=[begun("hake/skin/1", (0, 430))])
    asked = question(HOUSE, [squid(keeps=600), hake], nine, course("6", squid=7))
    answer = plan_quickly(asked)
    assert answer.by_course[asked.courses[1].key].landing_at == 390
    assert [start for start, _ in loads_of(answer)] == [0, 150, 300]
    assert breaks(asked, answer) == ()


def test_a_target_is_the_earliest_landing_however_the_portions_are_split():
    # 60 s and 30 s for each further portion, oil 60 s. Whatever the split in two, 2 x 60 + 5 x 30 + 60 = 330 s. Baskets
    # by themselves: 3 (120 s) and 2 (90 s) at 0, 2 more (90 s) in the basket that is free at 90 + 60: out at 240.
    asked = question(HOUSE, [squid(keeps=600, takes=60, each=30)], course("6", squid=7))
    answer = plan_quickly(asked)
    assert (answer.courses[0].target_at, answer.courses[0].landing_at) == (240, 240)
    assert breaks(asked, answer) == ()


def test_loads_that_a_station_has_been_told_of_stay_as_they_are():
    # Four and three were planned, and cued. Six and one would cost less; the station has been told of four.
    asked = question(HOUSE, [squid()], course("6", land=at(600), squid=7))
    told = {"6/mains/squid/rings/1": [360], "6/mains/squid/rings/2": [510]}
    portions = {"6/mains/squid/rings/1": 3, "6/mains/squid/rings/2": 4}
    before = plan(asked, {"6/mains": 600}, told, portions=portions)
    cued = replace(asked, announced={step.key: step.start_at for step in before.steps})
    answer = plan_quickly(cued, before)
    assert loads_of(answer) == [(360, 3), (510, 4)]
    assert {str(key.of_load) for key in answer.by_step} == set(told)


def test_what_is_left_of_a_split_stays_split_once_a_load_has_begun():
    # 3 + 3 + 1 were planned and the first three are in: the four that are left would fit at once, but stay 3 and 1.
    started = begun("squid/rings/1", (0, 90), portions=3)
    asked = question(HOUSE, [squid(keeps=600)], course("6", squid=7, target=240, begun=[started]), now=10)
    starts = {"6/mains/squid/rings/2": [10], "6/mains/squid/rings/3": [150]}
    portions = {"6/mains/squid/rings/2": 1, "6/mains/squid/rings/3": 3}
    before = plan(asked, {"6/mains": 240}, starts, portions=portions)
    assert breaks(asked, before) == ()
    assert plan_quickly(asked, before) == before


def test_portions_that_fit_at_once_are_one_load():
    asked = question(HOUSE, [squid()], course("6", land=at(600), squid=6))
    starts = {"6/mains/squid/rings/1": [510], "6/mains/squid/rings/2": [510]}
    portions = {"6/mains/squid/rings/1": 3, "6/mains/squid/rings/2": 3}
    split = plan(asked, {"6/mains": 600}, starts, portions=portions)
    assert [each.rule for each in breaks(asked, split)] == [5]
    assert loads_of(plan_quickly(asked)) == [(510, 6)]


def partitions(portions, most, largest=None):
    """Every way to write a number of portions as loads of at most so many, larger ones first."""
    if portions == 0:
        yield ()
    for load in range(min(portions, largest or most, most), 0, -1):
        yield from ((load, *rest) for rest in partitions(portions - load, most, load))


@pytest.mark.parametrize(
    ("portions", "fits", "baskets", "busy_until"),
    [(5, 2, 2, 0), (5, 3, 1, 200), (7, 3, 2, 0), (7, 3, 2, 200)],
)
def test_of_all_ways_to_split_the_cheapest_is_among_the_few(portions, fits, baskets, busy_until):
    # Wanted at once, so that every second counts; one basket is busy until then. All partitions into five loads or
    # fewer are tried by the exact planner: none costs less than the best of the few. (Not so where a step has `each`:
    # single portions started together would dodge it by the letter of rule 1. No cook works so, and it is not tried.)
    fried = component("fry", step(90, on="fryer", fits=fits), keeps=600)
    house = kitchen(fry=1, fryer=slots(baskets, recovery=60))
    hake = dish("hake", skin=component("fry", step(max(1, busy_until), on="fryer", hands="none"), keeps=600))
    busy = [course("9", hake=1, target=busy_until, begun=[begun("hake/skin/1", (0, busy_until))])] if busy_until else []
    asked = question(house, [dish("squid", rings=fried), hake], course("6", squid=portions, target=0), *busy)

    def cost(sizes):
        loads = [Load(LoadKey("6", "mains", "squid", "rings", i), size) for i, size in enumerate(sizes, start=1)]
        targets = {each.key: each.target_at for each in asked.courses}
        found = solve(asked, splits=loads, seconds=20, targets=targets)
        assert found.proven
        assert found.answer is not None
        return found.answer.cost

    every = [sizes for sizes in partitions(portions, fits * baskets) if len(sizes) <= 5]
    few = ways_to_split(house, fried, portions)
    assert set(few) <= set(every)
    assert min(map(cost, few)) == pytest.approx(min(map(cost, every)))


def test_the_search_tries_other_ways_too_and_proves_nothing_for_one_way_only():
    # Both tables wanted at once, seven squid each: whatever the quick plan has, the search never ends dearer, its plan
    # obeys the rules, and where portions can be split in several ways it gives no bound.
    asked = question(HOUSE, [squid(keeps=600)], course("6", squid=7, target=0), course("9", squid=7, target=0))
    start = plan_quickly(asked)
    looks = count()
    answer = improve(
        asked, start, seconds=30, elapsed=lambda: next(looks) * 0.1, stop=lambda: False, better=lambda _: None
    )
    assert answer.cost <= start.cost
    assert answer.bound is None
    assert breaks(asked, answer) == ()
    # Two baskets of three: twelve of the fourteen portions are out at 240 s, when the oil is back the last two go in at
    # 300 and are out at 390. Whatever table they are for is whole then.
    assert max(each.landing_at for each in answer.courses) == 390
