"""Food that is lost: cooked again under a new number, the table put together around it."""

import pytest

from kitchen_timer.kitchen.problems import BadMessage, NotNow, UnknownDish, UnknownStep
from kitchen_timer.kitchen.table import Asap, Plate
from kitchen_timer.service.commands import (
    AnswerAgain,
    CookAgain,
    CookPlatesAgain,
    CourseAsked,
    GiveLoad,
    SendCourse,
    TakeOrder,
    Undo,
)
from tests.live.tonight import START, Tonight

FISH = "6/mains/hake/fish/1"
LEAVES = "6/mains/hake/leaves/1"
RINGS = "6/mains/squid/rings/1"


def test_cooking_again_spends_the_loads_number_and_realigns_the_table() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(200)
    tonight.do(CookAgain(FISH))
    course = tonight.course("6/mains")
    assert {note.load_id for note in course.notes} == {"6/mains/hake/fish/2", LEAVES}
    # A new fish from 200 at the earliest: 300 s.
    assert course.landing_at == START + 500
    with pytest.raises(UnknownStep, match="cooked again under a new number"):
        tonight.finish(f"{FISH}/1")


def test_cooking_again_what_is_at_the_pass_takes_the_course_off_it() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(310)
    assert tonight.course("6/mains").at_pass
    tonight.do(CookAgain(LEAVES))
    course = tonight.course("6/mains")
    assert (course.at_pass, course.landing_at) == (False, START + 330)


def test_a_load_lost_by_mistake_comes_back() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(100)
    notes = tonight.course("6/mains").notes
    ack = tonight.do(CookAgain(FISH))
    tonight.do(Undo(ack.seq))
    assert tonight.course("6/mains").notes == notes


def test_part_of_a_load_is_cooked_again_and_the_rest_goes_on() -> None:
    tonight = Tonight()
    tonight.order("6", hake=3)
    tonight.cook_until(200)
    ack = tonight.do(CookAgain(FISH, 1))
    notes = {note.load_id: note.portions for note in tonight.course("6/mains").notes if note.component == "fish"}
    assert notes == {FISH: 2, "6/mains/hake/fish/2": 1}
    assert tonight.note(f"{FISH}/1").state == "started"
    tonight.do(Undo(ack.seq))
    assert tonight.note(f"{FISH}/1").portions == 3


@pytest.mark.parametrize("portions", [0, 4, -1])
def test_no_more_is_lost_than_the_load_has(portions: int) -> None:
    tonight = Tonight()
    tonight.order("6", hake=3)
    tonight.start(f"{FISH}/0")
    with pytest.raises(BadMessage) as refused:
        tonight.do(CookAgain(FISH, portions))
    (fault,) = refused.value.faults
    assert (fault.where, fault.cure) == ("portions", "name 1 to 3")


def test_a_whole_plate_is_cooked_again_with_all_that_has_begun_of_it() -> None:
    tonight = Tonight()
    tonight.order("6", hake=2, squid=1)
    tonight.cook_until(290)  # fish resting, leaves and squid on
    tonight.do(CookPlatesAgain("6/mains", "hake", 1))
    course = tonight.course("6/mains")
    begun = {note.load_id: note.portions for note in course.notes if note.state in ("started", "done")}
    assert begun[FISH] == 1
    assert begun[LEAVES] == 1
    # A fish from 290: 300 s.
    assert course.landing_at == START + 590


def test_what_would_die_of_the_new_landing_is_cooked_again_only_if_the_chef_agrees() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1, squid=1)
    tonight.cook_until(290)
    tonight.do(CookAgain(FISH))
    # The squid (ready at 300, keeps 90) would stand 290 s for a landing at 590; the leaves (20 s, keep 60) as well.
    question = next(q for q in tonight.board().questions if q.kind == "dying")
    assert set(question.loads) == {RINGS, LEAVES}
    tonight.do(AnswerAgain((RINGS,), again=True))
    assert tonight.board().questions[0].loads == (LEAVES,)
    ack = tonight.do(AnswerAgain((LEAVES,), again=False))
    assert tonight.board().questions == ()
    tonight.do(Undo(ack.seq))
    assert tonight.board().questions[0].loads == (LEAVES,)
    tonight.do(AnswerAgain((LEAVES,), again=True))
    course = tonight.course("6/mains")
    assert course.landing_at == START + 590
    ends = {note.load_id: note.end_at for note in course.notes if note.last}
    assert all(course.landing_at - end <= 60 for end in ends.values()), "all of it is fresh"


