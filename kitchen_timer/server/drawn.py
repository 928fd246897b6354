"""Station boards as they go over the wire, each drawn once a second and event however many phones want it.

After a power cut in the dining room's network hundreds of devices come back in the same second: drawn for each of them,
the boards alone would take longer than the two seconds in which all are to be in touch again.
"""

import threading
from typing import Any

from kitchen_timer.live.clock import Clock
from kitchen_timer.live.engine import Engine
from kitchen_timer.server.messages import write
from kitchen_timer.service.views import StationBoard


class DrawnBoards:
    """The newest board of each station. Thread-safe."""

    def __init__(self, engine: Engine, clock: Clock) -> None:
        self._engine = engine
        self._clock = clock
        self._guard = threading.Lock()
        self._drawing: dict[str, threading.Lock] = {}
        self._drawn: dict[str, tuple[tuple[int, int], StationBoard, Any]] = {}

    def station(self, station: str) -> tuple[StationBoard, Any]:
        """The board of this moment, and as JSON values. Not to be changed."""
        with self._guard:
            drawing = self._drawing.setdefault(station, threading.Lock())
        with drawing:  # whoever comes while it is drawn waits for it, and draws none of its own
            moment = (self._engine.seq, int(self._clock.now()))
            known = self._drawn.get(station)
            if known is None or known[0] != moment:
                board = self._engine.station_board(station)
                known = self._drawn[station] = ((board.seq, board.now), board, write(board))
            return known[1], known[2]
