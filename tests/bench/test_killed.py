"""A few kills of the long run in ``killed.py``, in a process of its own: it forks."""

import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def test_an_engine_that_is_killed_at_any_instant_loses_and_doubles_nothing() -> None:
    asked = [sys.executable, "-m", "tests.bench.killed", "--times", "5", "--seed", "7"]
    done = subprocess.run(asked, cwd=ROOT, capture_output=True, text=True, check=False, timeout=120)
    assert done.returncode == 0, done.stderr
    assert re.search(r"^kills +5$", done.stdout, flags=re.MULTILINE)


def test_a_server_that_is_killed_at_any_instant_loses_no_tap_and_no_timer() -> None:
    asked = [sys.executable, "-m", "tests.bench.killed", "--server", "--times", "3", "--seed", "3"]
    done = subprocess.run(asked, cwd=ROOT, capture_output=True, text=True, check=False, timeout=240)
    assert done.returncode == 0, done.stderr
    assert re.search(r"^kills +3 \(", done.stdout, flags=re.MULTILINE)
    clock = re.search(r"^kitchen clock off after a kill +([0-9.]+) ms", done.stdout, flags=re.MULTILINE)
    assert clock is not None
    assert float(clock[1]) < 100
