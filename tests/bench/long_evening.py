"""``python -m tests.bench.long_evening --services 10 --speed 60``: ten whole services, one after another, with trouble.

Each has 120 covers at the invented kitchen, through the program's own engine, database, sockets and planners under a
clock that is fast. Cooks tap early, late and not at all, want 30 s more, drop food; the chef pushes, holds, changes
plates, moves tables, lends cooks; phones are lost and come back; a planner is killed in each service, and in the first
the whole server. Printed for each service, and held to at the end:

- every course that was ordered went or was taken off, and all its food was cooked;
- no component is missing from the plan for longer than a minute;
- the log, read again, shows the same boards as the server;
- the kitchen's clock and the cues stay where they were: no drift;
- memory, threads and open files of the server do not grow.
"""

import argparse
import asyncio
import os
import random
import signal
import sys
import tempfile
import time
from collections import Counter
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import requests

from kitchen_timer import assemble
from kitchen_timer.kitchen.seconds import read_instant
from kitchen_timer.live.history import History
from kitchen_timer.record.in_database import sqlite_log
from kitchen_timer.server import messages
from kitchen_timer.service import boards
from kitchen_timer.service.state import Evening
from tests.bench.killed_program import KITCHEN_DIR, PATIENCE_S
from tests.bench.long_evening_people import Chef, Cook, KitchenClock, Person, orders_of
from tests.bench.long_evening_server import FastProgram, write_time
from tests.bench.phones_line import Wire

FIRST = date(2026, 11, 27)
OVER_S = 3 * 3600
"""From the first order to the last."""
PATIENCE_KITCHEN_S = 2.5 * 3600
"""After the last order: whatever is open then was forgotten."""
MISSING_S, MISSING_REAL_S = 60, 20
"""A component may be missing from the pass's plan so long, while it is planned anew: kitchen seconds, and real ones
where these are more, for which a planner that was killed takes to be back."""
CALM_S = 1200
"""After the last order there is no more trouble than so long."""


@dataclass
class Service:
    """What came of one."""

    number: int
    took_s: float = 0.0
    """Real seconds."""
    events: int = 0
    taps: int = 0
    refused: Counter[str] = field(default_factory=Counter)
    courses: int = 0
    """Ordered, after every change: sent or taken off."""
    sent: int = 0
    plates: int = 0
    late_s: list[int] = field(default_factory=list)
    past_keeps: int = 0
    troubles: int = 0
    lost_phones: int = 0
    arrived: list[float] = field(default_factory=list)
    fired: list[float] = field(default_factory=list)
    clock_ms: float = 0.0
    """The most by which the server's clock was off, in real milliseconds."""
    rss_mb: float = 0.0
    """Of the worker ..."""
    planners_mb: float = 0.0
    """... and of all planner processes."""
    threads: int = 0
    files: int = 0
    faults: list[str] = field(default_factory=list)


