"""The server of a long evening: the program's own parts as ``assemble`` puts them together, under a clock that is fast.

``python -m tests.bench.long_evening_server DATA PORT SPEED KITCHEN``. Its clock is told by ``DATA/time.json``: it was
``kitchen_at`` when this machine's monotonic clock said ``monotonic_at``. Whoever runs the evenings writes another one
to leap from one night's end to the next evening; kitchen time never goes back.
"""

import json
import sys
import threading
import time
from pathlib import Path

from kitchen_timer import assemble
from kitchen_timer.live.clock import Anchor, SystemClock
from kitchen_timer.server.address import listen
from kitchen_timer.server.run import serve
from tests.bench.killed_program import KITCHEN_DIR, Program

TIME = "time.json"
LOOK_S = 0.1


def write_time(data: Path, kitchen_at: float, monotonic_at: float) -> None:
    """It was ``kitchen_at`` at ``monotonic_at``; whole or not at all."""
    new = data / f"{TIME}.new"
    new.write_text(json.dumps({"kitchen_at": kitchen_at, "monotonic_at": monotonic_at}), encoding="utf-8")
    new.replace(data / TIME)


class FastProgram(Program):
    """This server, on a port and a folder that stay the same."""

    def __init__(self, data: Path, speed: float, kitchen_dir: Path = KITCHEN_DIR) -> None:
        super().__init__(data)
        self.speed = speed
        self._kitchen_dir = kitchen_dir

    def command(self) -> list[str]:
        """See :class:`Program`."""
        asked = [str(self.data), str(self.port), f"{self.speed:g}", str(self._kitchen_dir)]
        return ["tests.bench.long_evening_server", *asked]


class LeapingClock(SystemClock):
    """A fast clock that leaps when it is told to."""

    def __init__(self, data: Path, speed: float) -> None:
        super().__init__(speed=speed)
        self._speed = speed
        self._told = data / TIME
        self._look()
        threading.Thread(target=self._keep_looking, name="leaping-clock", daemon=True).start()

    @property
    def anchor(self) -> Anchor:
        """Of this moment."""
        return Anchor(self.now(), time.time(), self._speed)

    def now(self) -> float:
        """Seconds since 1970 UTC in the kitchen."""
        kitchen_at, monotonic_at = self._from
        return kitchen_at + (time.monotonic() - monotonic_at) * self._speed

    def _look(self) -> None:
        told = json.loads(self._told.read_text(encoding="utf-8"))
        self._from = (float(told["kitchen_at"]), float(told["monotonic_at"]))

    def _keep_looking(self) -> None:
        while True:
            time.sleep(LOOK_S)
            self._look()


def main() -> int:
    """Serve until it is killed."""
    data, port, speed, kitchen_dir = Path(sys.argv[1]), int(sys.argv[2]), float(sys.argv[3]), Path(sys.argv[4])
    assemble.clock_of = lambda folder: LeapingClock(folder, speed)  # type: ignore[assignment]
    assemble.Services.LOOK_S = 0.3
    kitchen, _ = assemble.read(kitchen_dir)
    with assemble.held(data), listen(port, lan=False) as listening:
        stations, address = tuple(kitchen.stations), f"http://127.0.0.1:{port}"
        settings = assemble.Settings(kitchen_dir, stations, data, address, speed=speed)
        return serve(listening, lambda: assemble.start(settings))


if __name__ == "__main__":
    raise SystemExit(main())
