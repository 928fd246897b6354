"""Devices that tap over Socket.IO as fast as they are answered, each with an outbox that survives the server's death.

What a device asks for is drawn by numbers from the boards that it was sent. A device hands its taps in one after the
other, and each again under the same number until it has heard an answer, as the phones' own outbox does. The kitchen
and its guests are invented.
"""

import random
import threading
import time
from collections import deque
from collections.abc import Callable
from typing import Any

import socketio
from socketio.exceptions import SocketIOError

Wire = dict[str, Any]

ANSWER_S = 5.0
"""An answer that takes longer than this was lost with the server."""

MOST_KEPT = 4
"""So many taps a device keeps while it is out of touch: then its cook waits."""

MOST_OPEN = 8
"""So many courses open at once: then the chef sends and takes off."""

DISHES = {
    "starters": ("beetroot", "crab-custard", "haddock-egg", "mackerel"),
    "mains": ("brill", "duck", "lamb", "ox-cheek", "risotto"),
    "desserts": ("apple-tart", "lemon-cream", "souffle"),
}


class _Line(socketio.Client):  # type: ignore[misc]  # python-socketio has no types
    """A connection whose questions end with it: the library's own would wait out the time for an answer first, and
    who measures when a server is live again would measure that wait."""

    def __init__(self) -> None:
        super().__init__(reconnection=False)
        self._answered = threading.Condition()
        self._answers: list[Wire] = []
        self._lost = False
        self.on("disconnect", self._end)

    def ask(self, event: str, told: Wire) -> Wire:
        """The answer; SocketIOError where none comes."""
        with self._answered:
            self._answers.clear()
            self.emit(event, told, callback=self._answer)
            self._answered.wait_for(lambda: self._answers or self._lost, timeout=ANSWER_S)
            if not self._answers:
                raise SocketIOError("no answer")
            return self._answers[0]

    def _answer(self, answer: Wire) -> None:
        with self._answered:
            self._answers.append(answer)
            self._answered.notify()

    def _end(self, *_: Any) -> None:
        with self._answered:
            self._lost = True
            self._answered.notify()


class Device:
    """One device in a thread of its own. ``station``: None for the chef at the pass, who also takes the orders."""

    def __init__(self, url: str, name: str, station: str | None, seed: int) -> None:
        self.name, self.station = name, station
        self.acknowledged: dict[int, int] = {}
        """``seq`` by the device's own number."""
        self.refused: set[int] = set()
        self.repeated = 0
        """Taps that had been written down although their first answer never came."""
        self.last = 0
        """The number of the tap made last."""
        self.boards: deque[Wire] = deque(maxlen=1)
        self.first_board_at: float | None = None
        """Monotonic seconds at which the board of the newest connection came."""
        self.apart_ms: float | None = None
        """Kitchen time less this machine's monotonic time, by the quickest of a few probes."""
        self._url = url
        self._dice = random.Random(f"{seed} {name}")
        self._outbox: deque[tuple[int, Wire]] = deque()
        self._ended = threading.Event()
        self._thread = threading.Thread(target=self._live, name=name, daemon=True)

    def start(self) -> None:
        """Begin to tap."""
        self._thread.start()

    def end(self) -> None:
        """Tap no more."""
        self._ended.set()
        self._thread.join(timeout=2 * ANSWER_S)

    def _live(self) -> None:
        while not self._ended.is_set():
            line = _Line()
            line.on("board", self.boards.append)
            try:
                line.connect(self._url, transports=["websocket"], wait_timeout=2)
                self._join(line)
                self._tap(line)
            except (SocketIOError, OSError):
                # Out of touch: the cook taps on, and it is kept.
                if self.boards and len(self._outbox) < MOST_KEPT and self._dice.random() < 0.1:
                    self._keep(self._drawn(self.boards[-1]))
                time.sleep(0.02)
            finally:
                line.disconnect()

    def _join(self, line: "_Line") -> None:
        page = {"page": "pass"} if self.station is None else {"page": "station", "station": self.station}
        joined = line.ask("join", {**page, "client_id": self.name})
        self.first_board_at = time.monotonic()
        self.boards.append(joined["board"])
        quickest = 1e9
        for _ in range(6):
            t1 = 1000 * time.monotonic()
            reply = line.ask("clock", {"t1": t1})
            t4 = 1000 * time.monotonic()
            if t4 - t1 < quickest:
                quickest = t4 - t1
                self.apart_ms = reply["kitchen_at_t3"] - (t1 + t4) / 2

    def _tap(self, line: "_Line") -> None:
        while not self._ended.is_set():
            if not self._outbox:
                self._keep(self._drawn(self.boards[-1]))
            number, command = self._outbox[0]
            reply = line.ask("command", {"client_id": self.name, "client_seq": number, "command": command})
            if not reply["ok"] and reply["problem"]["status"] == 503:
                time.sleep(0.05)
                continue
            if reply["ok"]:
                self.acknowledged[number] = reply["seq"]
                self.repeated += reply["repeated"]
            else:
                self.refused.add(number)
            self._outbox.popleft()

    def _keep(self, command: Wire) -> None:
        self.last += 1
        self._outbox.append((self.last, command))

    def _drawn(self, board: Wire) -> Wire:
        return self._cook(board) if self.station is not None else self._chef(board)

    def _undo(self) -> Wire:
        numbers = sorted(self.acknowledged)[-4:]
        return {"kind": "undo", "seq": self.acknowledged[self._dice.choice(numbers)]}

    def _cook(self, board: Wire) -> Wire:
        dice, actions = self._dice, board["actions"][:3]
        if self.acknowledged and (not actions or dice.random() < 0.1):
            return self._undo()
        if not actions:
            return {"kind": "set_taps", "station": self.station, "taps": "both"}
        action = dice.choice(actions)
        if action["running"] and dice.random() < 0.1:
            return {"kind": "give_more_time", "steps": action["steps"], "seconds": 30}
        return {"kind": f"{action['kind']}_steps", "steps": action["steps"]}

    def _chef(self, board: Wire) -> Wire:
        dice, there = self._dice, [*board["courses"], *board["held"]]
        kind = dice.choice(list(CHEF)) if there else "order"
        if len(there) > MOST_OPEN:
            kind = dice.choice(["send_course", "take_off_course"])
        if kind == "undo" and self.acknowledged:
            return self._undo()
        return CHEF[kind](dice, dice.choice(there)) if kind in CHEF and there else _order(dice, {})