def test_a_question_is_answered_with_loads_that_are_there() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    with pytest.raises(BadMessage):
        tonight.do(AnswerAgain((), again=True))
    with pytest.raises(NotNow, match="has not been started, so nothing is lost"):
        tonight.do(AnswerAgain((FISH,), again=True))


@pytest.mark.parametrize(("lost_at", "ready_at"), [(60, 120), (89, 149), (95, 150)])
def test_the_oil_that_lost_food_was_lifted_from_recovers(lost_at: int, ready_at: int) -> None:
    tonight = Tonight()
    tonight.order("6", squid=4)  # both baskets, 0 to 90; the oil is back 60 s after they are lifted
    tonight.cook_until(lost_at)
    tonight.do(CookAgain("6/mains/squid/rings/1"))
    assert tonight.actions("fry")[0].due_at == START + ready_at
    assert tonight.course("6/mains").landing_at == START + ready_at + 90


def test_plates_that_come_back_are_a_course_of_their_own_on_the_fly() -> None:
    tonight = Tonight()
    plates = (Plate(dish="hake", qty=1, allergies=("nut",), seat="2"), Plate(dish="hake", qty=2))
    tonight.do(TakeOrder("6", (CourseAsked("mains", plates, Asap()),), allergies_asked=True))
    tonight.cook_until(330)
    tonight.do(SendCourse("6/mains"))
    tonight.at(400)
    tonight.do(CookPlatesAgain("6/mains", "hake", 1))
    course = tonight.course("6/mains 2")
    assert (course.urgent, course.plates, course.landing_at) == (True, 1, START + 700)
    # Which of them came back nobody said: the allergy goes with it.
    assert [allergy.words for allergy in course.allergies] == ["NUT · seat 2"]
    with pytest.raises(BadMessage, match="4 cannot be taken"):
        tonight.do(CookPlatesAgain("6/mains", "hake", 4))
    with pytest.raises(UnknownDish, match="It has hake"):
        tonight.do(CookPlatesAgain("6/mains", "squid", 1))


def test_begun_food_is_given_to_another_table_and_cooked_again_for_its_own() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(100)
    tonight.order("4", hake=1)
    ack = tonight.do(GiveLoad(FISH, "4/mains"))
    given = tonight.note("4/mains/hake/fish/2/0")
    assert (given.state, given.start_at) == ("started", START)
    # Table 4 was to land at 400 (100 + 300): no later, with a fish that is ready at 300. Table 6 begins anew.
    assert START + 300 <= tonight.course("4/mains").landing_at <= START + 400
    assert tonight.course("6/mains").landing_at == START + 400
    assert tonight.note("6/mains/hake/fish/2/0").start_at == START + 100
    # A phone that knew it by its old name taps the right one.
    turned = tonight.at(180).start(f"{FISH}/1")
    assert tonight.note("4/mains/hake/fish/2/1").state == "started"
    tonight.do(Undo(turned.seq))
    tonight.do(Undo(ack.seq))
    assert tonight.note(f"{FISH}/0").state == "started"


def test_food_is_given_only_to_who_can_use_it() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.order("4", squid=1)
    tonight.start(f"{FISH}/0")
    with pytest.raises(NotNow, match="Table 4's mains needs no Hake any more"):
        tonight.do(GiveLoad(FISH, "4/mains"))
    with pytest.raises(NotNow, match="is that course's already"):
        tonight.do(GiveLoad(FISH, "6/mains"))


def test_what_is_lost_in_the_middle_of_a_course_is_accounted_for() -> None:
    tonight = Tonight()
    tonight.order("6", hake=2)
    tonight.cook_until(100)
    tonight.do(CookAgain(FISH, 1))
    tonight.cook_until(900)
    course = tonight.course("6/mains")
    assert course.at_pass
    assert sum(note.portions for note in course.notes if note.component == "fish" and note.last) == 2
