"""Event to row and back. A row is ``(kind, version, body)``; the body is JSON and says all the event says.

A version counts up when a body changes its shape; :func:`read_body` goes on reading the older ones, because a log is
never rewritten. Instants are whole seconds since 1970 UTC, as everywhere in the core.
"""

import json
from datetime import date
from typing import Any

from kitchen_timer.kitchen.table import Course
from kitchen_timer.plan.question import CourseKey, LoadKey, StepKey
from kitchen_timer.record.change_rows import CHANGES, changed_body, read_change
from kitchen_timer.record.plan_row import plan_body, read_plan
from kitchen_timer.service.events import (
    CourseFired,
    CourseHeld,
    CourseLanded,
    CourseSent,
    CueAnnounced,
    Event,
    LoadLost,
    OrderTaken,
    PlanAdopted,
    ServiceOpened,
    StepFinished,
    StepGivenMore,
    StepStarted,
    Struck,
)

VERSION = 1
"""Of every body so far."""

PLAN = "plan_adopted"
"""Kind of the one event that is large."""

OPENED = "service_opened"

RENAMED_IN = ("book_read", "table_moved")
"""Kinds of ``event_log.RENAMES``."""

Body = dict[str, Any]


class UnreadableRow(Exception):
    """A row of a newer version than this program, or one that is no event at all."""


def row_of(event: Event) -> tuple[str, int, Body]:
    """``(kind, version, body)`` of an event."""
    kind, body = _written(event)
    return kind, VERSION, body


def _written(event: Event) -> tuple[str, Body]:
    match event:
        case ServiceOpened(service, kitchen_at, wall_at, speed):
            opened = {"service": service.isoformat(), "kitchen_at": kitchen_at, "wall_at": wall_at, "speed": speed}
            return OPENED, opened
        case OrderTaken(courses):
            return "order_taken", {"courses": [course.model_dump(mode="json", by_alias=True) for course in courses]}
        case CourseFired(course):
            return "course_fired", {"course": course}
        case CourseHeld(course):
            return "course_held", {"course": course}
        case StepStarted(step, portions, at, end_at, due_at):
            begun = {"step": step, "portions": portions, "at": at, "end_at": end_at, "due_at": due_at}
            return "step_started", begun
        case StepFinished(step, at):
            return "step_finished", {"step": step, "at": at}
        case StepGivenMore(step, end_at):
            return "step_given_more", {"step": step, "end_at": end_at}
        case LoadLost(load, at, portions):
            return "load_lost", {"load": load, "at": at, **({} if portions is None else {"portions": portions})}
        case CourseLanded(course, at):
            return "course_landed", {"course": course, "at": at}
        case CourseSent(course, at, landed_at, spread_s, late_s, past_keeps):
            measured = {"landed_at": landed_at, "spread_s": spread_s, "late_s": late_s, "past_keeps": past_keeps}
            return "course_sent", {"course": course, "at": at, **measured}
        case CueAnnounced(cues):
            return "cue_announced", {"cues": [[step, due] for step, due in cues]}
        case PlanAdopted():
            return PLAN, plan_body(event)
        case Struck(command):
            return "struck", {"command": command}
        case _:
            return changed_body(event)


def read_body(kind: str, version: int, text: str, *, whole: bool = True) -> Event:
    """The event of a row; ``whole=False`` reads a plan without its steps (a later plan took over)."""
    if version != VERSION:
        raise UnreadableRow(
            f"{kind} of version {version}: this log was written by a newer Kitchen Timer; update this one"
        )
    body: Body = json.loads(text)
    match kind:
        case "service_opened":
            return ServiceOpened(**{**body, "service": date.fromisoformat(body["service"])})
        case "order_taken":
            return OrderTaken(tuple(Course.model_validate(course) for course in body["courses"]))
        case "course_fired":
            return CourseFired(CourseKey(*body["course"]))
        case "course_held":
            return CourseHeld(CourseKey(*body["course"]))
        case "step_started":
            return StepStarted(**{**body, "step": StepKey(*body["step"])})
        case "step_finished":
            return StepFinished(StepKey(*body["step"]), body["at"])
        case "step_given_more":
            return StepGivenMore(StepKey(*body["step"]), body["end_at"])
        case "load_lost":
            return LoadLost(LoadKey(*body["load"]), body["at"], body.get("portions"))
        case "course_landed":
            return CourseLanded(CourseKey(*body["course"]), body["at"])
        case "course_sent":
            return CourseSent(**{**body, "course": CourseKey(*body["course"])})
        case "cue_announced":
            return CueAnnounced(tuple((StepKey(*step), due) for step, due in body["cues"]))
        case "plan_adopted":
            return read_plan(body, whole=whole)
        case "struck":
            return Struck(body["command"])
    if kind in CHANGES:
        return read_change(kind, body)
    raise UnreadableRow(f"{kind!r} is no event this Kitchen Timer knows; update it")
