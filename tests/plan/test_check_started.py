"""Started food does not read the rules: what it forces is named and excused, what a planner could help is not."""

from dataclasses import replace

import pytest

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.question import Question, StepKey
from tests.builders import begun, component, course, dish, kitchen, plan, question, slots, step


def found(of: Question, answer: Answer) -> list[tuple[int, int, bool]]:
    """Rule, by how much, excused: of every break."""
    return [(each.rule, each.by, each.excused) for each in breaks(of, answer)]


STEAK = dish("steak", meat=component("meat", step(60, on="pan"), step(60, on="pan"), keeps=100))
MEAT = kitchen(meat=1, pan=slots(2))


def steak(now: int, *steps: tuple[int, int]) -> Question:
    load = begun("steak/meat/1", *steps, now=now)
    return question(MEAT, [STEAK], course("6", steak=1, target=120, begun=[load]), now=now)


def test_a_started_step_is_left_as_it_started() -> None:
    of = steak(30, (0, 60))
    assert found(of, plan(of, {"6/mains": 120}, {"6/mains/steak/meat/1": [60]})) == []


@pytest.mark.parametrize("change", [{"start_at": 1}, {"end_at": 61}, {"portions": 2}])
def test_a_started_step_that_is_moved_is_never_excused(change: dict[str, int]) -> None:
    of = steak(30, (0, 60))
    answer = plan(of, {"6/mains": 120}, {"6/mains/steak/meat/1": [60]})
    first = StepKey.read("6/mains/steak/meat/1/0")
    moved = replace(answer, steps=tuple(replace(s, **change) if s.key == first else s for s in answer.steps))
    assert found(of, moved) == [(0, 1, False)]


def test_a_started_load_left_out_is_never_excused() -> None:
    of = steak(30, (0, 60))
    answer = plan(of, {"6/mains": 120}, {"6/mains/steak/meat/1": [60]})
    assert (0, 1, False) in found(of, replace(answer, steps=answer.steps[1:]))
    assert (1, 1, False) in found(of, replace(answer, steps=answer.steps[:1]))


def test_a_load_cooked_twice_is_found() -> None:
    of = steak(30, (0, 60))
    answer = plan(of, {"6/mains": 240}, {"6/mains/steak/meat/1": [60], "6/mains/steak/meat/2": [120, 180]})
    assert (9, 1, False) in found(of, answer)


def test_a_wait_that_is_overrun_after_a_started_step_is_excused() -> None:
    # The turn was due at 60; it is 75 now.
    of = steak(75, (0, 60))
    assert found(of, plan(of, {"6/mains": 135}, {"6/mains/steak/meat/1": [75]})) == [(1, 15, True)]


def test_a_wait_between_two_steps_that_have_not_started_is_not_excused() -> None:
    three = dish("steak", meat=component("meat", step(60, on="pan"), step(60, on="pan"), step(60, on="pan"), keeps=100))
    of = question(MEAT, [three], course("6", steak=1, target=180, begun=[begun("steak/meat/1", (0, 60))]), now=30)
    answer = plan(of, {"6/mains": 190}, {"6/mains/steak/meat/1": [60, 130]})
    assert found(of, answer) == [(1, 10, False)]


def test_a_step_after_a_running_one_waits_for_its_expected_end() -> None:
    of = steak(90, (0, 100))
    assert found(of, plan(of, {"6/mains": 155}, {"6/mains/steak/meat/1": [95]})) == [(1, 5, False)]
    assert found(of, plan(of, {"6/mains": 160}, {"6/mains/steak/meat/1": [100]})) == []


SAUCE_AND_FISH = dish(
    "fish",
    sauce=component("stove", step(60), keeps=100),
    fish=component("grill", step(300), keeps=60),
)


