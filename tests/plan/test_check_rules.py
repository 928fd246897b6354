"""Every rule of a plan, broken on purpose in a plan that is right: the checker must name that rule and no other."""

from dataclasses import replace

import pytest

from kitchen_timer.plan.answer import Answer, PlannedStep
from kitchen_timer.plan.check import breaks, cost_of
from kitchen_timer.plan.question import Question, StepKey
from tests.builders import after, at, begun, component, course, dish, kitchen, plan, question, slots, step

HAKE = dish(
    "hake",
    plating=40,
    fish=component(
        "plancha",
        step(180, on="top"),
        step(60, on="top"),
        step(60, hands="none"),
        keeps=120,
    ),
    leeks=component("stove", step(120, on="rings"), keeps=240),
    dressing=component("cold", step(20, each=5), keeps=60, after=["leeks"]),
)
KITCHEN = kitchen(plancha=1, stove=1, cold=1, top=slots(8), rings=slots(4))


def good_question(**changes: object) -> Question:
    """Two plates of hake for table 6, in at 0."""
    return replace(question(KITCHEN, [HAKE], course("6", hake=2)), **changes)


def good_plan(of: Question, fish: int = 0, leeks: int = 155, dressing: int = 275, landing: int = 300) -> Answer:
    """Fish 0-180-240-300; leeks 155-275; dressing for two 20 + 5 = 25 s, 275-300; landing 300."""
    return plan(
        of,
        {"6/mains": landing},
        {
            "6/mains/hake/fish/1": [fish, fish + 180, fish + 240],
            "6/mains/hake/leeks/1": [leeks],
            "6/mains/hake/dressing/1": [dressing],
        },
        targets={"6/mains": 300},
    )


def changed(answer: Answer, key: str, **changes: object) -> Answer:
    """The same plan with one step changed."""
    wanted = StepKey.read(key)
    steps = tuple(replace(each, **changes) if each.key == wanted else each for each in answer.steps)
    return replace(answer, steps=steps)


def rules(of: Question, answer: Answer) -> list[int]:
    """The rules that are broken, bookkeeping apart."""
    return sorted({each.rule for each in breaks(of, answer) if each.rule and not each.excused})


def with_cost(of: Question, answer: Answer) -> Answer:
    return replace(answer, cost=cost_of(of, answer).total)


def test_a_plan_made_by_hand_obeys_every_rule() -> None:
    of = good_question()
    answer = good_plan(of)
    assert breaks(of, answer) == ()
    # Nothing stands: fish and dressing end at the landing, the leeks when the dressing starts; nothing is late.
    assert answer.cost == 0


# Rule 1


def test_a_step_a_second_too_long_breaks_rule_1() -> None:
    of = good_question()
    dressing = changed(good_plan(of), "6/mains/hake/dressing/1/0", start_at=274)
    assert 1 in rules(of, dressing)
    assert [each.by for each in breaks(of, dressing) if each.rule == 1] == [1]


def test_each_portion_after_the_first_takes_its_each() -> None:
    of = good_question()
    (found,) = [b for b in breaks(of, changed(good_plan(of), "6/mains/hake/dressing/1/0", start_at=280)) if b.rule == 1]
    assert (found.where, found.by) == ("6/mains/hake/dressing/1/0", 5)


def test_a_step_that_waits_longer_than_it_may_breaks_rule_1() -> None:
    of = good_question()
    answer = changed(good_plan(of), "6/mains/hake/fish/1/2", start_at=241, end_at=301)
    assert 1 in rules(of, answer)


@pytest.mark.parametrize(("wait", "broken"), [(29, []), (30, []), (31, [1])])
def test_a_wait_may_last_exactly_as_long_as_the_step_says(wait: int, broken: list[int]) -> None:
    stew = dish("stew", pot=component("stove", step(60), step(60, may_wait=30)))
    of = question(KITCHEN, [stew], course("6", stew=1))
    answer = plan(of, {"6/mains": 120 + wait}, {"6/mains/stew/pot/1": [0, 60 + wait]})
    assert rules(of, answer) == broken


