"""Every route, asked by a tool that reads only our own OpenAPI document, in this process, over a real database.

Schemathesis (https://schemathesis.readthedocs.io) makes requests as the document allows and as it does not, and holds
each reply to it: status, kind of content, shape, methods. ``HYPOTHESIS_PROFILE=hunt`` tries twenty times as many, new
ones each time.
"""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import schemathesis
from hypothesis import given, settings
from openapi_spec_validator import validate
from schemathesis import GenerationMode
from schemathesis.specs.openapi.checks import positive_data_acceptance

from kitchen_timer.record.in_database import sqlite_log
from kitchen_timer.server.openapi import openapi
from kitchen_timer.service.taking import MOST_PLATES
from tests.live.tonight import Tonight
from tests.server.test_any_message import MORE, Kitchen, refused_in_words

TRIES = 15 * MORE

OPERATIONS = [
    f"{method.upper()} {path}"
    for path, item in openapi()["paths"].items()
    for method in item
    if path != "/api/openapi.json"  # read by the tool itself
]


@pytest.fixture(scope="module")
def kitchen(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Kitchen]:
    made = Kitchen(sqlite_log(tmp_path_factory.mktemp("any") / "service.sqlite"))
    yield made
    made.tonight.engine.close()


def test_the_document_is_valid_openapi() -> None:
    # https://pypi.org/project/openapi-spec-validator, which holds it to the OpenAPI Initiative's own schema of 3.1.
    validate(openapi())


def test_the_document_has_every_route(kitchen: Kitchen) -> None:
    routes = {
        (str(rule).replace("<", "{").replace(">", "}"), method.lower())
        for rule in kitchen.server.app.url_map.iter_rules()
        for method in rule.methods or ()
        if rule.endpoint.startswith("rest.") and method not in ("HEAD", "OPTIONS")
    }
    assert routes == {(path, method) for path, item in openapi()["paths"].items() for method in item}


def test_every_route_that_is_asked_something_says_how_it_refuses() -> None:
    for path, item in openapi()["paths"].items():
        for method, operation in item.items():
            problem = {"$ref": "#/components/schemas/Problem"}
            refuses = operation["responses"].get("4XX", {}).get("content", {}).get("application/problem+json")
            assert (refuses == {"schema": problem}) == bool(
                operation.get("parameters") or "requestBody" in operation
            ), (method, path)


@pytest.mark.parametrize("mode", [GenerationMode.POSITIVE, GenerationMode.NEGATIVE], ids=["allowed", "not-allowed"])
@pytest.mark.parametrize("operation", OPERATIONS)
def test_any_request_gets_a_reply_that_the_document_describes(
    kitchen: Kitchen, operation: str, mode: GenerationMode
) -> None:
    schema = schemathesis.openapi.from_wsgi("/api/openapi.json", kitchen.server.app)
    found = next(each.ok() for each in schema.get_all_operations() if each.ok().label == operation)
    asked_something = "requestBody" in found.definition.raw or found.query
    if mode is GenerationMode.NEGATIVE and not asked_something:
        pytest.skip("nothing can be asked wrongly: any text is a path")
    replies = 0

    @settings(max_examples=TRIES)
    @given(case=found.as_strategy(generation_mode=mode))
    def ask(case: Any) -> None:
        nonlocal replies
        kitchen.tonight.engine.wake()
        before = kitchen.shown()
        reply = case.call()
        replies += 1
        # Whether a right request makes sense now is for the evening to say: a course may not be there.
        case.validate_response(reply, excluded_checks=[positive_data_acceptance])
        if reply.status_code >= 400:
            refused_in_words(reply.json())
            assert kitchen.shown() == before

    ask()
    assert replies
    assert kitchen.tonight.engine.next_wake_at() is not None, "the evening goes on"


BODIES: dict[str, bytes] = {
    "nested too deep, lists": b"[" * 100_000,
    "nested too deep, objects": b'{"a":' * 20_000,
    "a number of 5000 digits": b"1" * 5_000,
    "not a number": b"NaN",
    "no text at all": b"\xff\xfe\x00",
    "nothing": b"",
    "cut off": b'{"client_id": "a", "client_',
    "half a surrogate pair": rb'{"client_id": "\ud800", "client_seq": 1, "command": {"kind": "undo", "seq": 1}}',
    "the same key twice": b'{"client_id": "a", "client_id": "b"}',
}


