"""A station's board is drawn once for all phones that want it in one second, and anew for every event and second."""

from collections.abc import Callable
from typing import Any

import pytest

from kitchen_timer.server import drawn
from kitchen_timer.server.drawn import DrawnBoards
from kitchen_timer.server.messages import write
from tests.live.tonight import Tonight


def test_a_board_is_drawn_anew_for_every_event_and_second_and_only_then(monkeypatch: pytest.MonkeyPatch) -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    written: list[Any] = []

    def counting(view: object) -> Any:
        written.append(view)
        return write(view)

    monkeypatch.setattr(drawn, "write", counting)
    boards = DrawnBoards(tonight.engine, tonight.clock)
    changes: list[Callable[[], object]] = [lambda: None, lambda: tonight.order("9", hake=1), lambda: tonight.at(1)]
    for wanted, change in enumerate(changes, start=1):
        change()
        for _phone in range(3):
            board, sent = boards.station("plancha")
            assert board == tonight.engine.station_board("plancha")
            assert sent == write(board)
        assert len(written) == wanted
    boards.station("cold")
    assert len(written) == 4
