"""Courses called, held, moved and sent; guests who leave the table and come back."""

from kitchen_timer.kitchen.problems import BadMessage, Fault, NotNow, UnknownTable
from kitchen_timer.kitchen.table import After, Asap, AtTime, Hold, Land
from kitchen_timer.plan.question import CourseKey
from kitchen_timer.service.events import (
    CourseFired,
    CourseHeld,
    CourseRushed,
    CourseSent,
    Event,
    LandChanged,
    TableLeft,
    TableReturned,
)
from kitchen_timer.service.picture import picture_of
from kitchen_timer.service.state import CourseRun, Evening
from kitchen_timer.service.taking import FURTHEST_S, can_be_planned
from kitchen_timer.service.words import clock_words, course_words


def fire(run: CourseRun, state: Evening) -> tuple[Event, ...]:
    """Call a course: it is wanted as soon as the kitchen can."""
    _not_at_pass(run)
    _guest_is_here(run, state)
    if isinstance(run.land, Asap):
        raise NotNow(
            f"{course_words(run.key)} is fired already and comes as soon as it can.",
            "Nothing more is needed.",
            where="course_id",
        )
    return (CourseFired(run.key),)


def _not_at_pass(run: CourseRun) -> None:
    if run.landed_at is not None:
        raise NotNow(f"{course_words(run.key)} is at the pass already.", "Send it.", where="course_id")


def _guest_is_here(run: CourseRun, state: Evening) -> None:
    if run.key.table in state.away:
        raise NotNow(f"Table {run.key.table}'s guest is away.", "Say that the guest is back first.", where="course_id")


def hold(run: CourseRun) -> tuple[Event, ...]:
    """Nothing more of a course is started until it is called."""
    if run.held:
        raise NotNow(f"{course_words(run.key)} is on hold already.", "Fire it to call it.", where="course_id")
    if run.landed_at is not None:
        raise NotNow(
            f"{course_words(run.key)} is at the pass: there is nothing left to hold.", "Send it.", where="course_id"
        )
    return (CourseHeld(run.key),)


def land_course(run: CourseRun, land: Land, state: Evening, now: int) -> tuple[Event, ...]:
    """The chef's own landing."""
    _not_at_pass(run)
    _guest_is_here(run, state)
    if isinstance(land, Hold):
        return hold(run)
    can_be_planned(land, "land", now)
    if isinstance(land, AtTime):
        _not_past(land.at, state, now, "land.at")
    if isinstance(land, After):
        land = land.model_copy(update={"after": _before(run, land, state)})
    if land == run.land:
        raise NotNow(f"{course_words(run.key)} is wanted so already.", "Nothing more is needed.", where="land")
    return (LandChanged(run.key, land),)


def _not_past(at: int, state: Evening, now: int, where: str) -> None:
    if at < now:
        raise NotNow(
            f"{clock_words(at, state.kitchen)} has passed.", "Fire it to have it as soon as it can be.", where=where
        )


def _before(run: CourseRun, land: After, state: Evening) -> str:
    """The name of the course to come after, as its table has it; refused where that would go round in a circle."""
    here = [key for key in (*state.courses, *state.sent) if key.table == run.key.table and key != run.key]
    found = next((key for key in here if key.course.casefold() == land.after.casefold()), None)
    if found is None:
        known = ", ".join(key.course for key in here)
        raise UnknownTable(
            f"Table {run.key.table} has no other course called {land.after}.",
            f"Name one that it has: {known}." if known else "Give it a time of its own.",
            where="land.after",
        )
    at, seen = found, {run.key}
    while (other := state.courses.get(at)) is not None and isinstance(other.land, After):
        seen.add(at)
        at = CourseKey(at.table, other.land.after)
        if at in seen:
            raise NotNow(
                f"{course_words(found)} comes after {run.key.course} itself.",
                "Let one of them land at a time of its own.",
                where="land.after",
            )
    return found.course


def move_course(run: CourseRun, by_s: int, state: Evening, now: int) -> tuple[Event, ...]:
    """Push a course by so many seconds from the landing it has, or bring it forward."""
    _not_at_pass(run)
    _guest_is_here(run, state)
    if by_s == 0:
        fault = Fault("by_s", "0 s moves nothing", "give seconds: later above 0, earlier below")
        raise BadMessage("The course was not moved.", [fault])
    if run.held or state.waits_for_held(run.key) is not None:
        raise NotNow(f"{course_words(run.key)} is on hold.", "Fire it, or give it a landing.", where="course_id")
    at = picture_of(state, now)[run.key].landing_at + by_s
    if by_s > 0:
        if at > now + FURTHEST_S:
            raise NotNow("That is more than twelve hours away.", "Hold it, and fire it when wanted.", where="by_s")
        return (LandChanged(run.key, AtTime(at=at)),)
    if isinstance(run.land, Asap):
        raise NotNow(
            f"{course_words(run.key)} comes as soon as it can already.",
            "Call it on the fly to have it before the others.",
            where="course_id",
        )
    return (LandChanged(run.key, AtTime(at=at) if at > now else Asap()),)


def on_the_fly(run: CourseRun, state: Evening, now: int) -> tuple[Event, ...]:
    """Wanted at once, before the others; one that is on hold is called with it."""
    _not_at_pass(run)
    _guest_is_here(run, state)
    if run.urgent:
        raise NotNow(f"{course_words(run.key)} is on the fly already.", "Nothing more is needed.", where="course_id")
    rushed = CourseRushed(run.key, now)
    return (rushed,) if isinstance(run.land, Asap) else (CourseFired(run.key), rushed)


def guest_away(table: str, state: Evening, now: int) -> tuple[Event, ...]:
    """Nothing more of a table's courses is started until its guest is back."""
    if table in state.away:
        since = clock_words(state.away[table], state.kitchen)
        raise NotNow(f"Table {table}'s guest is away since {since}.", "Say when they are back.", where="table")
    if not any(key.table == table and not run.off for key, run in state.courses.items()):
        raise UnknownTable(f"Table {table} has nothing open.", "Name a table that has.", where="table")
    return (TableLeft(table, now),)


def guest_back(table: str, state: Evening, now: int) -> tuple[Event, ...]:
    """The table's courses are planned again."""
    if table not in state.away:
        raise NotNow(f"Nobody said that table {table}'s guest was away.", "Nothing is held for it.", where="table")
    return (TableReturned(table, now, now - state.away[table]),)


def send(run: CourseRun, state: Evening, now: int) -> tuple[Event, ...]:
    """By the chef's word at any time: what still goes on counts as done now."""
    key: CourseKey = run.key
    course = picture_of(state, now)[key]
    landed_at = run.landed_at if run.landed_at is not None else now
    ends = [min(load.end_at, now) for load in course.loads if load.begun]
    past = sum(
        min(course.stands_until(load), now) - min(load.end_at, now) > load.component.keeps_s
        for load in course.loads
        if load.begun
    )
    target_at = run.target_at if run.target_at is not None else landed_at
    return (
        CourseSent(
            course=key,
            at=now,
            landed_at=landed_at,
            spread_s=max(ends) - min(ends) if ends else 0,
            late_s=max(0, landed_at - target_at),
            past_keeps=past,
        ),
    )
