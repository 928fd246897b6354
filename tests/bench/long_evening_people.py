"""Cooks, a chef and guests of a long evening, each on a line of their own, with all the trouble a Saturday has.

They know what their board shows and no more. Instants and durations are kitchen seconds; the dice are seeded.
"""

import asyncio
import json
import random
import time
from collections.abc import Callable

from kitchen_timer.kitchen.seconds import read_instant, write_instant
from tests.bench.killed_taps import DISHES
from tests.bench.long_evening_troubles import TROUBLES
from tests.bench.phones_line import Line, Lost, Wire

TROUBLE_EVERY_S = 150
"""Between two pieces of the chef's trouble, on average."""
LOST_EVERY_S = 1500
"""Between two losses of a station's phone, on average."""
RESTS_S = 12.0
"""From a tap to looking whether the board still asks for it."""
KEPT = float("inf")
"""Tapped out of touch: not again until it has been handed in."""


class KitchenClock:
    """What the kitchen's clock says, known exactly: it is this machine's monotonic clock, at its speed."""

    def __init__(self, kitchen_at: float, monotonic_at: float, speed: float) -> None:
        self.speed = speed
        self.kitchen_at, self.monotonic_at = kitchen_at, monotonic_at

    def now(self) -> float:
        """Seconds since 1970 UTC."""
        return self.at(time.monotonic())

    def at(self, monotonic_s: float) -> float:
        """Seconds since 1970 UTC when the monotonic clock said so much."""
        return self.kitchen_at + (monotonic_s - self.monotonic_at) * self.speed

    async def wait_until(self, at: float) -> None:
        """Until it is so late."""
        await asyncio.sleep(max(0.0, (at - self.now()) / self.speed))


class Person:
    """Somebody with a device. What is tapped is kept until it is acknowledged, over lost lines and dead servers."""

    def __init__(self, clock: KitchenClock, port: int, name: str, page: Wire, seed: int) -> None:
        self.clock, self.name = clock, name
        self.dice = random.Random(f"{seed} {name}")
        self.board: Wire | None = None
        self.acknowledged: list[tuple[int, int]] = []
        self.refused: list[tuple[str, str]] = []
        self.lost = 0
        self.out_until = 0.0
        self._port, self._page = port, page
        self._numbers = 0
        self._outbox: asyncio.Queue[tuple[int, Wire]] = asyncio.Queue()
        self._line: Line | None = None
        self._heard: dict[str, Callable[[Wire, float], None]] = {"board": self._take}

    def hear(self, event: str, heard: Callable[[Wire, float], None]) -> None:
        """Be told of what else the server sends, with the monotonic ms at which it came."""
        self._heard[event] = heard

    def tap(self, command: Wire) -> int:
        """Kept, and handed in as soon as may be; the number it is kept under."""
        self._numbers += 1
        self._outbox.put_nowait((self._numbers, command))
        return self._numbers

    @property
    def unsent(self) -> int:
        """Taps that are not acknowledged yet."""
        return self._outbox.qsize()

    async def live(self) -> None:
        """Stay in touch and hand in what is kept, until cancelled."""
        kept: tuple[int, Wire] | None = None
        while True:
            await self.clock.wait_until(self.out_until)
            line = Line(self._port, self._on)
            try:
                await line.open()
                joined, at_ms = await line.ask("join", {**self._page, "client_id": self.name})
                self._take(joined["board"], at_ms)
                self._line = line
                while True:
                    kept = kept or await self._next(line)
                    number, command = kept
                    asked = {"client_id": self.name, "client_seq": number, "command": command}
                    reply, _ = await line.ask("command", asked)
                    if reply["ok"]:
                        self.acknowledged.append((number, reply["seq"]))
                    else:
                        self.refused.append((command["kind"], reply["problem"]["code"]))
                    kept = None
            except (Lost, OSError, asyncio.IncompleteReadError, TimeoutError):
                await asyncio.sleep(0.05)
            finally:
                self._line = None

    async def _next(self, line: Line) -> tuple[int, Wire]:
        """The next tap; Lost when the line is closed before there is one."""
        tapped = asyncio.ensure_future(self._outbox.get())
        closed = asyncio.ensure_future(line.closed.wait())
        try:
            await asyncio.wait({tapped, closed}, return_when=asyncio.FIRST_COMPLETED)
        finally:
            closed.cancel()
            if not tapped.done():
                tapped.cancel()
        if tapped.done() and not tapped.cancelled():
            return tapped.result()
        raise Lost("the line is closed")

    def lose(self, seconds: float) -> None:
        """Out of touch for so long, without a word."""
        self.lost += 1
        self.out_until = self.clock.now() + seconds
        if self._line is not None:
            self._line.drop()

    def _on(self, event: str, text: str, at_ms: float) -> None:
        if event in self._heard:
            self._heard[event](json.loads(text), at_ms)

    def _take(self, board: Wire, _at_ms: float) -> None:
        if self.board is None or board["seq"] >= self.board["seq"]:
            self.board = board


