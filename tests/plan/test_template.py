"""The way out where a course fits nowhere by itself: as it would be with the kitchen to itself."""

from kitchen_timer.plan.choose import plan_quickly
from kitchen_timer.plan.jobs import job_of
from kitchen_timer.plan.patterns import Patterns
from kitchen_timer.plan.targets import alone_s, least_s, question_of
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


def test_no_course_lands_sooner_than_its_busiest_resource_allows() -> None:
    # Three things that take the one cook 60 s each: 180 s, although none takes longer than 60 s. With a broth that he
    # has to pour for 20 s besides: 200 s.
    made = {
        name: component("stove", step(60, hands="all"), keeps=600, name=name.capitalize())
        for name in ("beans", "peas", "leeks")
    }
    broth = component("stove", step(100, on="ring", hands="none"), step(20, hands="all"), keeps=600, name="Broth")
    house = kitchen(stove=1, ring=slots(1))
    for each, least in ((dish("plain", **made), 180), (dish("soup", broth=broth, **made), 200)):
        patterns = Patterns(house, {each.dish: each})
        asked = question_of(patterns, ((each.dish, 1),))
        assert least_s(job_of(asked, patterns, asked.courses[0], 0, None), patterns) == least
        assert alone_s(house, patterns.book, ((each.dish, 1),)) == least


def test_what_may_share_slots_is_counted_by_what_it_fills() -> None:
    # Five portions fill two and a half baskets of two: 2.5 x 90 s over two baskets, which is 112.5 s. They take two
    # goes of 90 s.
    squid = dish("squid", rings=component("fry", step(90, on="fryer", fits=2, handling=0), keeps=600, name="Squid"))
    patterns = Patterns(kitchen(fry=1, fryer=slots(2)), {"squid": squid})
    asked = question_of(patterns, (("squid", 5),))
    assert least_s(job_of(asked, patterns, asked.courses[0], 0, None), patterns) == 113
    assert alone_s(patterns.kitchen, patterns.book, (("squid", 5),)) == 180
