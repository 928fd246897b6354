"""Many phones at once, a long night, and what a start costs after it."""

import threading
import time
from pathlib import Path

from kitchen_timer.kitchen.problems import KitchenProblem
from kitchen_timer.plan.answer import Answer, PlannedCourse, PlannedStep
from kitchen_timer.plan.question import StepKey
from kitchen_timer.record.event_log import ClientMark, recorded
from kitchen_timer.record.in_database import sqlite_log
from kitchen_timer.service.commands import StartSteps
from kitchen_timer.service.events import Event, PlanAdopted, StepFinished, StepStarted
from kitchen_timer.service.fold import replay
from kitchen_timer.service.state import Evening
from tests.live.tonight import START, Tonight, small_book, small_kitchen

FISH = "6/mains/hake/fish/1"


def test_of_many_phones_that_tap_the_same_cue_one_starts_it() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    outcomes: list[str] = []

    def tap(phone: int) -> None:
        try:
            tonight.engine.do(StartSteps((f"{FISH}/0",)), f"phone-{phone}", 1)
            outcomes.append("started")
        except KitchenProblem as refused:
            outcomes.append(refused.code)

    phones = [threading.Thread(target=tap, args=(phone,)) for phone in range(12)]
    for phone in phones:
        phone.start()
    for phone in phones:
        phone.join(timeout=30)
    assert sorted(outcomes) == ["not-now"] * 11 + ["started"]


def test_the_same_tap_sent_by_many_threads_counts_once() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    acks: list[tuple[int, bool]] = []

    def tap() -> None:
        ack = tonight.engine.do(StartSteps((f"{FISH}/0",)), "phone", 1)
        acks.append((ack.seq, ack.repeated))

    threads = [threading.Thread(target=tap) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=30)
    assert len({seq for seq, _ in acks}) == 1
    assert [repeated for _, repeated in acks].count(False) == 1


def long_night(events: int) -> list[tuple[tuple[Event, ...], ClientMark | None]]:
    """A busy night's log: for every tap a plan of 300 steps. Only its size matters."""
    steps = tuple(
        PlannedStep(StepKey(str(t), "mains", "hake", "fish", load, index), "Skin side down", "plancha", "top", 1, 0, 9)
        for t in range(20)
        for load in range(1, 6)
        for index in range(3)
    )
    courses = tuple(PlannedCourse(str(t), "mains", 4, START, START, START + 40, 0) for t in range(20))
    entries: list[tuple[tuple[Event, ...], ClientMark | None]] = []
    for number in range(events // 3):
        step = StepKey("6", "mains", "hake", "fish", number + 1, 0)
        taps = (StepStarted(step, 1, START, START + 180, START), StepFinished(step, START + 180))
        entries.append((taps, ClientMark("phone", number)))
        entries.append(((PlanAdopted(Answer(START, courses, steps)),), None))
    return entries


def test_a_start_after_two_thousand_events_takes_less_than_two_seconds(tmp_path: Path) -> None:
    log = sqlite_log(tmp_path / "events.sqlite")
    tonight = Tonight(log=log)
    tonight.order("6", hake=4)
    seq = tonight.board().seq
    # In one commit, which is no way to run a kitchen, but spares the test a thousand waits for the disk.
    events = [event for events, _ in long_night(2000) for event in events]
    seq = log.append("skerrymoot", seq, START * 1000, events)[-1].seq
    # CPU seconds: other programs on the machine are not this one's fault.
    began_s = time.process_time()
    engine = tonight.restart()
    assert time.process_time() - began_s < 2
    assert engine.pass_board().seq == seq


def test_striking_out_a_tap_late_in_a_long_night_is_quick() -> None:
    fresh = Evening(small_kitchen(), small_book())
    tonight = Tonight()
    tonight.order("6", hake=4)
    history = list(tonight.log.read("skerrymoot"))
    seq = history[-1].seq
    for events, client in long_night(2000):
        light = tuple(e.let_go() if isinstance(e, PlanAdopted) else e for e in events)
        history += recorded(seq, 0, light, client)
        seq = history[-1].seq
    began_s = time.process_time()
    replay(fresh, history)
    assert time.process_time() - began_s < 0.7
