"""Whatever is sent to the server, it answers in words: no fault of ours, and no change after a refusal."""

import json
import os
from dataclasses import replace
from typing import Any

import hypothesis.strategies as st
import pytest
from flask.testing import FlaskClient
from hypothesis import given, settings

from kitchen_timer.kitchen.table import AtTime
from kitchen_timer.record.event_log import EventLog
from kitchen_timer.server.app import create_app
from kitchen_timer.server.openapi import openapi
from kitchen_timer.service.views import PassBoard
from tests.live.tonight import SERVICE, START, Tonight
from tests.server.from_schema import DEFS, of, rubbish, spoilt

MORE = 20 if os.environ.get("HYPOTHESIS_PROFILE") == "hunt" else 1
"""Times as many tries in a hunt."""


class Kitchen:
    """A small evening behind the real application, without a network."""

    def __init__(self, log: EventLog | None = None) -> None:
        self.tonight = Tonight(log=log)
        self.tonight.order("6", hake=2, squid=1)
        self.tonight.order("4", "mains", AtTime(at=START + 900), squid=2)
        self.tonight.cook_until(30)
        self.server = create_app(
            self.tonight.engine,
            kitchen=self.tonight.kitchen,
            clock=self.tonight.clock,
            service=lambda: SERVICE,
            heads_up_s=15,
        )
        self.http: FlaskClient = self.server.app.test_client()

    def shown(self) -> PassBoard:
        return self.tonight.board()


@pytest.fixture(scope="module")
def kitchen() -> Kitchen:
    return Kitchen()


def refused_in_words(problem: dict[str, Any]) -> None:
    assert 400 <= problem["status"] < 500 or problem["status"] == 503, problem
    assert problem["code"] != "broken"
    assert problem["detail"]
    assert "Traceback" not in problem["detail"]
    assert all(fault["cure"] for fault in problem["faults"]), problem


def posted(kitchen: Kitchen, path: str, body: Any) -> None:
    """Posts it; a refusal is in words and leaves the evening as it was."""
    kitchen.tonight.engine.wake()
    before = kitchen.shown()
    reply = kitchen.http.post(path, data=json.dumps(body), content_type="application/json")
    if reply.status_code == 200:
        kitchen.tonight.engine.wake()
        assert reply.get_json() is not None
        return
    assert reply.content_type == "application/problem+json"
    refused_in_words(reply.get_json())
    assert kitchen.shown() == before


@settings(max_examples=120 * MORE)
@given(command=of(DEFS["CommandMessage"]["properties"]["command"]), number=st.integers(0, 10**6))
def test_any_command_that_the_document_allows(kitchen: Kitchen, command: Any, number: int) -> None:
    posted(kitchen, "/api/command", {"client_id": "any", "client_seq": number, "command": command})


@settings(max_examples=80 * MORE)
@given(message=spoilt(of(DEFS["CommandMessage"])) | rubbish)
def test_any_command_that_it_does_not(kitchen: Kitchen, message: Any) -> None:
    posted(kitchen, "/api/command", message)


@settings(max_examples=30 * MORE)
@given(message=of(DEFS["QuoteMessage"]) | spoilt(of(DEFS["QuoteMessage"])) | rubbish)
def test_any_quote(kitchen: Kitchen, message: Any) -> None:
    posted(kitchen, "/api/quote", message)


@settings(max_examples=30 * MORE)
@given(text=st.text(max_size=30), path=st.sampled_from(sorted(openapi()["paths"])), query=st.text(max_size=20))
def test_any_address(kitchen: Kitchen, text: str, path: str, query: str) -> None:
    for address in (path.replace("{station}", "fry"), path.replace("{station}", text.replace("/", "") or "x")):
        for method in ("GET", "DELETE", "PUT"):
            reply = kitchen.http.open(address, method=method, query_string={"path": query})
            assert reply.status_code < 500 or reply.status_code == 503
            if reply.status_code >= 400 and reply.status_code != 503:
                refused_in_words(reply.get_json())


@settings(max_examples=80 * MORE)
@given(
    event=st.sampled_from(["join", "command", "clock"]),
    message=st.one_of(
        [shape for name in ("JoinMessage", "CommandMessage", "ClockMessage") for shape in (of(DEFS[name]),)]
    )
    | spoilt(of(DEFS["JoinMessage"]) | of(DEFS["CommandMessage"]) | of(DEFS["ClockMessage"]))
    | rubbish,
)
def test_any_socket_event(kitchen: Kitchen, event: str, message: Any) -> None:
    socket = kitchen.server.socketio.test_client(kitchen.server.app)
    kitchen.tonight.engine.wake()
    before = kitchen.shown()
    reply = socket.emit(event, message, callback=True)
    assert isinstance(reply, dict), reply
    if reply.get("ok") is False:
        refused_in_words(reply["problem"])
        assert replace(kitchen.shown(), stations=before.stations) == before
    socket.disconnect()
