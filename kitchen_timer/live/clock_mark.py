"""The kitchen's clock over a restart: it goes on with the machine's own, whatever the wall clock was set to meanwhile.

A wall clock that is set by half a minute while a service goes on changes nothing, because the kitchen's clock follows
the monotonic one. Without more, the next start of the program would jump by that half minute, and every countdown with
it. So a mark says what the kitchen's time was at a second since the machine was started; those seconds are never set.
After the machine itself was started again, or after a night, the wall clock is believed anew.
"""

import contextlib
import json
import logging
import os
import time
from collections.abc import Callable
from dataclasses import asdict, dataclass
from pathlib import Path

from kitchen_timer.live.clock import SystemClock, wall_s

_log = logging.getLogger(__name__)

_NAME = "clock-mark.json"

OLD_S = 18 * 3600
"""A mark older than this is of another service."""

MOST_APART_S = 120
"""A wall clock further from the kitchen's than this was wrong before, and was put right: it is believed."""

_BOOT_ID = Path("/proc/sys/kernel/random/boot_id")


@dataclass(frozen=True)
class ClockMark:
    """It was ``kitchen_at`` (seconds since 1970) when the machine had run for ``running_s`` since it was started."""

    boot_id: str
    running_s: float
    kitchen_at: float


def boot_id() -> str:
    """A name for this run of the machine; empty where the system has none."""
    try:
        return _BOOT_ID.read_text(encoding="ascii").strip()
    except OSError:
        return ""


def running_s() -> float | None:
    """Seconds since the machine was started, sleep included; None where the system does not count them."""
    clock = getattr(time, "CLOCK_BOOTTIME", None)
    return None if clock is None else time.clock_gettime(clock)


def clock_of(
    data: Path,
    boot: Callable[[], str] = boot_id,
    running: Callable[[], float | None] = running_s,
    wall: Callable[[], float] = wall_s,
) -> SystemClock:
    """The kitchen's clock, going on from the mark in ``data``, which is written where there is none that counts."""
    this_boot, ran_s, wall_at = boot(), running(), wall()
    mark = _read(data)
    if mark is not None and this_boot and ran_s is not None and mark.boot_id == this_boot:
        went_s = ran_s - mark.running_s
        kitchen_at = mark.kitchen_at + went_s
        if 0 <= went_s <= OLD_S and abs(wall_at - kitchen_at) <= MOST_APART_S:
            if abs(wall_at - kitchen_at) > 1:
                set_by_s = wall_at - kitchen_at
                _log.warning("the machine's clock was set by %+.1f s: the service goes on by its own", set_by_s)
            return SystemClock(kitchen_at=kitchen_at, wall_at=wall_at)
    clock = SystemClock(kitchen_at=wall_at, wall_at=wall_at)
    if this_boot and ran_s is not None:
        _write(data, ClockMark(this_boot, ran_s, wall_at))
    return clock


def _read(data: Path) -> ClockMark | None:
    try:
        return ClockMark(**json.loads((data / _NAME).read_text(encoding="utf-8")))
    except (OSError, ValueError, TypeError):
        return None


def _write(data: Path, mark: ClockMark) -> None:
    """Whole or not at all; where it cannot be kept, the next start believes the wall clock."""
    new = data / f"{_NAME}.new"
    with contextlib.suppress(OSError):
        with new.open("w", encoding="utf-8") as file:
            json.dump(asdict(mark), file)
            file.flush()
            os.fsync(file.fileno())
        new.replace(data / _NAME)
