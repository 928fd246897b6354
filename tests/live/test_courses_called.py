"""Courses held, fired and sent, and what that leaves to others."""

import pytest

from kitchen_timer.kitchen.problems import NotNow
from kitchen_timer.kitchen.table import Asap, AtTime, Hold, Plate
from kitchen_timer.service.commands import (
    CourseAsked,
    FireCourse,
    HoldCourse,
    LandCourse,
    SendCourse,
    TakeOrder,
    Undo,
)
from tests import builders as b
from tests.live.tonight import START, Tonight

LEAVES = "6/mains/hake/leaves/1"


def test_a_held_course_is_not_planned_and_shows_what_it_would_get() -> None:
    tonight = Tonight()
    tonight.order("6", "mains", Hold(), hake=1)
    board = tonight.board()
    assert board.courses == ()
    assert [(held.id, held.landing_if_fired) for held in board.held] == [("6/mains", START + 300)]
    tonight.at(60).do(FireCourse("6/mains"))
    assert tonight.course("6/mains").landing_at == START + 360
    assert tonight.course("6/mains").late_s == 0
    assert tonight.board().held == ()


def test_what_had_started_goes_on_when_its_course_is_held() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(100)
    tonight.do(HoldCourse("6/mains"))
    tonight.cook_until(400)
    assert tonight.actions("cold") == ()
    assert tonight.actions("plancha") == ()  # turned, lifted and rested by itself
    with pytest.raises(NotNow, match="on hold"):
        tonight.start(f"{LEAVES}/0")
    tonight.do(FireCourse("6/mains"))
    # The fish is done; only the leaves are left.
    assert tonight.course("6/mains").landing_at == START + 420


def test_a_course_fired_with_food_on_is_behind_from_when_that_food_could_land() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(100)
    tonight.do(HoldCourse("6/mains"))
    tonight.cook_until(400)
    tonight.do(FireCourse("6/mains"))
    # The fish is done: leaves for 20 s from 400. From scratch it would be 300 s, and nobody would hurry until 700.
    assert (tonight.course("6/mains").target_at, tonight.course("6/mains").late_s) == (START + 420, 0)
    tonight.at(440)
    assert tonight.course("6/mains").late_s == 40, "the leaves are not started and could be"


def test_a_course_moved_to_a_time_keeps_that_time_as_its_target_with_food_on() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(100)
    tonight.do(LandCourse("6/mains", AtTime(at=START + 600)))
    assert tonight.course("6/mains").target_at == START + 600


def test_a_course_after_a_held_one_is_held_too_and_says_after_which() -> None:
    tonight = Tonight()
    starters = CourseAsked("starters", (Plate(dish="squid"),), Hold())
    mains = CourseAsked("mains", (Plate(dish="hake"),), b.after("starters", 600))
    tonight.do(TakeOrder("6", (starters, mains), allergies_asked=True))
    assert [(held.id, held.waits_for) for held in tonight.board().held] == [
        ("6/starters", ""),
        ("6/mains", "after starters"),
    ]
    tonight.do(FireCourse("6/starters"))
    board = tonight.board()
    # Squid: 90 s, up 10 s later; mains 600 s after that.
    assert [(course.id, course.landing_at - START) for course in board.courses] == [
        ("6/starters", 90),
        ("6/mains", 700),
    ]


def test_a_course_follows_the_sending_of_the_one_before_it() -> None:
    tonight = Tonight()
    starters = CourseAsked("starters", (Plate(dish="squid"),), Asap())
    mains = CourseAsked("mains", (Plate(dish="hake"),), b.after("starters", 600))
    tonight.do(TakeOrder("6", (starters, mains), allergies_asked=True))
    tonight.cook_until(120)
    tonight.do(SendCourse("6/starters"))
    assert tonight.course("6/mains").landing_at == START + 720


def test_sent_says_what_was_measured_and_can_be_taken_back() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(330)
    course = tonight.course("6/mains")
    ack = tonight.do(SendCourse("6/mains"))
    (sent,) = tonight.board().sent
    assert (sent.landed_at, sent.sent_at, sent.seq) == (START + 300, START + 330, ack.seq)
    assert (sent.spread_s, sent.late_s, sent.past_keeps) == (0, 0, 0)
    with pytest.raises(NotNow, match="went at 19:05"):
        tonight.do(SendCourse("6/mains"))
    tonight.do(Undo(ack.seq))
    assert tonight.board().sent == ()
    assert tonight.course("6/mains") == course


def test_the_chef_may_send_what_is_not_all_there() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(245)
    tonight.do(SendCourse("6/mains"))
    assert tonight.board().courses == ()
    assert tonight.actions("cold") == ()
    assert tonight.board().sent[0].landed_at == START + 245


def test_a_second_course_of_the_same_name_gets_a_number() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.order("6", squid=1)
    tonight.do(SendCourse("6/mains"))
    tonight.order("6", squid=1)
    assert {course.id for course in tonight.board().courses} == {"6/mains 2", "6/mains 3"}


def test_food_of_a_held_course_that_goes_on_keeps_its_place_from_other_tables() -> None:
    tonight = Tonight()
    tonight.order("6", hake=4)  # all four places of the top, from 0 to 240
    tonight.cook_until(10)
    tonight.do(HoldCourse("6/mains"))
    tonight.order("4", hake=1)
    starts = [action for action in tonight.actions("plancha") if "4" in action.tables and action.kind == "start"]
    assert (starts[0].do, starts[0].due_at) == ("Skin side down", START + 240)
    assert [action.do for action in tonight.actions("plancha") if action.tables == ("6",)] == ["Turn", "Lift"]
    assert [held.id for held in tonight.board().held] == ["6/mains"]
    assert tonight.planner.taken[-1]


def test_the_oil_recovers_also_when_the_course_has_gone() -> None:
    tonight = Tonight()
    tonight.order("6", squid=4)  # both baskets, lifted at 90: the oil is back at 150
    tonight.cook_until(95)
    tonight.do(SendCourse("6/mains"))
    tonight.order("4", squid=4)
    assert tonight.actions("fry")[0].due_at == START + 150
    tonight.cook_until(160)
    assert tonight.course("4/mains").landing_at == START + 240
