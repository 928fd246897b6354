"""Command and evening in, events out; what makes no sense is refused by name, with what to do instead.

``now`` and every other instant: whole seconds since 1970 UTC.
"""

from kitchen_timer.kitchen.problems import NotNow, UnknownTable
from kitchen_timer.kitchen.table import Asap
from kitchen_timer.plan.question import CourseKey
from kitchen_timer.service.ask_planner import course_key
from kitchen_timer.service.commands import (
    Command,
    CookAgain,
    FinishSteps,
    FireCourse,
    GiveMoreTime,
    HoldCourse,
    SendCourse,
    StartSteps,
    TakeOrder,
    Undo,
)
from kitchen_timer.service.events import CourseFired, CourseHeld, CourseSent, Event
from kitchen_timer.service.picture import picture_of
from kitchen_timer.service.state import CourseRun, Evening
from kitchen_timer.service.taking import take_order
from kitchen_timer.service.tapping import cook_again, finish_steps, give_more_time, start_steps
from kitchen_timer.service.undoing import undo
from kitchen_timer.service.words import clock_words, course_words


def decide(command: Command, state: Evening, now: int) -> tuple[Event, ...]:
    """What a command makes happen, at least one event; a :class:`KitchenProblem` when it is refused."""
    match command:
        case TakeOrder():
            return take_order(command, state, now)
        case FireCourse(course_id):
            return _fire(_open_course(state, course_id), state)
        case HoldCourse(course_id):
            return _hold(_open_course(state, course_id), state)
        case SendCourse(course_id):
            return _send(_open_course(state, course_id), state, now)
        case StartSteps(steps, at):
            return start_steps(steps, at, state, now)
        case FinishSteps(steps, at):
            return finish_steps(steps, at, state, now)
        case GiveMoreTime(steps, seconds):
            return give_more_time(steps, seconds, state, now)
        case CookAgain(load):
            return cook_again(load, state, now)
        case Undo(seq):
            return undo(seq, state)


def _open_course(state: Evening, course_id: str) -> CourseRun:
    try:
        key = course_key(course_id)
    except ValueError as wrong:
        raise UnknownTable(f"{wrong}.", where="course_id") from None
    run = state.courses.get(key)
    if run is not None:
        return run
    gone = state.sent.get(key)
    if gone is not None:
        raise NotNow(
            f"{course_words(key)} went at {clock_words(gone.sent_at, state.kitchen)}.",
            "Take the sending back first if it is still here.",
            where="course_id",
        )
    here = [str(other.course) for other in state.courses if other.table == key.table]
    has = f"It has {', '.join(here)}." if here else "It has nothing open."
    raise UnknownTable(f"Table {key.table} has no open course called {key.course}.", has, where="course_id")


def _fire(run: CourseRun, state: Evening) -> tuple[Event, ...]:
    if run.landed_at is not None:
        raise NotNow(f"{course_words(run.key)} is at the pass already.", "Send it.", where="course_id")
    if isinstance(run.land, Asap):
        raise NotNow(
            f"{course_words(run.key)} is fired already and comes as soon as it can.",
            "Nothing more is needed.",
            where="course_id",
        )
    return (CourseFired(run.key),)


def _hold(run: CourseRun, state: Evening) -> tuple[Event, ...]:
    if run.held:
        raise NotNow(f"{course_words(run.key)} is on hold already.", "Fire it to call it.", where="course_id")
    if run.landed_at is not None:
        raise NotNow(
            f"{course_words(run.key)} is at the pass: there is nothing left to hold.", "Send it.", where="course_id"
        )
    return (CourseHeld(run.key),)


def _send(run: CourseRun, state: Evening, now: int) -> tuple[Event, ...]:
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
