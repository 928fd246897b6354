"""Fifty devices at work beside a search that never rests, and five hundred that come back at once."""

import asyncio
import json
import random
import re
import sqlite3
import time
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

from kitchen_timer.kitchen.seconds import read_instant, write_instant
from tests.bench.killed_program import Program
from tests.bench.killed_taps import DISHES
from tests.bench.phones_line import KitchenTime, Line, Wire, now_ms

STATIONS = ("larder", "fish", "meat", "garnish", "fry", "pastry")
OPEN = 9
"""Courses open at once: enough for the search to find something better all the time."""
LATER, LATER_S = 3, 3600
"""So many are wanted in an hour: of these a cue can be set and let go, and nobody waits for it."""
SOON_S = 75
"""A cue that is set and let go by the way is at least so far off: no cook is waiting for it yet."""

_SEQ = re.compile(r'"seq":(\d+)')


def seq_of(text: str) -> int:
    """Of a board, without reading all of it."""
    found = _SEQ.search(text)
    return int(found[1]) if found else 0


@dataclass
class Worked:
    """Milliseconds, of every device and tap."""

    shown: list[float] = field(default_factory=list)
    """From the second a cue was due, which had come before, until the device's own clock fired it; sooner the same."""
    ahead: list[float] = field(default_factory=list)
    """How long before it was due each of these had come."""
    at_once: list[float] = field(default_factory=list)
    """From the second of cues that were due when they were planned until they came: new orders that start now."""
    acknowledged: list[float] = field(default_factory=list)
    everywhere: list[float] = field(default_factory=list)
    """From a tap until each pass screen had the board with it."""
    echo: list[float] = field(default_factory=list)
    """A question that is not written down, asked all the while."""
    bare: list[float] = field(default_factory=list)
    """One row made durable by SQLite on the same disk at the same time, with nothing around it."""
    refused: int = 0
    taps_a_second: float = 0.0
    open: int = 0
    replanning: float = 0.0
    """Share of the time in which the search was at work."""
    offered_late: list[float] = field(default_factory=list)
    """How late this program itself was to make each tap."""


class Phone:
    """One device of a station, or of the pass where ``station`` is None."""

    def __init__(self, program: Program, name: str, station: str | None) -> None:
        self.name, self.station = name, station
        self.time = KitchenTime()
        self.line = Line(program.port, self._heard)
        self.board = ""
        self.seen: list[tuple[int, float]] = []
        self.cues: list[tuple[Wire, float]] = []
        self.fired: list[tuple[Wire, float]] = []
        self.came_late: set[str] = set()
        self.number = 0

    async def join(self) -> int:
        """Open the line and join; the ``seq`` of the board."""
        await self.line.open()
        page = {"page": "pass"} if self.station is None else {"page": "station", "station": self.station}
        self.board, _ = await self.line.ask_text("join", {**page, "client_id": self.name})
        return seq_of(self.board)

    async def tap(self, command: Wire) -> tuple[Wire, float]:
        """The answer, and the milliseconds it took."""
        self.number += 1
        began = now_ms()
        asked = {"client_id": self.name, "client_seq": self.number, "command": command}
        reply, at_ms = await self.line.ask("command", asked)
        return reply, at_ms - began

    def latest(self) -> Wire:
        """The newest board."""
        found: Wire = json.loads(self.board)
        board: Wire = found.get("board", found)
        return board

    def _heard(self, event: str, text: str, at_ms: float) -> None:
        if event == "board":
            self.board = text
            self.seen.append((seq_of(text), at_ms))
        elif event == "cue":
            cue = json.loads(text)
            self.cues.append((cue, at_ms))
            due = self.time.local_ms(1000 * read_instant(cue["due_at"]))
            if due < at_ms:
                self.came_late.add(cue["due_at"])
            asyncio.get_running_loop().call_later(max(0.0, due - now_ms()) / 1000, self._fire, cue)

    def _fire(self, cue: Wire) -> None:
        self.fired.append((cue, now_ms()))