def test_a_step_before_the_one_before_it_has_ended_breaks_rule_1() -> None:
    of = good_question()
    answer = changed(good_plan(of), "6/mains/hake/fish/1/2", start_at=239, end_at=299)
    assert rules(of, answer) == [1]


def test_a_load_without_one_of_its_steps_breaks_rule_1() -> None:
    of = good_question()
    answer = good_plan(of)
    fewer = replace(answer, steps=tuple(s for s in answer.steps if s.key != StepKey.read("6/mains/hake/fish/1/2")))
    assert 1 in rules(of, fewer)


@pytest.mark.parametrize("change", [{"do": "Boil"}, {"station": "stove"}, {"on": "rings"}])
def test_a_step_under_another_name_or_elsewhere_breaks_rule_1(change: dict[str, str]) -> None:
    of = good_question()
    assert rules(of, changed(good_plan(of), "6/mains/hake/fish/1/0", **change)) == [1]


# Rule 2


@pytest.mark.parametrize(("now", "broken"), [(-1, []), (0, []), (1, [2])])
def test_nothing_starts_before_now(now: int, broken: list[int]) -> None:
    of = good_question(now=now)
    assert rules(of, good_plan(of)) == broken


@pytest.mark.parametrize(("in_at", "broken"), [(-1, []), (0, []), (1, [2])])
def test_nothing_starts_before_its_order_is_in(in_at: int, broken: list[int]) -> None:
    of = question(KITCHEN, [HAKE], course("6", hake=2, in_at=in_at), now=-10)
    assert rules(of, good_plan(of)) == broken


# Rule 3


def test_a_component_before_those_it_comes_after_breaks_rule_3() -> None:
    of = good_question()
    answer = good_plan(of, leeks=156)
    assert rules(of, answer) == [3]
    assert [each.by for each in breaks(of, answer) if each.rule == 3] == [1]


def test_a_component_waits_for_every_load_of_those_it_comes_after() -> None:
    # Two portions, one a pan: the second pan of leeks ends at 240, the dressing must not start at 120.
    leek_dish = dish(
        "leeks",
        leeks=component("stove", step(120, on="pan"), keeps=600),
        dressing=component("cold", step(20), keeps=600, after=["leeks"]),
    )
    of = question(kitchen(stove=1, cold=1, pan=slots(1)), [leek_dish], course("6", leeks=2))
    starts = {"6/mains/leeks/leeks/1": [0], "6/mains/leeks/leeks/2": [120]}
    portions = {"6/mains/leeks/leeks/1": 1, "6/mains/leeks/leeks/2": 1}
    early = plan(of, {"6/mains": 300}, {**starts, "6/mains/leeks/dressing/1": [120]}, portions=portions)
    right = plan(of, {"6/mains": 300}, {**starts, "6/mains/leeks/dressing/1": [240]}, portions=portions)
    assert rules(of, early) == [3]
    assert rules(of, right) == []


# Rule 4


@pytest.mark.parametrize(("landing", "broken"), [(299, [4]), (300, []), (360, []), (361, [4])])
def test_a_landing_waits_for_all_and_for_no_longer_than_the_weakest_keeps(landing: int, broken: list[int]) -> None:
    # All is done at 300; the dressing keeps 60 s.
    of = good_question()
    answer = replace(good_plan(of, landing=landing))
    assert rules(of, answer) == broken


@pytest.mark.parametrize(("leeks", "broken"), [(-85, []), (-86, [4])])
def test_a_component_that_others_come_after_stands_until_they_start(leeks: int, broken: list[int]) -> None:
    # The leeks keep 240 s; the dressing starts at 275, so they may end at 35 and start at -85.
    of = question(KITCHEN, [HAKE], course("6", hake=2, in_at=-200), now=-200)
    assert rules(of, good_plan(of, leeks=leeks)) == broken


# Rule 5


def two_tables(of_kitchen_fryer: int, recovery: int, second: int, *, fits: int = 1, qty: int = 1) -> tuple[int, ...]:
    squid = dish("squid", rings=component("fry", step(90, on="fryer", fits=fits), keeps=600))
    k = kitchen(fry=9, fryer=slots(of_kitchen_fryer, recovery=recovery))
    of = question(k, [squid], course("6", squid=qty), course("9", squid=qty))
    starts = {"6/mains/squid/rings/1": [0], "9/mains/squid/rings/1": [second]}
    return tuple(rules(of, plan(of, {"6/mains": 90, "9/mains": 90 + second}, starts, targets={"9/mains": 90})))


