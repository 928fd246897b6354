"""One dish with the kitchen to itself: the picture that the book shows of it."""

import pytest

from kitchen_timer.kitchen.problems import UnknownDish
from kitchen_timer.service.commands import EightySix, SetSlots
from tests.live.tonight import START, Tonight


def test_a_hake_alone_lands_when_its_longest_part_is_done() -> None:
    # Fish: 180 s, turned for 60 s, rests for 60 s: 300 s. Leaves: 20 s, so they begin at 280 s.
    (course,) = Tonight().engine.aside.alone("hake", 1).courses
    assert course.landing_at - START == 300
    starts = {note.do: note.start_at - START for note in course.notes}
    assert starts == {"Skin side down": 0, "Turn": 180, "Rest": 240, "Dress": 280}


def test_what_else_is_wanted_tonight_and_what_is_out_do_not_change_it() -> None:
    tonight = Tonight()
    for table in "4567":
        tonight.order(table, "mains", hake=2)
    tonight.do(SetSlots("top", 0))
    tonight.do(EightySix(dish="hake"))
    seq = tonight.board().seq
    (course,) = tonight.engine.aside.alone("hake", 1).courses
    assert course.landing_at - START == 300
    assert tonight.board().seq == seq, "asking changes nothing"


def test_more_plates_than_the_kitchen_can_make_say_so() -> None:
    # The fryer holds 2 x 2 squid; a fifth is done 90 s + 60 s of recovery after them, and squid keeps 90 s.
    alone = Tonight().engine.aside.alone("squid", 5)
    assert alone.courses == ()
    assert alone.cannot[0].would_help
    (course,) = Tonight().engine.aside.alone("squid", 4).courses
    assert sum(note.portions for note in course.notes) == 4


def test_a_dish_that_the_book_has_not_is_refused() -> None:
    with pytest.raises(UnknownDish) as refused:
        Tonight().engine.aside.alone("unicorn", 1)
    assert "hake" in refused.value.cure
