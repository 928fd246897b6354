"""Says what a model refuses in the words of a kitchen: where, what is wrong, what would be right."""

import difflib
from collections.abc import Iterable, Iterator
from types import UnionType
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from kitchen_timer.files.written import Place, Written
from kitchen_timer.kitchen.problems import Fault
from kitchen_timer.kitchen.seconds import read_duration

EXAMPLES = {
    "name": "name: Roast hake",
    "timezone": "timezone: Europe/London",
    "stations": "stations: {fry: {name: Fry, cooks: 1}}",
    "cooks": "cooks: 1",
    "pass": "pass: {hands: 2}",
    "hands": "hands: 2",
    "slots": "slots: 2",
    "dish": "dish: hake",
    "course": "course: mains",
    "plating": "plating: 40s",
    "components": "components: {fish: {name: Hake, station: fish, keeps: 2m, steps: [...]}}",
    "station": "station: fry",
    "keeps": "keeps: 2m",
    "steps": "steps: [{do: Turn, takes: 1m}]",
    "do": "do: Turn",
    "takes": "takes: 2m30s",
    "usual": "usual: 2m30s",
    "service": "service: 2026-11-27",
    "orders": 'orders: [{table: "6", in: "19:02", courses: [...]}]',
    "table": 'table: "6"',
    "in": 'in: "19:02"',
    "courses": "courses: [{course: mains, plates: [{dish: hake, qty: 2}]}]",
    "plates": "plates: [{dish: hake, qty: 2}]",
    "after": "after: starters",
    "bookings": 'bookings: [{at: "19:00", table: "6", covers: 4, name: Fenwick}]',
    "at": 'at: "19:00"',
    "covers": "covers: 4",
    "waves": "waves: {of: 15}",
    "of": "of: 15",
    "every": "every: 4m",
}
"""What a missing key could look like."""

_DURATIONS = {
    "plating",
    "keeps",
    "takes",
    "usual",
    "least",
    "most",
    "each",
    "handling",
    "may_wait",
    "recovery",
    "gap",
    "every",
}


def nearest(word: object, known: Iterable[str], what: str) -> str:
    """The cure for a name that is not known: the nearest right one and all there are; ``what`` is plural."""
    names = list(known)
    if not names:
        return f"there are no {what} yet: add it there, or take it out here"
    low = {name.lower(): name for name in names}
    close = difflib.get_close_matches(str(word).lower(), low, n=1, cutoff=0.6)
    shown = ", ".join(names[:20]) + (", ..." if len(names) > 20 else "")
    return f"{low[close[0]]} is meant? {what}: {shown}" if close else f"{what}: {shown}"


def unknown_keys(model: Any, value: Any, written: Written, place: Place = ()) -> Iterator[Fault]:
    """A fault for every key that nothing reads, with the nearest that something does."""
    kind, inner = _kind(model)
    if kind == "model" and isinstance(value, dict):
        fields = {info.alias or name: info for name, info in inner.model_fields.items()}
        for key, below in value.items():
            if key in fields:
                yield from unknown_keys(fields[key].annotation, below, written, (*place, key))
            else:
                yield written.fault((*place, key), f"unknown key {key!r}", nearest(key, fields, "keys here"))
    elif kind == "dict" and isinstance(value, dict):
        for key, below in value.items():
            yield from unknown_keys(inner, below, written, (*place, key))
    elif kind == "list" and isinstance(value, list):
        for i, below in enumerate(value):
            yield from unknown_keys(inner, below, written, (*place, i))


def _kind(annotation: Any) -> tuple[str, Any]:
    origin, args = get_origin(annotation), get_args(annotation)
    if origin is Annotated:
        return _kind(args[0])
    if origin in (Union, UnionType):
        kinds = [kind for kind in map(_kind, args) if kind[0]]
        return kinds[0] if len(kinds) == 1 else ("", None)
    if origin is dict:
        return "dict", args[1]
    if origin in (tuple, list):
        return "list", args[0]
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return "model", annotation
    return "", None


def refusals(problem: ValidationError, written: Written) -> list[Fault]:
    """Every refusal of a model as a fault, each once; unknown keys are left to :func:`unknown_keys`."""
    faults: dict[tuple[str, str], Fault] = {}
    for error in problem.errors(include_url=False):
        if error["type"] == "extra_forbidden":
            continue
        place = _place(error, written)
        if error["type"] == "too_short" and written.at(place):
            continue  # pydantic counts only the items that are right; those that are not speak for themselves
        what, cure = _say(error, place, written)
        fault = written.fault(place, what, cure)
        faults.setdefault((fault.where, fault.what), fault)
    return list(faults.values())


