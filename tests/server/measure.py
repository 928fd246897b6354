"""``python -m tests.server.measure``: how long things take on this machine, with pages open.

Prints milliseconds, median and worst: from an order to its acknowledgement, and to its plan on the pass board; from
the second a heads-up is due to the cue's arrival at the station's page; from a tap to its (durable) acknowledgement.
Everything runs on one machine, so the network takes no time and the load of the pages is counted in.
"""

import argparse
import statistics
import sys
import tempfile
import time
from pathlib import Path

from kitchen_timer.kitchen.seconds import read_instant, write_instant
from tests.server.served import Page, Served, until, write_small_kitchen

SPACING_S = 6
"""Seconds between two landings: the fryer holds three loads then, so no plan has to move a cue."""


def measured(pages: int, orders: int) -> dict[str, list[float]]:
    """Milliseconds of each kind, with so many pages open and so many orders."""
    with tempfile.TemporaryDirectory() as folder:
        kitchen = Path(folder) / "kitchen"
        kitchen.mkdir()
        served = Served(Path(folder) / "data", "--kitchen", str(write_small_kitchen(kitchen)))
        try:
            return _measure(served, pages, orders)
        finally:
            served.end()


def _measure(served: Served, pages: int, orders: int) -> dict[str, list[float]]:
    fry = Page(served.url, "station", "fry", client_id="fry-phone")
    passes = [Page(served.url, "pass", client_id=f"pass-{n}") for n in range(pages)]
    order = Page(served.url, "order", client_id="tablet")
    clock = order.ask("clock", {"t1": 0})
    # Server and client read the same monotonic clock here: t3 ties kitchen time to it.
    ahead_s = clock["kitchen_at_t3"] / 1000 - clock["t3"] / 1000
    first = int(time.monotonic() + ahead_s) + 60
    times: dict[str, list[float]] = {"order to acknowledgement": [], "order to plan": []}
    for number in range(orders):
        land = {"kind": "time", "at": write_instant(first + SPACING_S * number)}
        table = str(number + 1)
        asked = [{"course": "starters", "land": land, "plates": [{"dish": "squid"}]}]
        began = time.monotonic()
        reply = order.command({"kind": "take_order", "table": table, "allergies_asked": True, "courses": asked})
        times["order to acknowledgement"].append(1000 * (time.monotonic() - began))
        assert reply["ok"], reply

        def planned(table: str = table) -> float | None:
            boards = list(passes[-1].boards)
            return next((at for at, b in boards if any(c["table"] == table and c["notes"] for c in b["courses"])), None)

        times["order to plan"].append(1000 * (until(planned, f"table {table} is planned") - began))
    times["heads-up due to cue arrived"], times["tap to acknowledgement"] = [], []
    tapped: set[str] = set()
    starts = 0
    while starts < orders:
        now = time.monotonic() + ahead_s
        for at, cue in list(fry.cues):
            if cue["id"] in tapped or read_instant(cue["due_at"]) > now:
                continue
            tapped.add(cue["id"])
            times["heads-up due to cue arrived"].append(1000 * (at + ahead_s - read_instant(cue["heads_up_at"])))
            starts += cue["kind"] == "start"
            began = time.monotonic()
            # Tapped on the second, as a cook would who is good: what is tapped late moves the cues that follow.
            reply = fry.command({"kind": f"{cue['kind']}_steps", "steps": cue["steps"]})
            times["tap to acknowledgement"].append(1000 * (time.monotonic() - began))
            assert reply["ok"], reply
        time.sleep(0.02)
    return times


def main() -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--pages", type=int, default=20)
    parser.add_argument("--orders", type=int, default=20)
    args = parser.parse_args()
    for what, ms in measured(args.pages, args.orders).items():
        line = f"{what:<30} median {statistics.median(ms):7.1f} ms   worst {max(ms):7.1f} ms   of {len(ms)}\n"
        sys.stdout.write(line)
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
