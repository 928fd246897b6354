"""Killed in the middle and started again, a service goes on where it was; told to end, it ends."""

import json
import os
import signal
import time
from pathlib import Path
from typing import Any

import pytest

from tests.server.served import Page, Served, until


def countdowns(board: dict[str, Any]) -> dict[str, tuple[str, str]]:
    """Landing and up of every open course: what the pass counts down to."""
    return {course["id"]: (course["landing_at"], course["up_at"]) for course in board["courses"]}


def dues(served: Served, station: str) -> dict[str, str]:
    """When each of a station's cues is due."""
    return {action["id"]: action["due_at"] for action in served.get(f"/api/station/{station}")["actions"]}


def test_a_kitchen_killed_in_the_middle_shows_the_same_countdowns_when_it_is_back(
    tmp_path: Path, small_kitchen: Path
) -> None:
    served = Served(tmp_path, "--kitchen", str(small_kitchen))
    page = Page(served.url, "order", client_id="tablet")
    now = served.get("/api/clock")["kitchen_at_t3"] / 1000
    for table, minutes in (("6", 4), ("9", 6)):
        land = {"kind": "time", "at": time.strftime("%Y-%m-%dT%H:%M:%S+00:00", time.gmtime(now + 60 * minutes))}
        asked = [{"course": "starters", "land": land, "plates": [{"dish": "squid", "qty": 2}]}]
        order = {"kind": "take_order", "table": table, "allergies_asked": True, "courses": asked}
        reply = page.command(order)
        assert reply["ok"], reply
    until(lambda: len(dues(served, "fry")) == 4, "both tables have their start and their lift")
    before, cues_before = countdowns(served.get("/api/pass")), dues(served, "fry")
    assert set(before) == {"6/starters", "9/starters"}

    served.kill()
    again = Served(tmp_path, "--kitchen", str(small_kitchen))
    try:
        assert countdowns(again.get("/api/pass")) == before
        assert dues(again, "fry") == cues_before
        # The tablet did not hear the last acknowledgement, say, and hands its tap in once more.
        page = Page(again.url, "order", client_id="tablet")
        assert page.command(order, client_seq=2) == {**reply, "repeated": True}
        assert set(countdowns(again.get("/api/pass"))) == set(before)
    finally:
        again.end()


def test_a_demo_killed_in_the_middle_goes_on_as_if_it_had_run_all_the_time(tmp_path: Path) -> None:
    served = Served(tmp_path, "--demo")
    clock, read_at = served.get("/api/clock"), time.monotonic()
    # Far enough ahead that the demo's own cooks and the search for better plans leave it alone meanwhile.
    page = Page(served.url, "order", client_id="tablet")
    at = "2026-11-27T23:00:00+00:00"
    asked = [{"course": "desserts", "land": {"kind": "time", "at": at}, "plates": [{"dish": "souffle"}]}]
    assert page.command({"kind": "take_order", "table": "6", "allergies_asked": True, "courses": asked})["ok"]
    until(lambda: "6/desserts" in countdowns(served.get("/api/pass")), "table 6 is planned")
    tables = set(countdowns(served.get("/api/pass")))
    assert len(tables) >= 4  # a few tables are under way

    served.kill()
    again = Served(tmp_path, "--demo")
    try:
        after, passed_s = again.get("/api/clock"), time.monotonic() - read_at
        shown_s = (after["kitchen_at_t3"] - clock["kitchen_at_t3"]) / 1000
        assert shown_s == pytest.approx(passed_s, abs=1.0)
        board = again.get("/api/pass")
        assert countdowns(board)["6/desserts"][0] == at
        gone = {sent["id"] for sent in board["sent"]}
        assert tables <= set(countdowns(board)) | gone
    finally:
        again.end()


def test_a_second_server_on_the_same_data_is_refused(tmp_path: Path, small_kitchen: Path) -> None:
    served = Served(tmp_path, "--kitchen", str(small_kitchen))
    try:
        with pytest.raises(AssertionError, match="Another server keeps its state"):
            Served(tmp_path, "--kitchen", str(small_kitchen))
    finally:
        served.end()


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT], ids=["SIGTERM", "SIGINT"])
def test_it_ends_soon_with_pages_open_and_leaves_no_process_behind(
    tmp_path: Path, small_kitchen: Path, number: signal.Signals
) -> None:
    served = Served(tmp_path, "--kitchen", str(small_kitchen))
    Page(served.url, "pass")
    children = processes_of_group(served.process.pid)
    assert len(children) >= 4  # gunicorn, its worker, both planners
    took_s = served.end(number)
    assert took_s < 4.0  # 2 s on a quiet machine
    until(lambda: not processes_of_group(served.process.pid), "every process has ended", patience_s=5)


def test_a_planner_that_is_killed_is_started_again_and_named_meanwhile(tmp_path: Path, small_kitchen: Path) -> None:
    served = Served(tmp_path, "--kitchen", str(small_kitchen))
    page = Page(served.url, "pass")
    try:
        quick = [pid for pid, line in processes_of_group(served.process.pid).items() if "planner_process quick" in line]
        os.kill(quick[0], signal.SIGKILL)
        until(lambda: any(board["trouble"] for _, board in list(page.boards)), "the pass says that planning is down")
        until(lambda: page.boards[-1][1]["trouble"] == [], "and that it is back")
        asked = [{"course": "starters", "land": {"kind": "asap"}, "plates": [{"dish": "squid"}]}]
        assert page.command({"kind": "take_order", "table": "6", "allergies_asked": True, "courses": asked})["ok"]
        until(lambda: countdowns(served.get("/api/pass")), "orders are planned again")
    finally:
        served.end()


def processes_of_group(group: int) -> dict[int, str]:
    """Process ids of a group and their command lines."""
    found = {}
    for pid in (int(name) for name in os.listdir("/proc") if name.isdigit()):
        try:
            if os.getpgid(pid) == group:
                with open(f"/proc/{pid}/cmdline", encoding="utf-8", errors="replace") as line:
                    text = line.read().replace("\0", " ")
                if text:  # an empty one is a zombie that its parent has still to bury
                    found[pid] = text
        except (ProcessLookupError, FileNotFoundError):
            continue
    return found


def test_a_demo_that_ran_past_its_end_begins_the_next_evening_and_a_fresh_one_the_first(tmp_path: Path) -> None:
    served = Served(tmp_path, "--demo", "--speed", "2")
    assert served.get("/api/kitchen")["service"] == "2026-11-27"
    seq = served.get("/api/pass")["seq"]
    served.end()
    clock = json.loads((tmp_path / "demo_clock.json").read_text(encoding="utf-8"))
    # As if it had been left alone for a day: the file says when the kitchen's clock was last seen, and where.
    (tmp_path / "demo_clock.json").write_text(json.dumps({**clock, "wall_at": clock["wall_at"] - 86_400}), "utf-8")

    served = Served(tmp_path, "--demo")
    board, kitchen = served.get("/api/pass"), served.get("/api/kitchen")
    served.end()
    assert kitchen["service"] == "2026-11-28"
    assert board["now"].startswith("2026-11-28T19:3")
    assert board["seq"] > seq  # the log goes on, so no page ever sees a number again
    assert len(board["courses"]) >= 3

    served = Served(tmp_path, "--demo", "--fresh")
    board = served.get("/api/pass")
    served.end()
    assert board["now"].startswith("2026-11-27T19:3")
