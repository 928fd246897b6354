"""How the tool itself is: tried, not assumed. What is wrong is said on the pass, from its beginning to its end."""

import contextlib
import logging
import shutil
import sqlite3
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from kitchen_timer.server.log_lines import tell
from kitchen_timer.server.seen import Seen as Noted
from kitchen_timer.service.own_troubles import OwnTrouble, Seen, own_troubles
from kitchen_timer.service.views import StationInTouch

_log = logging.getLogger(__name__)

LOOK_S = 1.0
"""Real seconds between two looks."""

TRY_S = 10.0
"""Real seconds between two tries of database and planner without being asked."""

AGAIN_S = 1.0
"""Who asks again within so many seconds gets the same answer: asking often must not fill the disk's queue."""

CLOCK_SAID_S = 600.0
"""Real seconds that the pass is told that the machine's clock was set."""


def written(database: Path) -> bool:
    """Writes to the evening's database, on to the disk, and says whether that worked. Makes none anew."""
    try:
        with contextlib.closing(sqlite3.connect(f"{database.as_uri()}?mode=rw", timeout=1.0, uri=True)) as connection:
            connection.execute("PRAGMA synchronous=FULL")
            with connection:
                connection.execute("CREATE TABLE IF NOT EXISTS probe (one INTEGER PRIMARY KEY, times INTEGER NOT NULL)")
                connection.execute(
                    "INSERT INTO probe VALUES (1, 1) ON CONFLICT (one) DO UPDATE SET times = (times + 1) % 1000"
                )
    except sqlite3.Error:
        return False
    return True


def _yes() -> bool:
    return True


def _none() -> tuple[int, ...]:
    return ()


def _zero() -> float:
    return 0.0


@dataclass(frozen=True)
class Asks:
    """What can be asked of the parts. Those that a server has not are left out."""

    database: Callable[[], bool] = _yes
    planner: Callable[[], bool] = _yes
    planner_ids: Callable[[], tuple[int, ...]] = _none
    plan_waited_s: Callable[[], float] = _zero
    clock_set_s: Callable[[], float] = _zero
    """By how much the machine's clock has been set since the start."""
    folder: Path | None = None
    """Where the evening is kept."""


