"""The one door: what is written once, what a restart keeps, who hears of it."""

import pytest

from kitchen_timer.kitchen.problems import KitchenProblem, NotRecorded, UnknownTable
from kitchen_timer.kitchen.table import Asap, AtTime, Plate
from kitchen_timer.live.clock import TurnedClock
from kitchen_timer.record.in_memory import InMemoryLog
from kitchen_timer.service.commands import CourseAsked, SendCourse, TakeOrder
from tests.live.tonight import SERVICE, START, Tonight

FISH = "6/mains/hake/fish/1"


def test_a_repeated_command_gets_the_same_answer_and_changes_nothing() -> None:
    tonight = Tonight()
    order = TakeOrder("6", (CourseAsked("mains", (Plate(dish="hake"),), Asap()),), allergies_asked=True)
    first = tonight.do(order, "phone-1", 7)
    board = tonight.board()
    again = tonight.do(order, "phone-1", 7)
    assert (again.seq, again.repeated, first.repeated) == (first.seq, True, False)
    assert tonight.board() == board
    assert tonight.do(order, "phone-2", 7).repeated is False


def test_a_repeated_command_is_known_after_a_restart() -> None:
    tonight = Tonight()
    order = TakeOrder("6", (CourseAsked("mains", (Plate(dish="hake"),), Asap()),), allergies_asked=True)
    first = tonight.do(order, "phone-1", 7)
    tonight.restart()
    again = tonight.do(order, "phone-1", 7)
    assert (again.seq, again.repeated) == (first.seq, True)


def test_a_refused_command_changes_nothing_and_may_be_asked_again() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    board = tonight.board()
    with pytest.raises(UnknownTable, match=r"Table 9 has no open course called mains. It has nothing open"):
        tonight.do(SendCourse("9/mains"), "phone-1", 1)
    assert tonight.board() == board
    tonight.order("9", hake=1)
    assert not tonight.do(SendCourse("9/mains"), "phone-1", 1).repeated


def test_a_restart_shows_the_same_boards_and_plans_anew_only_at_its_first_wake_up() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1, squid=2)
    tonight.order("4", "mains", AtTime(at=START + 900), hake=2)
    tonight.cook_until(215)
    engine = tonight.engine
    boards = [engine.pass_board(), *(engine.station_board(station) for station in tonight.kitchen.stations)]
    asked = len(tonight.planner.asked)
    again = tonight.restart()
    assert [again.pass_board(), *(again.station_board(station) for station in tonight.kitchen.stations)] == boards
    assert len(tonight.planner.asked) == asked
    again.wake()
    assert len(tonight.planner.asked) == asked + 1


def test_a_service_opened_twice_goes_on_and_another_begins_empty() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.engine.open_service(SERVICE)
    assert tonight.board().courses
    tonight.engine.open_service(SERVICE.replace(day=28))
    assert tonight.board().courses == ()
    assert tonight.restart().service == SERVICE.replace(day=28)
    assert tonight.board().courses == ()


class FullDisk(InMemoryLog):
    """A log whose disk is full from some moment on."""

    full = False

    def append(self, *args: object, **kwargs: object):  # type: ignore[no-untyped-def, override]
        if self.full:
            raise NotRecorded("The disk is full.", "Make room.")
        return super().append(*args, **kwargs)  # type: ignore[arg-type]


def test_what_cannot_be_written_down_does_not_count_and_is_said_on_the_pass() -> None:
    log = FullDisk()
    tonight = Tonight(log=log)
    tonight.order("6", hake=1)
    courses = tonight.board().courses
    log.full = True
    with pytest.raises(NotRecorded):
        tonight.start(f"{FISH}/0")
    assert tonight.board().courses == courses
    assert any("Nothing can be written down" in words for words in tonight.board().trouble)
    log.full = False
    tonight.start(f"{FISH}/0")
    assert tonight.board().trouble == ()


def test_listeners_hear_what_changed_outside_the_lock() -> None:
    import threading

    tonight = Tonight()
    heard: list[frozenset[str]] = []

    def listener(changed: frozenset[str]) -> None:
        heard.append(changed)
        # Another thread must get at the boards meanwhile: nobody holds the lock.
        other = threading.Thread(target=tonight.board)
        other.start()
        other.join(timeout=5)
        assert not other.is_alive()

    tonight.engine.subscribe(listener)
    tonight.order("6", squid=1)
    assert frozenset({"pass", "station:fry"}) in heard
    assert all("station:plancha" not in changed for changed in heard)


def test_a_listener_that_fails_hurts_nobody() -> None:
    tonight = Tonight()
    heard: list[frozenset[str]] = []

    def fails(_changed: frozenset[str]) -> None:
        raise RuntimeError("a screen is gone")

    tonight.engine.subscribe(fails)
    tonight.engine.subscribe(heard.append)
    tonight.order("6", squid=1)
    assert heard


def test_the_same_kitchen_written_to_by_two_servers_is_noticed() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    other = Tonight(log=tonight.log)
    tonight.order("4", hake=1)
    with pytest.raises(KitchenProblem, match="another program writes"):
        other.do(SendCourse("6/mains"), "another")


def test_a_clock_never_goes_back() -> None:
    clock = TurnedClock(100)
    with pytest.raises(ValueError, match="never goes back"):
        clock.turn_to(99)