def _order(dice: random.Random, _course: Wire) -> Wire:
    course = dice.choice(list(DISHES))
    plates = [{"dish": dice.choice(DISHES[course]), "qty": dice.randint(1, 2)} for _ in range(dice.randint(1, 2))]
    land = dice.choice([{"kind": "asap"}, {"kind": "asap"}, {"kind": "hold"}])
    asked = {"course": course, "land": land, "plates": plates}
    return {"kind": "take_order", "table": str(dice.randint(1, 30)), "allergies_asked": True, "courses": [asked]}


def _of_course(kind: str, **more: object) -> Callable[[random.Random, Wire], Wire]:
    return lambda _dice, course: {"kind": kind, "course_id": course["id"], **more}


def _again(dice: random.Random, course: Wire) -> Wire:
    begun = [note["load_id"] for note in course.get("notes", ()) if note["state"] in ("started", "done")]
    return {"kind": "cook_again", "load": dice.choice(begun)} if begun else _order(dice, course)


def _plate(dice: random.Random, course: Wire) -> Wire:
    dishes = [dish for name, known in DISHES.items() if course["course"].startswith(name) for dish in known]
    plates = [{"dish": dice.choice(dishes)}]
    return {"kind": "add_plates", "course_id": course["id"], "plates": plates, "allergies_asked": True}


CHEF: dict[str, Callable[[random.Random, Wire], Wire]] = {
    "order": _order,
    "order too": _order,
    "fire_course": _of_course("fire_course"),
    "hold_course": _of_course("hold_course"),
    "move_course": _of_course("move_course", by_s=120),
    "on_the_fly": _of_course("on_the_fly"),
    "send_course": _of_course("send_course"),
    "take_off_course": _of_course("take_off_course"),
    "cook_again": _again,
    "add_plates": _plate,
    "guest_away": lambda _dice, course: {"kind": "guest_away", "table": course["table"]},
    "guest_back": lambda _dice, course: {"kind": "guest_back", "table": course["table"]},
    "move_table": lambda dice, course: {
        "kind": "move_table", "table": course["table"], "to": str(dice.randint(1, 30)), "merge": True
    },
    "eighty_six": lambda dice, _course: {"kind": "eighty_six", "dish": dice.choice(DISHES["desserts"])},
    "back_on": lambda dice, _course: {"kind": "back_on", "dish": dice.choice(DISHES["desserts"])},
    "set_cooks": lambda dice, _course: {"kind": "set_cooks", "station": "meat", "cooks": dice.randint(1, 2)},
    "set_slots": lambda dice, _course: {"kind": "set_slots", "equipment": "fryer", "slots": dice.randint(1, 2)},
    "undo": _order,
}  # fmt: skip
"""What the chef does, by name; ``undo`` needs something to be taken back."""
