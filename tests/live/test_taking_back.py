"""What can be taken back, and what stands on it."""

from dataclasses import replace

import pytest

from kitchen_timer.kitchen.problems import NotNow
from kitchen_timer.service.commands import Undo
from tests.live.tonight import Tonight

FISH = "6/mains/hake/fish/1"


def test_a_tap_taken_back_never_happened() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    board = replace(tonight.board(), seq=0)
    ack = tonight.start(f"{FISH}/0")
    assert tonight.note(f"{FISH}/0").state == "started"
    tonight.do(Undo(ack.seq))
    assert replace(tonight.board(), seq=0) == board


def test_a_tap_that_others_stand_on_is_taken_back_last_first() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    first = tonight.start(f"{FISH}/0")
    second = tonight.at(180).start(f"{FISH}/1")
    with pytest.raises(NotNow, match=r"Table 6's Hake has been tapped again since. Take back the later tap first"):
        tonight.do(Undo(first.seq))
    tonight.do(Undo(second.seq))
    assert tonight.note(f"{FISH}/0").state == "started"
    tonight.do(Undo(first.seq))
    assert tonight.note(f"{FISH}/0").state != "started"


def test_what_followed_by_itself_goes_with_the_tap_that_is_taken_back() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(229)
    ack = tonight.at(230).finish(f"{FISH}/1")
    tonight.at(250)
    assert tonight.note(f"{FISH}/2").state == "started"
    tonight.do(Undo(ack.seq))
    assert tonight.note(f"{FISH}/1").state == "started"
    assert tonight.note(f"{FISH}/2").state != "started"


def test_an_order_is_taken_back_until_its_first_step_begins() -> None:
    tonight = Tonight()
    ack = tonight.order("6", hake=1)
    other = tonight.order("4", hake=1)
    tonight.do(Undo(ack.seq))
    assert [course.id for course in tonight.board().courses] == ["4/mains"]
    tonight.start("4/mains/hake/fish/1/0")
    with pytest.raises(NotNow, match="is cooking already"):
        tonight.do(Undo(other.seq))


def test_nothing_is_taken_back_twice() -> None:
    tonight = Tonight()
    ack = tonight.order("6", hake=1)
    tonight.do(Undo(ack.seq))
    with pytest.raises(NotNow, match="taken back already"):
        tonight.do(Undo(ack.seq))
