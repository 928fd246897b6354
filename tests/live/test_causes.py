"""What late courses wait for comes with the plan, from the planner's own processes."""

import threading
from collections.abc import Iterator
from dataclasses import replace

import pytest

from kitchen_timer.live.causes import still_said, with_causes
from kitchen_timer.live.ranges import with_ranges
from kitchen_timer.live.replan import ProcessPlanner
from kitchen_timer.plan.answer import Answer, LandingRange
from kitchen_timer.plan.choose import plan_quickly
from kitchen_timer.plan.question import CourseKey, Question
from tests.builders import component, course, dish, kitchen, question, step
from tests.live.test_aside import three_eggs

EGG = dish("egg", egg=component("plancha", step(100), keeps=60, name="Egg"))

FOUR, SIX, NINE = CourseKey("4", "mains"), CourseKey("6", "mains"), CourseKey("9", "mains")
BY_FOUR = "Plancha: the cook is busy with table 4's egg until 00:01:40"


def three_tables() -> Question:
    return question(kitchen(plancha=1), [EGG], *(course(table, in_at=i - 9, egg=1) for i, table in enumerate("469")))


@pytest.fixture(scope="module")
def planner() -> Iterator[ProcessPlanner]:
    each = ProcessPlanner()
    each.start()
    yield each
    each.close()


def test_a_quote_brings_its_causes_and_ranges_from_the_planners_process(planner: ProcessPlanner) -> None:
    answer = planner.answer_now(three_tables(), None)
    assert answer.causes is not None
    assert answer.causes[SIX] == BY_FOUR
    assert set(answer.ranges or {}) == {FOUR, SIX, NINE}


def test_a_plan_goes_out_at_once_and_its_causes_and_ranges_follow_for_the_same_plan(planner: ProcessPlanner) -> None:
    heard: list[Answer] = []
    said = threading.Event()

    def adopt(token: int, answer: Answer, improving: bool) -> bool:
        heard.append(answer)
        if len(heard) > 1:
            said.set()
        return True

    planner.ask(1, three_tables(), None, adopt)
    assert said.wait(30)
    first, second = heard[:2]
    assert (first.causes, first.ranges) == ({}, {})
    assert second.by_step == first.by_step
    assert second.causes is not None
    assert second.causes[SIX] == BY_FOUR
    assert set(second.ranges or {}) == {FOUR, SIX, NINE}


def test_until_a_plan_has_words_of_its_own_those_of_courses_that_have_not_moved_stay() -> None:
    asked = three_tables()
    plan = plan_quickly(asked)
    ranges = dict.fromkeys((FOUR, SIX, NINE), LandingRange(1, 2, 3, 4))
    moved = tuple(replace(c, landing_at=c.landing_at - 1) if c.key == NINE else c for c in plan.courses)
    before = replace(plan, courses=moved, causes=dict.fromkeys((FOUR, SIX, NINE), "said before"), ranges=ranges)
    found = still_said(plan, before)
    assert found.causes == {SIX: "said before"}  # four is on time now: nothing holds it
    assert set(found.ranges or {}) == {FOUR, SIX}
    assert still_said(plan, None).causes == {}


def test_where_time_runs_out_the_causes_of_the_plan_before_stand_in_for_courses_that_have_not_moved() -> None:
    asked = three_tables()
    before = replace(plan_quickly(asked), causes=dict.fromkeys((FOUR, SIX, NINE), "said before"))
    found = with_causes(asked, plan_quickly(asked), lambda: True, before)
    assert found.causes == {SIX: BY_FOUR, NINE: "said before"}


def test_causes_that_come_after_their_plan_are_shown_all_the_same() -> None:
    tonight = three_eggs()
    plan: list[Answer] = []
    tonight.planner.tamper = lambda answer: plan.append(replace(answer, causes={})) or plan[-1]  # type: ignore[func-returns-value]
    tonight.order("12", "starters", egg=1)
    assert tonight.course("9/starters").cause == ""
    token, asked = tonight.planner.asked[-1]
    assert tonight.engine.adopt(token, with_causes(asked, plan[-1]), False)
    assert tonight.course("9/starters").cause == "Plancha: the cook is busy with table 6's egg until 19:03:20"


def test_words_that_come_late_for_an_older_plan_are_never_shown() -> None:
    tonight = three_eggs()
    plan: list[Answer] = []
    tonight.planner.tamper = lambda answer: plan.append(replace(answer, causes={})) or plan[-1]  # type: ignore[func-returns-value]
    tonight.order("12", "starters", egg=1)
    token, asked = tonight.planner.asked[-1]
    late = replace(with_ranges(asked, plan[-1]), causes={CourseKey("9", "starters"): "late words"})
    tonight.order("13", "starters", egg=1)  # another plan stands now
    assert not tonight.engine.adopt(token, late, False)
    newest, _ = tonight.planner.asked[-1]
    tonight.engine.adopt(newest, late, False)  # even taken for an answer to the newest question: it is another plan
    assert tonight.course("9/starters").cause == ""
    assert tonight.course("9/starters").promised_at is None


def test_ranges_that_come_after_their_plan_are_shown_all_the_same() -> None:
    tonight = three_eggs()
    plan: list[Answer] = []
    tonight.planner.tamper = lambda answer: plan.append(replace(answer, causes={})) or plan[-1]  # type: ignore[func-returns-value]
    tonight.order("12", "starters", egg=1)
    assert tonight.course("12/starters").promised_at is None
    token, asked = tonight.planner.asked[-1]
    assert tonight.engine.adopt(token, with_ranges(asked, plan[-1]), False)
    course = tonight.course("12/starters")
    assert course.promised_at is not None
    assert course.promised_at >= course.landing_at
