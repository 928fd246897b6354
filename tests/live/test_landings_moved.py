"""Landings that the chef moves: pushed, brought forward, of his own, on the fly; guests who leave; fired when sent."""

import pytest

from kitchen_timer.kitchen.problems import BadMessage, NotNow, UnknownTable
from kitchen_timer.kitchen.seconds import Seconds
from kitchen_timer.kitchen.table import After, Asap, AtTime, Hold, Plate
from kitchen_timer.service.commands import (
    CourseAsked,
    FireCourse,
    GuestAway,
    GuestBack,
    LandCourse,
    MoveCourse,
    OnTheFly,
    SendCourse,
    TakeOrder,
    Undo,
)
from tests import builders as b
from tests.live.tonight import START, Tonight

FISH = "6/mains/hake/fish/1"


def test_a_pushed_course_lands_so_much_later_and_starts_so_much_later() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)  # 300 s
    ack = tonight.do(MoveCourse("6/mains", 120))
    course = tonight.course("6/mains")
    assert (course.landing_at, course.target_at, course.late_s) == (START + 420, START + 420, 0)
    assert tonight.note(f"{FISH}/0").start_at == START + 120
    tonight.do(Undo(ack.seq))
    assert tonight.course("6/mains").landing_at == START + 300


def test_a_push_leaves_alone_what_has_started_and_asks_about_what_would_die() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(250)
    tonight.do(MoveCourse("6/mains", 300))
    assert tonight.note(f"{FISH}/0").start_at == START
    assert tonight.course("6/mains").landing_at == START + 600
    # Ready at 300, it would stand 300 s and keeps 120.
    (question,) = tonight.board().questions
    assert (question.kind, question.loads) == ("dying", (FISH,))
    assert question.words == "Table 6's Hake would stand 5:00 and keeps 2:00. Cook it again too?"


def test_a_course_wanted_at_a_time_is_brought_forward() -> None:
    tonight = Tonight()
    tonight.order("6", "mains", AtTime(at=START + 900), hake=1)
    tonight.do(MoveCourse("6/mains", -300))
    assert tonight.course("6/mains").landing_at == START + 600
    # Brought forward beyond now it comes as soon as it can.
    tonight.do(MoveCourse("6/mains", -900))
    assert tonight.course("6/mains").landing_at == START + 300


def test_what_comes_as_soon_as_it_can_is_not_brought_forward_but_called_on_the_fly() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    with pytest.raises(NotNow, match=r"as soon as it can already. Call it on the fly"):
        tonight.do(MoveCourse("6/mains", -60))
    with pytest.raises(BadMessage):
        tonight.do(MoveCourse("6/mains", 0))


@pytest.mark.parametrize(("wanted", "fine"), [(-1, False), (0, True), (1, True)])
def test_the_chefs_own_landing_is_refused_from_the_second_after_it_has_passed(wanted: int, fine: bool) -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.at(30)
    land = LandCourse("6/mains", AtTime(at=START + 30 + wanted))
    if fine:
        tonight.do(land)
    else:
        with pytest.raises(NotNow, match=r"19:00 has passed. Fire it"):
            tonight.do(land)


def test_a_held_course_is_called_with_a_landing_of_its_own() -> None:
    tonight = Tonight()
    tonight.order("6", "mains", Hold(), hake=1)
    tonight.do(LandCourse("6/mains", AtTime(at=START + 800)))
    assert tonight.course("6/mains").landing_at == START + 800
    tonight.do(LandCourse("6/mains", Hold()))
    assert [held.id for held in tonight.board().held] == ["6/mains"]
    with pytest.raises(NotNow, match=r"on hold. Fire it, or give it a landing"):
        tonight.do(MoveCourse("6/mains", 60))


def test_a_course_lands_after_another_by_the_chefs_word_but_not_in_a_circle() -> None:
    tonight = Tonight()
    tonight.order("6", "starters", squid=1)  # 90 s, up at 100
    tonight.order("6", hake=1)
    tonight.do(LandCourse("6/mains", b.after("Starters", 300)))
    assert tonight.course("6/mains").landing_at == START + 400
    with pytest.raises(NotNow, match="comes after starters itself"):
        tonight.do(LandCourse("6/starters", b.after("mains")))
    with pytest.raises(UnknownTable, match=r"no other course called puddings. Name one that it has: starters"):
        tonight.do(LandCourse("6/mains", b.after("puddings")))


