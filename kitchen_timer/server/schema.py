"""``python -m kitchen_timer.server.schema`` prints one JSON Schema of all the wire's messages, each in ``$defs``.

What comes in is described as it may be written (fields with a default may be left out), what goes out as it is
always written (every field is there). ``web/`` makes its types from this.
"""

import json
import sys
from typing import Any, Literal

from pydantic import TypeAdapter
from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue, JsonSchemaWarningKind

from kitchen_timer.server import messages
from kitchen_timer.service.supposing import WhatIfAsked
from kitchen_timer.service.views import ActionView, PassBoard, Quote, StationBoard, WhatIfView, WhyView

COMES_IN: dict[str, Any] = {
    "CommandMessage": messages.CommandMessage,
    "QuoteMessage": messages.QuoteMessage,
    "WhatIfAsked": WhatIfAsked,
    "JoinMessage": messages.JoinMessage,
    "ClockMessage": messages.ClockMessage,
}
GOES_OUT: dict[str, Any] = {
    "PassBoard": PassBoard,
    "StationBoard": StationBoard,
    "ActionView": ActionView,
    "Quote": Quote,
    "WhyView": WhyView,
    "WhatIfView": WhatIfView,
    "Reply": messages.Reply,
    "PassJoinReply": messages.PassJoinReply,
    "StationJoinReply": messages.StationJoinReply,
    "ClockReply": messages.ClockReply,
    "KitchenInfo": messages.KitchenInfo,
    "DishInfo": messages.DishInfo,
    "Health": messages.Health,
    "Problem": messages.Problem,
}


class _AsWritten(GenerateJsonSchema):
    """Every field that goes out is always there; of what comes in, a ``kind`` tells the shapes apart and must be."""

    # Seconds(0) as a default is no JSON number to pydantic; 0s is what leaving it out means anyway.
    ignored_warning_kinds: set[JsonSchemaWarningKind] = {"skipped-choice", "non-serializable-default"}  # noqa: RUF012

    def field_is_required(self, field: Any, total: bool) -> bool:
        if self.mode == "serialization":
            return True
        inner = field["schema"]
        if (
            inner["type"] == "default"
            and inner["schema"]["type"] == "literal"
            and len(inner["schema"]["expected"]) == 1
        ):
            return True
        return super().field_is_required(field, total)


def wire_schema(ref_template: str = "#/$defs/{model}") -> JsonSchemaValue:
    """One JSON Schema (2020-12) with every message of the wire in ``$defs``."""
    Mode = Literal["validation", "serialization"]
    shapes: list[tuple[str, Mode, TypeAdapter[Any]]] = [
        *((name, "validation", TypeAdapter(shape)) for name, shape in COMES_IN.items()),
        *((name, "serialization", TypeAdapter(shape)) for name, shape in GOES_OUT.items()),
    ]
    named, schema = TypeAdapter.json_schemas(
        shapes, by_alias=True, ref_template=ref_template, schema_generator=_AsWritten
    )
    defs = schema.setdefault("$defs", {})
    for (name, _mode), shape in named.items():
        defs.setdefault(str(name), shape)
    schema["$defs"] = dict(sorted(defs.items()))
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "Kitchen Timer messages", **schema}


def main() -> int:
    """Print it."""
    json.dump(wire_schema(), sys.stdout, indent=1)
    sys.stdout.write("\n")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
