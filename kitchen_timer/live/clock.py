"""The kitchen's clock: seconds since 1970 UTC that only ever go forward, and go on after a restart.

The only file that reads a wall clock. A wall clock may be set while a service goes on; a monotonic one may not, but
means nothing after a restart. So the kitchen's time is an anchor ("it was ``kitchen_at`` when the wall said
``wall_at``") plus the monotonic seconds since the program began, times the speed.
"""

import threading
import time
from dataclasses import dataclass
from typing import Protocol


class Clock(Protocol):
    """What tells the kitchen's time."""

    def now(self) -> float:
        """Seconds since 1970 UTC, with fractions."""
        ...


def wall_s() -> float:
    """What the machine's clock says, in seconds since 1970 UTC. It may be set at any moment."""
    return time.time()


@dataclass(frozen=True)
class Anchor:
    """It was ``kitchen_at`` in the kitchen when it was ``wall_at`` outside; both in seconds since 1970 UTC."""

    kitchen_at: float
    wall_at: float
    speed: float = 1.0
    """Kitchen seconds per real second; 1 but for a demo."""


class SystemClock:
    """The machine's clock, read once when it is made and monotonic from then on."""

    def __init__(self, kitchen_at: float | None = None, wall_at: float | None = None, speed: float = 1.0) -> None:
        """``kitchen_at`` when the wall said ``wall_at``; without them the kitchen's time begins as the wall's."""
        if speed <= 0:
            raise ValueError(f"a clock of speed {speed} stands still or goes back: give one above 0")
        self._monotonic_0 = time.monotonic()
        self._wall_0 = time.time()
        wall = self._wall_0 if wall_at is None else wall_at
        self._anchor = Anchor(wall if kitchen_at is None else kitchen_at, wall, speed)

    @property
    def anchor(self) -> Anchor:
        """What a later run needs to go on as if this one had never stopped."""
        return self._anchor

    def now(self) -> float:
        """Seconds since 1970 UTC in the kitchen."""
        wall = self._wall_0 + (time.monotonic() - self._monotonic_0)
        return self._anchor.kitchen_at + (wall - self._anchor.wall_at) * self._anchor.speed

    def apart_s(self) -> float:
        """Real seconds by which the wall clock has been set forward (back: negative) since this clock was made."""
        return (time.time() - self._wall_0) - (time.monotonic() - self._monotonic_0)


class TurnedClock:
    """A clock that stands until a test turns it."""

    def __init__(self, at: float) -> None:
        self._now = float(at)
        self._lock = threading.Lock()

    @property
    def anchor(self) -> Anchor:
        """Of this moment, speed 1."""
        return Anchor(self._now, self._now)

    def now(self) -> float:
        """Seconds since 1970 UTC, as last turned."""
        with self._lock:
            return self._now

    def turn(self, seconds: float) -> None:
        """On by so many seconds."""
        self.turn_to(self._now + seconds)

    def turn_to(self, at: float) -> None:
        """To an instant that has not passed."""
        with self._lock:
            if at < self._now:
                raise ValueError(f"a kitchen's clock never goes back: it is {self._now}, not {at}")
            self._now = float(at)
