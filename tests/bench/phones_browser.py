"""What a real browser shows: the painted second of a cue, five minutes out of touch, its clock on a bad network."""

import itertools
import json
import sqlite3
import statistics
import time
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import requests
from playwright.sync_api import Browser, Page

from kitchen_timer import assemble
from kitchen_timer.kitchen.seconds import read_instant, write_instant
from tests.bench.killed_program import Program
from tests.bench.long_evening_server import FastProgram, write_time
from tests.bench.phones_proxy import BadNetwork
from tests.browser.device import open_on
from tests.server.served import write_small_kitchen

PHONE = (360, 740)
OFFLINE_S, OFFLINE_SPEED = 300, 10
"""Kitchen seconds out of touch, and how many of them go by in a real one."""
FRIDAY_EVENING = datetime(2026, 11, 27, 19, tzinfo=UTC)
FIRST_S, APART_S = 120, 35
"""Then the first is to be up, and each of the others so much later."""
BEFORE_S, EVERY_S = 45, 4
"""The first of the cues that are watched is so far off, the others so far apart."""

WATCH = """() => {
  window.__zeros = [];
  let was = '';
  const look = () => {
    const name = document.querySelector('.station .cue h2')?.innerText ?? '';
    const left = document.querySelector('.station .cue .countdown b')?.textContent ?? '';
    const now = `${name} ${left}`;
    if (now === was) return;
    was = now;
    if (left !== '0:00') return;
    // After the next frame: by then it has been painted.
    requestAnimationFrame(() => {
      const channel = new MessageChannel();
      channel.port1.onmessage = () => window.__zeros.push(performance.timeOrigin + performance.now());
      channel.port2.postMessage(null);
    });
  };
  new MutationObserver(look).observe(document.body, { subtree: true, childList: true, characterData: true });
}"""
"""Writes down when a countdown to 0:00 was painted, in the device's wall clock's ms."""


class Truth:
    """What a device's wall clock ms are in the kitchen: one machine, so the server says exactly."""

    def __init__(self, program: Program) -> None:
        told = requests.get(f"{program.url}/api/clock", timeout=20).json()
        wall_less_monotonic = statistics.median(1000 * (time.time() - time.monotonic()) for _ in range(9))
        self._wall_at_t3 = told["t3"] + wall_less_monotonic
        self._kitchen_at_t3 = told["kitchen_at_t3"]
        self.speed = told["speed"]

    def kitchen_ms(self, wall_ms: float) -> float:
        """Kitchen ms since 1970 UTC."""
        return float(self._kitchen_at_t3 + (wall_ms - self._wall_at_t3) * self.speed)


def station_page(browser: Browser, port: int, station: str) -> Page:
    """A phone that has joined a station over this port."""
    page = open_on(browser, PHONE, touch=True)
    page.context.unroute_all()  # the speed that the kitchen says is the speed it has
    page.goto(f"http://127.0.0.1:{port}/station/{station}")
    page.locator(".join .big").tap()
    page.locator(".station header .clock").wait_for()
    return page


def command(program: Program, number: int, wanted: dict[str, Any]) -> Any:
    """The reply to a command of the dining room."""
    asked = {"client_id": "dining-room", "client_seq": number, "command": wanted}
    reply = requests.post(f"{program.url}/api/command", json=asked, timeout=20).json()
    assert reply.get("ok"), reply
    return reply


def order_squid(program: Program, first: int, apart_s: int, times: int) -> None:
    """So many tables want squid, one after another."""
    for number in range(times):
        land = {"kind": "time", "at": write_instant(first + apart_s * number)}
        asked = [{"course": "starters", "land": land, "plates": [{"dish": "squid"}]}]
        order = {"kind": "take_order", "table": str(number + 1), "allergies_asked": True, "courses": asked}
        command(program, number, order)


def small_program(folder: Path) -> Program:
    """A server of a kitchen with one fryer and one dish, in which every second is known."""
    kitchen = folder / "kitchen"
    kitchen.mkdir(parents=True)
    return Program(folder / "data", "--kitchen", str(write_small_kitchen(kitchen)))


def fast_program(folder: Path) -> Program:
    """The same, its clock ten times as fast."""
    kitchen = folder / "kitchen"
    kitchen.mkdir(parents=True)
    (folder / "data").mkdir()
    write_time(folder / "data", FRIDAY_EVENING.timestamp(), time.monotonic())
    return FastProgram(folder / "data", OFFLINE_SPEED, write_small_kitchen(kitchen))


def painted(browser: Browser, program: Program, cues: int) -> list[float]:
    """Real ms between each cue's second and its 0:00 painted on a phone, later or sooner."""
    page = station_page(browser, program.port, "fry")
    page.wait_for_timeout(4000)  # thirty probes
    page.evaluate(WATCH)
    truth = Truth(program)
    first = int(truth.kitchen_ms(1000 * time.time()) / 1000) + BEFORE_S
    order_squid(program, first, EVERY_S, cues)
    dues: set[int] = set()
    tapped: set[str] = set()
    ends = first + EVERY_S * cues + 5
    while (now := truth.kitchen_ms(1000 * time.time()) / 1000) < ends:
        for action in requests.get(f"{program.url}/api/station/fry", timeout=20).json()["actions"]:
            due = read_instant(action["due_at"])
            dues.add(due)
            # Tapped a second after, by somebody else: the phone goes on to the next one.
            if due + 1 <= now and action["id"] not in tapped:
                tapped.add(action["id"])
                command(program, 10_000 + len(tapped), {"kind": f"{action['kind']}_steps", "steps": action["steps"]})
        page.wait_for_timeout(200)
    zeros: list[float] = page.evaluate("window.__zeros")
    page.context.close()
    return [abs(min((truth.kitchen_ms(wall) - 1000 * due for due in dues), key=abs)) for wall in zeros]


