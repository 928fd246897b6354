"""The wire as a page uses it: join, order, be cued, tap, ask the time."""

import time
from typing import Any

import pytest
import requests

from kitchen_timer.kitchen.seconds import read_instant, write_instant
from tests.server.served import Page, Served, until

FOUR = [
    {"dish": "brill"},
    {"dish": "lamb"},
    {"dish": "risotto", "seat": "3", "allergies": ["gluten"], "note": "no fritter"},
    {"dish": "duck"},
]


def take(page: Page, table: str, plates: list[dict[str, Any]], course: str = "mains") -> Any:
    """The reply to an order of one course."""
    asked = [{"course": course, "land": {"kind": "asap"}, "plates": plates}]
    return page.command({"kind": "take_order", "table": table, "allergies_asked": True, "courses": asked})


def course_of(board: dict[str, Any], course_id: str) -> dict[str, Any] | None:
    """A course on the pass board, once it is planned."""
    return next((c for c in board["courses"] if c["id"] == course_id and c["notes"]), None)


def test_an_order_is_on_the_pass_board_and_its_cues_on_the_station_boards(served: Served) -> None:
    order, passes = Page(served.url, "order", client_id="tablet"), Page(served.url, "pass", client_id="screen")
    fish = Page(served.url, "station", "fish", client_id="fish-phone")
    reply = take(order, "41", FOUR)
    assert reply["ok"]
    course = until(lambda: course_of(passes.latest(), "41/mains"), "the order is planned on the pass board")
    assert [d["name"] for d in course["dishes"]]
    assert course["allergies"][0]["dish"].startswith("Saffron risotto")
    assert "GLUTEN" in course["allergies"][0]["words"].upper()
    notes = [n for n in course["notes"] if n["station"] == "fish"]
    assert notes
    assert all(n["end_at"] <= course["landing_at"] for n in course["notes"])
    first = min(note["start_at"] for note in notes)
    if first < later(9):  # a phone is told of the next ten minutes
        until(lambda: any(note["table"] == "41" for note in fish.latest()["notes"]), "the fish station sees it")
    for page in (order, passes, fish):
        page.leave()


def later(minutes: int) -> str:
    """An instant well after the demo's half past seven, as JSON writes it."""
    return f"2026-11-27T19:{30 + minutes}:00+00:00"


def test_a_tap_sent_twice_counts_once_and_gets_the_same_reply(served: Served) -> None:
    page = Page(served.url, "order", client_id="twice")
    first = take(page, "42", [{"dish": "beetroot"}], "starters")
    again = page.ask(
        "command",
        {
            "client_id": "twice",
            "client_seq": 1,
            "command": {
                "kind": "take_order",
                "table": "42",
                "allergies_asked": True,
                "courses": [{"course": "starters", "land": {"kind": "asap"}, "plates": [{"dish": "beetroot"}]}],
            },
        },
    )
    assert first == {"ok": True, "seq": first["seq"], "repeated": False}
    assert again == {"ok": True, "seq": first["seq"], "repeated": True}
    ids = [course["id"] for course in served.get("/api/pass")["courses"]]
    assert ids.count("42/starters") == 1
    assert "42/starters 2" not in ids
    page.leave()


def test_a_cue_comes_at_its_heads_up_and_a_tap_starts_it_and_can_be_taken_back(small: Served) -> None:
    """Wanted 39 s from now and cooked for 20 s, squid is due in 19 s: its heads-up comes 15 s before, in 4 s."""
    page, fry = Page(small.url, "order", client_id="cued"), Page(small.url, "station", "fry", client_id="fry-phone")
    wanted = read_instant(fry.latest()["now"]) + 39
    asked = {
        "course": "starters",
        "land": {"kind": "time", "at": write_instant(wanted)},
        "plates": [{"dish": "squid", "qty": 3, "allergies": ["egg"], "seat": "2"}],
    }
    order = {"kind": "take_order", "table": "6", "allergies_asked": True, "courses": [asked]}
    assert page.command(order)["ok"]
    came, cue = until(lambda: fry.cues and fry.cues[0], "fry is cued")
    assert (cue["kind"], cue["do"], cue["portions"], cue["tables"]) == ("start", "Drop", 3, ["6"])
    assert read_instant(cue["due_at"]) == wanted - 20
    assert read_instant(cue["heads_up_at"]) == wanted - 35
    assert "EGG" in cue["allergies"][0]["words"].upper()
    assert cue["caution"]
    now = small.get("/api/clock")["kitchen_at_t3"] / 1000 - (time.monotonic() - came)
    assert now == pytest.approx(wanted - 35, abs=2.0)

    reply = fry.command({"kind": "start_steps", "steps": cue["steps"]})
    assert reply["ok"], reply

    def states() -> set[str]:
        return {note["state"] for note in fry.latest()["notes"] if note["id"] in cue["steps"]}

    until(lambda: states() == {"started"}, "the note is solid")
    undone = fry.command({"kind": "undo", "seq": reply["seq"]})
    assert undone["ok"], undone
    until(lambda: states() and states() <= {"planned", "announced"}, "the note is an outline again")
    page.leave()
    fry.leave()


