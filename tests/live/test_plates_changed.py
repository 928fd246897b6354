"""Plates added, changed and taken off while they cook; allergies told late. What has started stays, or is spare."""

import pytest

from kitchen_timer.kitchen.problems import AllergiesNotAsked, BadMessage, NotNow, UnknownDish, UnknownTable
from kitchen_timer.kitchen.table import Asap, Plate
from kitchen_timer.service.commands import (
    AddPlates,
    AnswerAgain,
    ChangePlate,
    CookAgain,
    CourseAsked,
    GiveLoad,
    SendCourse,
    TakeOff,
    TakeOffCourse,
    TakeOrder,
    TellAllergy,
    Undo,
)
from tests import builders as b
from tests.live.tonight import START, Tonight

FISH = "6/mains/hake/fish/1"
RINGS = "6/mains/squid/rings/1"
HAKE, SQUID = Plate(dish="hake"), Plate(dish="squid")


def portions(tonight: Tonight, course_id: str) -> dict[str, tuple[int, int]]:
    """Of every load, its portions and how many of them are spare."""
    return {n.load_id: (n.portions, n.spare) for n in tonight.course(course_id).notes if n.last}


def test_a_plate_is_added_while_the_others_cook() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(100)
    ack = tonight.do(AddPlates("6/mains", (HAKE, SQUID), allergies_asked=True))
    assert tonight.course("6/mains").plates == 3
    assert portions(tonight, "6/mains")[FISH] == (1, 0)
    # A second fish from 100: 300 s.
    assert tonight.course("6/mains").landing_at == START + 400
    tonight.do(Undo(ack.seq))
    assert tonight.course("6/mains").plates == 1
    assert tonight.course("6/mains").landing_at == START + 300


def test_plates_are_added_only_with_allergies_asked_for_and_from_the_book() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    with pytest.raises(AllergiesNotAsked):
        tonight.do(AddPlates("6/mains", (HAKE,), allergies_asked=False))
    with pytest.raises(BadMessage, match="Nothing was changed"):
        tonight.do(AddPlates("6/mains", (), allergies_asked=True))
    with pytest.raises(UnknownDish, match=r"plates\[1\].dish"):
        tonight.do(AddPlates("6/mains", (HAKE, Plate(dish="eel")), allergies_asked=True))


def test_a_plate_that_changes_its_dish_leaves_what_has_started_spare() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1, squid=1)
    tonight.cook_until(230)  # the squid is in the oil from 210
    tonight.do(ChangePlate("6/mains", SQUID, HAKE))
    assert portions(tonight, "6/mains")[RINGS] == (1, 1)
    (spare,) = tonight.board().spare
    assert (spare.load, spare.component_name, spare.portions, spare.wanted_by) == (RINGS, "Squid", 1, ())
    # It goes on and is lifted, and the course does not wait for it: a second fish as soon as the first is lifted.
    assert tonight.course("6/mains").landing_at == START + 540
    assert "Lift" in [action.do for action in tonight.actions("fry")]
    tonight.order("4", squid=1)
    assert tonight.board().spare[0].wanted_by == ("4/mains",)
    tonight.do(GiveLoad(RINGS, "4/mains"))
    assert tonight.board().spare == ()
    assert tonight.course("4/mains").landing_at <= START + 390  # ready at 300, keeps 90


def test_begun_portions_go_to_the_plates_that_are_left() -> None:
    tonight = Tonight()
    tonight.order("6", hake=3)
    tonight.cook_until(100)
    tonight.do(TakeOff("6/mains", (HAKE,)))
    assert portions(tonight, "6/mains")[FISH] == (3, 1)
    assert tonight.course("6/mains").landing_at == START + 300
    # Ordered again, it is cooking already.
    tonight.do(AddPlates("6/mains", (HAKE,), allergies_asked=True))
    assert portions(tonight, "6/mains")[FISH] == (3, 0)
    assert tonight.course("6/mains").landing_at == START + 300


def test_a_course_with_a_plate_less_lands_when_the_others_are_done() -> None:
    tonight = Tonight()
    tonight.order("6", hake=2, squid=1)
    tonight.cook_until(250)
    tonight.do(TakeOff("6/mains", (SQUID,)))
    tonight.cook_until(320)
    course = tonight.course("6/mains")
    assert (course.at_pass, course.plates) == (True, 2)
    assert not any("Squid" in line.words for line in course.checks)


def test_a_course_that_is_taken_off_before_anything_began_is_gone() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    ack = tonight.do(TakeOffCourse("6/mains"))
    board = tonight.board()
    assert (board.courses, board.held, board.spare) == ((), (), ())
    assert tonight.actions("plancha") == ()
    tonight.do(Undo(ack.seq))
    assert tonight.course("6/mains").landing_at == START + 300


