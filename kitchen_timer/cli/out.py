"""Writes for people: to the terminal, whatever letters it knows."""

import io
import sys
from typing import TextIO


def say(text: str = "") -> None:
    """One line or more to standard output."""
    _write(sys.stdout, text)


def complain(text: str) -> None:
    """One line or more to standard error."""
    _write(sys.stderr, text)


def _write(out: TextIO, text: str) -> None:
    if isinstance(out, io.TextIOWrapper) and out.errors == "strict":
        out.reconfigure(errors="replace")  # a terminal without × shows ? and goes on
    out.write(text + "\n")


def minutes(seconds: int) -> str:
    """Minutes and seconds as a kitchen says them: ``2:10``; below zero ``-6:30``."""
    sign = "-" if seconds < 0 else ""
    return f"{sign}{abs(seconds) // 60}:{abs(seconds) % 60:02d}"
