"""What can be seen of a running service from outside: its metrics, its health, its log, and what the pass is told."""

import io
import json
import logging
import sqlite3
import sys
import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
import requests
from prometheus_client.parser import text_string_to_metric_families

from kitchen_timer.live.clock import TurnedClock
from kitchen_timer.live.watched import WatchedEngine
from kitchen_timer.record.in_database import sqlite_log
from kitchen_timer.server.app import create_app
from kitchen_timer.server.log_lines import SEEN, JsonLines, Words
from kitchen_timer.server.seen import Seen
from kitchen_timer.server.vitals import Asks, written
from kitchen_timer.service.commands import SendCourse
from tests.live.tonight import SERVICE, START, InlinePlanner, Tonight
from tests.server.served import Page, Served, until


class WatchedTonight(Tonight):
    """A service whose engine tells what it does."""

    def _engine(self) -> WatchedEngine:
        self.seen = Seen(self.clock.now)
        return WatchedEngine(
            self.seen,
            self.kitchen,
            self.book,
            self.log,
            self.clock,
            self.planner,
            "skerrymoot",
            in_background=lambda work: work(),
        )


class House:
    """It behind the real application, with parts that a test can break."""

    def __init__(self, folder: Path) -> None:
        self.database = folder / "service.sqlite"
        self.tonight = WatchedTonight(log=sqlite_log(self.database))
        self.broken: set[str] = set()
        self.planner_ids = (101, 102)
        self.clock_set_s = 0.0
        self.waited_s = 0.0
        self.told: tuple[str, ...] = ()
        self.server = create_app(
            self.tonight.engine,
            kitchen=self.tonight.kitchen,
            clock=self.tonight.clock,
            service=lambda: SERVICE,
            heads_up_s=15,
            trouble=lambda: self.told,
            seen=self.tonight.seen,
            asks=Asks(
                database=lambda: written(self.database),
                planner=lambda: "planner" not in self.broken,
                planner_ids=lambda: self.planner_ids,
                plan_waited_s=lambda: self.waited_s,
                clock_set_s=lambda: self.clock_set_s,
                folder=folder,
            ),
        )
        self.http = self.server.app.test_client()

    def figures(self) -> dict[tuple[str, tuple[tuple[str, str], ...]], float]:
        """Every sample of ``/metrics``, as Prometheus' own parser reads it."""
        reply = self.http.get("/metrics")
        assert reply.status_code == 200
        assert reply.content_type.startswith("text/plain; version=")
        return {
            (sample.name.removeprefix("kitchen_timer_"), tuple(sorted(sample.labels.items()))): sample.value
            for family in text_string_to_metric_families(reply.text)
            for sample in family.samples
        }

    def figure(self, name: str, **labels: str) -> float:
        return self.figures().get((name, tuple(sorted(labels.items()))), 0.0)

    def said(self) -> tuple[str, ...]:
        """What the pass is told of the tool, after a look."""
        self.server.vitals.look()
        return tuple(self.http.get("/api/pass").get_json()["trouble"])


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    made = House(tmp_path)
    yield made
    made.tonight.engine.close()


@pytest.fixture
def lines() -> Iterator[list[dict[str, Any]]]:
    """What is logged as JSON meanwhile, line by line."""
    out = io.StringIO()
    handler = logging.StreamHandler(out)
    handler.setFormatter(JsonLines())
    logger = logging.getLogger(SEEN)
    level = logger.level
    logger.addHandler(handler)
    logger.setLevel(logging.INFO)
    made: list[dict[str, Any]] = []
    yield Lines(out, made)
    logger.removeHandler(handler)
    logger.setLevel(level)


class Lines(list[dict[str, Any]]):
    """Parsed when looked at."""

    def __init__(self, out: io.StringIO, made: list[dict[str, Any]]) -> None:
        super().__init__(made)
        self._out = out

    def of(self, event: str) -> list[dict[str, Any]]:
        read = [json.loads(line) for line in self._out.getvalue().splitlines()]
        return [line for line in read if line["event"] == event]


