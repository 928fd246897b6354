"""What people do today, simulated: real enough that only food standing too long is wrong with it."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from kitchen_timer.kitchen.dish import Dish
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.question import Question
from tests.bench.evenings import snapshot
from tests.bench.today import fire_on_order, stagger_each_table
from tests.builders import after, at, component, course, dish, kitchen, question, slots, step

Today = Callable[[Question], Answer]
TODAY: list[Today] = [fire_on_order, stagger_each_table]


@pytest.mark.parametrize("today", TODAY)
@pytest.mark.parametrize("number", [0, 2, 3])
def test_only_keeps_are_broken_when_nobody_looks_ahead(today: Today, number: int) -> None:
    for open_courses in (5, 20):
        of = snapshot(number, open_courses, seed=2)
        played = today(of)
        found = breaks(of, played)
        assert [str(each) for each in found if each.rule != 4 or "keeps" not in each.what] == []
        assert {course.key for course in played.courses} == {wanted.key for wanted in of.courses}


STEAK = dish(
    "steak",
    plating=0,
    meat=component("stove", step(300, on="pan"), keeps=60),
    sauce=component("cold", step(60), keeps=30),
)


def test_fired_on_order_everything_starts_when_the_order_is_in() -> None:
    of = question(kitchen(stove=1, cold=1, pan=slots(2)), [STEAK], course("6", steak=1, in_at=20))
    played = fire_on_order(of)
    assert {step.key.component: step.start_at for step in played.steps} == {"meat": 20, "sauce": 20}
    # Lands when the meat is done, 320; the sauce, done at 80, stands 240 s.
    assert played.courses[0].landing_at == 320
    assert [each.by for each in breaks(of, played)] == [240 - 30]


def test_staggered_the_table_ends_together() -> None:
    of = question(kitchen(stove=1, cold=1, pan=slots(2)), [STEAK], course("6", steak=1, in_at=20))
    played = stagger_each_table(of)
    assert {step.key.component: step.end_at for step in played.steps} == {"meat": 320, "sauce": 320}
    assert breaks(of, played) == ()


def test_a_table_staggered_alone_waits_for_the_pan_of_another_while_its_sauce_dies() -> None:
    of = question(kitchen(stove=1, cold=1, pan=slots(1)), [STEAK], course("6", steak=1), course("9", steak=1, in_at=60))
    played = stagger_each_table(of)
    # Table 9's meat finds the pan taken until 300 and is done at 600; its sauce, staggered for 360, stands 240 s.
    assert played.by_course[of.courses[1].key].landing_at == 600
    assert [(each.rule, each.by) for each in breaks(of, played)] == [(4, 240 - 30)]


def test_the_same_food_queued_for_one_slot_goes_in_together() -> None:
    squid = dish("squid", rings=component("fry", step(90, on="fryer", fits=2), keeps=600))
    of = question(kitchen(fry=1, fryer=slots(1)), [squid], course("6", squid=1), course("9", squid=1))
    assert {course.landing_at for course in fire_on_order(of).courses} == {90}


def test_a_course_wanted_at_a_time_is_called_so_long_before_as_it_takes() -> None:
    of = question(kitchen(stove=1, cold=1, pan=slots(2)), [STEAK], course("6", steak=1, land=at(1000)))
    for today in TODAY:
        played = today(of)
        assert played.courses[0].landing_at == 1000
        assert min(step.start_at for step in played.steps) == 700


def test_a_course_after_another_is_called_when_that_is_up() -> None:
    starter = replace_plating(STEAK, "starter", 40)
    of = question(
        kitchen(stove=1, cold=1, pan=slots(2)),
        [STEAK, starter],
        course("6", "starters", starter=1),
        course("6", steak=1, land=after("starters", 600)),
    )
    played = fire_on_order(of)
    # Starters land at 300 and are up at 340; mains not before 940, so called at 640.
    assert [course.landing_at for course in played.courses] == [300, 940]
    assert played.by_course[of.courses[1].key].target_at == 940
    assert min(step.start_at for step in played.steps if step.key.course == "mains") == 640


def replace_plating(of: Dish, name: str, plating_s: int) -> Dish:
    return of.model_copy(update={"dish": name, "plating_s": plating_s})


def test_both_are_the_same_every_time() -> None:
    of = snapshot(2, 10, seed=1)
    for today in TODAY:
        assert today(of) == today(replace(of))
