"""The one door to the evening: commands in, boards out, every event on the disk before anybody is told.

One lock guards the evening. Nothing is asked of the planner and no listener is called while it is held, so whatever
they do, a tap never waits for them.
"""

import logging
import threading
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date
from functools import partial
from math import floor

from kitchen_timer.kitchen.dish import Book
from kitchen_timer.kitchen.problems import KitchenProblem
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.live import adoption
from kitchen_timer.live.afterwards import Afterwards
from kitchen_timer.live.aside import Aside
from kitchen_timer.live.asked import Asked
from kitchen_timer.live.changed import boards_changed
from kitchen_timer.live.clock import Clock, SystemClock
from kitchen_timer.live.held import HeldEstimates
from kitchen_timer.live.history import History
from kitchen_timer.live.own_trouble import BROKEN, CRASHED, SILENT, SILENT_S, UNWRITTEN, OwnTrouble
from kitchen_timer.live.planner import Planner
from kitchen_timer.live.quoted import quoted
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.question import CourseKey, StepKey
from kitchen_timer.record.event_log import ClientMark, EventLog
from kitchen_timer.service import boards
from kitchen_timer.service.ask_planner import question_of, told_under
from kitchen_timer.service.commands import Command, CourseAsked
from kitchen_timer.service.decide import decide
from kitchen_timer.service.due import coming_finishes, due_by, next_due_at, overdue
from kitchen_timer.service.editing import book_edited
from kitchen_timer.service.events import BookRead, Event, PlanAdopted, Recorded, ServiceOpened
from kitchen_timer.service.going import HEADS_UP_S, OVERDUE_S
from kitchen_timer.service.picture import picture_of
from kitchen_timer.service.state import Evening
from kitchen_timer.service.views import PassBoard, Quote, StationBoard, StationInTouch

_log = logging.getLogger(__name__)

Listener = Callable[[frozenset[str]], None]


@dataclass(frozen=True)
class Ack:
    """A command is written down; ``seq`` is what takes it back."""

    seq: int
    repeated: bool
    """It had been written down before, and changed nothing now."""