@pytest.mark.parametrize(("second", "broken"), [(149, (5,)), (150, ()), (151, ())])
def test_the_next_load_waits_until_the_oil_has_recovered(second: int, broken: tuple[int, ...]) -> None:
    # One basket, 90 s in it, 60 s of recovery: free again at 150.
    assert two_tables(1, 60, second) == broken


def test_loads_of_one_component_share_a_slot_when_they_start_and_end_together() -> None:
    assert two_tables(1, 0, 0, fits=2) == ()
    assert two_tables(1, 0, 1, fits=2) == (5,)


def test_sharing_loads_take_slots_for_the_sum_of_their_portions() -> None:
    # 3 + 3 portions, four to a basket: two baskets together, one each apart.
    assert two_tables(2, 0, 0, fits=4, qty=3) == ()
    assert two_tables(1, 0, 0, fits=4, qty=3) == (5,)
    # 2 + 2 fit one.
    assert two_tables(1, 0, 0, fits=4, qty=2) == ()


def test_different_dishes_never_share_a_slot() -> None:
    k = kitchen(fry=9, fryer=slots(1))
    part = component("fry", step(90, on="fryer", fits=9), keeps=600)
    of = question(k, [dish("squid", rings=part), dish("chips", rings=part)], course("6", squid=1), course("9", chips=1))
    starts = {"6/mains/squid/rings/1": [0], "9/mains/chips/rings/1": [0]}
    assert rules(of, plan(of, {"6/mains": 90, "9/mains": 90}, starts)) == [5]


def test_a_load_keeps_its_slots_while_it_waits_for_its_next_step_there() -> None:
    # Seared 0-60, waits until 90, finished 90-150 in the same pan: the other load must not slip in at 60.
    k = kitchen(meat=9, pan=slots(1))
    steak = dish("steak", meat=component("meat", step(60, on="pan"), step(60, on="pan", may_wait=30), keeps=600))
    chop = dish("chop", chop=component("meat", step(30, on="pan"), keeps=600))
    of = question(k, [steak, chop], course("6", steak=1), course("9", chop=1))
    starts = {"6/mains/steak/meat/1": [0, 90], "9/mains/chop/chop/1": [60]}
    assert rules(of, plan(of, {"6/mains": 150, "9/mains": 90}, starts)) == [5]


def test_a_load_that_goes_on_in_its_slots_does_not_recover_between_its_steps() -> None:
    # Two slots, recovery 100: were there a recovery between the steps, the second table would not fit at 60.
    k = kitchen(meat=9, pan=slots(2, recovery=100))
    steak = dish("steak", meat=component("meat", step(60, on="pan"), step(60, on="pan"), keeps=600))
    of = question(k, [steak], course("6", steak=1), course("9", steak=1))
    starts = {"6/mains/steak/meat/1": [0, 60], "9/mains/steak/meat/1": [30, 90]}
    assert rules(of, plan(of, {"6/mains": 120, "9/mains": 150}, starts)) == []


def test_a_group_that_parts_between_its_steps_keeps_slots_for_each_part() -> None:
    # Together 1 + 1 in one slot of two; one goes on at 60, the other at 70: from 60 on they need a slot each.
    steak = dish("steak", meat=component("meat", step(60, on="pan", fits=2), step(60, on="pan", fits=2, may_wait=30)))
    starts = {"6/mains/steak/meat/1": [0, 60], "9/mains/steak/meat/1": [0, 70]}
    for room, broken in ((1, [5]), (2, [])):
        of = question(kitchen(meat=9, pan=slots(room)), [steak], course("6", steak=1), course("9", steak=1))
        assert rules(of, plan(of, {"6/mains": 120, "9/mains": 130}, starts)) == broken


