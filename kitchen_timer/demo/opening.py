"""How a demo evening is opened: gone on with, or played through from its first order to half past seven."""

import logging
from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

from kitchen_timer.demo.brigade import Brigade
from kitchen_timer.demo.clock_file import read_anchor, write_anchor
from kitchen_timer.demo.evening import DemoEvening, demo_evening
from kitchen_timer.files.order_file import Orders
from kitchen_timer.kitchen.dish import Book
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.live.clock import Anchor, SystemClock, TurnedClock
from kitchen_timer.live.engine import Engine
from kitchen_timer.live.planner import Planner
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.question import Question
from kitchen_timer.record.event_log import EventLog

_log = logging.getLogger(__name__)


class AtOnce:
    """A planner whose first plan is its only one, made before ``ask`` returns: for an evening played through fast."""

    def __init__(self, answer_now: Callable[[Question, Answer | None], Answer]) -> None:
        self.answer_now = answer_now

    def ask(
        self,
        token: int,
        question: Question,
        previous: Answer | None,
        adopt: Callable[[int, Answer, bool], bool],
    ) -> None:
        """Plan it now."""
        adopt(token, self.answer_now(question, previous), False)

    def close(self) -> None:
        """There is nothing to end."""


@dataclass(frozen=True)
class Opened:
    """A demo evening under way and the clock it goes by."""

    evening: DemoEvening
    clock: SystemClock


def open_evening(
    kitchen: Kitchen,
    book: Book,
    orders: Orders,
    log: EventLog,
    kitchen_id: str,
    planner: Planner,
    data: Path,
    speed: float,
) -> Opened:
    """Go on with the evening in ``log``; begin one where there is none, or where the last one is long over."""
    wall = SystemClock().now()
    evening = demo_evening(orders, kitchen.zone)
    kept = read_anchor(data)
    if kept is not None:
        now = kept.kitchen_at + max(0.0, wall - kept.wall_at) * kept.speed
        while evening.ends_at < kept.kitchen_at:
            evening = demo_evening(orders, kitchen.zone, evening.service + timedelta(days=1))
        if now <= evening.ends_at:
            return Opened(evening, _clock(data, Anchor(now, wall, speed)))
        # The evening ran out while nobody watched. Kitchen time never goes back, so the next one is a day later.
        evening = demo_evening(orders, kitchen.zone, evening.service + timedelta(days=1))
    _play_to_opening(kitchen, book, log, kitchen_id, planner, evening)
    return Opened(evening, _clock(data, Anchor(float(evening.opens_at), SystemClock().now(), speed)))


def _clock(data: Path, anchor: Anchor) -> SystemClock:
    write_anchor(data, anchor)
    return SystemClock(anchor.kitchen_at, anchor.wall_at, anchor.speed)


def _play_to_opening(
    kitchen: Kitchen, book: Book, log: EventLog, kitchen_id: str, planner: Planner, evening: DemoEvening
) -> None:
    clock = TurnedClock(float(evening.begins_at))
    engine = Engine(
        kitchen, book, log, clock, AtOnce(planner.answer_now), kitchen_id, in_background=lambda _estimate: None
    )
    engine.open_service(evening.service)
    brigade = Brigade(
        engine, evening, kitchen.stations, lambda _station: False, f"opening-{evening.service.isoformat()}"
    )
    engine.subscribe(brigade.changed)
    while (now := clock.now()) < evening.opens_at:
        engine.wake()
        nexts = [brigade.act(now), engine.next_wake_at(), float(evening.opens_at)]
        clock.turn_to(max(now + 0.5, min(at for at in nexts if at is not None)))