async def fifty(program: Program, seconds: float, taps: int, devices: int = 50) -> Worked:
    """So many devices for so many seconds, ``taps`` a second over all of them."""
    worked = Worked()
    passes = [Phone(program, f"pass-{number}", None) for number in range(4)]
    phones = [Phone(program, f"phone-{n}", STATIONS[n % len(STATIONS)]) for n in range(devices - len(passes))]
    for phone in (*passes, *phones):
        await phone.join()
        await phone.time.sync(phone.line, probes=8)
    clock, _ = await passes[0].line.ask("clock", {"t1": 0})
    apart_ms = clock["kitchen_at_t3"] - clock["t3"]  # one machine, one monotonic clock: this is exact
    chef = asyncio.create_task(_chef(passes[0], worked))
    while worked.open < OPEN:
        await asyncio.sleep(0.1)
    helpers = [chef, asyncio.create_task(_echo(passes[1], worked))]
    helpers.append(asyncio.create_task(_bare(program.data, worked)))
    helpers += [asyncio.create_task(_cook(phone, apart_ms)) for phone in phones[: len(STATIONS)]]
    began = now_ms()
    tapped = await _taps(phones, passes[2], seconds, taps, worked)
    worked.taps_a_second = len(worked.acknowledged) / ((now_ms() - began) / 1000)
    await asyncio.sleep(1)
    for helper in helpers:
        helper.cancel()
    for phone in phones:
        ahead = [1000 * read_instant(cue["due_at"]) - at - apart_ms for cue, at in phone.cues]
        worked.ahead += [ms for ms in ahead if ms > 0]
        worked.at_once += [-ms for ms in ahead if ms <= 0]
        told = [(cue, at) for cue, at in phone.fired if cue["due_at"] not in phone.came_late]
        worked.shown += [abs(at + apart_ms - 1000 * read_instant(cue["due_at"])) for cue, at in told]
    for seq, made in tapped:
        for one in passes:
            worked.everywhere += [at - made for seen, at in one.seen if seen >= seq][:1]
    for phone in (*passes, *phones):
        phone.line.drop()
    return worked


async def _taps(
    phones: list[Phone], screen: Phone, seconds: float, taps: int, worked: Worked
) -> list[tuple[int, float]]:
    """Set a cue to when it is anyway, let it go again: durable, planned anew, and nothing moves."""
    dice = random.Random(1)
    tapped: list[tuple[int, float]] = []
    running: set[asyncio.Task[None]] = set()
    pinned: list[tuple[Phone, str]] = []
    refused: set[str] = set()  # food that comes after other food is cued with it

    read, starts = "", list[tuple[str, str]]()

    def coming() -> list[tuple[str, str]]:
        nonlocal read, starts
        if number % 25 == 0 and screen.board != read:
            read = screen.board
            board = screen.latest()
            far = write_instant(read_instant(board["now"]) + SOON_S)
            notes = [note for course in board["courses"] for note in course["notes"] if note["state"] == "planned"]
            first = [note for note in notes if note["id"].endswith("/0") and not note["pinned"]]
            starts = [(note["id"], note["start_at"]) for note in first if note["start_at"] > far]
        return starts

    async def tap(phone: Phone, command: Wire) -> None:
        made = now_ms()
        reply, took = await phone.tap(command)
        if reply["ok"]:
            worked.acknowledged.append(took)
            tapped.append((reply["seq"], made))
            if command["kind"] == "set_cue":
                pinned.append((phone, command["step"]))
        else:
            worked.refused += 1
            refused.add(command.get("step", ""))

    began = now_ms()
    for number in range(int(seconds * taps)):
        due = began + 1000 * number / taps
        if (wait := due - now_ms()) > 0:
            await asyncio.sleep(wait / 1000)
        worked.offered_late.append(max(0.0, now_ms() - due))
        phone = phones[number % len(phones)]
        if len(pinned) > 6 or (pinned and number % 2):
            owner, step = pinned.pop(0)
            command: Wire = {"kind": "free_cue", "step": step}
            phone = owner
        else:
            free = [start for start in coming() if start[0] not in refused and start[0] not in (s for _, s in pinned)]
            if not free:
                continue
            step, at = dice.choice(free)
            command = {"kind": "set_cue", "step": step, "at": at}
        task = asyncio.create_task(tap(phone, command))
        running.add(task)
        task.add_done_callback(running.discard)
    await asyncio.gather(*running)
    return tapped


async def _chef(phone: Phone, worked: Worked) -> None:
    dice = random.Random(2)
    table, looked, busy = 0, 0, 0
    for number in range(LATER):
        land = {"kind": "time", "at": write_instant(read_instant(phone.latest()["now"]) + LATER_S)}
        plates = [{"dish": dish} for dish in DISHES["mains"][number : number + 3]]
        asked = [{"course": "mains", "land": land, "plates": plates}]
        await phone.tap({"kind": "take_order", "table": f"bar {number}", "allergies_asked": True, "courses": asked})
    while True:
        board = phone.latest()
        looked, busy = looked + 1, busy + board["replanning"]
        worked.open, worked.replanning = len(board["courses"]), busy / looked
        up = [course for course in board["courses"] if course["at_pass"]]
        if up:
            await phone.tap({"kind": "send_course", "course_id": up[0]["id"]})
        elif len(board["courses"]) < OPEN + LATER:
            table = table % 60 + 1
            course = dice.choice(list(DISHES))
            plates = [{"dish": dish} for dish in dice.sample(DISHES[course], 2)]
            asked = [{"course": course, "land": {"kind": "asap"}, "plates": plates}]
            order = {"kind": "take_order", "table": str(table), "allergies_asked": True, "courses": asked}
            await phone.tap(order)
        await asyncio.sleep(0.25)


