"""A whole server, with its planners, killed at random instants while several devices tap: see ``killed.py``.

Three ways to die: all processes at once, as in a power cut; the worker alone, which gunicorn starts again; all of them
while they are still starting. After each, the database is read as plain rows:

- every acknowledged tap is there once, under the number it was acknowledged with, and no refused one;
- each device's taps are there in its own order, and the log counts from 1 without gaps.

When the server is back, the kitchen's clock is compared with this machine's monotonic one, and every countdown of the
first pass board and of each station's with what the log says, replayed here. All of it also before the kill.
"""

import os
import random
import signal
import sqlite3
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from kitchen_timer import assemble
from kitchen_timer.kitchen.seconds import read_instant
from kitchen_timer.record.rows import read_body
from kitchen_timer.server import messages
from kitchen_timer.service import boards
from kitchen_timer.service.events import Recorded, ServiceOpened
from kitchen_timer.service.fold import replay
from kitchen_timer.service.state import Evening
from tests.bench.killed_program import KITCHEN_DIR, PATIENCE_S, Program
from tests.bench.killed_taps import Device, Wire

STATIONS = ("garnish", "meat", "fish", "pastry")
LONGEST_S = 1.2
"""A server lives at most so long after all devices are back."""
LONG_LOG = 2000
"""Events: with so many in the log it is to be live again within two seconds."""
LONGEST_LOG = 3000
"""Events after which another evening begins, in a folder of its own."""


@dataclass
class Start:
    """One start after a kill."""

    events: int
    answered_s: float
    """From the program's start (or the worker's death) until ``/health`` was answered ..."""
    board_s: float
    """... and the first board was on a device."""
    cpu_s: float | None
    """Processor time of server and worker until then; None where only the worker had died."""
    load: float
    """Of this machine, averaged over a minute."""


@dataclass
class Counted:
    """What came of it."""

    kills: dict[str, int] = field(default_factory=dict)
    starts: list[Start] = field(default_factory=list)
    acknowledged: int = 0
    refused: int = 0
    repeated: int = 0
    events: int = 0
    evenings: int = 0
    countdowns: int = 0
    """Compared with the log."""
    clock_ms: float = 0.0
    """The most by which a kitchen's clock was off after a kill."""


class Night:
    """One evening that is killed again and again."""

    def __init__(self, folder: Path, seed: int, counted: Counted) -> None:
        self.program = Program(folder)
        self.counted = counted
        self.devices = [Device(self.program.url, "chef", None, seed)]
        self.devices += [Device(self.program.url, f"{name}-phone", name, seed) for name in STATIONS]
        self._dice = random.Random(seed)
        kitchen, book = assemble.read(KITCHEN_DIR)
        self._fresh = Evening(kitchen=kitchen, book=book)
        self._kitchen_id = assemble.kitchen_id(kitchen)
        self._entries: list[Recorded] = []
        self._apart_ms: float | None = None
        self._rows: list[tuple[Any, ...]] = []

    def begin(self) -> None:
        """Start the server and the devices, and let them all join."""
        self.program.start()
        self.program.until_answered()
        for device in self.devices:
            device.start()
        self._until_joined(since=self.program.began)

    def end(self) -> None:
        """End everything."""
        self.program.kill()
        for device in self.devices:
            device.end()
        self.counted.acknowledged += sum(len(device.acknowledged) for device in self.devices)
        self.counted.refused += sum(len(device.refused) for device in self.devices)
        self.counted.repeated += sum(device.repeated for device in self.devices)
        self.counted.events += len(self._rows)
        self.counted.evenings += 1

    @property
    def events(self) -> int:
        """In the log when it was last read."""
        return len(self._rows)

    def kill(self) -> None:
        """Kill it at some instant, read the log, and see it come back."""
        time.sleep(self._dice.uniform(0, LONGEST_S))
        way = self._dice.choices(["all", "worker", "starting"], [6, 2, 2])[0]
        self.counted.kills[way] = self.counted.kills.get(way, 0) + 1
        seen = [dict(board) for device in self.devices for board in device.boards]
        if way == "worker":
            worker = self.program.worker()
            assert worker is not None, self.program.said()
            self.program.began = time.monotonic()
            os.kill(worker, signal.SIGKILL)
        else:
            self.program.kill()
            self._read_back()
            self._compare(seen)
            self.program.start()
        if way == "starting":
            time.sleep(self._dice.uniform(0, 3.0))
            self.program.kill()
            self._read_back()
            self.program.start()
        answered = self.program.until_answered()
        began = self.program.began
        board_at = self._until_joined(since=began)
        cpu_s = None if way == "worker" else self.program.cpu_s()
        self._read_back()
        self._compare([dict(device.boards[-1]) for device in self.devices])
        start = Start(self.events, answered - began, board_at - began, cpu_s, os.getloadavg()[0])
        self.counted.starts.append(start)

    def _until_joined(self, since: float) -> float:
        """When the first device had its board again; waits until all of them have."""
        give_up = time.monotonic() + PATIENCE_S
        while time.monotonic() < give_up:
            times = [device.first_board_at or 0.0 for device in self.devices]
            if min(times) > since:
                self._look_at_clocks()
                return min(times)
            time.sleep(0.01)
        raise AssertionError(f"a device did not come back in {PATIENCE_S:g} s: {self.program.said()}")

    def _look_at_clocks(self) -> None:
        # A device has its probes a moment after its board; one that was killed meanwhile keeps the last ones.
        time.sleep(0.05)
        found = [device.apart_ms for device in self.devices if device.apart_ms is not None]
        nearest = min(found, key=lambda apart: abs(apart - (self._apart_ms or found[0])))
        self._apart_ms = self._apart_ms or nearest
        self.counted.clock_ms = max(self.counted.clock_ms, abs(nearest - self._apart_ms))

    def _read_back(self) -> None:
        """Hold the log to what the devices were told."""
        told = {device.name: (dict(device.acknowledged), set(device.refused)) for device in self.devices}
        path = self.program.data / assemble.DATABASE
        columns = "seq, at_ms, kind, version, body, command, client_id, client_seq"
        with sqlite3.connect(f"file:{path}?mode=ro", uri=True) as connection:
            asked = f"SELECT {columns} FROM events WHERE kitchen = ? AND seq > ? ORDER BY seq"
            new = connection.execute(asked, (self._kitchen_id, len(self._rows))).fetchall()
        self._rows += new
        for seq, at_ms, kind, version, body, command, client_id, client_seq in new:
            event = read_body(kind, version, body)
            self._entries.append(Recorded(seq, at_ms, event, command, client_id, client_seq))
        assert [row[0] for row in self._rows] == list(range(1, len(self._rows) + 1)), "the log has gaps"
        for device in self.devices:
            own = [(row[7], row[0]) for row in self._rows if row[6] == device.name and row[7] is not None]
            numbers = [number for number, _ in own]
            assert numbers == sorted(set(numbers)), f"{device.name}'s taps are doubled or out of order"
            assert not numbers or numbers[-1] <= device.last, f"{device.name} never made tap {numbers[-1]}"
            acknowledged, refused = told[device.name]
            written = dict(own)
            for number, seq in acknowledged.items():
                found = written.get(number)
                assert found == seq, f"{device.name}'s tap {number} was acknowledged as {seq} and is {found}"
            assert refused.isdisjoint(written), f"{device.name} was refused what is written"

    def _compare(self, shown: list[Wire]) -> None:
        """Hold the countdowns of boards that were sent to the log."""
        for board in shown:
            entries = self._entries[: board["seq"]]
            if not any(isinstance(entry.event, ServiceOpened) for entry in entries):
                continue
            if len(entries) < board["seq"]:
                raise AssertionError(f"a board shows event {board['seq']}, which is not in the log")
            state, now = replay(self._fresh, entries), read_instant(board["now"])
            if "station" in board:
                again = messages.write(boards.station_board(state, board["station"], now))
                here, there = _cues(board), _cues(again)
            else:
                here, there = _landings(board), _landings(messages.write(boards.pass_board(state, now)))
            assert here == there, f"countdowns differ from the log at event {board['seq']}"
            self.counted.countdowns += len(here)


