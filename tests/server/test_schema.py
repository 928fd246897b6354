"""The printed schema tells the truth: what the server sends is what it says, and all that refer to it can be found."""

import json
import re
import subprocess
import sys
from typing import Any

import pytest

from kitchen_timer.server.messages import read_command
from kitchen_timer.server.openapi import openapi
from kitchen_timer.server.schema import wire_schema
from tests.server.served import ROOT, Served

DEFS = wire_schema()["$defs"]

# RFC 3339, section 5.6, "date-time" with whole seconds.
DATE_TIME = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(Z|[+-]\d\d:\d\d)")


def unlike(value: Any, schema: dict[str, Any], where: str = "") -> list[str]:
    """Where a value is not as its schema says; reads the few words of JSON Schema that ours uses."""
    if "$ref" in schema:
        return unlike(value, DEFS[schema["$ref"].removeprefix("#/$defs/")], where)
    for choices in ("anyOf", "oneOf"):
        if choices in schema:
            tries = [unlike(value, choice, where) for choice in schema[choices]]
            return [] if any(found == [] for found in tries) else min(tries, key=len)
    if "const" in schema and value != schema["const"]:
        return [f"{where} is {value!r}, not {schema['const']!r}"]
    if "enum" in schema and value not in schema["enum"]:
        return [f"{where} is {value!r}, none of {schema['enum']}"]
    kinds: dict[str, tuple[type, ...]] = {
        "object": (dict,), "array": (list,), "string": (str,), "integer": (int,), "number": (int, float),
        "boolean": (bool,), "null": (type(None),),
    }  # fmt: skip
    if not isinstance(value, kinds[schema["type"]]) or (schema["type"] != "boolean" and isinstance(value, bool)):
        return [f"{where} is {value!r}, no {schema['type']}"]
    if schema.get("format") == "date-time" and not DATE_TIME.fullmatch(value):
        return [f"{where} is {value!r}, no RFC 3339 instant"]
    if isinstance(value, dict):
        known = schema.get("properties", {})
        found = [f"{where}.{key} is not in the schema" for key in value if key not in known]
        found += [f"{where}.{key} is missing" for key in schema.get("required", []) if key not in value]
        return found + [u for key in value if key in known for u in unlike(value[key], known[key], f"{where}.{key}")]
    if isinstance(value, list):
        items = schema.get("prefixItems") or [schema["items"]] * len(value)
        return [u for i, (v, s) in enumerate(zip(value, items, strict=True)) for u in unlike(v, s, f"{where}[{i}]")]
    return []


@pytest.mark.parametrize(
    ("path", "shape"),
    [
        ("/api/pass", "PassBoard"),
        ("/api/station/larder", "StationBoard"),
        ("/api/station/meat", "StationBoard"),
        ("/api/kitchen", "KitchenInfo"),
        ("/api/clock", "ClockReply"),
        ("/health", "Health"),
        ("/api/nothing", "Problem"),
    ],
)
def test_what_is_sent_is_what_the_schema_says(served: Served, path: str, shape: str) -> None:
    assert unlike(served.get(path), DEFS[shape]) == []


def test_every_dish_of_the_book_is_as_the_schema_says(served: Served) -> None:
    assert [u for dish in served.get("/api/book") for u in unlike(dish, DEFS["DishInfo"])] == []


def test_the_reader_of_schemas_in_this_test_does_find_what_is_wrong(served: Served) -> None:
    board = served.get("/api/pass")
    assert unlike({**board, "now": "half past seven"}, DEFS["PassBoard"])
    assert unlike({**board, "extra": 1}, DEFS["PassBoard"])
    assert unlike({key: value for key, value in board.items() if key != "seq"}, DEFS["PassBoard"])
    assert unlike({**board, "courses": [{**board["courses"][0], "late_s": "10"}]}, DEFS["PassBoard"])


def test_every_kind_of_command_is_told_apart_by_its_kind() -> None:
    kinds = DEFS["CommandMessage"]["properties"]["command"]["discriminator"]["mapping"]
    assert len(kinds) >= 9
    for kind, ref in kinds.items():
        shape = DEFS[ref.removeprefix("#/$defs/")]
        assert shape["properties"]["kind"]["const"] == kind
        assert "kind" in shape["required"]
        assert shape["additionalProperties"] is False


def test_a_command_as_the_schema_says_is_read() -> None:
    at = "2026-11-27T19:45:00+00:00"
    message = {
        "client_id": "tablet-1",
        "client_seq": 3,
        "command": {
            "kind": "take_order",
            "table": "6",
            "allergies_asked": True,
            "courses": [
                {"course": "starters", "land": {"kind": "time", "at": at}, "plates": [{"dish": "beetroot", "qty": 2}]},
                {
                    "course": "mains",
                    "land": {"kind": "after", "after": "starters", "gap": "12m"},
                    "plates": [{"dish": "brill", "allergies": ["milk"], "seat": "2", "note": "no sauce"}],
                },
            ],
        },
    }
    assert unlike(message, DEFS["CommandMessage"]) == []
    assert read_command(message).command.kind == "take_order"


def test_the_command_for_the_screens_prints_the_same_schema() -> None:
    printed = subprocess.run(
        [sys.executable, "-m", "kitchen_timer.server.schema"], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert json.loads(printed.stdout)["$defs"] == DEFS
    assert printed.stderr == ""


def test_every_reference_of_the_openapi_document_leads_somewhere(served: Served) -> None:
    document = served.get("/api/openapi.json")
    assert document == json.loads(json.dumps(openapi()))
    schemas = document["components"]["schemas"]
    for name in re.findall(r'"#/components/schemas/([^"]+)"', json.dumps(document)):
        assert name in schemas
    assert "#/$defs/" not in json.dumps(document)
