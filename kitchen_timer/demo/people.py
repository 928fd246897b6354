"""The thread in which the demo's invented people live."""

import logging
import threading
from collections.abc import Callable

from kitchen_timer.demo.brigade import Brigade

_log = logging.getLogger(__name__)

LOOK_S = 0.1
"""Real seconds between two looks at least: people do not act faster, and the server has phones to serve."""

IDLE_S = 1.0
"""Real seconds between two looks at most: a phone that joined or left changes who taps without any event."""


class People:
    """Lets a brigade act when something is due or has changed, until the evening is over."""

    def __init__(
        self,
        brigade: Brigade,
        now: Callable[[], float],
        speed: float,
        is_over: Callable[[float], bool],
        over: Callable[[], None],
    ) -> None:
        """``now``: kitchen seconds; ``over`` is called once, when ``is_over(now)`` is true."""
        self._brigade = brigade
        self._now = now
        self._speed = speed
        self._is_over = is_over
        self._over = over
        self._changed = threading.Event()
        self._closed = threading.Event()
        self._thread = threading.Thread(target=self._live, name="demo-people", daemon=True)

    def start(self) -> None:
        """Begin."""
        self._thread.start()

    def close(self) -> None:
        """End; what one of them is doing is let finish."""
        self._closed.set()
        self._changed.set()

    def changed(self, boards: frozenset[str]) -> None:
        """Something changed: look again soon."""
        self._brigade.changed(boards)
        self._changed.set()

    def _live(self) -> None:
        while not self._closed.is_set():
            self._changed.clear()
            wait_s = IDLE_S
            try:
                now = self._now()
                if self._is_over(now):
                    self._over()
                    return
                wait_s = min(IDLE_S, (self._brigade.act(now) - self._now()) / self._speed)
            except Exception:
                _log.exception("the demo's people stumbled; they look again in a moment")
            if self._closed.wait(LOOK_S):
                return
            self._changed.wait(max(0.0, wait_s - LOOK_S))
