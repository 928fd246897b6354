"""What every fold of an event goes through, and what they share."""

from dataclasses import replace
from functools import singledispatch

from kitchen_timer.plan.question import CourseKey, StepKey
from kitchen_timer.service.events import Event, Recorded
from kitchen_timer.service.state import CourseRun, Evening, LoadRun


@singledispatch
def folded(event: Event, state: Evening, entry: Recorded) -> Evening:
    """The evening after an event; each kind of event registers its own way."""
    return state


def with_course(state: Evening, run: CourseRun) -> Evening:
    """The evening with this course as it is now."""
    return replace(state, courses={**state.courses, run.key: run})


def with_load(state: Evening, load: LoadRun) -> Evening:
    """The evening with this load of an open course as it is now; the chef's time for its start has served."""
    course = state.courses[load.key.of_course]
    pinned = course.pinned
    if load.key in pinned:
        pinned = {key: pin for key, pin in pinned.items() if key != load.key}
    return with_course(state, replace(course, loads={**course.loads, load.key: load}, pinned=pinned))


def without(state: Evening, step: StepKey) -> Evening:
    """The evening in which no station has been told of this start."""
    if step not in state.announced:
        return state
    return replace(state, announced={k: due for k, due in state.announced.items() if k != step})


def untold(state: Evening, course: CourseKey) -> Evening:
    """The evening in which no station has been told of any start of this course."""
    return replace(state, announced={step: due for step, due in state.announced.items() if step.of_course != course})
