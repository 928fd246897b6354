"""``/api/openapi.json``: the REST half of the wire, as OpenAPI 3.1 describes such things."""

from functools import cache
from importlib.metadata import PackageNotFoundError, version
from typing import Any

from kitchen_timer.server.schema import wire_schema

_REF = "#/components/schemas/"


@cache
def openapi() -> dict[str, Any]:
    """The OpenAPI 3.1 document."""
    schemas = wire_schema(ref_template=_REF + "{model}")["$defs"]
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "Kitchen Timer",
            "version": _version(),
            "description": "Boards, orders and taps. The same messages travel over Socket.IO as `join`, `command`, "
            "`clock`, and are pushed as `board` and `cue`. Instants are RFC 3339, durations 2m30s.",
        },
        "paths": {
            "/api/kitchen": {"get": _gives("What every page needs to know once", "KitchenInfo")},
            "/api/book": {"get": _gives("The dishes", "DishInfo", many=True)},
            "/api/book/{dish}/alone": {
                "get": {
                    **_gives("One dish with the whole kitchen to itself", "Quote", refuses=True),
                    "parameters": [_parameter("dish", "path"), _parameter("plates", "query")],
                }
            },
            "/api/pass": {"get": _gives("All that the pass screen shows", "PassBoard")},
            "/api/station/{station}": {
                "get": {
                    **_gives("All that a station's phone shows", "StationBoard", refuses=True),
                    "parameters": [_parameter("station", "path")],
                }
            },
            "/api/quote": {"post": _takes("What an order would get", "QuoteMessage", "Quote")},
            "/api/why/{table}/{course}": {
                "get": {
                    **_gives("What holds a course that is behind, link by link", "WhyView", refuses=True),
                    "parameters": [_parameter("table", "path"), _parameter("course", "path")],
                }
            },
            "/api/what-if": {
                "post": _takes(
                    "What would be if something were otherwise; changes nothing", "WhatIfAsked", "WhatIfView"
                )
            },
            "/api/command": {"post": _takes("Change something", "CommandMessage", "Accepted")},
            "/api/clock": {"get": _gives("What time it is in the kitchen", "ClockReply")},
            "/api/qr": {
                "get": {
                    "summary": "A QR code that leads to a page, for phones",
                    "parameters": [_parameter("path", "query", pattern="^/", maxLength=200)],
                    "responses": {"200": {"description": "SVG", "content": {"image/svg+xml": {}}}, **_REFUSALS},
                }
            },
            "/api/openapi.json": {
                "get": {
                    "summary": "This document",
                    "responses": {
                        "200": {
                            "description": "OpenAPI 3.1",
                            "content": {"application/json": {"schema": {"type": "object"}}},
                        }
                    },
                }
            },
            "/health": {"get": _health()},
            "/metrics": {
                "get": {
                    "summary": "Figures for Prometheus",
                    "responses": {"200": {"description": "Its text format", "content": {"text/plain": {}}}},
                }
            },
        },
        "components": {"schemas": schemas},
    }


def _version() -> str:
    try:
        return version("kitchen-timer")
    except PackageNotFoundError:  # run from a checkout that was never installed
        return "0"


_REFUSALS: dict[str, Any] = {
    "4XX": {
        "description": "Refused: nothing was changed; `faults` names each field and its cure",
        "content": {"application/problem+json": {"schema": {"$ref": _REF + "Problem"}}},
    },
    "503": {
        "description": "Not the sender's fault: the disk cannot be written, or the planner is being started again. "
        "Nothing was changed; ask again",
        "content": {"application/problem+json": {"schema": {"$ref": _REF + "Problem"}}},
    },
}


def _gives(summary: str, shape: str, *, many: bool = False, refuses: bool = False) -> dict[str, Any]:
    schema: dict[str, Any] = {"$ref": _REF + shape}
    if many:
        schema = {"type": "array", "items": schema}
    good = {"200": {"description": summary, "content": {"application/json": {"schema": schema}}}}
    return {"summary": summary, "responses": {**good, **(_REFUSALS if refuses else {})}}


def _health() -> dict[str, Any]:
    good = _gives("Whether it works, part by part; 503 when some part does not", "Health")
    return {
        **good,
        "responses": {**good["responses"], "503": {**good["responses"]["200"], "description": "Not all of it"}},
    }


def _takes(summary: str, asked: str, given: str) -> dict[str, Any]:
    body = {"required": True, "content": {"application/json": {"schema": {"$ref": _REF + asked}}}}
    return {**_gives(summary, given, refuses=True), "requestBody": body}


def _parameter(name: str, where: str, **limits: Any) -> dict[str, Any]:
    return {"name": name, "in": where, "required": where == "path", "schema": {"type": "string", **limits}}
