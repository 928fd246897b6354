"""Rows of what is changed after an order: each event is written field by field under its own names."""

from typing import Any

from pydantic import TypeAdapter

from kitchen_timer.service import events

Body = dict[str, Any]

Change = (
    events.LandChanged
    | events.CourseRushed
    | events.TableLeft
    | events.TableReturned
    | events.CueSet
    | events.CueFreed
    | events.CoreTempRead
    | events.LetStand
    | events.LoadGiven
    | events.PlatesChanged
    | events.CourseTakenOff
    | events.TableMoved
    | events.NoneLeft
    | events.LeftAgain
    | events.CooksChanged
    | events.SlotsChanged
    | events.TapsChanged
    | events.BookRead
)

CHANGES: dict[str, TypeAdapter[Any]] = {
    "land_changed": TypeAdapter(events.LandChanged),
    "course_rushed": TypeAdapter(events.CourseRushed),
    "table_left": TypeAdapter(events.TableLeft),
    "table_returned": TypeAdapter(events.TableReturned),
    "cue_set": TypeAdapter(events.CueSet),
    "cue_freed": TypeAdapter(events.CueFreed),
    "core_temp_read": TypeAdapter(events.CoreTempRead),
    "let_stand": TypeAdapter(events.LetStand),
    "load_given": TypeAdapter(events.LoadGiven),
    "plates_changed": TypeAdapter(events.PlatesChanged),
    "course_taken_off": TypeAdapter(events.CourseTakenOff),
    "table_moved": TypeAdapter(events.TableMoved),
    "none_left": TypeAdapter(events.NoneLeft),
    "left_again": TypeAdapter(events.LeftAgain),
    "cooks_changed": TypeAdapter(events.CooksChanged),
    "slots_changed": TypeAdapter(events.SlotsChanged),
    "taps_changed": TypeAdapter(events.TapsChanged),
    "book_read": TypeAdapter(events.BookRead),
}
"""By kind of row; a kind once written is never renamed."""

_KINDS = {adapter._type: kind for kind, adapter in CHANGES.items()}


def changed_body(event: Change) -> tuple[str, Body]:
    """``(kind, body)`` of an event."""
    kind = _KINDS[type(event)]
    body: Body = CHANGES[kind].dump_python(event, mode="json", by_alias=True)
    return kind, body


def read_change(kind: str, body: Body) -> Change:
    """The event of a body. Rows are ours: a field that is not there has its default."""
    event: Change = CHANGES[kind].validate_python(body)
    return event