def test_started_food_that_outlives_its_keeps_is_excused_and_the_rest_is_not() -> None:
    # The sauce was done at 60 and keeps 100 s; the fish takes 300 s from 100 on.
    load = begun("fish/sauce/1", (0, 60), now=100)
    k = kitchen(stove=1, grill=1)
    of = question(k, [SAUCE_AND_FISH], course("6", fish=1, target=300, begun=[load]), now=100)
    assert found(of, plan(of, {"6/mains": 400}, {"6/mains/fish/fish/1": [100]})) == [(4, 240, True)]
    assert found(of, plan(of, {"6/mains": 461}, {"6/mains/fish/fish/1": [100]})) == [(4, 301, True), (4, 1, False)]


DRESSED = dish(
    "leeks",
    leeks=component("stove", step(120), keeps=60),
    dressing=component("cold", step(20), keeps=60, after=["leeks"]),
)


def test_a_component_started_too_early_is_excused_and_one_planned_too_early_is_not() -> None:
    k = kitchen(stove=1, cold=1)
    early = question(k, [DRESSED], course("6", leeks=1, target=140, begun=[begun("leeks/dressing/1", (0, 20))]), now=10)
    assert found(early, plan(early, {"6/mains": 130}, {"6/mains/leeks/leeks/1": [10]})) == [
        (3, 130, True),
        (4, 50, True),
    ]
    late = question(k, [DRESSED], course("6", leeks=1, target=140, begun=[begun("leeks/leeks/1", (0, 120))]), now=10)
    assert found(late, plan(late, {"6/mains": 139}, {"6/mains/leeks/dressing/1": [119]})) == [(3, 1, False)]


def two_baskets(second: int) -> tuple[Question, Answer]:
    squid = dish("squid", rings=component("fry", step(90, on="fryer"), keeps=600))
    chips = dish("chips", chips=component("fry", step(90, on="fryer"), keeps=600))
    of = question(
        kitchen(fry=9, fryer=slots(1, recovery=60)),
        [squid, chips],
        course("6", squid=1, target=90, begun=[begun("squid/rings/1", (0, 90))]),
        course("9", chips=1, target=90, begun=[begun("chips/chips/1", (20, 110))]),
        course("12", chips=1, target=90),
        now=30,
    )
    landings = {"6/mains": 90, "9/mains": 110, "12/mains": second + 90}
    return of, plan(of, landings, {"12/mains/chips/chips/1": [second]})


def test_a_fryer_that_cooks_have_overfilled_is_excused_until_a_planned_load_makes_it_worse() -> None:
    # Two baskets hang in a fryer for one until 90, and recover until 170.
    of, answer = two_baskets(170)
    assert found(of, answer) == [(5, 1, True)]
    of, answer = two_baskets(169)
    assert found(of, answer) == [(5, 1, True), (5, 1, False)]


def test_the_oil_of_a_load_that_is_out_still_recovers() -> None:
    squid = dish("squid", rings=component("fry", step(90, on="fryer"), keeps=600))
    load = begun("squid/rings/1", (0, 90), now=100)
    of = question(
        kitchen(fry=1, fryer=slots(1, recovery=60)),
        [squid],
        course("6", squid=1, target=90, landed=90, begun=[load]),
        course("9", squid=1, target=90),
        now=100,
    )
    assert found(of, plan(of, {"6/mains": 90, "9/mains": 239}, {"9/mains/squid/rings/1": [149]})) == [(5, 1, False)]
    assert found(of, plan(of, {"6/mains": 90, "9/mains": 240}, {"9/mains/squid/rings/1": [150]})) == []


def test_a_load_that_waits_in_its_pan_still_takes_it() -> None:
    # Seared until 60, not turned yet at 100: the pan is taken until the turn at 110 and to its end at 170.
    slow = dish("steak", meat=component("meat", step(60, on="pan"), step(60, on="pan", may_wait=60), keeps=600))
    load = begun("steak/meat/1", (0, 60), now=100)
    of = question(
        kitchen(meat=9, pan=slots(1)),
        [slow],
        course("6", steak=1, target=120, begun=[load]),
        course("9", steak=1, target=120),
        now=100,
    )
    starts = {"6/mains/steak/meat/1": [110], "9/mains/steak/meat/1": [100, 170]}
    assert (5, 1, False) in found(of, plan(of, {"6/mains": 170, "9/mains": 230}, starts))
    starts = {"6/mains/steak/meat/1": [110], "9/mains/steak/meat/1": [170, 230]}
    assert found(of, plan(of, {"6/mains": 170, "9/mains": 290}, starts)) == []