def test_a_load_too_big_for_the_equipment_breaks_rule_5() -> None:
    squid = dish("squid", rings=component("fry", step(90, on="fryer", fits=2), keeps=600))
    of = question(kitchen(fry=1, fryer=slots(2)), [squid], course("6", squid=5))
    assert rules(of, plan(of, {"6/mains": 90}, {"6/mains/squid/rings/1": [0]})) == [5]


def test_portions_that_fit_at_once_are_not_split() -> None:
    squid = dish("squid", rings=component("fry", step(90, on="fryer", fits=2), keeps=600))
    of = question(kitchen(fry=1, fryer=slots(2)), [squid], course("6", squid=4))
    starts = {"6/mains/squid/rings/1": [0], "6/mains/squid/rings/2": [90]}
    halves = {"6/mains/squid/rings/1": 2, "6/mains/squid/rings/2": 2}
    assert rules(of, plan(of, {"6/mains": 180}, starts, portions=halves)) == [5]


# Rule 6


@pytest.mark.parametrize(("second", "broken"), [(59, [6]), (60, []), (61, [])])
def test_one_cook_does_one_thing_at_a_time(second: int, broken: list[int]) -> None:
    salad = dish("salad", leaves=component("cold", step(60), keeps=600))
    of = question(kitchen(cold=1), [salad], course("6", salad=1), course("9", salad=1))
    starts = {"6/mains/salad/leaves/1": [0], "9/mains/salad/leaves/1": [second]}
    assert rules(of, plan(of, {"6/mains": 60, "9/mains": 60 + second}, starts, targets={"9/mains": 60})) == broken


@pytest.mark.parametrize(
    ("hands", "other", "broken"),
    [
        # A minute on the ring, handling 10 s; another cook's job of 20 s on the board beside it.
        ("start", 9, [6]),
        ("start", 10, []),
        ("start", 40, []),
        ("ends", 10, []),
        ("ends", 30, []),
        ("ends", 31, [6]),
        ("end", 0, []),
        ("end", 31, [6]),
        ("none", 0, []),
        ("all", 30, [6]),
        (None, 9, [6]),  # with equipment and last there: ends
        (None, 31, [6]),
    ],
)
def test_hands_are_busy_at_the_ends_that_the_step_names(hands: str | None, other: int, broken: list[int]) -> None:
    egg = dish("egg", egg=component("stove", step(60, on="ring", hands=hands), keeps=600))
    salad = dish("salad", leaves=component("stove", step(20), keeps=600))
    of = question(kitchen(stove=1, ring=slots(1)), [egg, salad], course("6", egg=1), course("9", salad=1))
    starts = {"6/mains/egg/egg/1": [0], "9/mains/salad/leaves/1": [other]}
    assert rules(of, plan(of, {"6/mains": 60, "9/mains": other + 20}, starts)) == broken


def test_a_first_step_on_equipment_needs_hands_only_at_its_start_when_another_follows_there() -> None:
    steak = dish("steak", meat=component("meat", step(60, on="pan"), step(60, on="pan"), keeps=600))
    salad = dish("salad", leaves=component("meat", step(20), keeps=600))
    of = question(kitchen(meat=1, pan=slots(1)), [steak, salad], course("6", steak=1), course("9", salad=1))
    # 40-60 would clash with a lift at 50-60, were there one; the turn at 60-70 is the next step's start.
    assert rules(of, plan(of, {"6/mains": 120, "9/mains": 60}, {S: [0, 60], L: [40]})) == []
    assert rules(of, plan(of, {"6/mains": 120, "9/mains": 61}, {S: [0, 60], L: [41]})) == [6]
    assert rules(of, plan(of, {"6/mains": 120, "9/mains": 111}, {S: [0, 60], L: [91]})) == [6]


S, L = "6/mains/steak/meat/1", "9/mains/salad/leaves/1"


@pytest.mark.parametrize(("length", "broken"), [(19, [6]), (20, [6]), (30, [6]), (40, [])])
def test_a_step_no_longer_than_its_ends_need_keeps_a_cook_throughout(length: int, broken: list[int]) -> None:
    # 10 s at each end; another cook's 10 s at 10-20 fits only where there is a gap of 10 s after the first ten.
    egg = dish("egg", egg=component("stove", step(length, on="ring", hands="ends"), keeps=600))
    salad = dish("salad", leaves=component("stove", step(20), keeps=600))
    of = question(kitchen(stove=1, ring=slots(1)), [egg, salad], course("6", egg=1), course("9", salad=1))
    starts = {"6/mains/egg/egg/1": [0], "9/mains/salad/leaves/1": [10]}
    assert rules(of, plan(of, {"6/mains": length, "9/mains": 30}, starts)) == broken