class Cook(Person):
    """Taps what a station's phone shows: mostly in time, sometimes early, late, not at all, or with trouble."""

    def __init__(self, clock: KitchenClock, port: int, station: str, seed: int) -> None:
        super().__init__(clock, port, f"{station}-phone", {"page": "station", "station": station}, seed)
        self.station = station
        self.arrived_late: list[float] = []
        """Real ms from a heads-up's second to its cue's arrival, of cues that were told in time."""
        self.fired_late: list[float] = []
        """Real ms from a cue's second to this device firing it."""
        self.forgotten = 0
        self._tapped: dict[str, float] = {}
        self.hear("cue", self._cue)

    async def cook(self) -> None:
        """Until cancelled."""
        asyncio.get_running_loop().create_task(self._lose_it())
        while True:
            await asyncio.sleep(1.5 / self.clock.speed)
            now = self.clock.now()
            if self._line is not None and self.unsent == 0:
                # In touch again and all handed in: what the board still asks for is looked at anew.
                self._tapped = {key: min(at, now + RESTS_S) if at == KEPT else at for key, at in self._tapped.items()}
            actions = self.board["actions"] if self.board is not None else []
            for action in actions:
                if (action["kind"] == "start" or action["running"]) and self._is_time(action, now):
                    self._do(action, now)
            known = {self._key(action) for action in actions}
            self._tapped = {key: at for key, at in self._tapped.items() if key in known}

    def _cue(self, cue: Wire, at_ms: float) -> None:
        now = self.clock.at(at_ms / 1000)
        due, heads_up = read_instant(cue["due_at"]), read_instant(cue["heads_up_at"])
        if now - heads_up < (due - heads_up) / 2:
            self.arrived_late.append(1000 * (now - heads_up) / self.clock.speed)
        if now < due:
            wait = (due - self.clock.now()) / self.clock.speed
            asyncio.get_running_loop().call_later(max(0.0, wait), self._fire, due)

    def _fire(self, due: float) -> None:
        self.fired_late.append(1000 * (self.clock.now() - due) / self.clock.speed)

    async def _lose_it(self) -> None:
        while True:
            await asyncio.sleep(self.dice.expovariate(1 / LOST_EVERY_S) / self.clock.speed)
            self.lose(self.dice.uniform(30, 300))

    @staticmethod
    def _key(action: Wire) -> str:
        return f"{action['kind']} {action['id']}"

    def _is_time(self, action: Wire, now: float) -> bool:
        key = self._key(action)
        at = self._tapped.get(key)
        if at is None or (at > now and read_instant(action["due_at"]) > now + 30):
            at = self._tapped[key] = read_instant(action["due_at"]) + self._delay_s(key)
        return at <= now

    def _delay_s(self, key: str) -> float:
        dice = random.Random(f"{self.name} {key} {self.dice.random()}")
        luck = dice.random()
        if luck < 0.05:
            return dice.uniform(-20, -3)
        if luck < 0.11:
            return dice.uniform(15, 70)
        return dice.triangular(0, 5, 1.5)

    def _do(self, action: Wire, now: float) -> None:
        key, luck = self._key(action), self.dice.random()
        # A phone shows as done what was tapped on it; it is looked at again where the board still asks for it then.
        self._tapped[key] = now + RESTS_S if self._line is not None else KEPT
        if action["kind"] == "finish":
            if luck < 0.05:
                self.tap({"kind": "give_more_time", "steps": action["steps"], "seconds": self.dice.choice([30, 120])})
                return
            if luck < 0.06:
                load = action["steps"][0].rpartition("/")[0]
                self.tap({"kind": "cook_again", "load": load})
                return
            if luck < 0.10:
                self.forgotten += 1  # no tap at all for now: the board goes on asking
                self._tapped[key] = now + self.dice.uniform(30, 120)
                return
        if action["kind"] == "finish" and action["core_temp"] is not None:
            read = {"kind": "read_core_temp", "step": action["steps"][0], "celsius": action["core_temp"] + 1}
            self.tap(read)
        command: Wire = {"kind": f"{action['kind']}_steps", "steps": action["steps"]}
        if self.out_until > now or luck > 0.9:
            command["at"] = write_instant(int(now))
        self.tap(command)