def test_the_figures_are_those_of_what_was_tapped(house: House) -> None:
    tonight = house.tonight
    tonight.order("6", hake=1, squid=1)
    # Hake leads with 300 s. Started 4 s late; the others on time.
    tonight.at(4).start("6/mains/hake/fish/1/0")
    tonight.cook_until(320)
    tonight.do(SendCourse("6/mains"))
    assert house.figure("commands_total", kind="take_order", outcome="accepted") == 1
    assert house.figure("commands_total", kind="send_course", outcome="accepted") == 1
    assert house.figure("command_seconds_count") == tonight._taps
    assert 0 < house.figure("command_seconds_sum") < 60
    assert house.figure("start_late_seconds_sum", station="plancha") == 4
    assert house.figure("replan_seconds_count", stage="first") >= 2
    # All of it was ready at 304 but the fish's rest: what the board says of the sent course is what is counted.
    (sent,) = tonight.board().sent
    assert house.figure("landing_spread_seconds_sum") == sent.spread_s
    assert house.figure("landing_spread_seconds_count") == 1
    assert house.figure("landing_late_seconds_sum") == sent.late_s == 4
    assert house.figure("events") == tonight.board().seq == tonight.engine.seq


def test_a_tap_after_a_restart_counts_for_its_station_before_there_is_a_new_plan(house: House) -> None:
    house.tonight.order("6", hake=1)
    house.tonight.seen._station_of.clear()  # as after a restart
    house.tonight.at(3).start("6/mains/hake/fish/1/0")
    assert house.figure("start_late_seconds_sum", station="plancha") == 3


def test_a_repeated_and_a_refused_command_are_counted_as_such(house: House, lines: Lines) -> None:
    house.tonight.order("6", hake=1)
    for _ in range(2):
        house.tonight.do(SendCourse("6/mains"), "phone-1", 70)
    body = {"client_id": "phone-1", "client_seq": 71, "command": {"kind": "send_course", "course_id": "6/mains"}}
    assert house.http.post("/api/command", json=body).status_code == 409
    assert house.http.post("/api/command", json={"client_id": "phone-1"}).status_code == 400
    outcomes = {
        o: house.figure("commands_total", kind="send_course", outcome=o) for o in ("accepted", "repeated", "refused")
    }
    assert outcomes == {"accepted": 1, "repeated": 1, "refused": 1}
    assert house.figure("bad_messages_total", code="bad-message") == 1
    logged = [(line["outcome"], line["client"]) for line in lines.of("command") if line["kind"] == "send_course"]
    assert logged == [("accepted", "phone-1"), ("repeated", "phone-1"), ("refused", "phone-1")]


@pytest.mark.parametrize(("second", "late_s"), [(0, 0.0), (0.5, 0.5), (8, 8.0)])
def test_a_cue_is_late_by_as_much_as_it_was_sent_after_it_could_have_been(
    house: House, second: float, late_s: float
) -> None:
    """An order at 100 asks for a start at 100: it can be told from 100 on, not from its heads-up at 85."""
    house.tonight.at(100).order("6", squid=1)
    action = {
        "kind": "start",
        "due_at": house.tonight.actions("fry")[0].due_at,
        "steps": ["6/mains/squid/rings/1/0"],
    }
    house.tonight.clock.turn_to(START + 100 + second)
    house.tonight.seen.cue_sent(action, "fry")
    assert house.figure("cue_late_seconds_sum", station="fry") == pytest.approx(late_s)
    said = [words for words in house.said() if "late" in words]
    assert said == (["A cue reached Fry 8 s late: ask what they have on, the server is slow."] if late_s > 5 else [])