def test_the_pass_knows_which_phones_are_in_touch(served: Served) -> None:
    passes = Page(served.url, "pass", client_id="watching")
    phone = Page(served.url, "station", "pastry", client_id="pastry-phone")

    def pastry() -> dict[str, Any]:
        return next(s for s in passes.latest()["stations"] if s["id"] == "pastry")

    def newest() -> dict[str, Any]:
        board = passes.boards[-1][1] if passes.boards else passes.joined["board"]
        return next(s for s in board["stations"] if s["id"] == "pastry")

    until(lambda: newest()["devices"] == 1, "the pass sees the phone")
    assert served.get("/health")["phones"] >= 1
    phone.leave()
    until(lambda: newest()["devices"] == 0, "the pass sees that it is gone")
    assert newest()["out_of_touch_s"] is not None
    passes.leave()


def test_the_clock_is_told_with_four_timestamps_that_fit_together(served: Served) -> None:
    page = Page(served.url, "pass", client_id="clock")
    probes = []
    for _ in range(20):
        t1 = time.monotonic() * 1000
        reply = page.ask("clock", {"t1": t1})
        probes.append((t1, reply["t2"], reply["t3"], time.monotonic() * 1000, reply["kitchen_at_t3"]))
        assert reply["t1"] == t1
        assert reply["t2"] <= reply["t3"]
        assert reply["speed"] == 1.0
    # RFC 5905, section 8: offset = ((T2 - T1) + (T3 - T4)) / 2, and half of the smallest round trip bounds its error.
    # Server and test read the same monotonic clock here, so the true offset is 0.
    round_trip, offset = min(((t4 - t1) - (t3 - t2), ((t2 - t1) + (t3 - t4)) / 2) for t1, t2, t3, t4, _ in probes)
    assert abs(offset) <= round_trip / 2 + 0.01
    real_ms, kitchen_ms = probes[-1][2] - probes[0][2], probes[-1][4] - probes[0][4]
    assert kitchen_ms == pytest.approx(real_ms, abs=2.0)
    page.leave()


def test_a_quote_changes_nothing(served: Served) -> None:
    before = served.get("/api/pass")
    body = {"table": "44", "courses": [{"course": "mains", "land": {"kind": "asap"}, "plates": FOUR}]}
    reply = served.post("/api/quote", body)
    quote = reply.json()
    assert reply.status_code == 200
    assert quote["courses"][0]["id"] == "44/mains"
    assert quote["courses"][0]["notes"]
    assert any("gluten" in warning.lower() for warning in quote["warnings"]), quote["warnings"]
    after = served.get("/api/pass")
    assert "44" not in {course["table"] for course in after["courses"]}
    assert {c["id"] for c in before["courses"]} <= {c["id"] for c in after["courses"]} | {
        s["id"] for s in after["sent"]
    }


def test_pages_codes_and_documents_are_served(served: Served) -> None:
    kitchen = served.get("/api/kitchen")
    assert kitchen["name"] == "Skerrymoot"
    assert kitchen["demo"] is True
    assert kitchen["lan"] is False
    assert kitchen["address"] == served.url
    assert len(kitchen["cautions"]) >= 6
    assert len(served.get("/api/book")) == 12
    for page in ("/", "/pass", "/order", "/station/fry"):
        reply = requests.get(served.url + page, timeout=20)
        # Built screens, or plain words on how to build them.
        assert (reply.status_code == 200 and "<html" in reply.text) or "npm run build" in reply.text
    code = requests.get(served.url + "/api/qr?path=/station/fry", timeout=20)
    assert code.headers["Content-Type"] == "image/svg+xml"
    assert "<svg" in code.text
    assert requests.get(served.url + "/api/qr?path=//elsewhere.example", timeout=20).status_code == 400
