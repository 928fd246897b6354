"""A table that moves to another number takes all of its evening with it; two tables can be put together."""

import pytest

from kitchen_timer.kitchen.problems import BadMessage, NotNow, UnknownTable
from kitchen_timer.kitchen.table import Asap, AtTime, Hold, Plate
from kitchen_timer.service.commands import (
    CookAgain,
    CourseAsked,
    FinishSteps,
    GuestAway,
    GuestBack,
    MoveTable,
    SendCourse,
    SetCue,
    TakeOrder,
    Undo,
)
from tests import builders as b
from tests.live.tonight import START, Tonight


def test_a_moved_table_keeps_its_food_its_landing_and_its_cues() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1, squid=1)
    tonight.order("4", hake=1)
    tonight.cook_until(200)
    before = tonight.course("6/mains")
    ack = tonight.do(MoveTable("6", "9"))
    after = tonight.course("9/mains")
    assert after.landing_at == before.landing_at
    assert [(n.component, n.start_at, n.end_at, n.state) for n in after.notes] == [
        (n.component, n.start_at, n.end_at, n.state) for n in before.notes
    ]
    assert ("9",) in [action.tables for action in tonight.actions("plancha")]
    tonight.do(Undo(ack.seq))
    assert tonight.course("6/mains").notes == before.notes


def test_a_phone_that_knows_the_table_by_its_old_number_taps_the_right_food() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(100)
    tonight.do(MoveTable("6", "9"))
    tonight.at(180).start("6/mains/hake/fish/1/1")
    assert tonight.note("9/mains/hake/fish/1/1").state == "started"
    tonight.at(240).do(FinishSteps(("6/mains/hake/fish/1/1",)))
    tonight.cook_until(310)
    tonight.do(SendCourse("6/mains"))
    assert [sent.id for sent in tonight.board().sent] == ["9/mains"]


def test_new_guests_at_the_old_number_are_not_taken_for_those_who_left_it() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.do(MoveTable("6", "9"))
    tonight.order("6", hake=1)
    assert {course.id for course in tonight.board().courses} == {"9/mains", "6/mains 2"}


def test_a_table_that_moves_there_and_back_is_where_it_was() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(100)
    notes = tonight.course("6/mains").notes
    tonight.do(MoveTable("6", "9"))
    tonight.do(MoveTable("9", "6"))
    assert tonight.course("6/mains").notes == notes
    tonight.at(180).start("9/mains/hake/fish/1/1")
    assert tonight.note("6/mains/hake/fish/1/1").state == "started"


def test_a_course_to_come_still_follows_the_one_that_was_sent_at_the_old_number() -> None:
    tonight = Tonight()
    starters = CourseAsked("starters", (Plate(dish="squid"),), Asap())
    mains = CourseAsked("mains", (Plate(dish="hake"),), b.after("starters", 600))
    tonight.do(TakeOrder("6", (starters, mains), allergies_asked=True))
    tonight.cook_until(120)
    tonight.do(SendCourse("6/starters"))
    tonight.do(MoveTable("6", "9"))
    assert tonight.course("9/mains").landing_at == START + 720
    assert [sent.id for sent in tonight.board().sent] == ["9/starters"]


def test_what_the_chef_said_of_a_table_goes_with_it() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.do(SetCue("6/mains/hake/fish/1/0", START + 60))
    tonight.do(MoveTable("6", "9"))
    assert tonight.note("9/mains/hake/fish/1/0").start_at == START + 60
    tonight.do(GuestAway("9"))
    tonight.do(MoveTable("9", "6"))
    assert tonight.board().held[0].waits_for == "the guest is away"
    tonight.do(GuestBack("6"))
    assert tonight.course("6/mains").landing_at == START + 360


def test_a_table_that_is_taken_is_not_moved_onto_unless_the_two_are_put_together() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.order("9", hake=1)
    with pytest.raises(NotNow, match=r"Table 9 has mains open. Put the two together"):
        tonight.do(MoveTable("6", "9"))
    with pytest.raises(BadMessage):
        tonight.do(MoveTable("6", "6"))
    with pytest.raises(UnknownTable, match="Table 2 has nothing open"):
        tonight.do(MoveTable("2", "3"))


def test_two_tables_put_together_land_together_and_no_food_of_either_is_lost() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(60)
    tonight.order("9", hake=2, squid=1)
    tonight.cook_until(80)
    ack = tonight.do(MoveTable("6", "9", merge=True))
    (course,) = tonight.board().courses
    assert (course.id, course.plates) == ("9/mains", 4)
    fish = {
        n.load_id: (n.portions, n.state) for n in course.notes if n.component == "fish" and n.do == "Skin side down"
    }
    assert sorted(portions for portions, _ in fish.values()) == [1, 2]
    assert {state for _, state in fish.values()} == {"started"}
    tonight.cook_until(600)
    assert tonight.course("9/mains").at_pass
    with pytest.raises(NotNow, match=r"has been worked on since. Move the table back instead"):
        tonight.do(Undo(ack.seq))


@pytest.mark.parametrize(("plates", "courses"), [(50, ["9/mains"]), (51, ["9/mains", "9/mains 2"])])
def test_two_courses_of_too_many_plates_stay_two(plates: int, courses: list[str]) -> None:
    tonight = Tonight()
    tonight.order("6", "mains", Hold(), squid=plates)
    tonight.order("9", "mains", Hold(), squid=50)
    tonight.do(MoveTable("6", "9", merge=True))
    assert sorted(held.id for held in tonight.board().held) == courses


def test_putting_together_is_taken_back_while_nobody_has_worked_on_it() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.order("9", squid=1)
    courses = {course.id: course.notes for course in tonight.board().courses}
    ack = tonight.do(MoveTable("6", "9", merge=True))
    tonight.do(Undo(ack.seq))
    assert {course.id: course.notes for course in tonight.board().courses} == courses


def test_a_course_at_the_pass_is_not_made_one_with_one_that_cooks() -> None:
    tonight = Tonight()
    tonight.order("6", squid=1)
    tonight.cook_until(100)
    tonight.order("9", squid=1)
    tonight.do(MoveTable("6", "9", merge=True))
    assert {course.id: course.at_pass for course in tonight.board().courses} == {"9/mains": False, "9/mains 2": True}


def test_a_moved_evening_is_the_same_after_a_restart() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.order("9", "mains", AtTime(at=START + 900), hake=1)
    tonight.cook_until(200)
    tonight.do(CookAgain("6/mains/hake/fish/1"))
    tonight.do(MoveTable("6", "9", merge=True))
    tonight.at(230)
    board = tonight.board()
    assert tonight.restart().pass_board() == board