def test_health_tries_each_part_and_is_503_when_one_does_not_work(house: House) -> None:
    reply = house.http.get("/health")
    found = reply.get_json()
    assert reply.status_code == 200
    assert (found["alive"], found["database"], found["planner"], found["events"]) == (True, True, True, 2)
    assert found["planner_answered_s"] < 5
    assert found["kitchen_at"] == "2026-11-27T19:00:00+00:00"
    assert [(each["id"], each["devices"]) for each in found["stations"]] == [("fry", 0), ("plancha", 0), ("cold", 0)]
    assert found["disk_left_mb"] > 0
    with sqlite3.connect(house.database) as connection:
        assert connection.execute("SELECT count(*) FROM probe").fetchone() == (1,), "it really wrote"
    house.broken.add("planner")
    house.server.vitals._answers.clear()
    assert house.http.get("/health").status_code == 503
    house.broken.clear()
    house.server.vitals._answers.clear()
    with sqlite3.connect(house.database, isolation_level=None) as other:
        other.execute("BEGIN IMMEDIATE")
        reply = house.http.get("/health")
        assert (reply.status_code, reply.get_json()["database"], reply.get_json()["planner"]) == (503, False, True)
        unwritten = "Nothing can be written down: see that the disk has room. Until then taps do not count."
        assert house.said() == (unwritten,)
        other.execute("ROLLBACK")
    assert house.said() == ()


def test_a_database_that_is_locked_cannot_be_written_and_is_not_made_anew(house: House, tmp_path: Path) -> None:
    assert written(house.database)
    with sqlite3.connect(house.database, isolation_level=None) as other:
        other.execute("BEGIN IMMEDIATE")
        assert not written(house.database)
        other.execute("ROLLBACK")
    assert written(house.database)
    assert not written(tmp_path / "none.sqlite")
    assert not (tmp_path / "none.sqlite").exists()


def test_troubles_are_said_on_the_pass_and_logged_when_they_begin_and_end(house: House, lines: Lines) -> None:
    assert house.said() == ()
    house.waited_s = 16
    house.told = ("The planner is started again: cook by the plan that stands.",)
    assert set(house.said()) == {
        "There is no new plan yet: cook by the one that stands, and call by voice what it lacks.",
        "The planner is started again: cook by the plan that stands.",
    }
    house.said()
    assert house.figure("troubles") == 2
    house.waited_s, house.told = 0.0, ()
    assert house.said() == ()
    assert house.figure("troubles") == 0
    assert sorted(line["trouble"] for line in lines.of("trouble_begun")) == ["plan", "told"]
    assert sorted(line["trouble"] for line in lines.of("trouble_ended")) == ["plan", "told"]


def test_a_silent_planner_is_said_when_it_was_silent_twice(house: House) -> None:
    house.broken.add("planner")
    assert house.said() == (), "once may be a long plan"
    assert house.said()[0].startswith("The planner does not answer")
    house.broken.clear()
    assert house.said() == ()


def test_a_planner_that_was_started_again_is_counted(house: House, lines: Lines) -> None:
    house.said()
    house.planner_ids = (101, 103)
    house.said()
    assert house.figure("planner_restarts_total") == 1
    assert lines.of("planner_restart")[0]["ended"] == [102]


def test_a_clock_that_was_set_is_said_for_a_while_and_in_health(house: House, lines: Lines) -> None:
    house.said()
    house.clock_set_s = -30.2
    assert "set back by 30 s" in house.said()[0]
    assert house.http.get("/health").get_json()["clock_set_s"] == -30.2
    assert [line["by_s"] for line in lines.of("clock_set")] == [-30.2]
    house.server.vitals._clock_at_s -= 601
    assert house.said() == ()


def test_a_station_with_cues_and_no_phone_is_said_until_one_joins_and_again_when_it_is_lost(
    house: House, lines: Lines
) -> None:
    house.tonight.order("6", squid=1)
    assert "No phone at Fry: open its page there, or call the cues by voice." in house.said()
    socket = house.server.socketio.test_client(house.server.app)
    socket.emit("join", {"page": "station", "station": "fry", "client_id": "phone-1"}, callback=True)
    assert house.said() == ()
    assert house.figure("phones", station="fry") == 1
    socket.disconnect()
    assert house.said() == ()
    house.server.in_touch._monotonic_s = lambda: time.monotonic() + 125
    assert house.said() == ("Fry's phone out of touch for 2 min: call it.",)
    assert (lines.of("joined")[0]["station"], lines.of("lost")[0]["left"]) == ("fry", 0)


