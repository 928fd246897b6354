"""The alarm wakes the engine when something is due, whatever the machine's clock does meanwhile."""

import threading
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime

import pytest

from kitchen_timer.live import alarm as alarm_module
from kitchen_timer.live.alarm import Alarm


class Due:
    """An engine that has nothing but due times; notes when it was woken for each, by the monotonic clock."""

    def __init__(self, *due: float) -> None:
        self.due = sorted(due)
        self.woken: list[float] = []
        self.calls = 0
        self.fails = 0
        self._listeners: list[Callable[[frozenset[str]], None]] = []
        self.all_done = threading.Event()

    def wake(self) -> None:
        self.calls += 1
        if self.fails:
            self.fails -= 1
            raise OSError("the disk is full")
        while self.due and self.due[0] <= time.monotonic():
            self.woken.append(time.monotonic() - self.due.pop(0))
        if not self.due:
            self.all_done.set()

    def next_wake_at(self) -> float | None:
        return self.due[0] if self.due else None

    def subscribe(self, listener: Callable[[frozenset[str]], None]) -> None:
        self._listeners.append(listener)

    def add(self, due: float) -> None:
        """Something new is due."""
        self.due = sorted([*self.due, due])
        for listener in self._listeners:
            listener(frozenset({"pass"}))


@pytest.fixture
def started() -> Iterator[Callable[[Due], Alarm]]:
    alarms: list[Alarm] = []

    def start(engine: Due) -> Alarm:
        alarms.append(Alarm(engine, time.monotonic))
        alarms[-1].start()
        return alarms[-1]

    yield start
    for each in alarms:
        each.close()


def test_it_wakes_at_each_due_time_and_never_before(started: Callable[[Due], Alarm]) -> None:
    now = time.monotonic()
    engine = Due(now + 0.2, now + 0.201, now + 0.5)
    started(engine)
    assert engine.all_done.wait(10)
    assert len(engine.woken) == 3
    assert min(engine.woken) >= 0


def test_what_was_due_before_it_started_is_not_missed(started: Callable[[Due], Alarm]) -> None:
    """A late one-shot job is what the scheduler would drop with its usual grace of one second."""
    engine = Due(time.monotonic() - 3600)
    started(engine)
    assert engine.all_done.wait(10)


def test_something_due_sooner_sets_it_anew(started: Callable[[Due], Alarm]) -> None:
    engine = Due(time.monotonic() + 3600)
    started(engine)
    engine.add(time.monotonic() + 0.1)
    give_up = time.monotonic() + 10
    while not engine.woken and time.monotonic() < give_up:
        time.sleep(0.01)
    assert len(engine.woken) == 1


def test_a_wake_up_that_failed_is_said_and_tried_again(started: Callable[[Due], Alarm]) -> None:
    engine = Due(time.monotonic() + 0.05)
    engine.fails = 1
    alarm = started(engine)
    give_up = time.monotonic() + 10
    while not alarm.trouble() and time.monotonic() < give_up:
        time.sleep(0.01)
    assert "Cues may be late" in alarm.trouble()[0]
    assert engine.all_done.wait(10)
    while alarm.trouble() and time.monotonic() < give_up:
        time.sleep(0.01)
    assert alarm.trouble() == ()


def test_a_clock_set_back_does_not_put_a_cue_off(
    started: Callable[[Due], Alarm], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The scheduler waits by the wall: set back an hour, a cue due in 1 s would come in an hour and 1 s."""
    back = {"s": 0.0}
    real_time, real_datetime = time.time, datetime

    class Wall(real_datetime):  # type: ignore[misc,valid-type]
        @classmethod
        def now(cls, tz: object = None) -> datetime:
            return real_datetime.fromtimestamp(real_time() - back["s"], UTC)

    monkeypatch.setattr(alarm_module.time, "time", lambda: real_time() - back["s"])
    monkeypatch.setattr(alarm_module, "datetime", Wall)
    monkeypatch.setattr("apscheduler.schedulers.base.datetime", Wall)
    monkeypatch.setattr("apscheduler.schedulers.blocking.datetime", Wall, raising=False)
    engine = Due(time.monotonic() + 1.5)
    started(engine)
    time.sleep(0.2)
    back["s"] = 3600.0
    assert engine.all_done.wait(10), "the cue was put off by the step"
    assert engine.woken[0] < 5


def test_nothing_due_keeps_it_still(started: Callable[[Due], Alarm]) -> None:
    engine = Due()
    started(engine)
    time.sleep(0.3)
    assert engine.calls == 0