async def _cook(phone: Phone, apart_ms: float) -> None:
    """Taps each cue of a station when it is due."""
    while True:
        now = write_instant(int((now_ms() + apart_ms) / 1000))
        for action in phone.latest()["actions"]:
            if action["due_at"] <= now and (action["kind"] == "start" or action["running"]):
                await phone.tap({"kind": f"{action['kind']}_steps", "steps": action["steps"]})
                break
        await asyncio.sleep(0.3)


async def _echo(phone: Phone, worked: Worked) -> None:
    while True:
        began = now_ms()
        _, at_ms = await phone.line.ask("clock", {"t1": began})
        worked.echo.append(at_ms - began)
        await asyncio.sleep(0.05)


@dataclass
class CameBack:
    """Seconds from the moment that all of them try at once."""

    devices: int
    joined: list[float]
    """Until each had the board of an evening that had gone on meanwhile."""
    taps: list[float]
    """Until the tap that each had kept was acknowledged."""
    threads: int


async def come_back(program: Program, devices: int) -> CameBack:
    """All of them lose the line at one instant and are back together two seconds later, each with a tap it kept."""
    chef = Phone(program, "chef", None)
    await chef.join()
    for number in range(6):
        plates = [{"dish": dish} for dish in DISHES["mains"][:3]]
        asked = [{"course": "mains", "land": {"kind": "asap"}, "plates": plates}]
        order = {"kind": "take_order", "table": str(number + 1), "allergies_asked": True, "courses": asked}
        await chef.tap(order)
    names = [(f"many-{number}", STATIONS[number % len(STATIONS)]) for number in range(devices)]
    phones = [Phone(program, name, station) for name, station in names]
    for some in _portions(phones, 25):
        await asyncio.gather(*(phone.join() for phone in some))
    for phone in phones:
        phone.line.drop()
    reply, _ = await chef.tap({"kind": "move_course", "course_id": "3/mains", "by_s": 300})
    assert reply["ok"], reply
    await asyncio.sleep(2)
    back = [Phone(program, name, station) for name, station in names]
    joined: list[float] = []
    taps: list[float] = []
    began = time.monotonic()

    async def again(phone: Phone) -> None:
        while await phone.join() < reply["seq"]:
            raise AssertionError("a board older than what had happened")
        joined.append(time.monotonic() - began)
        starts = [action for action in phone.latest()["actions"] if action["kind"] == "start"]
        number = int(phone.name.removeprefix("many-"))
        answer, _ = await phone.tap(_kept_tap(starts, number))
        taps.append(time.monotonic() - began)
        assert answer["ok"] or answer["problem"]["status"] == 409, answer

    await asyncio.gather(*(again(phone) for phone in back))
    worker = program.worker()
    threads = len(list(Path(f"/proc/{worker}/task").iterdir()))
    for phone in (*back, chef):
        phone.line.drop()
    return CameBack(devices, joined, taps, threads)


def _kept_tap(starts: list[Wire], number: int) -> Wire:
    if not starts:
        return {"kind": "tell_allergy", "table": str(number % 6 + 1), "allergies": ["nut"]}
    action = starts[number % len(starts)]
    return {"kind": "set_cue", "step": action["steps"][0], "at": action["due_at"]}


def _portions(phones: list[Phone], size: int) -> Iterable[list[Phone]]:
    for begin in range(0, len(phones), size):
        yield phones[begin : begin + size]


async def _bare(folder: Path, worked: Worked) -> None:
    """What the disk takes for one durable row, ten times a second, in a thread that waits for nobody."""
    with sqlite3.connect(folder / "bare.sqlite", isolation_level=None, check_same_thread=False) as connection:
        for pragma in ("journal_mode=WAL", "synchronous=FULL"):
            connection.execute(f"PRAGMA {pragma}")
        connection.execute("CREATE TABLE IF NOT EXISTS rows (body TEXT)")

        def write() -> float:
            began = now_ms()
            connection.execute("INSERT INTO rows VALUES (?)", ("x" * 200,))
            return now_ms() - began

        while True:
            worked.bare.append(await asyncio.to_thread(write))
            await asyncio.sleep(0.1)
