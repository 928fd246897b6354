"""A course that can never be made: which rule stops it and what would help; the others are planned."""

from kitchen_timer.plan.answer import Impossible
from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.choose import plan_quickly
from kitchen_timer.plan.question import Question
from tests.builders import after, component, course, dish, kitchen, question, slots, step

SQUID = dish("squid", rings=component("fry", step(90, on="fryer", fits=2), keeps=60, name="Squid"))
KITCHEN = kitchen(fry=1, cold=0, stove=1, fryer=slots(2, recovery=60))


def impossible(asked: Question) -> dict[str, Impossible]:
    answer = plan_quickly(asked)
    assert breaks(asked, answer) == ()
    return {str(each.key): each for each in answer.impossible}


def test_more_portions_than_the_kitchen_can_hold_inside_their_keeps() -> None:
    # Two baskets of two: 9 portions are 3 loads, each 90 + 60 s apart, and squid keeps 60 s.
    # Four at once fit; 9 at once need ceil(9 / 2) = 5 baskets.
    found = impossible(question(KITCHEN, [SQUID], course("6", squid=9), course("9", squid=2)))
    assert set(found) == {"6/mains"}
    assert found["6/mains"].rule == 5
    assert found["6/mains"].why == (
        "9 squid need 3 loads in the fryer, which recovers 60 s, and the first would stand too long (keeps 60 s)"
    )
    assert found["6/mains"].would_help == ("5 places in the fryer instead of 2 or no more than 4 plates of it at once")


def test_nobody_stands_at_the_station() -> None:
    leaves = dish("leaves", leaves=component("cold", step(20), name="Leaves"))
    found = impossible(question(KITCHEN, [leaves], course("6", leaves=1)))
    assert (found["6/mains"].rule, found["6/mains"].would_help) == (6, "a cook at Cold")


def test_one_cook_cannot_finish_two_things_at_once() -> None:
    # Both by hand, both keep nothing: whichever is first is dead when the other is done.
    both = dish(
        "both",
        sauce=component("stove", step(60), keeps=0, name="Sauce"),
        foam=component("stove", step(30), keeps=0, name="Foam"),
    )
    found = impossible(question(KITCHEN, [both], course("6", both=1)))
    assert found["6/mains"].rule == 6
    assert found["6/mains"].why == (
        "Stove has 1 cook: sauce (keeps 0 s) and the rest cannot all be done that close together"
    )
    assert "one more cook at Stove" in found["6/mains"].would_help


def test_a_dish_that_is_not_in_the_book_crashes_nothing() -> None:
    found = impossible(question(KITCHEN, [SQUID], course("6", nope=1), course("9", squid=2)))
    assert found["6/mains"].why == "the book has no dish 'nope'"


def test_a_course_after_one_that_is_impossible_or_held_is_impossible_too() -> None:
    asked = question(
        KITCHEN,
        [SQUID],
        course("6", "starters", squid=9),
        course("6", "mains", land=after("starters", 60), squid=1),
        course("6", "desserts", land=after("mains", 60), squid=1),
        course("9", land=after("starters", 60), squid=1),
    )
    found = impossible(asked)
    assert set(found) == {"6/starters", "6/mains", "6/desserts", "9/mains"}
    assert found["6/mains"].why == "it lands after starters, which cannot be made"
    assert found["9/mains"].why == "it lands after starters, which is not planned"


def test_courses_that_wait_for_each_other_are_impossible() -> None:
    asked = question(
        KITCHEN, [SQUID], course("6", "a", land=after("b"), squid=1), course("6", "b", land=after("a"), squid=1)
    )
    assert set(impossible(asked)) == {"6/a", "6/b"}
