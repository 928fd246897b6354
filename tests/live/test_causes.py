"""What late courses wait for comes with the plan, from the planner's own processes."""

from dataclasses import replace

from kitchen_timer.live.causes import with_causes
from kitchen_timer.live.replan import ProcessPlanner
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.choose import plan_quickly
from kitchen_timer.plan.question import CourseKey, Question
from tests.builders import component, course, dish, kitchen, question, step
from tests.live.test_aside import three_eggs

EGG = dish("egg", egg=component("plancha", step(100), keeps=60, name="Egg"))

FOUR, SIX, NINE = CourseKey("4", "mains"), CourseKey("6", "mains"), CourseKey("9", "mains")
BY_FOUR = "Plancha: the cook is busy with table 4's egg until 00:01:40"


def three_tables() -> Question:
    return question(kitchen(plancha=1), [EGG], *(course(table, in_at=i - 9, egg=1) for i, table in enumerate("469")))


def test_a_plan_at_once_brings_its_causes_from_its_process() -> None:
    planner = ProcessPlanner()
    planner.start()
    try:
        answer = planner.answer_now(three_tables(), None)
        assert answer.causes is not None
        assert answer.causes[SIX] == BY_FOUR
    finally:
        planner.close()


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
