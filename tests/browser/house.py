"""The invented kitchen under a clock that stands, served as always: the same moment of the same evening each time.

Its people order, cook and send while the clock is turned from one thing to the next; between two turns nothing moves,
so that a page can be looked at for as long as it takes. The real server, the real wire and the real screens; only the
clock is turned, and every plan is the patient one, with no search after it, which is the same each time.
"""

import itertools
import logging
import threading
import time
from collections.abc import Callable, Iterable, Mapping
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from werkzeug.serving import make_server

from kitchen_timer.demo.brigade import Brigade
from kitchen_timer.demo.evening import demo_evening
from kitchen_timer.demo.opening import AtOnce
from kitchen_timer.files import read_kitchen, read_orders
from kitchen_timer.kitchen.dish import Book, Component
from kitchen_timer.kitchen.table import Asap, Plate
from kitchen_timer.live.clock import TurnedClock
from kitchen_timer.live.engine import Engine
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.choose import plan_quickly
from kitchen_timer.plan.question import Question
from kitchen_timer.record.in_memory import InMemoryLog
from kitchen_timer.server.app import About, create_app
from kitchen_timer.service.commands import Command, CourseAsked, TakeOrder
from kitchen_timer.service.going import HEADS_UP_S
from kitchen_timer.service.views import ActionView, NoteView, PassBoard, StationBoard

SKERRYMOOT = Path(__file__).parent.parent.parent / "config" / "skerrymoot"

STANDS = 0.001
"""Kitchen seconds to a real one: the pages' clock as good as stands."""


def _quick(question: Question, previous: Answer | None) -> Answer:
    return plan_quickly(question, previous, patient=True)


class StandingClock(TurnedClock):
    """Stands until it is turned, or let run."""

    _run_from: float | None = None

    def run(self) -> None:
        """At the speed of life from now on."""
        self._run_from = time.monotonic()

    def now(self) -> float:
        """Seconds since 1970 UTC."""
        ran = 0.0 if self._run_from is None else time.monotonic() - self._run_from
        return super().now() + ran


class House:
    """Skerrymoot at an instant of its evening. ``url`` is where its screens are."""

    def __init__(
        self,
        core_temps: Mapping[tuple[str, int], float] | None = None,
        speed: float = STANDS,
    ) -> None:
        """Opened at its first order. ``core_temps``: degrees Celsius to be read, by component and place of its step."""
        kitchen, book, _ = read_kitchen(SKERRYMOOT)
        self.kitchen = kitchen
        self.evening = demo_evening(read_orders(SKERRYMOOT / "evening.yaml", kitchen, book), kitchen.zone)
        self.clock = StandingClock(float(self.evening.begins_at))
        self.by_hand: set[str] = set()
        """Stations at which no invented cook taps."""
        own_book = _with_core_temps(book, core_temps or {})
        self.log = InMemoryLog()
        planner = AtOnce(_quick)
        self.engine = Engine(
            kitchen, own_book, self.log, self.clock, planner, "skerrymoot", in_background=lambda job: job()
        )
        self.engine.open_service(self.evening.service)
        self.brigade = Brigade(self.engine, self.evening, kitchen.stations, self.by_hand.__contains__, "house")
        self.engine.subscribe(self.brigade.changed)
        self.server = create_app(
            self.engine,
            kitchen=kitchen,
            clock=self.clock,
            service=lambda: self.evening.service,
            heads_up_s=HEADS_UP_S,
            about=About("http://192.168.1.20:8410", demo=True, lan=True, speed=speed),
        )
        self.server.pusher.start()
        logging.getLogger("werkzeug").setLevel(logging.ERROR)  # it writes a line for every file that is fetched
        self._listening = make_server("127.0.0.1", 0, self.server.app, threaded=True)
        threading.Thread(target=self._listening.serve_forever, daemon=True).start()
        self.url = f"http://127.0.0.1:{self._listening.server_port}"
        self._phones = itertools.count(1)
        self._commands = itertools.count(1)

    def close(self) -> None:
        """End it."""
        self._listening.shutdown()
        self.server.pusher.close()

    # The evening goes on

    def turn_to(self, time_of_day: str) -> None:
        """On to a time of this evening, such as ``19:42:30``."""
        hours, minutes, *seconds = (int(part) for part in time_of_day.split(":"))
        midnight = datetime.combine(self.evening.service, datetime.min.time(), self.kitchen.zone)
        at = midnight + timedelta(hours=hours, minutes=minutes, seconds=seconds[0] if seconds else 0)
        self._turn(at.timestamp())

    def turn(self, seconds: float) -> None:
        """On by so many seconds."""
        self._turn(self.clock.now() + seconds)

    def until(self, seen: Callable[[], Any], most_s: float = 3000, step_s: float = 3) -> Any:
        """On, a few seconds at a time, until ``seen()`` is true: what it was. Fails when that never comes."""
        gives_up = self.clock.now() + most_s
        while self.clock.now() < gives_up:
            if found := seen():
                return found
            self._turn(self.clock.now() + step_s)
        raise AssertionError(f"never seen until {datetime.fromtimestamp(gives_up, self.kitchen.zone):%H:%M}")

    def _turn(self, until: float) -> None:
        while (now := self.clock.now()) < until:
            self.engine.wake()
            at = [self.brigade.act(now), self.engine.next_wake_at() or until, until]
            self.clock.turn_to(min(until, max(now + 0.5, min(at))))
        self.engine.wake()

    # What somebody does

    def do(self, command: Command) -> int:
        """The chef's or a cook's command; what takes it back."""
        return self.engine.do(command, "house-hand", next(self._commands)).seq

    def order(self, table: str, course: str, *plates: Plate) -> None:
        """A table orders."""
        self.do(TakeOrder(table, (CourseAsked(course, plates, Asap()),), allergies_asked=True))

    def phones(self, stations: Iterable[str]) -> list[str]:
        """A phone joins each of these stations; their connections."""
        sids = []
        for station in stations:
            sid = f"phone-{next(self._phones)}"
            self.server.in_touch.joined(sid, station, sid)
            sids.append(sid)
        return sids

    def lose(self, sid: str, since_s: float = 0) -> None:
        """A phone went out of touch so many real seconds ago."""
        station = self.server.in_touch.left(sid)
        if station is not None and station in self.server.in_touch._lost_at:
            self.server.in_touch._lost_at[station] -= since_s

    # What there is to see

    def passing(self) -> PassBoard:
        """The pass board of this moment."""
        return self.server.pusher.pass_board()

    def cooking(self) -> list[NoteView]:
        """What has begun of all courses under way."""
        return [note for course in self.passing().courses for note in course.notes if note.state == "started"]

    def station(self, station: str) -> StationBoard:
        """A station's board of this moment."""
        return self.engine.station_board(station)

    def next_of(self, station: str) -> ActionView | None:
        """What a station's phone shows in the big place."""
        running = {note.id for note in self.station(station).notes if note.state == "started"}
        actions = [
            action
            for action in self.station(station).actions
            if action.kind == "start" or action.running or running.issuperset(action.steps)
        ]
        return min(actions, key=lambda action: action.due_at, default=None)


def _with_core_temps(book: Book, core_temps: Mapping[tuple[str, int], float]) -> Book:
    def heated(key: str, part: Component) -> Component:
        steps = tuple(
            step.model_copy(update={"core_temp": core_temps.get((key, place))}) for place, step in enumerate(part.steps)
        )
        return part.model_copy(update={"steps": steps})

    return {
        dish: found.model_copy(
            update={"components": {key: heated(key, part) for key, part in found.components.items()}}
        )
        for dish, found in book.items()
    }