def test_the_log_says_what_happens_and_nothing_that_a_guest_said(house: House, lines: Lines) -> None:
    plates = [{"dish": "hake", "note": "for Morag's birthday", "allergies": ["sesame"], "seat": "2 by the door"}]
    command = {
        "kind": "take_order",
        "table": "6",
        "allergies_asked": True,
        "courses": [{"course": "mains", "land": {"kind": "asap"}, "plates": plates}],
    }
    house.http.post("/api/command", json={"client_id": "order-1", "client_seq": 1, "command": command})
    house.tonight.cook_until(320)
    house.tonight.do(SendCourse("6/mains"))
    (sent,) = lines.of("sent")
    assert (sent["course"], sent["late_s"], sent["spread_s"]) == ("6/mains", 0, house.tonight.board().sent[0].spread_s)
    assert lines.of("plan")[0]["courses"] == 1
    assert lines.of("planned")[0]["ms"] >= 0
    everything = lines._out.getvalue()
    for said in ("Morag", "sesame", "door"):
        assert said not in everything


def test_a_line_is_one_object_or_plain_words_also_with_a_traceback() -> None:
    try:
        raise RuntimeError("two\nlines")
    except RuntimeError:
        record = logging.LogRecord("kitchen_timer.x", logging.ERROR, "f", 1, "it %s", ("broke",), sys.exc_info())
    line = JsonLines().format(record)
    assert "\n" not in line
    read = json.loads(line)
    assert (read["level"], read["event"], read["words"]) == ("error", "log", "it broke")
    assert "RuntimeError" in read["traceback"]
    assert " ERROR: it broke\nTraceback" in Words().format(record)


def test_notes_are_worked_off_on_a_thread_of_their_own_and_a_bad_one_stops_nothing() -> None:
    seen = Seen(TurnedClock(START).now)
    seen.start()
    seen._note(lambda: 1 // 0)  # type: ignore[arg-type,return-value]
    seen.unread("bad-message")
    assert b'kitchen_timer_bad_messages_total{code="bad-message"} 1.0' in seen.text()
    seen.close()


def test_a_planner_that_is_quiet_is_waited_for(tmp_path: Path) -> None:
    tonight = WatchedTonight()
    assert isinstance(tonight.planner, InlinePlanner)
    assert tonight.engine.waits_for_plan_s() == 0  # type: ignore[attr-defined]
    tonight.planner.quiet = True
    tonight.order("6", hake=1)
    assert tonight.engine.waits_for_plan_s() > 0  # type: ignore[attr-defined]
    tonight.planner.quiet = False
    tonight.order("4", hake=1)
    assert tonight.engine.waits_for_plan_s() == 0  # type: ignore[attr-defined]


def test_a_real_service_counts_the_cues_that_it_sends(small: Served) -> None:
    """A phone has joined; squid takes 20 s and is wanted in 37 s: its heads-up, 15 s before its start, is 2 s away."""
    page = Page(small.url, "station", "fry", "seen-phone")
    land_at = datetime.now(UTC) + timedelta(seconds=37)
    course = {
        "course": "starters",
        "land": {"kind": "time", "at": land_at.isoformat(timespec="seconds")},
        "plates": [{"dish": "squid"}],
    }
    taken = page.command({"kind": "take_order", "table": "61", "allergies_asked": True, "courses": [course]})
    assert taken["ok"], taken
    until(lambda: page.cues, "the cue has come")
    text = requests.get(small.url + "/metrics", timeout=20).text
    late = {
        sample.name: sample.value
        for family in text_string_to_metric_families(text)
        for sample in family.samples
        if sample.labels == {"station": "fry"} and sample.name.startswith("kitchen_timer_cue_late")
    }
    assert late["kitchen_timer_cue_late_seconds_count"] >= 1
    assert late["kitchen_timer_cue_late_seconds_sum"] < 3 * late["kitchen_timer_cue_late_seconds_count"]
    assert page.command({"kind": "undo", "seq": taken["seq"]})["ok"]
    page.leave()
