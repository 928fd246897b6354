"""Why a course lands when it does, and what if something were otherwise: questions that change nothing."""

from dataclasses import dataclass
from typing import Annotated

from pydantic import Field

from kitchen_timer.kitchen.problems import BadMessage, Fault, UnknownTable
from kitchen_timer.kitchen.seconds import Instant
from kitchen_timer.plan.question import CourseKey
from kitchen_timer.plan.remedy import Change
from kitchen_timer.plan.what_if import Supposed, WhatIf
from kitchen_timer.plan.why_link import Chain
from kitchen_timer.service.ask_planner import course_key
from kitchen_timer.service.commands import Asked
from kitchen_timer.service.state import Evening
from kitchen_timer.service.views import CannotView, LinkView, MovedView, WhatIfView, WhyView

Courses = Annotated[tuple[str, ...], Field(max_length=12)]
By = Annotated[int, Field(ge=-50, le=50, strict=True)]


@dataclass(frozen=True)
class CooksAsked(Asked):
    """So many more cooks at a station, fewer below 0."""

    station: str
    by: By


@dataclass(frozen=True)
class SlotsAsked(Asked):
    """So many more places in a piece of equipment, fewer below 0."""

    equipment: str
    by: By


@dataclass(frozen=True)
class LandingAsked(Asked):
    """The chef's own landing time for a course."""

    course_id: str
    at: Instant


@dataclass(frozen=True)
class WhatIfAsked(Asked):
    """What is supposed to be otherwise; at least one thing."""

    first: Courses = ()
    """Courses (``9/mains``) that go before all others, in this order."""
    without: Courses = ()
    """Courses that are not taken, or held."""
    cooks: Annotated[tuple[CooksAsked, ...], Field(max_length=12)] = ()
    slots: Annotated[tuple[SlotsAsked, ...], Field(max_length=12)] = ()
    landings: Annotated[tuple[LandingAsked, ...], Field(max_length=12)] = ()


def planned_course(course_id: str, state: Evening) -> CourseKey:
    """The open course of that id; UnknownTable where no table has it, or it is held or sent."""
    try:
        key = course_key(course_id)
    except ValueError as wrong:
        what, _, cure = str(wrong).partition(": ")
        raise UnknownTable(f"{what}.", f"{cure.capitalize()}.", where="course_id") from None
    if key not in state.courses or not state.is_planned(key):
        raise UnknownTable(
            f"No course {course_id!r} is being cooked.", "Ask of one that the pass shows.", where="course_id"
        )
    return key


def supposed_of(asked: WhatIfAsked, state: Evening) -> Supposed:
    """What is asked as the planner understands it; BadMessage with every field at fault."""
    faults: list[Fault] = []

    def course(where: str, course_id: str) -> CourseKey:
        try:
            return planned_course(course_id, state)
        except UnknownTable as unknown:
            faults.append(Fault(where, unknown.sentence, unknown.cure))
            return CourseKey("", "")

    first = tuple(course(f"first[{i}]", each) for i, each in enumerate(asked.first))
    without = tuple(course(f"without[{i}]", each) for i, each in enumerate(asked.without))
    landings = tuple(
        (course(f"landings[{i}].course_id", each.course_id), each.at) for i, each in enumerate(asked.landings)
    )
    changes: list[Change] = []
    for i, cooks in enumerate(asked.cooks):
        station = state.kitchen.stations.get(cooks.station)
        where = f"cooks[{i}]"
        if station is None:
            known = ", ".join(state.kitchen.stations)
            faults.append(Fault(f"{where}.station", f"there is no station {cooks.station!r}", f"name one of {known}"))
        elif station.cooks + cooks.by < 0:
            what = f"{station.name} has {station.cooks}"
            faults.append(Fault(f"{where}.by", what, f"take away at most {station.cooks}"))
        else:
            changes.append(Change("cooks", cooks.station, cooks.by))
    for i, slots in enumerate(asked.slots):
        equipment = state.kitchen.equipment.get(slots.equipment)
        where = f"slots[{i}]"
        if equipment is None:
            known = ", ".join(state.kitchen.equipment) or "none: this kitchen has none"
            faults.append(
                Fault(f"{where}.equipment", f"there is no equipment {slots.equipment!r}", f"name one of {known}")
            )
        elif equipment.slots + slots.by < 0:
            what = f"the {state.kitchen.equipment_name(slots.equipment)} has {equipment.slots}"
            faults.append(Fault(f"{where}.by", what, f"take away at most {equipment.slots}"))
        else:
            changes.append(Change("slots", slots.equipment, slots.by))
    if not (first or without or landings or asked.cooks or asked.slots):
        whole = "first, without, cooks, slots or landings"
        faults.append(Fault("(the whole message)", "nothing is supposed to be otherwise", f"give {whole}"))
    if faults:
        raise BadMessage("This cannot be worked out.", faults)
    return Supposed(first, tuple(changes), without, landings)


def why_view(key: CourseKey, state: Evening, chain: Chain) -> WhyView:
    """The chain of one course; empty for a course on time."""
    planned = state.plan.by_course.get(key) if state.plan else None
    return WhyView(
        id=str(key),
        table=key.table,
        course=key.course,
        late_s=planned.late_s if planned else 0,
        chain=tuple(
            LinkView(
                kind=link.kind,
                words=link.words,
                course_id=str(link.course),
                until_at=link.until_at,
                sooner_s=link.sooner_s,
            )
            for link in chain
        ),
    )


def what_if_view(found: WhatIf, state: Evening, now: int) -> WhatIfView:
    """What would be, course by course; what is cooked for courses on hold is left out."""
    return WhatIfView(
        now=now,
        words=found.words,
        courses=tuple(
            MovedView(
                id=str(each.key),
                table=each.table,
                course=each.course,
                plates=each.plates,
                stands_at=each.stands_at,
                would_land_at=each.would_land_at,
                by_s=each.by_s,
                late_s=each.late_s,
                cause=each.cause,
            )
            for each in found.courses
            if state.is_planned(each.key)
        ),
        cannot=tuple(
            CannotView(id=str(each.key), table=each.table, course=each.course, why=each.why, would_help=each.would_help)
            for each in found.impossible
        ),
        cost_stands=found.cost_stands,
        cost_would=found.cost_would,
    )
