"""What follows a command once it is written down: planning anew and telling the screens. A tap need not wait for it."""

import logging
import threading
from collections.abc import Callable

_log = logging.getLogger(__name__)

REST_S = 0.1
"""The shortest time from one round to the next, on a thread of its own: a tap after a quiet moment is followed at
once, a burst of them ten times a second. Each round ends in a plan that is checked, written down and drawn on every
screen."""


class Afterwards:
    """Does it at once in the caller's thread, or on one of its own: then what comes meanwhile is done together."""

    def __init__(self, work: Callable[[frozenset[str]], None], *, own_thread: bool) -> None:
        """``work`` is given the names of all boards that changed; what it raises is logged and ends nothing."""
        self._work = work
        self._lock = threading.Lock()
        self._changed: frozenset[str] = frozenset()
        self._wanted = threading.Event()
        self._closed = threading.Event()
        self._thread = threading.Thread(target=self._run, name="afterwards", daemon=True) if own_thread else None
        if self._thread is not None:
            self._thread.start()

    def add(self, changed: frozenset[str]) -> None:
        """A command changed these boards."""
        if self._thread is None:
            self._work(changed)
            return
        with self._lock:
            self._changed |= changed
        self._wanted.set()

    def close(self) -> None:
        """End the thread within what it is at; what is left undone is done anew from the log at the next start."""
        self._closed.set()
        self._wanted.set()
        if self._thread is not None and self._thread is not threading.current_thread():
            self._thread.join(timeout=1)

    def _run(self) -> None:
        while True:
            self._wanted.wait()
            self._wanted.clear()
            if self._closed.is_set():
                return
            with self._lock:
                changed, self._changed = self._changed, frozenset()
            try:
                self._work(changed)
            except Exception:
                _log.exception("what follows a command failed")
            self._closed.wait(REST_S)
