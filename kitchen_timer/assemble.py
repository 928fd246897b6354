"""The only file that knows every room: puts a service together out of its parts, and takes it apart again."""

import contextlib
import fcntl
import logging
import os
import re
import signal
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path

from flask import Flask
from platformdirs import user_data_path

from kitchen_timer.demo.brigade import Brigade
from kitchen_timer.demo.clock_file import forget_anchor
from kitchen_timer.demo.evening import DemoEvening
from kitchen_timer.demo.opening import open_evening
from kitchen_timer.demo.people import People
from kitchen_timer.files import read_kitchen, read_orders
from kitchen_timer.kitchen.dish import Book
from kitchen_timer.kitchen.problems import KitchenProblem
from kitchen_timer.kitchen.seconds import NIGHT_ENDS
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.live.alarm import Alarm
from kitchen_timer.live.book_watch import BookWatch
from kitchen_timer.live.clock import Clock, SystemClock
from kitchen_timer.live.clock_mark import clock_of
from kitchen_timer.live.engine import Engine
from kitchen_timer.live.replan import ProcessPlanner
from kitchen_timer.live.watched import WatchedEngine
from kitchen_timer.record.in_database import sqlite_log
from kitchen_timer.server.app import About, Server, create_app
from kitchen_timer.server.log_lines import tell
from kitchen_timer.server.push import Pusher
from kitchen_timer.server.seen import Seen
from kitchen_timer.server.vitals import Asks, written
from kitchen_timer.service.going import HEADS_UP_S

_log = logging.getLogger(__name__)

_PACKAGE = Path(__file__).resolve().parent

DATABASE = "service.sqlite"


class DataInUse(KitchenProblem):
    """Another server keeps its state in the same folder."""

    code = "data-in-use"


@dataclass(frozen=True)
class Settings:
    """What ``kitchen-timer serve`` was asked for."""

    kitchen_dir: Path
    stations: tuple[str, ...]
    data: Path
    address: str
    lan: bool = False
    demo: bool = False
    speed: float = 1.0


def demo_kitchen() -> Path:
    """The folder of the invented kitchen: the package's own, or a checkout's."""
    packed, checkout = _PACKAGE / "config" / "skerrymoot", _PACKAGE.parent / "config" / "skerrymoot"
    return packed if packed.is_dir() else checkout


def read(kitchen_dir: Path) -> tuple[Kitchen, Book]:
    """The kitchen and its book; UnreadableFiles with every fault."""
    kitchen, book, _warned = read_kitchen(kitchen_dir)
    return kitchen, book


def kitchen_id(kitchen: Kitchen) -> str:
    """The kitchen's name as folders and rows write it: ``harbour-row``."""
    return re.sub(r"[^a-z0-9]+", "-", kitchen.name.lower()).strip("-") or "kitchen"


def data_folder(kitchen: Kitchen, demo: bool) -> Path:
    """Where the platform keeps application data; the demo has a folder of its own there."""
    return user_data_path("kitchen-timer", appauthor=False) / (
        f"demo-{kitchen_id(kitchen)}" if demo else kitchen_id(kitchen)
    )


@contextlib.contextmanager
def held(data: Path, patience_s: float = 5.0) -> Iterator[None]:
    """The data folder, made if need be and kept to one server; DataInUse when another has it.

    The lock goes with the processes that hold it, however they end. One that was killed a moment ago may still be
    going: it is waited for.
    """
    try:
        data.mkdir(parents=True, exist_ok=True)
        lock = (data / "lock").open("a+")
    except OSError as wrong:
        raise DataInUse(f"{data} cannot be used ({wrong.strerror}).", "Choose another folder with --data.") from None
    with lock:
        give_up = time.monotonic() + patience_s
        while True:
            try:
                fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
                break
            except OSError:
                if time.monotonic() > give_up:
                    raise DataInUse(
                        f"Another server keeps its state in {data}.", "End it first, or choose another with --data."
                    ) from None
                time.sleep(0.1)
        yield


def begin_anew(data: Path) -> None:
    """Throw the demo's evening away. Never for a real kitchen."""
    for name in (DATABASE, f"{DATABASE}-wal", f"{DATABASE}-shm"):
        with contextlib.suppress(FileNotFoundError):
            (data / name).unlink()
    forget_anchor(data)


class Tonight:
    """A running service: everything that was started and has to be ended."""

    def __init__(self, server: Server, closes: list[Callable[[], None]]) -> None:
        self.app: Flask = server.app
        self.server = server
        self._closes = closes

    def close(self) -> None:
        """End everything, last started first, whatever fails on the way."""
        for close in reversed(self._closes):
            try:
                close()
            except Exception:
                _log.exception("%s did not end cleanly", getattr(close, "__qualname__", close))