def test_on_the_fly_goes_before_the_others() -> None:
    tonight = Tonight()
    tonight.order("4", squid=4)  # both baskets of the fryer: 0 to 90, and the oil until 150
    tonight.order("6", squid=2)
    assert tonight.course("4/mains").landing_at < tonight.course("6/mains").landing_at
    ack = tonight.do(OnTheFly("6/mains"))
    assert tonight.course("6/mains").urgent
    assert tonight.course("6/mains").landing_at == START + 90
    assert tonight.course("4/mains").landing_at > START + 90
    with pytest.raises(NotNow, match="on the fly already"):
        tonight.do(OnTheFly("6/mains"))
    tonight.do(Undo(ack.seq))
    assert not tonight.course("6/mains").urgent


def test_on_the_fly_calls_what_is_held_and_is_late_from_the_call_on() -> None:
    tonight = Tonight()
    tonight.order("6", "mains", Hold(), hake=1)
    tonight.at(60).do(OnTheFly("6/mains"))
    course = tonight.course("6/mains")
    # Wanted at once: 300 s of cooking are 300 s late.
    assert (course.landing_at, course.target_at, course.late_s) == (START + 360, START + 60, 300)


def test_while_a_guest_is_away_nothing_more_is_started() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.order("4", "mains", AtTime(at=START + 900), hake=1)
    tonight.cook_until(100)
    tonight.do(GuestAway("6"))
    (held,) = tonight.board().held
    assert (held.id, held.waits_for, held.away_since) == ("6/mains", "the guest is away", START + 100)
    tonight.cook_until(320)
    assert {action.tables for action in tonight.actions("cold")} == {("4",)}
    with pytest.raises(NotNow, match=r"guest is away: nothing more of its mains is to be started. Say that"):
        tonight.start("6/mains/hake/leaves/1/0")
    with pytest.raises(NotNow, match="Say that the guest is back first"):
        tonight.do(FireCourse("6/mains"))
    tonight.do(GuestBack("6"))
    # The fish has stood since 300; leaves of 20 s from 320.
    assert tonight.course("6/mains").landing_at == START + 340


def test_a_time_that_was_wanted_is_wanted_later_by_as_long_as_the_guest_was_away() -> None:
    tonight = Tonight()
    tonight.order("6", "mains", AtTime(at=START + 900), hake=1)
    tonight.at(60).do(GuestAway("6"))
    back = tonight.at(300).do(GuestBack("6"))
    assert tonight.course("6/mains").landing_at == START + 1140  # 900 + 240
    tonight.do(Undo(back.seq))
    assert tonight.board().courses == ()


def test_a_course_at_the_pass_stays_there_while_its_guest_is_away_and_says_so() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(305)
    tonight.do(GuestAway("6"))
    assert tonight.course("6/mains").at_pass
    assert tonight.course("6/mains").away_since == START + 305
    assert any("its guest is away" in words for words in tonight.board().trouble)
    tonight.do(SendCourse("6/mains"))
    assert tonight.board().trouble == ()


def test_nobody_is_away_twice_and_nobody_comes_back_who_was_not_away() -> None:
    tonight = Tonight()
    with pytest.raises(UnknownTable, match="Table 6 has nothing open"):
        tonight.do(GuestAway("6"))
    tonight.order("6", hake=1)
    with pytest.raises(NotNow, match="Nobody said that table 6's guest was away"):
        tonight.do(GuestBack("6"))
    tonight.do(GuestAway("6"))
    with pytest.raises(NotNow, match="away since 19:00"):
        tonight.do(GuestAway("6"))


@pytest.mark.parametrize("sent_at", [119, 120, 121])
def test_a_course_fired_by_the_sending_of_the_one_before_is_held_until_that_second(sent_at: int) -> None:
    tonight = Tonight()
    starters = CourseAsked("starters", (Plate(dish="squid"),), Asap())
    land = After(after="starters", gap_s=Seconds(400), fired="sent")
    tonight.do(TakeOrder("6", (starters, CourseAsked("mains", (Plate(dish="hake"),), land)), allergies_asked=True))
    assert [(held.id, held.waits_for) for held in tonight.board().held] == [("6/mains", "after starters")]
    tonight.cook_until(sent_at)
    ack = tonight.do(SendCourse("6/starters"))
    assert tonight.course("6/mains").landing_at == START + sent_at + 400
    tonight.do(Undo(ack.seq))
    assert [held.id for held in tonight.board().held] == ["6/mains"]