def test_a_step_may_have_its_own_handling() -> None:
    fish = dish("fish", fish=component("stove", step(60, on="ring", hands="start", handling=30), keeps=600))
    salad = dish("salad", leaves=component("stove", step(20), keeps=600))
    of = question(kitchen(stove=1, ring=slots(1)), [fish, salad], course("6", fish=1), course("9", salad=1))
    for start, broken in ((29, [6]), (30, [])):
        starts = {"6/mains/fish/fish/1": [0], "9/mains/salad/leaves/1": [start]}
        assert rules(of, plan(of, {"6/mains": 60, "9/mains": start + 20}, starts)) == broken


def test_loads_that_share_slots_are_handled_once_and_others_each() -> None:
    squid = dish("squid", rings=component("fry", step(90, on="fryer", fits=2), keeps=600))
    starts = {"6/mains/squid/rings/1": [0], "9/mains/squid/rings/1": [0]}
    of = question(kitchen(fry=1, fryer=slots(9)), [squid], course("6", squid=1), course("9", squid=1))
    assert rules(of, plan(of, {"6/mains": 90, "9/mains": 90}, starts)) == []
    # On a board nothing is shared.
    salad = dish("squid", rings=component("fry", step(90), keeps=600))
    of = question(kitchen(fry=1), [salad], course("6", squid=1), course("9", squid=1))
    assert rules(of, plan(of, {"6/mains": 90, "9/mains": 90}, starts)) == [6]


# Rule 7


@pytest.mark.parametrize(
    ("plates", "hands", "plating_s"),
    # ceil(n / h) * 40 s with h = min(hands at the pass, n)
    [(1, 2, 40), (2, 2, 40), (3, 2, 80), (4, 3, 80), (7, 2, 160), (3, 5, 40)],
)
def test_plating_takes_as_long_as_the_hands_at_the_pass_need(plates: int, hands: int, plating_s: int) -> None:
    salad = dish("salad", plating=40, leaves=component("cold", step(60), keeps=600))
    of = question(kitchen(cold=1, pass_hands=hands), [salad], course("6", salad=plates))
    answer = plan(of, {"6/mains": 60}, {"6/mains/salad/leaves/1": [0]})
    assert answer.courses[0].up_at == 60 + plating_s
    assert rules(of, answer) == []
    early = replace(answer, courses=(replace(answer.courses[0], up_at=59 + plating_s),))
    assert rules(of, early) == [7]


def test_the_longest_plating_among_the_dishes_counts() -> None:
    salad = dish("salad", plating=40, leaves=component("cold", step(60), keeps=600))
    tart = dish("tart", plating=90, tart=component("cold", step(60), keeps=600))
    of = question(kitchen(cold=2), [salad, tart], course("6", salad=1, tart=1))
    answer = plan(of, {"6/mains": 60}, {"6/mains/salad/leaves/1": [0], "6/mains/tart/tart/1": [0]})
    assert answer.courses[0].up_at == 150
    assert rules(of, replace(answer, courses=(replace(answer.courses[0], up_at=100),))) == [7]


@pytest.mark.parametrize(("second", "broken"), [(99, [7]), (100, [])])
def test_the_pass_has_no_more_hands_than_it_has(second: int, broken: list[int]) -> None:
    # Two plates each, two hands: the first is up at 60 + 40 = 100.
    salad = dish("salad", plating=40, leaves=component("cold", step(60), keeps=600))
    of = question(kitchen(cold=2), [salad], course("6", salad=2), course("9", salad=2))
    starts = {"6/mains/salad/leaves/1": [0], "9/mains/salad/leaves/1": [0]}
    assert rules(of, plan(of, {"6/mains": 60, "9/mains": second}, starts, targets={"9/mains": 60})) == broken


# Rule 8