@dataclass
class Offline:
    """What became of a phone that was out of touch for five minutes of its kitchen."""

    cued: list[float] = field(default_factory=list)
    """Real ms between a cue's second and its 0:00 painted, out of touch."""
    tapped: int = 0
    written: int = 0
    refused: int = 0
    in_order: bool = False
    back_s: float = 0.0
    """Real seconds from the network's return until nothing was kept any more."""


def offline(browser: Browser, program: Program) -> Offline:
    """The only station loses the network; its cook works on, by the phone."""
    network = BadNetwork(program.port)
    page = station_page(browser, network.port, "fry")
    truth, found = Truth(program), Offline()
    first = int(truth.kitchen_ms(1000 * time.time()) / 1000) + FIRST_S
    order_squid(program, first, APART_S, (OFFLINE_S + FIRST_S) // APART_S)
    page.wait_for_timeout(4000)
    page.evaluate(WATCH)
    client_id = page.evaluate(_CLIENT_ID)
    board = json.loads(page.evaluate("localStorage.getItem('kitchen-timer board fry')"))["board"]
    dues = {read_instant(action["due_at"]) for action in board["actions"]}
    network.cut()
    ends = time.monotonic() + OFFLINE_S / OFFLINE_SPEED
    while time.monotonic() < ends:
        big = page.locator(".dock .big.solid")
        if big.count() and page.locator(".countdown.late").count():
            big.tap()
        page.wait_for_timeout(80)
    zeros: list[float] = page.evaluate("window.__zeros")
    off = (min((truth.kitchen_ms(wall) - 1000 * due for due in dues), key=abs) for wall in zeros)
    # What a tap started ends by the phone's own reckoning: its second is on no board that the server sent.
    found.cued = [abs(ms) / truth.speed for ms in off if abs(ms) < 1000]
    found.tapped = page.evaluate(_KEPT)
    network.mend()
    began = time.monotonic()
    while page.evaluate(_KEPT) and time.monotonic() < began + 30:
        page.wait_for_timeout(50)
    found.back_s = time.monotonic() - began
    kept = page.evaluate(_KEPT)
    page.context.close()
    network.close()
    with sqlite3.connect(f"file:{program.data / assemble.DATABASE}?mode=ro", uri=True) as log:
        asked = "SELECT client_seq FROM events WHERE client_id = ? AND client_seq IS NOT NULL ORDER BY seq"
        numbers = [number for (number,) in log.execute(asked, (client_id,))]
    found.written = len(numbers)
    found.refused = found.tapped - found.written - kept
    found.in_order = kept == 0 and all(one < next_one for one, next_one in itertools.pairwise(numbers))
    return found


_STORE = """async (read) => {
  const open = await new Promise((done) => {
    const asked = indexedDB.open('kitchen-timer');
    asked.onsuccess = () => done(asked.result);
  });
  const got = await new Promise((done) => {
    const asked = read(open);
    asked.onsuccess = () => done(asked.result);
  });
  open.close();
  return got;
}"""
_CLIENT_ID = f"() => ({_STORE})((db) => db.transaction('device').objectStore('device').get('id'))"
_KEPT = f"() => ({_STORE})((db) => db.transaction('outbox').objectStore('outbox').count())"


def clock_errors(browser: Browser, program: Program, jitter_ms: float, rounds: int, phones: int = 5) -> list[float]:
    """Ms by which phones' kitchen clocks are off after a round of probes over a network with so much jitter."""
    network = BadNetwork(program.port, jitter_ms=jitter_ms)
    pages = [station_page(browser, network.port, "fry") for _ in range(phones)]
    numbers = itertools.count(50_000)
    found: list[float] = []
    while len(found) < rounds:
        for page in pages:
            page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
        pages[0].wait_for_timeout(3500)
        # A board that comes is kept with the clock of that moment.
        for page in pages:
            page.evaluate("localStorage.removeItem('kitchen-timer board fry')")
        truth = Truth(program)
        for taps in ("done", "both"):
            command(program, next(numbers), {"kind": "set_taps", "station": "fry", "taps": taps})
        pages[0].wait_for_timeout(1500)
        for page in pages:
            kept = page.evaluate("localStorage.getItem('kitchen-timer board fry')")
            if kept is not None:
                anchor = json.loads(kept)["anchor"]
                # A page tells its wall clock in whole ms: half of one is added on the whole.
                found.append(abs(anchor["kitchen"] - truth.kitchen_ms(anchor["wall"] + 0.5)))
    for page in pages:
        page.context.close()
    network.close()
    return found