class Chef(Person):
    """Sends what is at the pass, calls what is held, answers what is asked, and has trouble of every kind."""

    def __init__(self, clock: KitchenClock, port: int, seed: int) -> None:
        super().__init__(clock, port, "chef", {"page": "pass"}, seed)
        self.troubles: dict[str, int] = {}
        self.boards: list[Wire] = []
        """Some of the boards that came, for whoever looks after the evening."""
        self._soon: dict[str, float] = {}
        self._later: list[tuple[float, Wire]] = []
        self._calm = False

    async def run(self) -> None:
        """Until cancelled."""
        next_trouble = self.clock.now() + TROUBLE_EVERY_S
        while True:
            await asyncio.sleep(4 / self.clock.speed)
            board, now = self.board, self.clock.now()
            if board is None:
                continue
            self.boards.append(board)
            self._pass(board, now)
            for at, command in [each for each in self._later if each[0] <= now]:
                self._later.remove((at, command))
                self.tap(command)
            if now >= next_trouble and board["courses"] and not self._calm:
                next_trouble = now + self.dice.expovariate(1 / TROUBLE_EVERY_S)
                self._trouble(board, now)

    def settle(self) -> None:
        """No more trouble: all that was lent is given back."""
        for _, command in self._later:
            self.tap(command)
        self._later.clear()
        self._calm = True

    def _pass(self, board: Wire, now: float) -> None:
        for course in board["courses"]:
            if course["at_pass"] and self._rested(f"send {course['id']}", now, self.dice.uniform(15, 60)):
                self.tap({"kind": "send_course", "course_id": course["id"]})
        eating = {course["table"] for course in board["courses"]}
        for held in board["held"]:
            calls_after_s = self.dice.uniform(240, 700)
            ready = held["waits_for"] == "" and held["table"] not in eating
            if ready and self._rested(f"fire {held['id']}", now, calls_after_s):
                self.tap({"kind": "fire_course", "course_id": held["id"]})
        for question in board["questions"]:
            if self._rested(f"answer {question['id']}", now, 10):
                self.tap({"kind": "answer_again", "loads": question["loads"], "again": self.dice.random() < 0.5})
        for cannot in board["cannot"]:
            if self._rested(f"cannot {cannot['id']}", now, 600):
                self.tap({"kind": "take_off_course", "course_id": cannot["id"]})

    def _rested(self, what: str, now: float, after_s: float) -> bool:
        """Whether it was first wanted so long ago; then not again for half a minute."""
        if self._soon.setdefault(what, now + after_s) > now:
            return False
        self._soon[what] = now + 30
        return True

    def _trouble(self, board: Wire, now: float) -> None:
        kind = self.dice.choice(list(TROUBLES))
        course = self.dice.choice(board["courses"])
        found = TROUBLES[kind](self.dice, course)
        if found is None:
            return
        first, after_s, back = found
        self.troubles[kind] = self.troubles.get(kind, 0) + 1
        number = self.tap(first)
        if back is not None:
            self._later.append((now + after_s, back))
        if kind == "a slip":
            asyncio.get_running_loop().create_task(self._take_back(number))

    async def _take_back(self, number: int) -> None:
        await asyncio.sleep(8 / self.clock.speed)
        seq = next((seq for own, seq in self.acknowledged if own == number), None)
        if seq is not None:
            self.tap({"kind": "undo", "seq": seq})


def orders_of(begins: float, covers: int, over_s: float, seed: int) -> list[tuple[float, Wire]]:
    """When each table orders and what, for so many guests."""
    dice = random.Random(f"orders {seed}")
    orders, seated, table = [], 0, 0
    while seated < covers:
        guests = min(dice.choice([2, 2, 2, 3, 4, 4, 5, 6]), covers - seated)
        seated, table = seated + guests, table + 1
        courses: list[Wire] = [_of("starters", guests, {"kind": "asap"}, dice)] if dice.random() < 0.8 else []
        land: Wire = {"kind": "after", "after": "starters", "gap": "14m"} if courses else {"kind": "asap"}
        courses.append(_of("mains", guests, land if dice.random() < 0.6 else {"kind": "hold"}, dice))
        if dice.random() < 0.5:
            courses.append(_of("desserts", guests, {"kind": "hold"}, dice))
        order = {"kind": "take_order", "table": str(table), "allergies_asked": True, "courses": courses}
        orders.append((begins + over_s * dice.betavariate(1.6, 1.6), order))
    return sorted(orders, key=lambda each: each[0])


def _of(course: str, guests: int, land: Wire, dice: random.Random) -> Wire:
    chosen = [dice.choice(DISHES[course]) for _ in range(guests)]
    plates = [{"dish": dish, "qty": chosen.count(dish)} for dish in dict.fromkeys(chosen)]
    return {"course": course, "land": land, "plates": plates}
