"""What landing each held course would get if it were called now: asked of the planner aside, never waited for."""

import logging
import threading
from collections.abc import Callable, Mapping

from kitchen_timer.live.planner import Planner
from kitchen_timer.plan.question import CourseKey
from kitchen_timer.record.event_log import recorded
from kitchen_timer.service.ask_planner import question_of
from kitchen_timer.service.events import CourseFired
from kitchen_timer.service.fold import fold
from kitchen_timer.service.state import Evening

_log = logging.getLogger(__name__)

FRESH_S = 30
"""An estimate older than this is asked for anew (kitchen seconds)."""


def _is_asked_about(state: Evening, key: CourseKey) -> bool:
    """Held, and to be had by firing it: not taken off, and its guests at the table."""
    return not state.is_planned(key) and not state.courses[key].off and key.table not in state.away


def _in_a_thread(work: Callable[[], None]) -> None:
    threading.Thread(target=work, name="held-courses", daemon=True).start()


class HeldEstimates:
    """Keeps :attr:`landings` fresh while anything is held."""

    def __init__(
        self,
        planner: Planner,
        evening: Callable[[], Evening],
        now: Callable[[], int],
        known: Callable[[], None],
        in_background: Callable[[Callable[[], None]], None] | None,
    ) -> None:
        """``known`` is called when an estimate has changed."""
        self._planner = planner
        self._evening = evening
        self._now = now
        self._known = known
        self._in_background = in_background or _in_a_thread
        self._lock = threading.Lock()
        self._working = False
        self._again = False
        self._asked_at: int | None = None
        self._held: frozenset[CourseKey] = frozenset()
        self.landings: Mapping[CourseKey, int] = {}

    def next_at(self) -> int | None:
        """When estimates want looking at again; None while nothing is held."""
        return self._asked_at + FRESH_S if self._held and self._asked_at is not None else None

    def refresh(self, now: int, anew: bool = False) -> None:
        """Ask for estimates where they are missing or old; ``anew``: the plan has changed under them."""
        state = self._evening()
        held = frozenset(key for key in state.courses if _is_asked_about(state, key))
        with self._lock:
            old = self._asked_at is None or now - self._asked_at >= FRESH_S
            if not held:
                self._held, self.landings = held, {}
                return
            if held == self._held and not old and not anew:
                return
            self._held, self._asked_at = held, now
            self.landings = {key: at for key, at in self.landings.items() if key in held}
            if self._working:
                self._again = True
                return
            self._working = True
        self._in_background(self._work)

    def _work(self) -> None:
        while True:
            try:
                found = self._estimates()
            except Exception:
                # The planner's own trouble is said by the planner; a held course then shows no landing.
                _log.exception("the landings of held courses could not be worked out")
                found = {}
            with self._lock:
                changed = found != self.landings
                self.landings = found
                if not self._again:
                    self._working = False
                    break
                self._again = False
        if changed:
            self._known()

    def _estimates(self) -> dict[CourseKey, int]:
        state, now = self._evening(), self._now()
        found: dict[CourseKey, int] = {}
        for key in state.courses:
            if not _is_asked_about(state, key):
                continue
            (entry,) = recorded(state.seq, now * 1000, (CourseFired(key),), None)
            question = question_of(fold(state, entry), now)
            planned = self._planner.answer_now(question, state.plan).by_course.get(key)
            if planned is not None:
                found[key] = planned.landing_at
        return found
