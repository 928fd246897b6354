"""Messages made from the wire's own JSON Schema: as it says, nearly as it says, and not at all."""

from typing import Any

import hypothesis.strategies as st

from kitchen_timer.server.schema import wire_schema

DEFS: dict[str, Any] = wire_schema()["$defs"]

NAMES = [
    "6",
    "4",
    "mains",
    "starters",
    "hake",
    "squid",
    "egg",
    "Leaves",
    "fry",
    "top",
    "fryer",
    "1",
    "2",
    "nut",
    "both",
]
IDS = [
    "6/mains",
    "4/mains",
    "6/mains/hake/fish/1",
    "6/mains/hake/fish/1/0",
    "6/mains/hake/fish/1/1",
    "4/mains/squid/rings/1/0",
    "6/mains/hake/fish/1/-1",
    "6/mains/hake/fish/99999999999999999999/0",
    "//////",
]
TIMES = [
    "2026-11-27T19:10:00+00:00",
    "2026-11-27T20:30:00Z",
    "0001-01-01T00:00:00Z",
    "9999-12-31T23:59:59Z",
    "2026-11-27T19:10:00",
    "19:30",
]


def _nested(depth: int, in_lists: bool) -> Any:
    made: Any = "6"
    for _ in range(depth):
        made = [made] if in_lists else {"kind": made}
    return made


huge: st.SearchStrategy[Any] = (
    st.builds(_nested, st.integers(2, 400), st.booleans())
    | st.integers(1000, 20_000).map(lambda count: "m" * count)
    | st.integers(100, 3000).map(lambda count: ["6/mains"] * count)
    | st.sampled_from(
        ["\ud800", "\udfff6", "\x00", "\u202e6", "６", "6\n", " ", "\u200b", "e\u0301" * 9, "🦑", "..", "%2f"]
    )
    | st.sampled_from([10**90, -(10**90), 1e308, 5e-324, -0.0, float("nan"), float("-inf")])
)

rubbish: st.SearchStrategy[Any] = huge | st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**70), 2**70)
    | st.floats()
    | st.text(max_size=20)
    | st.sampled_from([*NAMES, *IDS, *TIMES]),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=4,
)


def of(schema: dict[str, Any]) -> st.SearchStrategy[Any]:
    """Values as a schema says; reads the few words of JSON Schema that ours uses."""
    if "$ref" in schema:
        name = schema["$ref"].removeprefix("#/$defs/")
        return st.deferred(lambda: of(DEFS[name]))
    for choices in ("anyOf", "oneOf"):
        if choices in schema:
            return st.one_of([of(choice) for choice in schema[choices]])
    if "const" in schema:
        return st.just(schema["const"])
    if "enum" in schema:
        return st.sampled_from(schema["enum"])
    match schema["type"]:
        case "object":
            return _object(schema)
        case "array":
            return st.lists(of(schema["items"]), max_size=3)
        case "string":
            return st.sampled_from(TIMES) if schema.get("format") == "date-time" else _text(schema)
        case "integer":
            return st.integers(schema.get("minimum", -(2**63)), schema.get("maximum", 2**63)) | st.integers(-2, 700)
        case "number":
            return st.floats(allow_nan=True, allow_infinity=True) | st.sampled_from([58, 60.5])
        case "boolean":
            return st.booleans()
    return st.none()


def _text(schema: dict[str, Any]) -> st.SearchStrategy[str]:
    if "(?=" in schema.get("pattern", ""):
        return st.sampled_from(["0s", "90s", "12m", "999999h", "1h", "2m30s"])  # a duration
    return st.sampled_from([*NAMES, *IDS]) | st.text(max_size=15)


def _object(schema: dict[str, Any]) -> st.SearchStrategy[dict[str, Any]]:
    required = {key: of(part) for key, part in schema["properties"].items() if key in schema.get("required", ())}
    optional = {key: of(part) for key, part in schema["properties"].items() if key not in required}
    return st.fixed_dictionaries(required, optional=optional)


@st.composite
def spoilt(draw: st.DrawFn, message: st.SearchStrategy[Any]) -> Any:
    """A message of which some part is something else, is missing, or has one part too many."""
    made = draw(message)
    at: Any = made
    while isinstance(at, (dict, list)) and at:
        key = draw(st.sampled_from(sorted(at) if isinstance(at, dict) else range(len(at))))
        if not isinstance(at[key], (dict, list)) or not at[key] or draw(st.booleans()):
            how = draw(st.sampled_from(["other", "other", "gone", "more"]))
            if how == "gone":
                del at[key]
            elif how == "more" and isinstance(at, dict):
                at["salt"] = draw(rubbish)
            else:
                at[key] = draw(rubbish)
            break
        at = at[key]
    return made
