"""Boards to pages: after every change, at most one round every 50 ms; cues to a station at their heads-up."""

import logging
import threading
import time
from collections.abc import Callable

from flask_socketio import SocketIO

from kitchen_timer.live.clock import Clock
from kitchen_timer.live.engine import Engine
from kitchen_timer.server.drawn import DrawnBoards
from kitchen_timer.server.in_touch import InTouch
from kitchen_timer.server.messages import write
from kitchen_timer.service.views import PassBoard

_log = logging.getLogger(__name__)

ROUND_S = 0.05
"""The shortest time between two rounds: a burst of taps becomes one board, and 20 a second is past what eyes follow."""

REST, LONGEST_REST_S = 2, 0.7
"""After a round that took long the next one comes so many times as much later, up to this."""

LATER_S = 0.5
"""What nobody's hands wait for (which phones are in touch) is pushed within this: hundreds that come back at once after
a power cut would have the pass drawn all the while."""

PASS = "pass"
"""Room of the pass and order pages."""


def station_room(station: str) -> str:
    """Room of a station's pages; also the name by which the engine says that its board changed."""
    return f"station:{station}"


class Pusher:
    """One thread that draws changed boards and emits them, so that nobody who holds the engine's lock ever emits."""

    def __init__(
        self,
        socketio: SocketIO,
        engine: Engine,
        clock: Clock,
        in_touch: InTouch,
        trouble: Callable[[], tuple[str, ...]],
    ) -> None:
        self._socketio = socketio
        self._engine = engine
        self._clock = clock
        self._in_touch = in_touch
        self._trouble = trouble
        self.drawn = DrawnBoards(engine, clock)
        self._lock = threading.Lock()
        self._changed: set[str] = set()
        self._later: threading.Timer | None = None
        self._wanted = threading.Event()
        self._closed = False
        self._cued: dict[str, set[tuple[str, int]]] = {}
        self._thread = threading.Thread(target=self._run, name="pusher", daemon=True)

    def start(self) -> None:
        """Begin; the engine's changes are pushed from now on."""
        self._engine.subscribe(self.changed)
        self._thread.start()

    def close(self) -> None:
        """End within one round."""
        self._closed = True
        self._wanted.set()
        if self._thread.is_alive():
            self._thread.join(timeout=1)

    def changed(self, boards: frozenset[str]) -> None:
        """These boards changed. Returns at once."""
        with self._lock:
            self._changed |= boards
        self._wanted.set()

    def phones_changed(self) -> None:
        """A phone came or went. Returns at once; the pass says so in a moment."""
        with self._lock:
            if self._later is None:
                self._later = threading.Timer(LATER_S, self._push_phones)
                self._later.daemon = True
                self._later.start()

    def _push_phones(self) -> None:
        with self._lock:
            self._later = None
        self.changed(frozenset({PASS}))

    def pass_board(self) -> PassBoard:
        """The pass board of this moment."""
        return self._engine.pass_board(self._in_touch.stations(), self._trouble())

    def _run(self) -> None:
        while not self._closed:
            self._wanted.wait()
            self._wanted.clear()
            with self._lock:
                boards, self._changed = self._changed, set()
            began_s = time.monotonic()
            # Stations first: theirs are the small boards, and somebody's hands wait for them.
            for board in sorted(boards, key=lambda name: (name == PASS, name)):
                if self._closed:
                    return
                try:
                    self._push(board)
                except Exception:  # one board that cannot be drawn must not keep the others from their stations
                    _log.exception("the board %s could not be pushed", board)
            took_s = time.monotonic() - began_s
            # A third of the time at most: what is drawn here keeps taps and those who come back waiting.
            time.sleep(max(ROUND_S - took_s, min(REST * took_s, LONGEST_REST_S)))

    def _push(self, board: str) -> None:
        if board == PASS:
            self._socketio.emit("board", write(self.pass_board()), to=PASS)
            return
        station = board.removeprefix("station:")
        if not self._in_touch.has_phone(station):
            self._cued.pop(station, None)
            return
        view, written = self.drawn.station(station)
        self._socketio.emit("board", written, to=board)
        now = self._clock.now()
        near = {(action.id, action.due_at): action for action in view.actions if action.heads_up_at <= now}
        for key, action in near.items():
            if key not in self._cued.get(station, set()):
                self._socketio.emit("cue", write(action), to=board)
        self._cued[station] = set(near)