@pytest.mark.parametrize(("landing", "broken"), [(299, [8]), (300, [])])
def test_a_course_with_a_time_does_not_land_before_it(landing: int, broken: list[int]) -> None:
    salad = dish("salad", leaves=component("cold", step(60), keeps=600))
    of = question(kitchen(cold=1), [salad], course("6", salad=1, land=at(300)))
    answer = plan(of, {"6/mains": landing}, {"6/mains/salad/leaves/1": [0]}, targets={"6/mains": 300})
    assert rules(of, answer) == broken


@pytest.mark.parametrize(("landing", "broken"), [(819, [8]), (820, [])])
def test_a_course_after_another_lands_no_earlier_than_its_gap_after_that_is_up(landing: int, broken: list[int]) -> None:
    # Starters land at 60, one plate of 40 s: up at 100; mains 12 minutes after: 820.
    salad = dish("salad", plating=40, leaves=component("cold", step(60), keeps=6000))
    of = question(
        kitchen(cold=1), [salad], course("6", "starters", salad=1), course("6", salad=1, land=after("starters", 720))
    )
    starts = {"6/starters/salad/leaves/1": [0], "6/mains/salad/leaves/1": [700]}
    answer = plan(of, {"6/starters": 60, "6/mains": landing}, starts, targets={"6/mains": 820})
    assert rules(of, answer) == broken


@pytest.mark.parametrize(("landing", "broken"), [(99, [8]), (100, [])])
def test_a_course_after_one_that_has_gone_counts_from_when_that_was_up(landing: int, broken: list[int]) -> None:
    salad = dish("salad", leaves=component("cold", step(60), keeps=600))
    of = question(kitchen(cold=1), [salad], course("6", salad=1, land=after("starters", 150)), up={"6/starters": -50})
    answer = plan(of, {"6/mains": landing}, {"6/mains/salad/leaves/1": [0]}, targets={"6/mains": 100})
    assert rules(of, answer) == broken


# Rule 9


def test_a_course_left_out_breaks_rule_9() -> None:
    of = good_question()
    answer = good_plan(of)
    assert rules(of, replace(answer, courses=())) == [9]
    assert rules(of, replace(answer, courses=(), steps=())) == [9]
    assert rules(of, replace(answer, courses=answer.courses * 2)) == [9]


def test_a_course_given_up_says_why_and_has_no_steps() -> None:
    of = good_question()
    given_up = plan(of, {}, {}, impossible=["6/mains"])
    assert breaks(of, given_up) == ()
    assert rules(of, replace(good_plan(of), courses=(), impossible=given_up.impossible)) == [9]
    assert rules(of, replace(given_up, impossible=(replace(given_up.impossible[0], why=""),))) == [9]


def test_a_course_that_nobody_ordered_breaks_rule_9() -> None:
    of = good_question()
    assert rules(replace(of, courses=()), good_plan(of)) == [9]


def test_a_plate_too_few_breaks_rule_9() -> None:
    of = question(KITCHEN, [HAKE], course("6", hake=3))
    short = good_plan(good_question())
    found = [each for each in breaks(of, short) if each.rule == 9]
    assert {each.where for each in found} >= {"6/mains/hake/fish", "6/mains/hake/leeks", "6/mains/hake/dressing"}


def test_a_component_left_out_breaks_rule_9() -> None:
    of = good_question()
    answer = good_plan(of)
    assert 9 in rules(of, replace(answer, steps=tuple(s for s in answer.steps if s.key.component != "leeks")))


def test_a_course_after_a_held_or_an_impossible_one_is_not_planned() -> None:
    salad = dish("salad", leaves=component("cold", step(60), keeps=600))
    of = question(kitchen(cold=1), [salad], course("6", salad=1, land=after("starters", 10)))
    assert rules(of, plan(of, {"6/mains": 60}, {"6/mains/salad/leaves/1": [0]})) == [9]


# What the plan says of itself


