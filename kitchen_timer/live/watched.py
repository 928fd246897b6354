"""An engine that tells a watcher what it takes, refuses, writes down and plans: for the log, the metrics and the pass.

Measured here, at the edge: the core reads no clock. The watcher is called while the evening may be locked, so all it
may do is note what it is told.
"""

import time
from collections.abc import Callable
from typing import Protocol

from kitchen_timer.kitchen.dish import Book
from kitchen_timer.kitchen.problems import KitchenProblem
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.live.clock import Clock
from kitchen_timer.live.engine import Ack, Engine
from kitchen_timer.live.planner import Planner
from kitchen_timer.plan.answer import Answer
from kitchen_timer.record.event_log import ClientMark, EventLog
from kitchen_timer.service.commands import Command
from kitchen_timer.service.events import Event, Recorded


class Watcher(Protocol):
    """Whoever is told. Each call returns at once and never fails."""

    def taken(self, kind: str, seq: int, client_id: str, repeated: bool, took_s: float) -> None:
        """A command is on the disk, ``took_s`` real seconds after it came in."""
        ...

    def refused(self, kind: str, code: str, client_id: str) -> None:
        """A command that could be read was refused."""
        ...

    def wrote(self, written: tuple[Recorded, ...]) -> None:
        """Events are on the disk."""
        ...

    def planned(self, answer: Answer, took_s: float, first: bool, last: bool) -> None:
        """A plan was taken, or stands, ``took_s`` real seconds after it was asked for. ``last``: the search is over."""
        ...


class WatchedEngine(Engine):
    """An :class:`Engine` with a watcher."""

    def __init__(
        self,
        watcher: Watcher,
        kitchen: Kitchen,
        book: Book,
        log: EventLog,
        clock: Clock,
        planner: Planner,
        kitchen_id: str,
        in_background: Callable[[Callable[[], None]], None] | None = None,
        *,
        acks_first: bool = False,
    ) -> None:
        """As :class:`Engine`."""
        self._watcher = watcher
        self._asked_s: float | None = None
        self._unanswered = False
        super().__init__(kitchen, book, log, clock, planner, kitchen_id, in_background, acks_first=acks_first)

    def waits_for_plan_s(self) -> float:
        """Real seconds that a first plan has been waited for; 0 when none is."""
        asked_s = self._asked_s
        return time.monotonic() - asked_s if asked_s is not None and self._unanswered else 0.0

    def own_trouble(self) -> tuple[str, ...]:
        """What is wrong with planning and writing down, in words for the pass."""
        return self._trouble.words()

    def do(self, command: Command, client_id: str, client_seq: int) -> Ack:
        """See :meth:`Engine.do`."""
        began_s = time.perf_counter()
        try:
            ack = super().do(command, client_id, client_seq)
        except KitchenProblem as refusal:
            self._watcher.refused(command.kind, refusal.code, client_id)
            raise
        took_s = time.perf_counter() - began_s
        self._watcher.taken(command.kind, ack.seq, client_id, ack.repeated, took_s)
        return ack

    def adopt(self, token: int, answer: Answer, improving: bool) -> bool:
        """See :meth:`Engine.adopt`."""
        of_use = super().adopt(token, answer, improving)
        asked_s = self._asked_s
        if of_use and asked_s is not None:
            first, self._unanswered = self._unanswered, False
            self._watcher.planned(answer, time.monotonic() - asked_s, first, not improving)
        return of_use

    def _ask(self) -> None:
        self._asked_s, self._unanswered = time.monotonic(), True
        super()._ask()
        if not self._evening().any_planned():
            self._unanswered = False

    def _write(self, events: tuple[Event, ...], client: ClientMark | None = None) -> list[Recorded]:
        written = super()._write(events, client)
        self._watcher.wrote(tuple(written))
        return written