class Vitals:
    """Tries the parts, now and then by itself."""

    def __init__(
        self,
        asks: Asks,
        seen: Noted,
        stations: Callable[[], tuple[StationInTouch, ...]],
        wanted: Callable[[], frozenset[str]],
        told_elsewhere: Callable[[], tuple[str, ...]],
        changed: Callable[[], None],
    ) -> None:
        """``wanted``: stations with cues to be tapped; ``told_elsewhere``: troubles that others say; ``changed``: is
        called when :meth:`troubles` says something else."""
        self._asks = asks
        self._seen = seen
        self._stations = stations
        self._wanted = wanted
        self._told_elsewhere = told_elsewhere
        self._changed = changed
        self._lock = threading.Lock()
        self._closed = threading.Event()
        self._answers: dict[str, tuple[float, bool]] = {}
        self._planner_answered_s = time.monotonic()
        self._silent = 0
        self._ids: tuple[int, ...] = ()
        self._clock_s = 0.0
        self._clock_at_s = -CLOCK_SAID_S
        self._clock_by_s = 0.0
        self._stand: dict[str, tuple[str, float]] = {}
        self._troubles: tuple[OwnTrouble, ...] = ()

    def start(self) -> None:
        """Keep looking, in the process that serves."""
        threading.Thread(target=self._keep_looking, name="vitals", daemon=True).start()

    def close(self) -> None:
        """Stop looking."""
        self._closed.set()

    def troubles(self) -> tuple[str, ...]:
        """What is wrong with the tool, in words for the pass."""
        return tuple(trouble.words for trouble in self._troubles)

    def database(self, within_s: float = AGAIN_S) -> bool:
        """Whether the log could be written within the last ``within_s`` seconds; tried now if that is longer ago."""
        return self._try("database", self._asks.database, within_s)

    def planner(self, within_s: float = AGAIN_S) -> bool:
        """Whether the planner answered within the last ``within_s`` seconds; asked now if that is longer ago."""
        answered = self._try("planner", self._asks.planner, within_s)
        return answered

    def planner_age_s(self) -> float:
        """Real seconds since the planner last answered."""
        return time.monotonic() - self._planner_answered_s

    def disk_left_mb(self) -> int | None:
        """Megabytes that are left where the evening is kept; None: not known."""
        if self._asks.folder is None:
            return None
        try:
            return shutil.disk_usage(self._asks.folder).free // 1_000_000
        except OSError:
            return None

    def clock_set_s(self) -> float:
        """By how much the machine's clock has been set since the start, in seconds."""
        return self._asks.clock_set_s()

    def look(self) -> None:
        """Look once; what began or ended is logged, and the pass is told."""
        if self.planner(TRY_S):
            self._silent = 0
        else:
            self._silent += 1
        found = own_troubles(
            Seen(
                stations=self._stations(),
                wanted=self._wanted(),
                written=self.database(TRY_S),
                disk_left_mb=self.disk_left_mb(),
                planner_answers=self._silent < 2,  # once may be a long plan for many tables
                plan_waited_s=self._asks.plan_waited_s(),
                clock_set_s=self._clock(),
                late_cues=self._seen.late_cues(),
            )
        )
        self._restarts()
        self._begun_and_ended(found)
        news, self._troubles = found != self._troubles, found
        if news:
            self._changed()
        self._figures()

    def _try(self, part: str, ask: Callable[[], bool], within_s: float) -> bool:
        with self._lock:
            at_s, was = self._answers.get(part, (-1e9, False))
            if time.monotonic() - at_s < within_s and (was or within_s <= AGAIN_S):
                return was
            now = ask()
            self._answers[part] = (time.monotonic(), now)
            if part == "planner" and now:
                self._planner_answered_s = time.monotonic()
            return now

    def _clock(self) -> float:
        """By how much the machine's clock was set lately."""
        set_s, now_s = self._asks.clock_set_s(), time.monotonic()
        if abs(set_s - self._clock_s) >= 1:
            self._clock_by_s, self._clock_at_s = set_s - self._clock_s, now_s
            words = f"the machine's clock was set by {self._clock_by_s:+.1f} s: the kitchen's goes on by its own"
            tell("clock_set", words, logging.WARNING, by_s=round(self._clock_by_s, 1))
        self._clock_s = set_s
        return self._clock_by_s if now_s - self._clock_at_s < CLOCK_SAID_S else 0.0

    def _restarts(self) -> None:
        ids = self._asks.planner_ids()
        gone = set(self._ids) - set(ids)
        if gone and not self._closed.is_set():
            self._seen.metrics.restarts.inc(len(gone))
            tell(
                "planner_restart", "a planner process ended and was started again", logging.WARNING, ended=sorted(gone)
            )
        self._ids = ids

    def _begun_and_ended(self, found: tuple[OwnTrouble, ...]) -> None:
        now_s = time.monotonic()
        stand = {trouble.key: trouble.words for trouble in found}
        stand |= {f"told:{words}": words for words in self._told_elsewhere() if words not in stand.values()}
        for key, words in stand.items():
            if key not in self._stand:
                tell("trouble_begun", words, logging.WARNING, trouble=_named(key))
        for key, (words, since_s) in self._stand.items():
            if key not in stand:
                lasted_s = round(now_s - since_s)
                over = f"over after {lasted_s} s: {words}"
                tell("trouble_ended", over, trouble=_named(key), lasted_s=lasted_s)
        self._stand = {key: (words, self._stand.get(key, ("", now_s))[1]) for key, words in stand.items()}

    def _figures(self) -> None:
        metrics = self._seen.metrics
        metrics.troubles.set(len(self._stand))
        metrics.unplanned.set(self._asks.plan_waited_s())
        metrics.clock_set.set(self._asks.clock_set_s())
        for station in self._stations():
            metrics.phones.labels(station.id).set(station.devices)

    def _keep_looking(self) -> None:
        while not self._closed.wait(LOOK_S):
            try:
                self.look()
            except Exception:
                _log.exception("the tool could not look at itself")


def _named(key: str) -> str:
    return "told" if key.startswith("told:") else key