def start(settings: Settings) -> Tonight:
    """Put tonight together and start it, in the process that serves (after any fork)."""
    kitchen, book = read(settings.kitchen_dir)
    own_id = kitchen_id(kitchen)
    log = sqlite_log(settings.data / DATABASE)
    pushers: list[Pusher] = []

    def trouble_changed() -> None:
        for pusher in pushers:
            pusher.changed(frozenset({"pass"}))

    planner = ProcessPlanner(settings.speed, changed=trouble_changed)
    planner.start()
    closes = [log.close, planner.close]
    clock: Clock
    if settings.demo:
        orders = read_orders(settings.kitchen_dir / "evening.yaml", kitchen, book)
        opened = open_evening(kitchen, book, orders, log, own_id, planner, settings.data, settings.speed)
        evening, clock = opened.evening, opened.clock
    else:
        evening, clock = None, clock_of(settings.data)
    seen = Seen(clock.now, settings.speed)
    engine = WatchedEngine(seen, kitchen, book, log, clock, planner, own_id, acks_first=True)
    seen.metrics.events.set(engine.seq)
    engine.use_book(book)
    watch = BookWatch(settings.kitchen_dir, engine.use_book, trouble_changed, kitchen)
    if evening is None:
        services = Services(engine, kitchen, clock)
        services.start()
        closes.append(services.close)
    alarm = Alarm(engine, clock.now, settings.speed)
    server = create_app(
        engine,
        kitchen=kitchen,
        clock=clock,
        service=lambda: engine.service or service_date(clock.now(), kitchen),
        heads_up_s=HEADS_UP_S,
        about=About(settings.address, settings.demo, settings.lan, settings.speed),
        trouble=lambda: (*engine.own_trouble(), *planner.trouble(), *alarm.trouble(), *watch.trouble()),
        seen=seen,
        asks=Asks(
            database=lambda: written(settings.data / DATABASE),
            planner=planner.answers,
            planner_ids=planner.process_ids,
            plan_waited_s=engine.waits_for_plan_s,
            clock_set_s=clock.apart_s if isinstance(clock, SystemClock) else lambda: 0.0,
            folder=settings.data,
        ),
    )
    pushers.append(server.pusher)
    server.start()
    closes.append(server.close)
    engine.wake()
    alarm.start()
    closes.append(alarm.close)
    watch.start()
    closes.append(watch.close)
    tell("started", f"{kitchen.name} is served at {settings.address}", kitchen=kitchen.name, events=engine.seq)
    closes.append(lambda: tell("stopped", f"{kitchen.name} is no longer served", events=engine.seq))
    if evening is not None:
        people = _people(engine, evening, kitchen, clock, settings.speed, server)
        people.start()
        closes.append(people.close)
    return Tonight(server, closes)


def _people(
    engine: Engine, evening: DemoEvening, kitchen: Kitchen, clock: Clock, speed: float, server: Server
) -> People:
    brigade = Brigade(engine, evening, kitchen.stations, server.in_touch.has_phone, f"brigade-{clock.now():.1f}")

    def is_over(now: float) -> bool:
        return now > evening.ends_at

    def over() -> None:
        # This worker ends as if told to; the next one finds the evening over and opens another. Pages join again.
        os.kill(os.getpid(), signal.SIGTERM)

    people = People(brigade, clock.now, speed, is_over, over)
    engine.subscribe(people.changed)
    return people


class Services:
    """Opens the service of the day: at the start, and again when the night is over and nothing is open any more."""

    LOOK_S = 30.0
    FORGOTTEN_S = 2 * 3600

    def __init__(self, engine: Engine, kitchen: Kitchen, clock: Clock) -> None:
        self._engine = engine
        self._kitchen = kitchen
        self._clock = clock
        self._closed = threading.Event()

    def start(self) -> None:
        """Open today's if it is not open, and keep looking."""
        self._look()
        threading.Thread(target=self._keep_looking, name="services", daemon=True).start()

    def close(self) -> None:
        """Stop looking."""
        self._closed.set()

    def _keep_looking(self) -> None:
        while not self._closed.wait(self.LOOK_S):
            self._look()

    def _look(self) -> None:
        now = self._clock.now()
        today = service_date(now, self._kitchen)
        if self._engine.service == today:
            return
        board = self._engine.pass_board()
        # A service that runs past 05:00 is not cut off; what has stood for hours was forgotten, not cooked.
        going_on = [course for course in board.courses if course.up_at > now - self.FORGOTTEN_S]
        if not going_on:
            self._engine.open_service(today)


def service_date(now: float, kitchen: Kitchen) -> date:
    """The service that an instant (seconds since 1970 UTC) belongs to: before 05:00 it is still last night's."""
    local = datetime.fromtimestamp(now, kitchen.zone)
    return local.date() - timedelta(days=1) if local.time() < NIGHT_ENDS else local.date()
