"""Invented cooks and guests. They come in through the engine's ordinary door and know no more than a phone shows.

Cooks tap at stations where no phone has joined, a human moment after each cue. Tables that the demo ordered are sent
some time after they are up; tables that a visitor ordered are left to the visitor.
"""

import logging
import random
import threading
from collections.abc import Callable, Iterable
from functools import partial
from typing import Protocol

from kitchen_timer.demo.evening import DemoEvening
from kitchen_timer.kitchen.problems import KitchenProblem
from kitchen_timer.service.commands import Command, FinishSteps, FireCourse, SendCourse, StartSteps
from kitchen_timer.service.views import ActionView, PassBoard, StationBoard

_log = logging.getLogger(__name__)

SENDS_AFTER_S = 40
"""From a course being up to the invented chef sending it: long enough to be seen."""

CALLS_AFTER_S = 9 * 60
"""From a table's last course being sent to its held one being called: 5 to 10 minutes after clearing in a bistro
(common practice, no source)."""

LOOKS_S = 30.0
"""A board that has not changed is looked at again after this many kitchen seconds: what it shows comes nearer."""

PASS = "pass"

AGAIN_S = 5.0
"""A refused tap is tried again after this many kitchen seconds."""


class Door(Protocol):
    """What the brigade needs of the engine."""

    def do(self, command: Command, client_id: str, client_seq: int) -> object:
        """Ask for something."""

    def pass_board(self) -> PassBoard:
        """All the pass screen shows."""

    def station_board(self, station: str) -> StationBoard:
        """All a station's phone shows."""


class Brigade:
    """The invented people of one evening. :meth:`act` does what is due; it holds no thread and reads no clock."""

    def __init__(
        self,
        door: Door,
        evening: DemoEvening,
        stations: Iterable[str],
        has_phone: Callable[[str], bool],
        name: str,
        seed: int = 0,
    ) -> None:
        """``name``: unique to this run, so that its taps are told from those of an earlier one."""
        self._door = door
        self._evening = evening
        self._stations = tuple(stations)
        self._has_phone = has_phone
        self._name = name
        self._seed = seed
        self._taps = 0
        self._next_guest = 0
        self._ours = {course_id for guest in evening.orders for course_id in guest.course_ids}
        self._tap_at: dict[str, float] = {}
        self._quiet_since: dict[str, float] = {}
        self._not_before: dict[str, float] = {}
        self._look_at: dict[str, float] = {}
        self._lock = threading.Lock()

    def changed(self, boards: frozenset[str]) -> None:
        """These boards look different: they are looked at again. May be called from any thread."""
        with self._lock:
            for board in boards:
                self._look_at.pop(board, None)

    def act(self, now: float) -> float:
        """Do all that is due by ``now`` (kitchen seconds); when to look again, if nothing changes before."""
        looks = [self._guests(now) or now + LOOKS_S, self._if_worth(PASS, now, self._chef)]
        for station in self._stations:
            if self._has_phone(station):
                self.changed(frozenset({f"station:{station}"}))
            else:
                looks.append(self._if_worth(f"station:{station}", now, partial(self._cook, station)))
        return min(looks)

    def _if_worth(self, board: str, now: float, look: Callable[[float], float | None]) -> float:
        with self._lock:
            look_at = self._look_at.get(board, now)
            # Set before looking: what changes meanwhile takes it out again.
            self._look_at[board] = now + LOOKS_S
        if look_at > now:
            again = look_at
        else:
            due = look(now)
            again = now + LOOKS_S if due is None else min(due, now + LOOKS_S)
        with self._lock:
            if board not in self._look_at:
                return now
            self._look_at[board] = again
        return again

    def _guests(self, now: float) -> float | None:
        orders = self._evening.orders
        while self._next_guest < len(orders) and orders[self._next_guest].at <= now:
            guest = orders[self._next_guest]
            self._next_guest += 1
            # Under the evening's name: after a restart the same order is a repetition and changes nothing.
            self._try(guest.order, f"guests-{self._evening.service.isoformat()}", guest.number)
        return float(orders[self._next_guest].at) if self._next_guest < len(orders) else None

    def _chef(self, now: float) -> float | None:
        board = self._door.pass_board()
        nexts: list[float] = []
        for course in board.courses:
            if course.at_pass and course.id in self._ours:
                at = self._when(f"send {course.id}", course.up_at + SENDS_AFTER_S)
                if at > now:
                    nexts.append(at)
                elif not self._tap(SendCourse(course.id)):
                    nexts.append(self._later(f"send {course.id}", now))
        eating = {course.table for course in board.courses}
        for held in board.held:
            if held.id not in self._ours or held.waits_for or held.table in eating:
                self._quiet_since.pop(held.id, None)
                continue
            sent = max((s.sent_at for s in board.sent if s.table == held.table), default=now)
            at = self._when(f"call {held.id}", self._quiet_since.setdefault(held.id, sent) + CALLS_AFTER_S)
            if at > now:
                nexts.append(at)
            elif not self._tap(FireCourse(held.id)):
                nexts.append(self._later(f"call {held.id}", now))
        return min(nexts, default=None)

    def _cook(self, station: str, now: float) -> float | None:
        nexts: list[float] = []
        seen: set[str] = set()
        for action in self._door.station_board(station).actions:
            seen.add(action.id)
            at = self._tap_time(action, now)
            if at > now:
                nexts.append(at)
                continue
            done = StartSteps(action.steps) if action.kind == "start" else FinishSteps(action.steps)
            if self._tap(done):
                self._tap_at.pop(action.id, None)
            else:
                self._tap_at[action.id] = now + AGAIN_S
                nexts.append(now + AGAIN_S)
        return min(nexts, default=None)

    def _tap_time(self, action: ActionView, now: float) -> float:
        # The end of a step that nobody taps moves on with the clock: what was due once is tapped at its first due time.
        if action.due_at > now + 1 or action.id not in self._tap_at:
            self._tap_at[action.id] = action.due_at + self._delay_s(action.id)
        return self._tap_at[action.id]

    def _delay_s(self, action_id: str) -> float:
        """Seconds between a cue and the tap: mostly one to three, now and then a cook has both hands full."""
        dice = random.Random(f"{self._seed} {action_id}")
        return dice.uniform(8.0, 14.0) if dice.random() < 0.04 else dice.triangular(0.3, 5.0, 1.5)

    def _when(self, what: str, at: float) -> float:
        return max(at, self._not_before.get(what, at))

    def _later(self, what: str, now: float) -> float:
        self._not_before[what] = now + AGAIN_S
        return now + AGAIN_S

    def _tap(self, command: Command) -> bool:
        self._taps += 1
        return self._try(command, self._name, self._taps)

    def _try(self, command: Command, client_id: str, client_seq: int) -> bool:
        try:
            self._door.do(command, client_id, client_seq)
        except KitchenProblem as refusal:
            _log.info("the demo's brigade was refused: %s", refusal)
            return False
        return True
