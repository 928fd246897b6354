"""Notes what happens, for the log and the metrics, on a thread of its own: nobody's tap waits for either."""

import logging
import queue
import threading
import time
from collections.abc import Callable
from typing import Any

from kitchen_timer.kitchen.dish import Book
from kitchen_timer.kitchen.seconds import read_instant
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.question import StepKey
from kitchen_timer.server.in_touch import InTouch
from kitchen_timer.server.log_lines import tell
from kitchen_timer.server.metrics import Metrics
from kitchen_timer.service.events import CourseSent, PlanAdopted, Recorded, StepStarted
from kitchen_timer.service.going import HEADS_UP_S
from kitchen_timer.service.own_troubles import CUE_LATE_S

_log = logging.getLogger(__name__)

LATE_SHOWN_S = 60.0
"""Real seconds that the pass is told of a cue that was sent late."""


class Seen:
    """Whoever sees something tells it here. Until it is started, notes are worked off by whoever makes them."""

    def __init__(self, now: Callable[[], float] | None = None, speed: float = 1.0) -> None:
        """``now``: kitchen seconds since 1970 UTC; ``speed``: kitchen seconds per real second."""
        self.metrics = Metrics()
        self._now = now
        self._speed = speed
        self._notes: queue.SimpleQueue[Callable[[], None] | None] = queue.SimpleQueue()
        self._thread: threading.Thread | None = None
        self._placed: dict[str, tuple[int, float]] = {}
        self._station_of: dict[str, str] = {}
        self._reached: dict[str, float] = {}
        self._late: dict[str, tuple[float, float]] = {}
        self._began = now() if now else 0.0
        self.book: Callable[[], Book] = dict
        """The dishes as they are now: names a step's station where no plan has named it yet."""

    def start(self) -> None:
        """Work off notes on a thread of its own, in the process that serves."""
        self._thread = threading.Thread(target=self._work, name="seen", daemon=True)
        self._thread.start()

    def close(self) -> None:
        """Work off what is noted, and end."""
        if self._thread is not None:
            self._notes.put(None)
            self._thread.join(timeout=1)

    def text(self) -> bytes:
        """All metrics, with what was noted before this was asked."""
        if self._thread is not None:
            done = threading.Event()
            self._notes.put(done.set)
            done.wait(timeout=1)
        self.metrics.queue.set(self._notes.qsize())
        return self.metrics.text()

    def late_cues(self) -> tuple[tuple[str, float], ...]:
        """Stations whose cue was sent late within the last minute, and by how much."""
        now_s = time.monotonic()
        late = list(self._late.items())
        return tuple((station, by_s) for station, (by_s, at_s) in late if now_s - at_s < LATE_SHOWN_S)

    # -- what the engine tells ------------------------------------------------------------------------------------

    def taken(self, kind: str, seq: int, client_id: str, repeated: bool, took_s: float) -> None:
        """See :class:`kitchen_timer.live.watched.Watcher`."""
        self._note(lambda: self._taken(kind, seq, client_id, repeated, took_s))

    def refused(self, kind: str, code: str, client_id: str) -> None:
        """See :class:`kitchen_timer.live.watched.Watcher`."""
        self._note(lambda: self._refused(kind, code, client_id))

    def wrote(self, written: tuple[Recorded, ...]) -> None:
        """See :class:`kitchen_timer.live.watched.Watcher`."""
        self._note(lambda: self._wrote(written))

    def planned(self, answer: Answer, took_s: float, first: bool, last: bool) -> None:
        """See :class:`kitchen_timer.live.watched.Watcher`."""
        self._note(lambda: self._planned(answer, took_s, first, last))

    # -- what the server tells ------------------------------------------------------------------------------------

    def unread(self, code: str) -> None:
        """A message could not be read, or was refused before it was a command."""
        self._note(lambda: self.metrics.unread.labels(code).inc())

    def cue_sent(self, action: dict[str, Any], station: str) -> None:
        """A cue went out to a station, as JSON."""
        now = self._now() if self._now else 0.0
        self._note(lambda: self._cue_sent(action, station, now))

    def joined(self, station: str, client_id: str) -> None:
        """A phone joined a station."""
        # At once, not noted: cues that are sent because of it must know of it.
        self._reached[station] = self._now() if self._now else 0.0
        self._note(lambda: tell("joined", f"a phone joined {station}", station=station, client=client_id))

    def lost(self, station: str, left: int) -> None:
        """A phone of a station was lost; ``left`` are still in touch."""
        words = f"a phone of {station} was lost: {left} left"
        self._note(lambda: tell("lost", words, station=station, left=left))

    # -- worked off -----------------------------------------------------------------------------------------------

    def _note(self, work: Callable[[], None]) -> None:
        if self._thread is None:
            work()
        else:
            self._notes.put(work)

    def _work(self) -> None:
        while (work := self._notes.get()) is not None:
            try:
                work()
            except Exception:
                _log.exception("something that happened could not be noted")

    def _taken(self, kind: str, seq: int, client_id: str, repeated: bool, took_s: float) -> None:
        outcome = "repeated" if repeated else "accepted"
        self.metrics.commands.labels(kind, outcome).inc()
        self.metrics.ack.observe(took_s)
        ms = round(took_s * 1000, 1)
        tell("command", f"{kind} {outcome} as {seq}", kind=kind, outcome=outcome, seq=seq, client=client_id, ms=ms)

    def _refused(self, kind: str, code: str, client_id: str) -> None:
        self.metrics.commands.labels(kind, "refused").inc()
        tell("command", f"{kind} refused: {code}", kind=kind, outcome="refused", code=code, client=client_id)

    def _wrote(self, written: tuple[Recorded, ...]) -> None:
        for entry in written:
            self.metrics.events.set(entry.seq)
            event = entry.event
            if isinstance(event, PlanAdopted):
                self._adopted(event, entry.at_ms / 1000)
            elif isinstance(event, CourseSent):
                self.metrics.spread.observe(event.spread_s)
                self.metrics.landed_late.observe(event.late_s)
                course, spread_s, late_s = str(event.course), event.spread_s, event.late_s
                words = f"{course} sent: spread {spread_s} s, {late_s} s late"
                tell("sent", words, course=course, spread_s=spread_s, late_s=late_s, past_keeps=event.past_keeps)
            elif isinstance(event, StepStarted) and entry.client_id is not None:
                station = self._station_of.get(str(event.step)) or self._by_the_book(event.step)
                self.metrics.start_late.labels(station).observe(max(0, event.at - event.due_at))

    def _adopted(self, event: PlanAdopted, at: float) -> None:
        placed: dict[str, tuple[int, float]] = {}
        for step in event.answer.steps:
            name = str(step.key)
            before = self._placed.get(name)
            placed[name] = before if before and before[0] == step.start_at else (step.start_at, at)
            self._station_of[name] = step.station
        self._placed = placed
        answer = event.answer
        late = sum(course.landing_at > course.target_at for course in answer.courses)
        tell(
            "plan",
            f"plan taken: {len(answer.courses)} courses, {late} behind, {len(event.moved)} cues moved",
            courses=len(answer.courses),
            behind=late,
            impossible=len(answer.impossible),
            moved=len(event.moved),
            cost=round(answer.cost, 1) if answer.cost is not None else None,
        )

    def _by_the_book(self, step: StepKey) -> str:
        dish = self.book().get(step.dish)
        return dish.components[step.component].station if dish and step.component in dish.components else "?"

    def _planned(self, answer: Answer, took_s: float, first: bool, last: bool) -> None:
        ms = round(took_s * 1000)
        if first:
            self.metrics.replan.labels("first").observe(took_s)
        if last:
            self.metrics.replan.labels("done").observe(took_s)
        if first or last:
            stage = "first plan" if first else "search over"
            tell("planned", f"{stage} after {ms} ms", stage="first" if first else "done", ms=ms)

    def _cue_sent(self, action: dict[str, Any], station: str, now: float) -> None:
        if action["kind"] != "start":
            return
        due_at = read_instant(action["due_at"])
        known = [self._placed[step][1] for step in action["steps"] if step in self._placed]
        could_at = max(due_at - HEADS_UP_S, self._began, self._reached.get(station, 0.0), *known, 0.0)
        late_s = max(0.0, now - could_at) / self._speed
        self.metrics.cue_late.labels(station).observe(late_s)
        if late_s >= CUE_LATE_S:
            self._late[station] = (late_s, time.monotonic())
            words = f"a cue reached {station} {late_s:.1f} s late"
            tell("cue_late", words, logging.WARNING, station=station, late_s=round(late_s, 3))


class SeenInTouch(InTouch):
    """Tells who joined and who was lost."""

    def __init__(self, stations: dict[str, str], monotonic_s: Callable[[], float], seen: Seen) -> None:
        super().__init__(stations, monotonic_s)
        self._seen = seen

    def joined(self, sid: str, station: str, client_id: str) -> None:
        """See :class:`InTouch`."""
        self._seen.joined(station, client_id)
        super().joined(sid, station, client_id)

    def left(self, sid: str) -> str | None:
        """See :class:`InTouch`."""
        station = super().left(sid)
        if station is not None:
            self._seen.lost(station, sum(each.devices for each in self.stations() if each.id == station))
        return station
