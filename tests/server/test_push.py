"""What is pushed when; the kitchen is invented."""

import time
from typing import Any

from kitchen_timer.server.in_touch import InTouch
from kitchen_timer.server.push import LATER_S, PASS, Pusher
from tests.live.tonight import Tonight
from tests.server.served import until


class Emitted:
    """Stands in for Socket.IO: keeps what goes out."""

    def __init__(self) -> None:
        self.boards: list[str] = []

    def emit(self, event: str, _message: Any, *, to: str) -> None:
        if event == "board":
            self.boards.append(to)


def test_hundreds_of_phones_that_come_back_have_the_pass_drawn_once() -> None:
    tonight, out = Tonight(), Emitted()
    in_touch = InTouch({"fry": "Fry"}, time.monotonic)
    pusher = Pusher(out, tonight.engine, tonight.clock, in_touch, tuple)  # type: ignore[arg-type]
    pusher.start()
    try:
        for number in range(300):
            in_touch.joined(f"sid {number}", "fry", f"phone {number}")
            pusher.phones_changed()
        assert out.boards == []
        until(lambda: out.boards, "the pass is told of them")
        time.sleep(2 * LATER_S)
        assert out.boards == [PASS]
        in_touch.left("sid 7")
        pusher.phones_changed()
        until(lambda: len(out.boards) == 2, "the next one is told of too")
    finally:
        pusher.close()
        tonight.engine.close()