class Evenings:
    """Services one after another on one server."""

    def __init__(self, folder: Path, speed: float, covers: int, seed: int) -> None:
        self.speed, self.covers, self.seed = speed, covers, seed
        self.program = FastProgram(folder / "data", speed)
        self.program.data.mkdir(parents=True)
        kitchen, self.book = assemble.read(KITCHEN_DIR)
        self._fresh = Evening(kitchen=kitchen, book=self.book)
        self._kitchen_id = assemble.kitchen_id(kitchen)
        self._stations = tuple(kitchen.stations)

    async def play(self, number: int, restart: bool) -> Service:
        """One service; ``restart``: the server is killed in the middle of it."""
        service, began = Service(number), time.monotonic()
        day = FIRST + timedelta(days=number)
        begins = datetime(day.year, day.month, day.day, 18, tzinfo=UTC).timestamp()
        clock = KitchenClock(begins - 60, time.monotonic(), self.speed)
        write_time(self.program.data, clock.kitchen_at, clock.monotonic_at)
        if self.program.process is None:
            self.program.start()
            self.program.until_answered()
        await self._opened(day)
        seed = self.seed + 100 * number
        chef = Chef(clock, self.program.port, seed)
        cooks = [Cook(clock, self.program.port, station, seed) for station in self._stations]
        waiter = Person(clock, self.program.port, f"waiter-{number}", {"page": "order"}, seed)
        for person in (chef, *cooks):
            person.name = f"{person.name}-{number}"
        orders = orders_of(begins, self.covers, OVER_S * min(1.0, self.covers / 120), seed)
        people = [chef, *cooks, waiter]
        tasks = [asyncio.create_task(person.live()) for person in people]
        tasks += [asyncio.create_task(cook.cook()) for cook in cooks]
        tasks += [
            asyncio.create_task(chef.run()),
            asyncio.create_task(self._kills(clock, orders[-1][0], restart, seed)),
        ]
        try:
            for at, order in orders:
                await clock.wait_until(at)
                waiter.tap(order)
            await self._ended(clock, chef, people, orders[-1][0] + PATIENCE_KITCHEN_S)
            self._look_at_clock(service, clock)
            await self._held_to_the_log(service, chef)
            await self._closed(chef)
        finally:
            for task in tasks:
                task.cancel()
            await asyncio.gather(*tasks, return_exceptions=True)
        for task in tasks:
            if not task.cancelled() and (wrong := task.exception()) is not None:
                service.faults.append(f"{type(wrong).__name__}: {wrong}")
        self._count(service, chef, cooks, people)
        self._measure(service)
        service.took_s = time.monotonic() - began
        return service

    async def _opened(self, day: date) -> None:
        give_up = time.monotonic() + PATIENCE_S
        while time.monotonic() < give_up:
            answer = await asyncio.to_thread(requests.get, f"{self.program.url}/api/kitchen", timeout=20)
            if answer.json()["service"] == day.isoformat():
                return
            await asyncio.sleep(0.2)
        raise AssertionError(f"the service of {day} was not opened: {self.program.said()}")

    async def _kills(self, clock: KitchenClock, until: float, restart: bool, seed: int) -> None:
        """A planner dies in every service; the server in some."""
        dice = random.Random(f"kills {seed}")
        start = clock.now()
        await clock.wait_until(start + dice.uniform(0.2, 0.4) * (until - start))
        planners = self._processes()[1]
        if planners:
            os.kill(dice.choice(planners), signal.SIGKILL)
        await clock.wait_until(start + dice.uniform(0.5, 0.7) * (until - start))
        if restart:
            self.program.kill()
            self.program.start()

    async def _ended(self, clock: KitchenClock, chef: Chef, people: list[Person], give_up: float) -> None:
        quiet = 0
        while clock.now() < give_up and quiet < 5:
            await asyncio.sleep(30 / self.speed)
            board = chef.board
            if board is not None and not board["courses"] and not board["held"] and not board["cannot"]:
                quiet += all(person.unsent == 0 for person in people)
            else:
                quiet = 0
            if clock.now() > give_up - PATIENCE_KITCHEN_S + CALM_S:
                chef.settle()

    async def _closed(self, chef: Chef) -> None:
        """What never went is taken off, so that the next evening can begin."""
        left = [course["id"] for part in ("courses", "held", "cannot") for course in (chef.board or {}).get(part, ())]
        for course in left:
            chef.tap({"kind": "take_off_course", "course_id": course})
        while left and chef.unsent:
            await asyncio.sleep(0.1)
        await asyncio.sleep(0.5)

    def _look_at_clock(self, service: Service, clock: KitchenClock) -> None:
        for _ in range(5):
            told = requests.get(f"{self.program.url}/api/clock", timeout=20).json()
            off_ms = (told["kitchen_at_t3"] - 1000 * clock.at(told["t3"] / 1000)) / self.speed
            service.clock_ms = max(service.clock_ms, abs(off_ms))

    async def _held_to_the_log(self, service: Service, chef: Chef) -> None:
        """The log, read again, shows what the server shows; every course and component is accounted for."""
        shown: Wire = {}
        for _ in range(20):
            log = sqlite_log(self.program.data / assemble.DATABASE)
            state = History(log, self._kitchen_id, self._fresh).state
            service.events = state.seq
            log.close()
            await asyncio.sleep(0.2)
            shown = chef.board or {}
            if shown.get("seq") == state.seq:
                break
        else:
            service.faults.append(f"the board shows event {shown.get('seq')}, the log has {state.seq}")
            return
        again = messages.write(boards.pass_board(state, read_instant(shown["now"])))
        for part in ("courses", "sent", "cannot", "all_day", "off", "short", "spare", "questions"):
            if again[part] != shown[part]:
                service.faults.append(f"the log shows other {part} than the server")
        service.courses = len(state.sent) + len(state.courses)
        service.sent = len(state.sent)
        for key, run in state.courses.items():
            if not run.off:
                how = "its food is on" if run.loads else "planned" if state.is_planned(key) else "held"
                service.faults.append(f"{key.table}/{key.course} had not gone at closing time: {how}")
        for sent in state.sent.values():
            service.late_s.append(sent.late_s)
            service.past_keeps += sent.past_keeps
            for dish, qty in sent.course.portions().items():
                service.plates += qty
                for name, component in state.book[dish].components.items():
                    of_it = [load for load in sent.loads if (load.key.dish, load.key.component) == (dish, name)]
                    cooked = sum(load.portions for load in of_it if load.done(component))
                    if cooked < qty:
                        where = f"{sent.key.table}/{sent.key.course}/{dish}/{name}"
                        service.faults.append(f"{where}: {cooked} of {qty} were cooked when it went")

    def _count(self, service: Service, chef: Chef, cooks: list[Cook], people: list[Person]) -> None:
        for person in people:
            service.taps += len(person.acknowledged)
            service.refused.update(code for _, code in person.refused)
            if person.unsent:
                service.faults.append(f"{person.unsent} taps of {person.name} were never answered")
        for cook in cooks:
            service.arrived += cook.arrived_late
            service.fired += cook.fired_late
            service.lost_phones += cook.lost
        service.troubles = sum(chef.troubles.values())
        service.faults += missing_for_long(
            chef.boards,
            {dish: tuple(self.book[dish].components) for dish in self.book},
            max(MISSING_S, MISSING_REAL_S * self.speed),
        )

    def _processes(self) -> tuple[int, list[int]]:
        worker = self.program.worker()
        assert worker is not None, self.program.said()
        return worker, [int(pid) for pid in _children(worker)]

    def _measure(self, service: Service) -> None:
        worker, planners = self._processes()
        service.rss_mb = _rss_mb(worker)
        service.planners_mb = sum(_rss_mb(pid) for pid in planners)
        service.threads = len(list(Path(f"/proc/{worker}/task").iterdir()))
        service.files = len(list(Path(f"/proc/{worker}/fd").iterdir()))


