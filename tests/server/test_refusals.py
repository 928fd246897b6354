"""Every refusal has one shape (RFC 9457), names the field and the cure, and is a 4xx."""

from typing import Any

import pytest
import requests

from tests.server.served import Page, Served

MEMBERS = {"type", "title", "status", "detail"}
"""What RFC 9457, section 3.1, calls its members (``instance`` is optional)."""


def order(**changes: Any) -> dict[str, Any]:
    """A command message that takes an order, with changes to the command."""
    courses = [{"course": "mains", "land": {"kind": "asap"}, "plates": [{"dish": "brill"}]}]
    command = {"kind": "take_order", "table": "31", "allergies_asked": True, "courses": courses, **changes}
    return {"client_id": "refused", "client_seq": 1, "command": command}


WRONG: list[tuple[str, object, int, str, str]] = [
    ("a list", [], 400, "bad-message", "(the whole message)"),
    ("no command", {"client_id": "a", "client_seq": 1}, 400, "bad-message", "command"),
    ("an unknown kind", {"client_id": "a", "client_seq": 1, "command": {"kind": "x"}}, 400, "bad-message", "command"),
    ("a misspelt key", order(allergie_asked=True), 400, "bad-message", "command.allergie_asked"),
    ("no plates", order(courses=[{"course": "mains", "land": {"kind": "asap"}}]), 400, "bad-message",
     "command.courses[0].plates"),
    ("a duration without unit",
     order(courses=[{"course": "m", "land": {"kind": "after", "after": "s", "gap": 1}, "plates": [{"dish": "brill"}]}]),
     400, "bad-message", "command.courses[0].land.gap"),
    ("a time without offset",
     order(courses=[{"course": "m", "land": {"kind": "time", "at": "19:30"}, "plates": [{"dish": "brill"}]}]),
     400, "bad-message", "command.courses[0].land.at"),
    ("a negative count",
     order(courses=[{"course": "m", "land": {"kind": "asap"}, "plates": [{"dish": "brill", "qty": -1}]}]),
     400, "bad-message", "command.courses[0].plates[0].qty"),
    ("a table with a slash", order(table="3/1"), 400, "bad-message", "command.table"),
    ("a client without a name", {**order(), "client_id": ""}, 400, "bad-message", "client_id"),
]  # fmt: skip


@pytest.mark.parametrize(("body", "status", "code", "where"), [w[1:] for w in WRONG], ids=[w[0] for w in WRONG])
def test_a_message_that_cannot_be_read_is_refused_with_its_field_and_a_cure(
    served: Served, body: object, status: int, code: str, where: str
) -> None:
    reply = served.post("/api/command", body)
    problem = reply.json()
    assert reply.headers["Content-Type"] == "application/problem+json"
    assert set(problem) >= MEMBERS
    assert (reply.status_code, problem["status"], problem["code"]) == (status, status, code)
    assert where in [fault["where"] for fault in problem["faults"]]
    assert all(fault["what"] and fault["cure"] for fault in problem["faults"])
    assert "Traceback" not in reply.text


@pytest.mark.parametrize(
    ("command", "code"),
    [
        ({"kind": "send_course", "course_id": "77/mains"}, "unknown-table"),
        ({"kind": "start_steps", "steps": ["77/mains/brill/fish/1/0"]}, "unknown-step"),
        ({"kind": "undo", "seq": 99999999}, "not-now"),
        (order(courses=[{"course": "mains", "land": {"kind": "asap"}, "plates": [{"dish": "moon"}]}])["command"],
         "unknown-dish"),
        (order(allergies_asked=False)["command"], "allergies-not-asked"),
    ],
)  # fmt: skip
def test_what_makes_no_sense_now_is_refused_and_changes_nothing(
    served: Served, command: dict[str, Any], code: str
) -> None:
    reply = served.post("/api/command", {"client_id": "senseless", "client_seq": 1, "command": command})
    problem = reply.json()
    assert 400 <= reply.status_code < 500, reply.text
    assert (problem["code"], problem["status"]) == (code, reply.status_code)
    assert problem["detail"].endswith(".")
    # The number was not used up: a right command may have it.
    assert [f for f in problem["faults"] if not f["cure"]] == []


def test_a_socket_gets_the_same_refusal_in_its_acknowledgement(served: Served) -> None:
    page = Page(served.url, "pass", client_id="socket-refusals")
    refused = page.command({"kind": "send_course", "course_id": "77/mains"})
    assert refused["ok"] is False
    assert refused["problem"]["code"] == "unknown-table"
    for nonsense in (None, 3, "x", [], {"kind": "send_course"}):
        assert page.ask("command", nonsense)["problem"]["code"] == "bad-message"
        assert page.ask("join", nonsense)["problem"]["code"] == "bad-message"
        assert page.ask("clock", nonsense)["problem"]["code"] == "bad-message"
    page.leave()


def test_a_station_that_the_kitchen_does_not_have_is_refused_with_those_it_has(served: Served) -> None:
    reply = requests.get(served.url + "/api/station/sushi", timeout=20)
    assert reply.status_code == 404
    assert "larder" in reply.json()["detail"]
    page = Page(served.url, "station", "sushi")
    assert page.joined["problem"]["code"] == "unknown-station"
    page.leave()


def test_bodies_that_are_no_json_and_paths_that_are_not_there_get_the_same_shape(served: Served) -> None:
    url = served.url + "/api/command"
    replies = {
        400: requests.post(url, data="{", headers={"Content-Type": "application/json"}, timeout=20),
        404: requests.get(served.url + "/api/nothing", timeout=20),
        405: requests.get(url, timeout=20),
        413: requests.post(url, data=b"x" * 300_000, headers={"Content-Type": "application/json"}, timeout=20),
        # Another site's page can post plain text here without being asked; it must not be read as JSON.
        415: requests.post(url, data="{}", headers={"Content-Type": "text/plain"}, timeout=20),
    }
    for status, reply in replies.items():
        assert reply.status_code == status
        assert set(reply.json()) >= MEMBERS
        assert reply.json()["status"] == status


def test_a_page_of_another_site_cannot_open_a_socket(served: Served) -> None:
    reply = requests.get(
        served.url + "/socket.io/?EIO=4&transport=polling", headers={"Origin": "http://elsewhere.example"}, timeout=20
    )
    assert reply.status_code == 400