def test_the_cost_of_a_plan_is_what_its_lateness_and_its_waiting_make() -> None:
    # Two plates 400 s late: 2 * (300 + 3 * 100) = 1200.
    # Lands at 700, done at 660: dressing keeps 60 -> 2 * 40 * 0.2 = 16; fish keeps 120 -> 2 * 40 * 0.2 * 60 / 120 = 8;
    # leeks keep 240, done at 595, stand until the dressing starts at 635 -> 2 * 40 * 0.2 * 60 / 240 = 4.
    of = good_question()
    answer = good_plan(of, fish=360, leeks=475, dressing=635, landing=700)
    assert cost_of(of, answer).lateness == pytest.approx(1200)
    assert cost_of(of, answer).waiting == pytest.approx(28)
    assert breaks(of, answer) == ()


@pytest.mark.parametrize(("late", "cost"), [(299, 299), (300, 300), (301, 303)])
def test_seconds_beyond_five_minutes_late_count_three_times(late: int, cost: int) -> None:
    salad = dish("salad", leaves=component("cold", step(60), keeps=600))
    of = question(kitchen(cold=1), [salad], course("6", salad=1))
    answer = plan(of, {"6/mains": 60 + late}, {"6/mains/salad/leaves/1": [late]}, targets={"6/mains": 60})
    assert cost_of(of, answer).lateness == cost


@pytest.mark.parametrize(
    "wrong",
    [{"cost": 1.0}, {"bound": 1.0}, {"now": 5}],
)
def test_a_figure_that_does_not_add_up_is_found(wrong: dict[str, float]) -> None:
    of = good_question()
    found = breaks(of, replace(good_plan(of), **wrong))
    assert [each.rule for each in found] == [0]


@pytest.mark.parametrize("wrong", [{"late_s": 1}, {"target_at": 299}, {"target_at": 301}])
def test_a_wrong_target_or_lateness_is_found(wrong: dict[str, int]) -> None:
    of = question(KITCHEN, [HAKE], course("6", hake=2, target=300))
    answer = good_plan(of)
    found = breaks(of, with_cost(of, replace(answer, courses=(replace(answer.courses[0], **wrong),))))
    assert {each.rule for each in found} == {0}


def test_a_target_that_no_kitchen_could_meet_is_found() -> None:
    # The fish alone takes 300 s.
    of = good_question()
    answer = good_plan(of)
    wrong = replace(answer, courses=(replace(answer.courses[0], target_at=299, late_s=1),))
    assert [each.what for each in breaks(of, with_cost(of, wrong))] == [
        "the target is earlier than its food can be done"
    ]


def test_loads_are_numbered_on_from_those_that_were_lost() -> None:
    of = question(KITCHEN, [HAKE], course("6", hake=2, spent={("hake", "fish"): 1}))
    assert [each.rule for each in breaks(of, good_plan(of))] == [0]


def test_every_break_says_where_and_by_how_much() -> None:
    of = good_question(now=30)
    for each in breaks(of, good_plan(of, leeks=160, landing=500)):
        assert each.by >= 1
        assert each.where
        assert each.what


def test_steps_of_a_landed_course_are_those_that_began() -> None:
    salad = dish("salad", plating=40, leaves=component("cold", step(60), keeps=600))
    load = begun("salad/leaves/1", (0, 60), now=70)
    of = question(kitchen(cold=1), [salad], course("6", salad=1, landed=60, target=60, begun=[load]), now=70)
    assert breaks(of, plan(of, {"6/mains": 60}, {})) == ()
    assert [each.rule for each in breaks(of, plan(of, {"6/mains": 71}, {}))] == [0]


def test_the_answer_is_read_step_by_step_whatever_their_order() -> None:
    of = good_question()
    answer = good_plan(of)
    mixed: tuple[PlannedStep, ...] = tuple(reversed(answer.steps))
    assert breaks(of, replace(answer, steps=mixed)) == ()


def test_a_dish_that_the_book_does_not_have_is_named_and_not_stumbled_over() -> None:
    of = good_question()
    assert 9 in rules(replace(of, book={}), good_plan(of))
    assert breaks(replace(of, book={}), plan(of, {}, {}, impossible=["6/mains"])) == ()
    no_rings = of.kitchen.model_copy(update={"equipment": {"top": of.kitchen.equipment["top"]}})
    assert 9 in rules(replace(of, kitchen=no_rings), good_plan(of))