def _children(pid: int) -> list[str]:
    return [
        child
        for task in Path(f"/proc/{pid}/task").iterdir()
        for child in (task / "children").read_text(encoding="ascii").split()
    ]


def _rss_mb(pid: int) -> float:
    for line in Path(f"/proc/{pid}/status").read_text(encoding="ascii").splitlines():
        if line.startswith("VmRSS:"):
            return int(line.split()[1]) / 1024
    return 0.0


def missing_for_long(shown: list[Wire], book: dict[str, tuple[str, ...]], longest_s: float) -> list[str]:
    """Components that a planned course lacks, or has too much of, on the pass's boards for longer than so long."""
    since: dict[tuple[str, str, str], int] = {}
    faults: dict[tuple[str, str, str], str] = {}
    for board in shown:
        now = read_instant(board["now"])
        wrong = set()
        for course in board["courses"]:
            ordered: Counter[str] = Counter()
            for line in course["dishes"]:
                ordered[line["dish"]] += line["qty"]
            cooked: Counter[tuple[str, str]] = Counter()
            for note in course["notes"]:
                if note["last"]:
                    cooked[note["dish"], note["component"]] += note["portions"] - note["spare"]
            for dish, qty in ordered.items():
                wrong |= {(course["id"], dish, part) for part in book.get(dish, ()) if cooked[dish, part] != qty}
        since = {key: since.get(key, now) for key in wrong}
        for key, at in since.items():
            if now - at > longest_s:
                faults[key] = f"{'/'.join(key)} was not as ordered for {now - at} s"
    return list(faults.values())