def _place(error: ErrorDetails, written: Written) -> Place:
    """The part of pydantic's place that is in the file; a missing key keeps its own name."""
    place: Place = ()
    parts = [part for part in error["loc"] if part != "[key]"]
    for i, part in enumerate(parts):
        below = (*place, part)
        if below not in written.lines:
            if i + 1 < len(parts):
                continue  # pydantic's name for one of two forms
            return below if error["type"] == "missing" and isinstance(written.at(place), dict) else place
        place = below
    return place


def _say(error: ErrorDetails, place: Place, written: Written) -> tuple[str, str]:
    kind, context = error["type"], error.get("ctx", {})
    key = next((part for part in reversed(place) if isinstance(part, str)), "")
    value = _shown(error["input"])
    if "[key]" in error["loc"]:
        return f"{value} is no id", "write small letters, digits and hyphens, at most 40, such as souffle-oven"
    if kind == "missing":
        return f"{key} is missing", f"add it, such as {EXAMPLES.get(key, key + ': ...')}"
    if kind == "value_error":
        return _own_words(str(context.get("error", error["msg"])))
    if written.at(place) is None and key:
        return f"{key} has no value", f"write one, such as {EXAMPLES.get(key, key + ': ...')}"
    if key in _DURATIONS:
        try:
            read_duration(error["input"])
        except ValueError as why:
            return _own_words(str(why))
    match kind:
        case "string_type":
            return f"{value} is not text", f'put it in quotes: {key}: "{error["input"]}"'
        case "string_pattern_mismatch" if key == "table":
            return f"{value} cannot name a table", "write at most 12 letters or digits and no slash"
        case "string_pattern_mismatch" if key == "course" and "slash" not in str(context):
            return f"{value} cannot name this", "write a short word such as mains, without a slash"
        case "string_pattern_mismatch":
            return f"{value} is no id", "write small letters, digits and hyphens, such as souffle-oven"
        case "string_too_long":
            return f"{value} is too long", f"write at most {context['max_length']} letters"
        case "string_too_short":
            return f"{key or 'it'} is empty", f"write it, such as {EXAMPLES.get(key, key + ': ...')}"
        case "int_type" | "int_parsing" | "int_from_float" | "float_type" | "float_parsing" | "finite_number":
            return f"{value} is not a number that can stand here", "write a plain number such as 2"
        case "greater_than_equal":
            return f"{value} is too small", f"write at least {context['ge']:g}"
        case "less_than_equal":
            return f"{value} is too large", f"write at most {context['le']:g}"
        case "bool_type" | "bool_parsing":
            return f"{value} is neither yes nor no", "write true or false"
        case "enum":
            return f"{value} is not one of these words", f"write {context['expected'].replace(chr(39), '')}"
        case "too_short":
            return f"{key} is empty", f"write at least one, such as {EXAMPLES.get(key, key + ': ...')}"
        case "tuple_type" | "list_type":
            item = error["input"] if isinstance(error["input"], (str, int)) else "..."
            return f"{value} is not a list", f"write {key}: [{item}], or one item a line, each after a hyphen"
        case "model_type" | "dict_type" | "model_attributes_type":
            example = EXAMPLES.get(key, "name: ...")
            return f"{value} stands where keys with values are needed", f"write them, such as {{{example}}}"
    return f"{value} cannot stand here", error["msg"].removeprefix("Input ")


def _own_words(sentence: str) -> tuple[str, str]:
    """The models' own sentences read ``what: cure`` or ``what; cure``; a quoted value may hold either mark."""
    start = 0
    if sentence[:1] in "'\"":
        start = max(sentence.find(sentence[0] + " ", 1), 0)
    for mark in ("; ", ": "):
        if (cut := sentence.find(mark, start)) > 0:
            return sentence[:cut], sentence[cut + 2 :]
    return sentence, "change it"


def _shown(value: object) -> str:
    text = repr(value) if not isinstance(value, (dict, list)) else "a list" if isinstance(value, list) else "this"
    return text if len(text) <= 60 else text[:57] + "..."