def test_a_cook_busy_with_two_started_things_is_excused_and_a_third_is_not() -> None:
    salad = dish("salad", leaves=component("cold", step(60), keeps=600))
    of = question(
        kitchen(cold=1),
        [salad],
        course("6", salad=1, target=60, begun=[begun("salad/leaves/1", (0, 60))]),
        course("9", salad=1, target=60, begun=[begun("salad/leaves/1", (10, 70))]),
        course("12", salad=1, target=60),
        now=20,
    )
    landings = {"6/mains": 60, "9/mains": 70}
    third = {"12/mains/salad/leaves/1": [70]}
    assert found(of, plan(of, {**landings, "12/mains": 130}, third)) == [(6, 1, True)]
    third = {"12/mains/salad/leaves/1": [69]}
    assert found(of, plan(of, {**landings, "12/mains": 129}, third)) == [(6, 1, True), (6, 1, False)]


def test_what_is_over_asks_for_no_hands() -> None:
    # Two salads at once by one cook, an hour ago: nothing to say about it now.
    salad = dish("salad", leaves=component("cold", step(60), keeps=7200))
    load = begun("salad/leaves/1", (0, 60), now=3600)
    of = question(
        kitchen(cold=1),
        [salad],
        course("6", salad=1, target=60, landed=3000, begun=[load]),
        course("9", salad=1, target=60, begun=[load]),
        now=3600,
    )
    assert found(of, plan(of, {"6/mains": 3000, "9/mains": 3600}, {})) == []


def test_plating_of_what_has_landed_still_takes_hands() -> None:
    salad = dish("salad", plating=60, leaves=component("cold", step(60), keeps=600))
    load = begun("salad/leaves/1", (0, 60), now=80)
    of = question(
        kitchen(cold=1, pass_hands=1),
        [salad],
        course("6", salad=1, target=60, landed=70, begun=[load]),
        course("9", salad=1, target=60, begun=[load]),
        now=80,
    )
    assert found(of, plan(of, {"6/mains": 70, "9/mains": 129}, {})) == [(7, 1, False)]
    assert found(of, plan(of, {"6/mains": 70, "9/mains": 130}, {})) == []


def test_a_course_given_up_with_started_food_is_named_and_its_food_still_takes_its_place() -> None:
    squid = dish("squid", rings=component("fry", step(90, on="fryer"), keeps=600))
    of = question(
        kitchen(fry=1, fryer=slots(1)),
        [squid],
        course("6", squid=1, begun=[begun("squid/rings/1", (0, 90))]),
        course("9", squid=1, target=90),
        now=30,
    )
    answer = plan(of, {"9/mains": 120}, {"9/mains/squid/rings/1": [30]}, impossible=["6/mains"])
    without = replace(answer, steps=tuple(s for s in answer.steps if s.key.table == "9"))
    assert (5, 1, False) in found(of, without)
    assert (9, 1, True) in found(of, without)


def test_a_running_step_that_needs_hands_at_its_end_keeps_the_cook_for_the_lift() -> None:
    k = kitchen(fry=1, fryer=slots(1), rings=slots(1))
    squid = dish("squid", rings=component("fry", step(90, on="fryer"), keeps=600))
    salad = dish("salad", leaves=component("fry", step(20), keeps=600))
    of = question(
        k,
        [squid, salad],
        course("6", squid=1, target=90, begun=[begun("squid/rings/1", (0, 120))]),
        course("9", salad=1, target=20),
        now=100,
    )
    # Expected at 120, 30 s later than planned: the lift is at 110-120.
    assert found(of, plan(of, {"6/mains": 120, "9/mains": 131}, {"9/mains/salad/leaves/1": [111]})) == [(6, 1, False)]
    assert found(of, plan(of, {"6/mains": 120, "9/mains": 140}, {"9/mains/salad/leaves/1": [120]})) == []