def slope(values: list[float]) -> float:
    """By how much a value grows a service: least squares."""
    if len(values) < 2:
        return 0.0
    middle, mean = (len(values) - 1) / 2, sum(values) / len(values)
    over = sum((index - middle) ** 2 for index in range(len(values)))
    return sum((index - middle) * (value - mean) for index, value in enumerate(values)) / over


def _percentile(values: list[float], share: float) -> float:
    ordered = sorted(values) or [0.0]
    return ordered[min(len(ordered) - 1, int(share * len(ordered)))]


def line_of(service: Service) -> str:
    """One service in one line."""
    late = sorted(service.late_s) or [0]
    arrived, fired = service.arrived, service.fired
    return "; ".join(
        [
            f"service {service.number + 1}: {service.took_s:.0f} s, {service.events} events in the log",
            f"{service.taps} taps ({sum(service.refused.values())} refused)",
            f"{service.sent} of {service.courses} courses sent, {service.plates} plates",
            f"behind median {late[len(late) // 2]} s, past keeps {service.past_keeps}",
            f"{service.troubles} troubles, {service.lost_phones} phones lost",
            f"heads-up to phone p50 {_percentile(arrived, 0.5):.0f} p99 {_percentile(arrived, 0.99):.0f} ms",
            f"fired p50 {_percentile(fired, 0.5):.1f} p99 {_percentile(fired, 0.99):.1f} ms",
            f"clock off {service.clock_ms:.2f} ms",
            f"worker {service.rss_mb:.0f} MB, planners {service.planners_mb:.0f} MB",
            f"{service.threads} threads, {service.files} files",
            f"load {os.getloadavg()[0]:.1f}; {len(service.faults)} faults",
        ]
    )


def main() -> int:
    """Play them and print what came of it; 1 where anything was at fault."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--services", type=int, default=10)
    asked.add_argument("--speed", type=float, default=60.0)
    asked.add_argument("--covers", type=int, default=120)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--data", type=Path, help="keep the log here")
    told = asked.parse_args()
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(143))  # as Ctrl-C: what was started is ended
    played: list[Service] = []
    with tempfile.TemporaryDirectory() as folder:
        evenings = Evenings(told.data or Path(folder), told.speed, told.covers, told.seed)
        try:
            for number in range(told.services):
                service = asyncio.run(evenings.play(number, restart=number == 0))
                played.append(service)
                _say(line_of(service))
                for fault in service.faults[:20]:
                    _say(f"   {fault}")
        finally:
            evenings.program.kill()
    same = played[1:]  # the first one's server was killed: the others have had the same one
    for what, values in (
        ("memory of the worker, MB", [one.rss_mb for one in same]),
        ("memory of the planners, MB", [one.planners_mb for one in same]),
        ("threads", [float(one.threads) for one in same]),
        ("open files", [float(one.files) for one in same]),
        ("cue fired late, median ms", [_percentile(one.fired, 0.5) for one in same]),
        ("clock off, ms", [one.clock_ms for one in same]),
    ):
        if values:
            _say(f"{what}: {values[0]:.1f} to {values[-1]:.1f}, {slope(values):+.2f} a service")
    faults = sum(len(one.faults) for one in played)
    _say(f"faults: {faults}")
    return int(faults > 0)


def _say(words: str) -> None:
    sys.stdout.write(words + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    raise SystemExit(main())
