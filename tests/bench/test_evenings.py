"""The invented evenings that planners are measured on: possible, busy as they say, the same every time."""

from statistics import fmean

import pytest

from kitchen_timer.kitchen.table import After
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.choose import plan_quickly
from kitchen_timer.plan.question import Question
from kitchen_timer.plan.targets import alone_s
from tests.bench.evenings import LOAD, demand_s, events, snapshot, steps_a_course
from tests.bench.kitchens import GENERATED, LARGEST_TABLE, SKERRYMOOT, averages, kitchen_and_book, taken_s

NUMBERS = (SKERRYMOOT, *GENERATED[:3])


@pytest.mark.parametrize("number", GENERATED[:2])
def test_every_dish_of_a_generated_kitchen_lands_alone_for_one_to_six(number: int) -> None:
    of, book = kitchen_and_book(number)
    for name in book:
        for plates in range(1, LARGEST_TABLE + 1):
            assert alone_s(of, book, ((name, plates),)) is not None, (name, plates)


def test_courses_have_about_seventeen_steps_in_generated_kitchens() -> None:
    shots = [snapshot(number, 20, 1) for number in GENERATED[:4]]
    assert 14 <= steps_a_course(shots) <= 20


@pytest.mark.parametrize("number", NUMBERS)
def test_the_busiest_resource_is_taken_for_seven_tenths_of_the_time(number: int) -> None:
    # Orders come demand / LOAD apart, each takes the busiest resource for `demand` on average.
    shots = [snapshot(number, 40, seed) for seed in (1, 2)]
    taken = [taken_s(shot.kitchen, shot.book, w.portions) for shot in shots for w in shot.courses]
    apart_s = demand_s(number) / LOAD
    assert max(averages(taken).values()) / apart_s == pytest.approx(LOAD, rel=0.2)


@pytest.mark.parametrize("number", NUMBERS)
def test_the_same_numbers_give_the_same_moment(number: int) -> None:
    assert snapshot(number, 10, 3) == snapshot(number, 10, 3)
    assert snapshot(number, 10, 3).courses != snapshot(number, 10, 4).courses


def test_some_mains_follow_their_starters() -> None:
    lands = [w.land for number in NUMBERS for w in snapshot(number, 40, 1).courses]
    assert 0.05 < fmean(isinstance(land, After) for land in lands) < 0.4


def test_an_evening_goes_on_under_the_plan_that_is_running() -> None:
    asked: list[tuple[Question, Answer | None]] = []

    def planner(question: Question, previous: Answer | None) -> Answer:
        asked.append((question, previous))
        return plan_quickly(question, previous)

    happened = list(events(1, 8, 1, planner, 12))
    assert {event.what for event in happened} == {"order", "tap"}
    assert [question.now for question, _ in asked] == sorted({question.now for question, _ in asked})
    assert all(len(event.question.courses) == 8 for event in happened)
    for event in happened:
        begun = [(w.key, b) for w in event.question.courses for b in w.begun]
        for key, load in begun:
            planned = next(c for c in event.previous.courses if c.key == key)
            assert load.steps[0].start_at <= event.question.now, planned
        again = plan_quickly(event.question, event.previous)
        assert [str(each) for each in breaks(event.question, again) if not each.excused] == []
    assert any(w.begun for event in happened for w in event.question.courses)
    assert any(event.question.announced for event in happened)