def test_what_had_started_of_a_course_that_is_taken_off_goes_on_and_is_given_away() -> None:
    tonight = Tonight()
    tonight.order("6", hake=2)
    tonight.cook_until(100)
    tonight.do(TakeOff("6/mains", (Plate(dish="hake", qty=2),)))
    board = tonight.board()
    assert (board.courses, board.held) == ((), ())
    assert [(spare.load, spare.portions) for spare in board.spare] == [(FISH, 2)]
    assert [action.do for action in tonight.actions("plancha")][:1] == ["Turn"]
    with pytest.raises(NotNow, match=r"was taken off. Order it anew"):
        tonight.do(SendCourse("6/mains"))
    tonight.order("4", hake=1)
    tonight.do(GiveLoad(FISH, "4/mains"))
    assert tonight.course("4/mains").notes[0].state == "started"
    assert [spare.portions for spare in tonight.board().spare] == [1]
    tonight.cook_until(700)
    assert tonight.course("4/mains").at_pass
    assert tonight.board().spare == (), "past what it keeps it is nothing to give any more"
    tonight.order("6", hake=1)
    assert tonight.course("6/mains 2").plates == 1


def test_what_was_to_come_after_a_course_that_is_taken_off_waits_to_be_called() -> None:
    tonight = Tonight()
    starters = CourseAsked("starters", (SQUID,), Asap())
    mains = CourseAsked("mains", (HAKE,), b.after("starters", 300))
    tonight.do(TakeOrder("6", (starters, mains), allergies_asked=True))
    tonight.do(TakeOffCourse("6/starters"))
    assert [(held.id, held.waits_for) for held in tonight.board().held] == [("6/mains", "")]


def test_plates_are_named_as_they_were_ordered() -> None:
    tonight = Tonight()
    tonight.do(
        TakeOrder("6", (CourseAsked("mains", (Plate(dish="hake", qty=2, seat="1"),), Asap()),), allergies_asked=True)
    )
    with pytest.raises(BadMessage) as refused:
        tonight.do(TakeOff("6/mains", (HAKE,)))
    (fault,) = refused.value.faults
    assert (fault.where, fault.cure) == ("plates[0]", "it has 2 hake, seat 1")
    with pytest.raises(BadMessage) as refused:
        tonight.do(ChangePlate("6/mains", Plate(dish="hake", qty=1, seat="1"), Plate(dish="squid", qty=2)))
    assert refused.value.faults[0].where == "to.qty"
    one = Plate(dish="hake", seat="1")
    tonight.do(ChangePlate("6/mains", one, one.model_copy(update={"note": "no skin"})))
    assert [(dish.qty, dish.note) for dish in tonight.course("6/mains").dishes] == [(1, ""), (1, "no skin")]


@pytest.mark.parametrize(("told_at", "asked"), [(0, False), (1, True)])
def test_an_allergy_told_late_is_on_every_cue_at_once_and_started_food_is_asked_about(
    told_at: int, asked: bool
) -> None:
    tonight = Tonight()
    plates = (Plate(dish="hake", seat="1"), Plate(dish="squid", seat="2"))
    tonight.do(TakeOrder("6", (CourseAsked("mains", plates, Asap()),), allergies_asked=True))
    if told_at:
        tonight.start(f"{FISH}/0")
    tonight.at(told_at).do(TellAllergy("6", ("nut",), seat="1"))
    assert [allergy.words for allergy in tonight.course("6/mains").allergies] == ["NUT · seat 1"]
    assert [a.words for act in tonight.actions("plancha") for a in act.allergies][:1] == ["NUT · seat 1 · table 6"]
    assert [a.words for act in tonight.actions("fry") for a in act.allergies] == []
    questions = tonight.board().questions
    assert bool(questions) == asked
    if asked:
        assert (questions[0].kind, questions[0].loads) == ("allergy", (FISH,))
        assert questions[0].words == "Table 6: NUT · seat 1 was told after Hake was started. Cook again?"
        assert questions[0].words in tonight.board().trouble
        ack = tonight.do(AnswerAgain((FISH,), again=True))
        assert tonight.board().questions == ()
        tonight.do(Undo(ack.seq))
        tonight.do(AnswerAgain((FISH,), again=False))
        assert tonight.board().questions == ()
        assert tonight.board().trouble == ()


def test_an_allergy_without_a_seat_is_on_every_plate_that_may_be_theirs() -> None:
    tonight = Tonight()
    plates = (Plate(dish="hake", seat="1"), Plate(dish="squid"))
    tonight.do(TakeOrder("6", (CourseAsked("mains", plates, Asap()),), allergies_asked=True))
    tonight.do(TellAllergy("6", ("nut",), seat="2"))
    # Seat 1 is somebody else; of the squid nobody said whose it is.
    assert [(allergy.words, allergy.dish) for allergy in tonight.course("6/mains").allergies] == [("NUT", "Squid")]
    ack = tonight.do(TellAllergy("6", ("milk", "nut")))
    assert len(tonight.course("6/mains").allergies) == 4
    with pytest.raises(NotNow, match="each has it already"):
        tonight.do(TellAllergy("6", ("nut",)))
    with pytest.raises(UnknownTable):
        tonight.do(TellAllergy("9", ("nut",)))
    tonight.do(Undo(ack.seq))
    assert len(tonight.course("6/mains").allergies) == 1


def test_food_of_a_plate_that_became_another_dish_for_an_allergy_is_asked_about_too() -> None:
    tonight = Tonight()
    tonight.order("6", hake=2)
    tonight.start(f"{FISH}/0")
    tonight.at(10).do(ChangePlate("6/mains", HAKE, Plate(dish="hake", allergies=("fish bones",))))
    assert [question.loads for question in tonight.board().questions] == [(FISH,)]
    tonight.do(CookAgain(FISH, 1))
    assert [question.loads for question in tonight.board().questions] == [(FISH,)], "until it is answered"
