"""``python -m tests.bench.phones``: what phones get from a server that is hard at work, against the aims, in one run.

- ``fifty``: 50 devices, 100 taps a second, beside a search that never rests: a cue's second until it is shown, a tap
  until it is durable and answered;
- ``many``: 500 devices lose the line at one instant and come back together, each with a tap it kept;
- ``painted``: the same second, painted by a real Chromium;
- ``offline``: a real phone's page without network for five minutes of the kitchen, its cook working on;
- ``clock``: how far off a real page's kitchen clock is behind a proxy with 50 ms of jitter.

All on one machine: who measures takes processor time from what is measured, and the load average stands beside it. A
"bare" line is what the machine itself takes for the same thing, at the same time. Everything is ended by its id.
"""

import argparse
import asyncio
import os
import signal
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright

from tests.bench.killed_program import Program
from tests.bench.phones_browser import clock_errors, fast_program, offline, painted, small_program
from tests.bench.phones_swarm import come_back, fifty
from tests.browser.device import ARGUMENTS, chromium

STAGES = ("fifty", "many", "painted", "offline", "clock")
WIDTH = 58


def main() -> int:
    """Measure and print; 1 where an aim was missed."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--only", default=",".join(STAGES), help="some of them, with commas between")
    asked.add_argument("--seconds", type=float, default=60, help="of fifty devices at work")
    asked.add_argument("--taps", type=int, default=100, help="a second, over all of them")
    asked.add_argument("--devices", type=int, default=500, help="that come back at once")
    asked.add_argument("--cues", type=int, default=30, help="that are watched in the browser")
    asked.add_argument("--rounds", type=int, default=100, help="of probes over the bad network")
    asked.add_argument("--jitter", type=float, default=50, help="of the bad network, in ms")
    asked.add_argument("--data", type=Path, help="a folder on the disk that is to be measured")
    told = asked.parse_args()
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(143))  # as Ctrl-C: what was started is ended
    table = Table()
    stages: dict[str, Callable[[Path], None]] = {
        "fifty": lambda folder: _fifty(table, folder, told.seconds, told.taps),
        "many": lambda folder: _many(table, folder, told.devices),
        "painted": lambda folder: _painted(table, folder, told.cues),
        "offline": lambda folder: _offline(table, folder),
        "clock": lambda folder: _clock(table, folder, told.jitter, told.rounds),
    }
    with tempfile.TemporaryDirectory(dir=told.data) as folder:
        for name in told.only.split(","):
            table.say(f"{name} (load average {os.getloadavg()[0]:.1f})")
            stages[name](Path(folder) / name)
    table.say(f"aims missed: {table.missed}")
    return int(table.missed > 0)


class Table:
    """Lines of figures, each with its aim and whether it was met."""

    def __init__(self) -> None:
        self.missed = 0

    def say(self, words: str) -> None:
        """One line."""
        sys.stdout.write(words + "\n")
        sys.stdout.flush()

    def times(self, what: str, values: list[float], unit: str, aim: float | None = None) -> None:
        """Median, 99th percentile and worst; the aim is for the 99th percentile."""
        if not values:
            self.missed += aim is not None
            self.say(f"  {what:<{WIDTH}} nothing was measured")
            return
        ordered = sorted(values)
        p50, p99, worst = (ordered[min(len(ordered) - 1, int(share * len(ordered)))] for share in (0.5, 0.99, 1.0))
        figures = f"p50 {p50:8.1f}   p99 {p99:8.1f}   worst {worst:8.1f} {unit}, of {len(ordered)}"
        self.say(f"  {what:<{WIDTH}} {figures}{self._verdict(p99, aim, unit)}")

    def one(self, what: str, words: str, met: bool | None = None) -> None:
        """One figure, and whether it is as it was to be."""
        self.missed += met is False
        verdict = "" if met is None else "   met" if met else "   MISSED"
        self.say(f"  {what:<{WIDTH}} {words}{verdict}")

    def _verdict(self, value: float, aim: float | None, unit: str) -> str:
        if aim is None:
            return ""
        self.missed += value > aim
        return f"   aim {aim:g} {unit}: {'met' if value <= aim else f'MISSED by {value - aim:.1f}'}"


@contextmanager
def _served(program: Program) -> Iterator[Program]:
    program.start()
    try:
        program.until_answered()
        yield program
    finally:
        program.kill()


@contextmanager
def _browser() -> Iterator[Browser]:
    path = chromium()
    if path is None:
        sys.exit(
            "no Chromium found: install it (apt-get install chromium), name it in CHROMIUM, or leave it out: --only"
        )
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=list(ARGUMENTS))
        try:
            yield browser
        finally:
            browser.close()


def _fifty(table: Table, folder: Path, seconds: float, taps: int) -> None:
    with _served(Program(folder / "data")) as program:
        before_s = program.cpu_s()
        found = asyncio.run(fifty(program, seconds, taps))
        cpu_s = program.cpu_s() - before_s
    table.times("a cue's second until its device fired it", found.shown, "ms", aim=20)
    table.times("  (how long before it had come)", found.ahead, "ms")
    table.times("tap to durable acknowledgement", found.acknowledged, "ms", aim=10)
    table.times("  (bare: one durable row on this disk, at the same time)", found.bare, "ms")
    table.times("  (bare: a question that is not written, at the same time)", found.echo, "ms")
    table.times("tap to the board on every pass screen", found.everywhere, "ms")
    table.times("due as soon as it was planned: its second to its arrival", found.at_once, "ms")
    table.one("taps acknowledged a second", f"{found.taps_a_second:.0f} of {taps} wanted, {found.refused} refused")
    table.times("  (how late this program was to make them)", found.offered_late, "ms")
    table.one("open courses, search at work", f"{found.open}, {100 * found.replanning:.0f} % of the time")
    table.one("the server's processor time", f"{cpu_s:.1f} s in {seconds:.0f} s")


def _many(table: Table, folder: Path, devices: int) -> None:
    with _served(Program(folder / "data")) as program:
        before_s = program.cpu_s()
        found = asyncio.run(come_back(program, devices))
        cpu_s = program.cpu_s() - before_s
    last = max(found.joined)
    table.one(f"{devices} devices back with the evening of now", f"{last:.2f} s   aim 2 s", last <= 2)
    table.one("  and the tap that each had kept acknowledged", f"{max(found.taps):.2f} s")
    table.one("  threads, processor time to join twice", f"{found.threads}, {cpu_s:.1f} s")


def _painted(table: Table, folder: Path, cues: int) -> None:
    with _served(small_program(folder)) as program, _browser() as browser:
        table.times("a cue's second until a phone has painted it", painted(browser, program, cues), "ms")


def _offline(table: Table, folder: Path) -> None:
    with _served(fast_program(folder)) as program, _browser() as browser:
        found = offline(browser, program)
    table.times("out of touch: a cue's second until it was painted", found.cued, "ms", aim=100)
    table.one("taps made out of touch", f"{found.tapped}", found.tapped > 0)
    table.one(
        "  written once each, in their order",
        f"{found.written} (refused {found.refused}), {found.back_s:.1f} s after the network was back",
        found.in_order and found.written == found.tapped,
    )


def _clock(table: Table, folder: Path, jitter_ms: float, rounds: int) -> None:
    with _served(small_program(folder)) as program, _browser() as browser:
        found = clock_errors(browser, program, jitter_ms, rounds)
    table.times(f"a phone's kitchen clock off, at {jitter_ms:g} ms of jitter", found, "ms", aim=5)


if __name__ == "__main__":
    raise SystemExit(main())
