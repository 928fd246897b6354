"""A machine's clock that is set during service, and the nights on which clocks change: no timer moves."""

import time
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from kitchen_timer.assemble import service_date
from kitchen_timer.kitchen.seconds import instant_of, read_time_of_day, write_instant
from kitchen_timer.kitchen.table import Asap, Plate
from kitchen_timer.live.clock import SystemClock, TurnedClock
from kitchen_timer.live.clock_mark import MOST_APART_S, OLD_S, clock_of
from kitchen_timer.live.engine import Engine
from kitchen_timer.record.in_memory import InMemoryLog
from kitchen_timer.service.commands import CourseAsked, MoveCourse, TakeOrder
from kitchen_timer.service.words import clock_words
from tests import builders as b
from tests.live.tonight import InlinePlanner, Tonight, small_book, small_kitchen

LONDON_BACK = date(2026, 10, 24)
"""The service on whose night Europe/London goes from 02:00 BST back to 01:00 GMT (IANA time zone database)."""
LONDON_ON = date(2027, 3, 27)
"""The service on whose night it goes from 01:00 GMT on to 02:00 BST (IANA time zone database)."""


class Machine:
    """A machine whose wall clock can be set; real time goes on by itself."""

    def __init__(self) -> None:
        self.began = time.monotonic()
        self.set_by = 0.0
        self.boot = "first"
        self.slept = 0.0

    def wall(self) -> float:
        return 1_795_806_000 + self.running() + self.set_by

    def running(self) -> float:
        return time.monotonic() - self.began + self.slept

    def clock(self, data: Path, monkeypatch: pytest.MonkeyPatch) -> SystemClock:
        monkeypatch.setattr(time, "time", self.wall)
        return clock_of(data, lambda: self.boot, self.running, self.wall)


@pytest.mark.parametrize("set_by", [30, -30])
def test_a_clock_set_during_service_moves_no_timer_now_or_after_a_restart(
    set_by: float, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    machine, log = Machine(), InMemoryLog()
    clock = machine.clock(tmp_path, monkeypatch)
    engine = Engine(small_kitchen(), small_book(), log, clock, InlinePlanner(), "skerrymoot", lambda work: work())
    engine.open_service(date(2026, 11, 27))
    order = TakeOrder("6", (CourseAsked("mains", (Plate(dish="hake"),), Asap()),), allergies_asked=True)
    engine.do(order, "tests", 1)
    left_s = engine.pass_board().courses[0].landing_at - clock.now()
    began = time.monotonic()
    machine.set_by = set_by
    goes_on_s = engine.pass_board().courses[0].landing_at - clock.now()
    assert abs(left_s - goes_on_s - (time.monotonic() - began)) < 0.1
    clock = machine.clock(tmp_path, monkeypatch)
    again = Engine(small_kitchen(), small_book(), log, clock, InlinePlanner(), "skerrymoot", lambda work: work())
    restarted_s = again.pass_board().courses[0].landing_at - clock.now()
    assert abs(left_s - restarted_s - (time.monotonic() - began)) < 0.1


def test_a_wall_clock_that_was_far_off_and_is_put_right_is_believed_at_the_next_start(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    machine = Machine()
    machine.clock(tmp_path, monkeypatch)
    machine.set_by = MOST_APART_S + 1
    assert abs(machine.clock(tmp_path, monkeypatch).now() - machine.wall()) < 0.1


def test_the_next_day_and_after_the_machine_was_started_again_the_wall_clock_is_believed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    machine = Machine()
    machine.clock(tmp_path, monkeypatch)
    machine.set_by = 30
    machine.slept = OLD_S + 1
    assert abs(machine.clock(tmp_path, monkeypatch).now() - machine.wall()) < 0.1
    machine.set_by = 60
    machine.boot = "second"
    assert abs(machine.clock(tmp_path, monkeypatch).now() - machine.wall()) < 0.1


@pytest.mark.parametrize("text", ["", "{", "[]", '{"boot_id": 7}'])
def test_a_mark_that_cannot_be_read_is_written_anew(text: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "clock-mark.json").write_text(text)
    machine = Machine()
    machine.clock(tmp_path, monkeypatch)
    machine.set_by = 30
    assert abs(machine.clock(tmp_path, monkeypatch).now() - (machine.wall() - 30)) < 0.1


@pytest.mark.parametrize(
    ("service", "before", "offset_before", "offset_after"),
    [(LONDON_BACK, "00:58", "+01:00", "+00:00"), (LONDON_ON, "00:58", "+00:00", "+01:00")],
)
def test_on_the_night_the_clocks_change_food_takes_as_long_as_ever(
    service: date, before: str, offset_before: str, offset_after: str
) -> None:
    tonight = Tonight()
    kitchen = tonight.kitchen.model_copy(update={"timezone": "Europe/London"})
    at = instant_of(service, read_time_of_day(before), kitchen.zone)
    if offset_before == "+01:00":
        at += 3600  # two minutes before the change, by the first of the two 01:58
    tonight.kitchen, tonight.clock = kitchen, TurnedClock(at)
    tonight.log = InMemoryLog()
    tonight.restart().open_service(service)
    tonight.order("6", hake=1)
    course = tonight.course("6/mains")
    assert course.landing_at == at + 300
    assert write_instant(at, kitchen.zone).endswith(offset_before)
    assert write_instant(course.landing_at, kitchen.zone).endswith(offset_after)
    begin = tonight.note("6/mains/hake/fish/1/0")
    assert begin.end_at - begin.start_at == 180
    tonight.do(MoveCourse("6/mains", 600))
    assert tonight.course("6/mains").landing_at == at + 900
    assert clock_words(course.landing_at, kitchen) == ("01:03" if offset_after == "+00:00" else "02:03")
    assert service_date(at, kitchen) == service_date(at + 3600, kitchen) == service


def test_a_time_that_comes_twice_is_the_first_and_one_that_never_comes_is_an_hour_on() -> None:
    """Python's ``fold=0`` (PEP 495): what is written in a file is meant before the change."""
    zone = b.kitchen(zone="Europe/London").zone
    twice = instant_of(LONDON_BACK, read_time_of_day("01:30"), zone)
    assert datetime.fromtimestamp(twice, UTC) == datetime(2026, 10, 25, 0, 30, tzinfo=UTC)
    never = instant_of(LONDON_ON, read_time_of_day("01:30"), zone)
    assert datetime.fromtimestamp(never, UTC) == datetime(2027, 3, 28, 1, 30, tzinfo=UTC)
