"""The way out where a course fits nowhere by itself: as it would be with the kitchen to itself."""

from kitchen_timer.plan.choose import plan_quickly
from tests.builders import component, course, dish, kitchen, question, slots, step


def test_a_load_that_comes_back_to_its_equipment_never_keeps_the_planner_waiting() -> None:
    """Alone it lands only if a load waits before it comes back, which the quick planner does not try: it says so."""
    stew = dish(
        "stew",
        pot=component(
            "stove",
            step(180, on="ring", hands="none"),
            step(90, hands="none", may_wait=60),
            step(150, on="ring", hands="none", may_wait=60),
            keeps=10,
        ),
        lid=component("stove", step(125, on="ring", hands="none"), keeps=180),
    )
    asked = question(kitchen(stove=1, ring=slots(1)), [stew], course("6", stew=1))
    answer = plan_quickly(asked)
    assert {course.key for course in (*answer.courses, *answer.impossible)} == {asked.courses[0].key}
