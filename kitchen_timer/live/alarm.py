"""An alarm clock and nothing more: it wakes the engine when the next thing is due, in kitchen time.

Hazards it is built around:
- A scheduler drops a one-shot job that is late by more than its grace time. Grace is without limit here, and the job
  asks "what is due by now?", so a late wake-up misses nothing.
- Due times are wall clock while sleeping is monotonic. If the machine's clock is set back, a job due in a second
  would sleep for the whole step. A guard compares the two clocks and arms anew when they part.
"""

import logging
import threading
import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Protocol

from apscheduler.executors.pool import ThreadPoolExecutor
from apscheduler.schedulers.background import BackgroundScheduler

_log = logging.getLogger(__name__)

SOONEST_S = 0.02
"""Real seconds between two wake-ups at least: something that stays due must not spin."""

PARTED_S = 0.05
"""Wall and monotonic clock have parted when they differ by more than this (a clock step, not drift)."""

GUARD_S = 0.5
"""How often the guard looks, in real seconds."""

_JOB = "wake"

_FAILED = "Cues may be late: a wake-up failed. Watch the clock yourself, and have the server looked at."


class Wakes(Protocol):
    """What the alarm needs of the engine."""

    def wake(self) -> None:
        """Do what is due by now."""

    def next_wake_at(self) -> float | None:
        """Kitchen seconds since 1970 UTC of the next thing due; None: nothing is."""

    def subscribe(self, listener: Callable[[frozenset[str]], None]) -> None:
        """Be told after every change."""


class Alarm:
    """Wakes an engine at its next due time. One thread runs the wake-ups, so none overlap or pile up."""

    def __init__(self, engine: Wakes, now: Callable[[], float], speed: float = 1.0) -> None:
        """``now``: kitchen seconds since 1970 UTC; ``speed``: kitchen seconds per real second."""
        self._engine = engine
        self._now = now
        self._speed = speed
        self._armed_for: float | None = None
        self._lock = threading.Lock()
        self._changed = threading.Event()
        self._closed = threading.Event()
        self._trouble: str | None = None
        self._scheduler = BackgroundScheduler(
            timezone=UTC,
            executors={"default": ThreadPoolExecutor(1)},
            # max_instances: the one thread queues them; a limit of 1 would drop a wake-up that meets a running one.
            job_defaults={"misfire_grace_time": None, "coalesce": True, "max_instances": 1000},
        )
        self._guard = threading.Thread(target=self._keep_armed, name="alarm-guard", daemon=True)

    def start(self) -> None:
        """Begin, in the process that serves (after any fork)."""
        self._scheduler.start()
        # Only a flag is set on the thread of whoever made the change: no tap waits for the alarm to be set.
        self._engine.subscribe(lambda _boards: self._changed.set())
        self._guard.start()
        self.arm(anew=True)

    def close(self) -> None:
        """End; a wake-up that runs is let finish by its own thread."""
        self._closed.set()
        self._changed.set()
        if self._scheduler.running:
            self._scheduler.shutdown(wait=False)

    def trouble(self) -> tuple[str, ...]:
        """What is wrong with waking, in words for the pass; empty when nothing is."""
        return (self._trouble,) if self._trouble else ()

    def arm(self, anew: bool = False) -> None:
        """Set the alarm to the engine's next due time. ``anew``: even if it is set to that already."""
        with self._lock:
            if self._closed.is_set():
                return
            due = self._engine.next_wake_at()
            if due == self._armed_for and not anew:
                return
            self._armed_for = due
            if due is None:
                if self._scheduler.get_job(_JOB) is not None:
                    self._scheduler.remove_job(_JOB)
                return
            in_s = max(SOONEST_S, (due - self._now()) / self._speed)
            self._scheduler.add_job(
                self._wake,
                "date",
                run_date=datetime.now(UTC) + timedelta(seconds=in_s),
                id=_JOB,
                replace_existing=True,
            )

    def _wake(self) -> None:
        with self._lock:
            self._armed_for = None
        try:
            self._engine.wake()
            self._trouble = None
        except Exception:
            # The next wake-up tries again; meanwhile the pass must know that cues may be late.
            _log.exception("the wake-up failed")
            self._trouble = _FAILED
            time.sleep(1)
        self.arm(anew=True)

    def _keep_armed(self) -> None:
        apart = time.time() - time.monotonic()
        while True:
            self._changed.wait(GUARD_S)
            self._changed.clear()
            if self._closed.is_set():
                return
            now_apart = time.time() - time.monotonic()
            parted = abs(now_apart - apart) > PARTED_S
            if parted:
                _log.warning("the machine's clock was set by %+.2f s: the alarm is set anew", now_apart - apart)
                apart = now_apart
            self.arm(anew=parted)
