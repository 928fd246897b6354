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
