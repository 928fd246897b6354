"""Measures whether the score moves smoothly on a slow phone: 30 courses, the processor slowed to a quarter.

    python -m tests.browser.smooth [--seconds 10] [--slower 4] [--courses 30]

A task longer than 50 ms is one that frames have to wait for (W3C Long Tasks). It is taken in processor time of the
page's main thread, from Chromium's own trace, so that what else runs on the machine is not counted; frames a second
are real ones and do suffer from it. A new board comes every two seconds, as on a busy evening.
"""

import argparse
import itertools
import json
import sys
from dataclasses import dataclass
from typing import Any

from playwright.sync_api import Browser, sync_playwright

from kitchen_timer.kitchen.table import Plate
from tests.browser.device import ARGUMENTS, chromium, open_on
from tests.browser.house import House

MENU = (
    ("mains", ("risotto", "brill")),
    ("starters", ("beetroot", "mackerel")),
    ("mains", ("duck", "lamb")),
    ("desserts", ("lemon-cream", "apple-tart")),
    ("mains", ("ox-cheek", "brill")),
)

WATCH = """() => {
  window.__frames = [];
  const frame = (at) => { window.__frames.push(at); requestAnimationFrame(frame); };
  requestAnimationFrame(frame);
}"""

LONG_MS = 50.0


@dataclass(frozen=True)
class Smoothness:
    """Of one page. Milliseconds."""

    page: str
    courses: int
    long_tasks: tuple[float, ...]
    longest: float
    busy: float
    """Share of the main thread's time, per cent."""
    frames_a_second: float

    def __str__(self) -> str:
        return (
            f"{self.page}: {self.courses} courses, {len(self.long_tasks)} tasks over 50 ms"
            f" (longest {self.longest:.0f} ms), main thread {self.busy:.0f} % busy,"
            f" {self.frames_a_second:.0f} frames a second"
        )


def full_house(courses: int) -> House:
    """So many courses open at half past seven, the clock running."""
    house = House(speed=1.0)
    house.turn_to("19:30")
    table = 30
    while (known := len(house.passing().courses)) < courses and table < 30 + 2 * courses:
        course, dishes = MENU[table % len(MENU)]
        house.order(str(table), course, *(Plate(dish=dish) for dish in dishes))
        table += 1
    assert known >= courses, f"only {known} courses are open"
    house.clock.run()
    return house


def measure(
    browser: Browser, house: House, path: str, size: tuple[int, int], seconds: int, slower: float
) -> Smoothness:
    """One page, moving for so many seconds."""
    page = open_on(browser, size, motion="no-preference")
    page.goto(house.url + path)
    if path.startswith("/station"):
        page.locator(".join .big").click()
    page.wait_for_timeout(1500)
    page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": slower})
    page.wait_for_timeout(500)
    page.evaluate(WATCH)
    browser.start_tracing(page=page, categories=["devtools.timeline", "disabled-by-default-devtools.timeline"])
    for _ in range(seconds // 2):
        page.wait_for_timeout(2000)
        house.server.pusher.changed(frozenset({"pass", *(f"station:{one}" for one in house.kitchen.stations)}))
    tasks = main_thread_ms(json.loads(browser.stop_tracing()))
    frames: list[float] = page.evaluate("window.__frames")
    page.context.close()
    gaps = [after - before for before, after in itertools.pairwise(frames)]
    rate = 1000 * len(gaps) / (frames[-1] - frames[0]) if gaps else 0.0
    long = tuple(sorted((ms for ms in tasks if ms > LONG_MS), reverse=True))
    courses = len(house.passing().courses)
    return Smoothness(f"{path} {size[0]} px", courses, long, max(tasks, default=0.0), sum(tasks) / seconds / 10, rate)


def main_thread_ms(trace: dict[str, Any]) -> list[float]:
    """Processor time of each task of the page's main thread."""
    events = trace["traceEvents"]
    mains = {
        (event["pid"], event["tid"])
        for event in events
        if event.get("name") == "thread_name" and event["args"].get("name") == "CrRendererMain"
    }
    return [
        event.get("tdur", event.get("dur", 0)) / 1000
        for event in events
        if event.get("name") == "RunTask" and event.get("ph") == "X" and (event["pid"], event["tid"]) in mains
    ]


def main() -> int:
    """The command; 1 where a task was longer than 50 ms."""
    parser = argparse.ArgumentParser(prog="python -m tests.browser.smooth", description=__doc__)
    parser.add_argument("--seconds", type=int, default=10)
    parser.add_argument("--slower", type=float, default=4)
    parser.add_argument("--courses", type=int, default=30)
    args = parser.parse_args()
    path = chromium()
    if path is None:
        sys.exit("no Chromium found: install it (apt-get install chromium) or name it in CHROMIUM")
    house = full_house(args.courses)
    found = []
    try:
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=path, args=list(ARGUMENTS))
            for page, size in (("/pass", (360, 740)), ("/pass", (1920, 1080)), ("/station/garnish", (360, 740))):
                found.append(measure(browser, house, page, size, args.seconds, args.slower))
                print(found[-1], flush=True)  # noqa: T201 - what a command says
            browser.close()
    finally:
        house.close()
    return int(any(one.long_tasks for one in found))


if __name__ == "__main__":
    sys.exit(main())
