"""Where the demo's clock stands is kept beside its log, so that a demo that was killed goes on where it would be."""

import contextlib
import json
import os
from pathlib import Path

from kitchen_timer.live.clock import Anchor

_NAME = "demo_clock.json"


def read_anchor(data: Path) -> Anchor | None:
    """What the clock was last anchored to; None when the demo never ran here, or the file cannot be used."""
    try:
        written = json.loads((data / _NAME).read_text(encoding="utf-8"))
        return Anchor(float(written["kitchen_at"]), float(written["wall_at"]), float(written["speed"]))
    except (OSError, ValueError, KeyError, TypeError):
        return None


def write_anchor(data: Path, anchor: Anchor) -> None:
    """Keep it: written whole or not at all."""
    new = data / f"{_NAME}.new"
    with new.open("w", encoding="utf-8") as file:
        json.dump({"kitchen_at": anchor.kitchen_at, "wall_at": anchor.wall_at, "speed": anchor.speed}, file)
        file.flush()
        os.fsync(file.fileno())
    new.replace(data / _NAME)


def forget_anchor(data: Path) -> None:
    """As if the demo had never run here."""
    with contextlib.suppress(FileNotFoundError):
        (data / _NAME).unlink()