def _landings(board: Wire) -> dict[str, object]:
    found: dict[str, object] = {course["id"]: (course["landing_at"], course["up_at"]) for course in board["courses"]}
    for course in board["courses"]:
        found |= {note["id"]: (note["start_at"], note["end_at"], note["state"]) for note in course["notes"]}
    return found


def _cues(board: Wire) -> dict[str, object]:
    return {f"{each['kind']} {each['id']}": (each["heads_up_at"], each["due_at"]) for each in board["actions"]}


def run(times: int, seed: int) -> Counted:
    """Kill a server so many times."""
    counted = Counted()
    with tempfile.TemporaryDirectory() as folder:
        left = times
        while left:
            night = Night(Path(folder) / str(counted.evenings), seed + counted.evenings, counted)
            try:
                night.begin()
                while left and night.events < LONGEST_LOG:
                    night.kill()
                    left -= 1
            finally:
                night.end()
    return counted


def told(counted: Counted) -> list[str]:
    """What was counted, line by line."""
    ways = ", ".join(f"{number} {way}" for way, number in sorted(counted.kills.items()))
    lines = [
        f"kills                              {sum(counted.kills.values())} ({ways})",
        f"taps acknowledged, none lost       {counted.acknowledged}, each once and in its device's order",
        f"taps refused                       {counted.refused}",
        f"answered after the kill            {counted.repeated} had been written before it",
        f"events                             {counted.events} in {counted.evenings} evenings",
        f"countdowns held to the log         {counted.countdowns}, all the same to the second",
        f"kitchen clock off after a kill     {counted.clock_ms:.1f} ms at most (aim 100 ms)",
    ]
    every = [start for start in counted.starts if start.cpu_s is not None]
    long = [start for start in every if start.events >= LONG_LOG]
    worker = [start for start in counted.starts if start.cpu_s is None]
    for name, starts in ((f"whole, {LONG_LOG} events or more", long), ("whole, any", every), ("worker alone", worker)):
        if starts:
            lines.append(f"live again, {name}: {_line(starts)}")
    return lines


def _line(starts: list[Start]) -> str:
    answered, board = (sorted(getattr(start, name) for start in starts) for name in ("answered_s", "board_s"))
    middle = len(starts) // 2
    said = f"/health {answered[middle]:.2f} s, board {board[middle]:.2f} s (most {board[-1]:.2f} s) of {len(starts)}"
    cpu = sorted(start.cpu_s for start in starts if start.cpu_s is not None)
    if cpu:
        said += f"; processor {cpu[middle]:.2f} s"
    loads = sorted(start.load for start in starts)
    return f"{said}; load average {loads[0]:.1f} to {loads[-1]:.1f}"