class Engine:
    """An evening of one kitchen. Thread-safe. Instants are seconds since 1970 UTC of the kitchen's clock."""

    def __init__(
        self,
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
        """Goes on where the log of ``kitchen_id`` ends. ``in_background`` runs what takes a while: a thread.

        ``acks_first``: a command is answered when it is written down, and planned for on another thread in that moment.
        """
        self._clock = clock
        self._planner = planner
        self._lock = threading.RLock()
        self._asking = threading.Lock()
        self._ask_wanted = False
        self._listeners: list[Listener] = []
        self._history = History(log, kitchen_id, Evening(kitchen=kitchen, book=book))
        self._book = book
        self._token = self._history.state.seq
        self._asked: Asked | None = None
        self._late_known: frozenset[StepKey] = frozenset()
        self._ask_again_at: int | None = self._now() if self._history.state.any_planned() else None
        self._warned: frozenset[tuple[StepKey, int]] = frozenset()
        self._searching = False
        self._trouble = OwnTrouble()
        self.aside = Aside(planner, self._evening, self._now)
        self._afterwards = Afterwards(self._follow, own_thread=acks_first)
        held_known = partial(self._tell, frozenset({"pass"}))
        self._held = HeldEstimates(planner, self._evening, self._now, held_known, in_background)

    @property
    def seq(self) -> int:
        """Of the last event in the evening."""
        return self._evening().seq

    @property
    def service(self) -> date | None:
        """The date of the service that is open."""
        return self._evening().service

    def open_service(self, service: date) -> None:
        """Begin a service; the one of that date goes on, any other is over."""
        with self._lock:
            if self._history.state.service == service:
                return
            anchor = self._clock.anchor if isinstance(self._clock, SystemClock) else None
            at = self._clock.now()
            opened = ServiceOpened(
                service=service,
                kitchen_at=anchor.kitchen_at if anchor else at,
                wall_at=anchor.wall_at if anchor else at,
                speed=anchor.speed if anchor else 1.0,
            )
            before = self._history.state
            # The book is written down with the evening: what is edited later is not to change what was.
            written = self._write((opened, BookRead(tuple(self._book.values()), whole=True)))
            self._asked, self._ask_again_at, self._searching = None, None, False
            changed = boards_changed(before, self._history.state, written)
        self._tell(changed)

    @property
    def book(self) -> Book:
        """The dishes that can be ordered, eighty-six or not."""
        state = self._evening()
        return {key: dish for key, dish in state.book.items() if key not in state.former}

    def off(self, dish: str) -> str:
        """What there is none left of that a dish needs; empty: it is to be had."""
        return self._evening().is_off(dish) or ""

    def use_book(self, book: Book) -> None:
        """The book as it is now, edited perhaps: it counts for all that has not started."""
        with self._lock:
            self._book = book
            before, now = self._history.state, self._now()
            edited = book_edited(before, book)
            if edited is None:
                return
            written = [*self._write((edited,)), *self._settle(now)]
            self._asked = None
            changed = boards_changed(before, self._history.state, written)
        self._ask()
        self._held.refresh(now, anew=True)
        self._tell(changed)

    def do(self, command: Command, client_id: str, client_seq: int) -> Ack:
        """Do what a client asks, once: the same number of the same client again gets the same answer.

        Written to the disk before it returns. Raises a :class:`KitchenProblem` when refused; nothing has changed then.
        """
        mark = ClientMark(client_id, client_seq)
        earlier = self._earlier(mark)  # nobody waits for this look at the disk; sent twice at once is seen below
        with self._lock:
            if earlier or (earlier := self._history.just_written(mark)):
                return Ack(earlier, repeated=True)
            now, before = self._now(), self._history.state
            written = self._settle(now)
            events = decide(command, self._history.state, now)
            done = self._write(events, mark)
            # Whatever the planner is still working at was asked about another evening.
            self._asked = None
            written += [*done, *self._settle(now)]
            changed = boards_changed(before, self._history.state, written)
        self._afterwards.add(changed)
        return Ack(done[0].seq, repeated=False)

    def quote(self, table: str, courses: tuple[CourseAsked, ...]) -> Quote:
        """What an order would get if it were taken now. Changes nothing."""
        return quoted(self._planner, self._history, self._now(), table, courses)

    def wake(self) -> None:
        """Write down what has happened by itself by now, and plan again what reality has left behind."""
        with self._lock:
            now, before = self._now(), self._history.state
            written = self._settle(now)
            changed = boards_changed(before, self._history.state, written) | self._finish_cues(now)
            ask = self._must_ask(now)
            if self._history.state.any_planned() and self._is_silent(now):
                changed |= self._note("plan", self._trouble.about("plan") or SILENT)
        if ask:
            self._ask()
            changed |= {"pass"}
        self._held.refresh(now)
        self._tell(changed)

    def next_wake_at(self) -> float | None:
        """Kitchen seconds of the next thing due; None when nothing is."""
        with self._lock:
            now = self._now()
            due = [next_due_at(self._history.state, now), self._ask_again_at, self._held.next_at()]
            if self._late_known and self._asked is not None:
                due.append(self._asked.now + OVERDUE_S)
            if self._asked is not None and not self._asked.answered:
                due.append(self._asked.now + SILENT_S)
            return min((float(max(at, now + 1)) for at in due if at is not None), default=None)

    def pass_board(self, stations: tuple[StationInTouch, ...] = (), trouble: Iterable[str] = ()) -> PassBoard:
        """All the pass screen shows now."""
        return boards.pass_board(
            self._evening(),
            self._now(),
            stations=stations,
            trouble=(*trouble, *self._trouble.words()),
            if_fired=self._held.landings,
            replanning=self._searching,
        )

    def station_board(self, station: str) -> StationBoard:
        """All a station's phone shows now."""
        return boards.station_board(self._evening(), station, self._now())

    def subscribe(self, listener: Listener) -> None:
        """Have ``listener`` called after every change with the boards that changed: ``pass``, ``station:fry``."""
        self._listeners.append(listener)

    def adopt(self, token: int, answer: Answer, improving: bool) -> bool:
        """Take over a plan for the newest question if it is sound and worth it. ``improving``: the search goes on.

        True also when the plan of the moment is as good and stands; False when this one is of no use any more.
        """
        while True:
            with self._lock:
                asked, state, now = self._asked, self._history.state, self._now()
            if asked is None or asked.token != token:
                return False
            # What takes long is done without the lock, of an evening that does not change: no tap waits for it.
            question = question_of(state, asked.now)
            if not question.courses:
                return False
            verdict, causes = adoption.judged(state, question, answer, now, first=not asked.answered)
            with self._lock:
                if self._asked is not asked:
                    return False
                if self._history.state is not state:
                    continue  # something was due while it was being checked: look again
                changed = self._conclude(asked, answer, verdict, causes, improving, now)
                break
        self._held.refresh(now, anew=not improving)
        self._tell(changed)
        return verdict.take or verdict.stands

    def close(self) -> None:
        """End the planner and let go of the log."""
        self._afterwards.close()
        self._planner.close()
        self._history.close()

    def _conclude(
        self,
        asked: Asked,
        answer: Answer,
        verdict: adoption.Verdict,
        causes: dict[CourseKey, str],
        improving: bool,
        now: int,
    ) -> frozenset[str]:
        first = not asked.answered
        changed = self._searching_is(improving and (verdict.take or verdict.stands or not first))
        if not (verdict.take or verdict.stands):
            _log.warning("a plan was not taken: %s", verdict.why_not)
            if first:
                asked.refused += 1
                self._ask_again_at = now + min(asked.refused, OVERDUE_S)
                if verdict.broken or asked.refused > 1:
                    changed |= self._note("plan", BROKEN if verdict.broken else SILENT)
            return changed
        asked.answered = True
        self._ask_again_at = None
        changed |= self._note("plan", "")
        if verdict.take:
            before = self._history.state
            starts = {step.key: step.start_at for step in answer.steps}
            adopted = PlanAdopted(
                answer=adoption.of_planned(before, answer),
                causes=tuple(sorted(causes.items())),
                told=told_under(before, starts, now, HEADS_UP_S),
                moved=verdict.moved,
            )
            try:
                written = [*self._write((adopted,)), *self._settle(now)]
            except KitchenProblem:
                return changed | self._note("log", UNWRITTEN)
            changed |= boards_changed(before, self._history.state, written)
        return changed

    def _follow(self, changed: frozenset[str]) -> None:
        self._ask()
        self._held.refresh(self._now())
        self._tell(changed)

    def _ask(self) -> None:
        """Put the evening of this moment to the planner; who is at it asks again for all that came meanwhile."""
        self._ask_wanted = True
        while self._ask_wanted and self._asking.acquire(blocking=False):
            try:
                self._ask_wanted = False
                self._ask_once()
            finally:
                self._asking.release()

    def _ask_once(self) -> None:
        """The planner's failure is said on the pass and hurts nobody's tap."""
        with self._lock:
            now, state = self._now(), self._history.state
            self._ask_again_at = None
            self._late_known = overdue(state, now)
            self._token = max(self._token + 1, state.seq)
            refused = self._asked.refused if self._asked is not None and not self._asked.answered else 0
            asked = self._asked = Asked(token=self._token, now=now, refused=refused)
            self._searching = True
        changed: frozenset[str] = frozenset()
        try:
            if (question := question_of(state, now)).courses:
                self._planner.ask(asked.token, question, state.plan, self.adopt)
                return
        except Exception:
            _log.exception("the planner could not be asked")
            changed = self._note("plan", CRASHED)
        with self._lock:
            if self._asked is asked and not changed:
                self._asked = None  # there is nothing to plan
            changed |= self._searching_is(False)
        self._tell(changed)

    def _must_ask(self, now: int) -> bool:
        if self._ask_again_at is not None and self._ask_again_at <= now:
            return True
        late = overdue(self._history.state, now)
        rested = self._asked is None or now - self._asked.now >= OVERDUE_S
        known, self._late_known = self._late_known, self._late_known & late
        return bool(late - known) or (bool(late) and rested)

    def _is_silent(self, now: int) -> bool:
        asked = self._asked
        return asked is not None and not asked.answered and now - asked.now >= SILENT_S

    def _settle(self, now: int) -> list[Recorded]:
        """Write down what is due by ``now`` until nothing is."""
        written: list[Recorded] = []
        # Every round brings a load one step on; a component has far fewer steps than this.
        for _ in range(50):
            events = due_by(self._history.state, now)
            if not events:
                break
            written += self._write(events)
        return written

    def _write(self, events: tuple[Event, ...], client: ClientMark | None = None) -> list[Recorded]:
        try:
            written = self._history.append(floor(self._clock.now() * 1000), events, client)
        except KitchenProblem:
            self._note("log", UNWRITTEN)
            raise
        self._note("log", "")
        return written

    def _earlier(self, mark: ClientMark) -> int | None:
        try:
            return self._history.acknowledged(mark)
        except KitchenProblem:
            self._note("log", UNWRITTEN)
            raise

    def _finish_cues(self, now: int) -> frozenset[str]:
        """Stations for which the heads-up of an end has come since last time (starts have an event of their own)."""
        state = self._history.state
        near = frozenset(
            (step.key, due) for step, due in coming_finishes(state, picture_of(state, now)) if due - HEADS_UP_S <= now
        )
        new, self._warned = near - self._warned, near
        return frozenset(f"station:{state.component(step).station}" for step, _ in new)

    def _note(self, about: str, words: str) -> frozenset[str]:
        return frozenset({"pass"}) if self._trouble.note(about, words) else frozenset()

    def _searching_is(self, searching: bool) -> frozenset[str]:
        changed = self._searching != searching
        self._searching = searching
        return frozenset({"pass"}) if changed else frozenset()

    def _evening(self) -> Evening:
        # Without the lock: a board must not wait for somebody's tap to be on the disk, and shows none that is not.
        return self._history.state

    def _now(self) -> int:
        return floor(self._clock.now())

    def _tell(self, changed: frozenset[str]) -> None:
        if not changed:
            return
        for listener in list(self._listeners):
            try:
                listener(changed)
            except Exception:  # one screen's trouble must not keep the others from theirs
                _log.exception("a listener failed")