@pytest.mark.parametrize("path", ["/api/command", "/api/quote", "/api/what-if"])
@pytest.mark.parametrize("body", BODIES.values(), ids=BODIES.keys())
def test_a_body_that_is_no_message_is_refused_in_words(kitchen: Kitchen, path: str, body: bytes) -> None:
    before = kitchen.shown()
    reply = kitchen.http.post(path, data=body, content_type="application/json")
    assert reply.status_code == 400
    refused_in_words(reply.get_json())
    assert kitchen.shown() == before


def taken(kitchen: Kitchen, number: int, **changes: Any) -> Any:
    course = {"course": "mains", "land": {"kind": "asap"}, "plates": [{"dish": "squid"}]}
    command = {"kind": "take_order", "table": "88", "allergies_asked": True, "courses": [course], **changes}
    body = {"client_id": "exact", "client_seq": number, "command": command}
    return kitchen.http.post("/api/command", data=json.dumps(body), content_type="application/json")


@pytest.mark.parametrize("said", ["yes", "true", 1, 1.0, None, [], "on"])
def test_whether_allergies_were_asked_for_is_never_guessed(kitchen: Kitchen, said: object) -> None:
    reply = taken(kitchen, 1, allergies_asked=said)
    assert reply.status_code == 400
    assert reply.get_json()["faults"][0]["where"] == "command.allergies_asked"


@pytest.mark.parametrize("field", ["seconds", "cooks", "by_s", "celsius", "seq"])
@pytest.mark.parametrize("number", [True, "3", None, [3]])
def test_a_number_is_written_as_a_number(kitchen: Kitchen, field: str, number: object) -> None:
    kinds: dict[str, dict[str, Any]] = {
        "seconds": {"kind": "give_more_time", "steps": ["6/mains/hake/fish/1/0"]},
        "cooks": {"kind": "set_cooks", "station": "fry"},
        "by_s": {"kind": "move_course", "course_id": "6/mains"},
        "celsius": {"kind": "read_core_temp", "step": "6/mains/hake/fish/1/1"},
        "seq": {"kind": "undo"},
    }
    before = kitchen.shown()
    body = {"client_id": "exact", "client_seq": 2, "command": {**kinds[field], field: number}}
    reply = kitchen.http.post("/api/command", data=json.dumps(body), content_type="application/json")
    assert reply.status_code == 400
    assert [fault["where"] for fault in reply.get_json()["faults"]] == [f"command.{field}"]
    assert kitchen.shown() == before


@pytest.mark.parametrize(("plates", "status"), [(MOST_PLATES, 200), (MOST_PLATES + 1, 400)])
def test_an_order_that_no_planner_could_answer_is_refused_with_what_to_do(
    kitchen: Kitchen, plates: int, status: int
) -> None:
    course = {"course": "mains", "land": {"kind": "hold"}, "plates": [{"dish": "squid", "qty": plates - 60}]}
    course["plates"] += [{"dish": "squid", "qty": 60}]  # type: ignore[operator]
    reply = taken(kitchen, 100 + plates, courses=[course])
    assert reply.status_code == status
    if status == 400:
        assert "waves" in reply.get_json()["detail"]
        assert reply.get_json()["faults"][0]["where"] == "courses[0].plates"


def test_after_all_of_it_the_log_tells_the_same_evening(kitchen: Kitchen) -> None:
    tonight: Tonight = kitchen.tonight
    board = tonight.board()
    tonight.restart()
    again = tonight.board()
    assert (again.courses, again.sent, again.off, again.seq) == (board.courses, board.sent, board.off, board.seq)


def test_paths_that_are_no_paths_are_not_found(kitchen: Kitchen, tmp_path: Path) -> None:
    for path in ("/%00", "/assets/..%2f..%2fpyproject.toml", "/..%5cx", "/" + "a" * 5000, "/api/station/%00", "/api/x"):
        reply = kitchen.http.get(path)
        assert reply.status_code == 404, path
        refused_in_words(reply.get_json())
