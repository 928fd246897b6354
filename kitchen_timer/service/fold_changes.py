"""Folds what is changed after the order: landings, plates, cues, readings, food given away, guests who leave."""

from dataclasses import replace

from kitchen_timer.kitchen.table import AtTime, Hold, Land
from kitchen_timer.plan.question import CourseKey, LoadKey, StepKey
from kitchen_timer.service.events import (
    CoreTempRead,
    CourseRushed,
    CourseTakenOff,
    CueFreed,
    CueSet,
    Event,
    LandChanged,
    LetStand,
    LoadGiven,
    PlatesChanged,
    Recorded,
    TableLeft,
    TableMoved,
    TableReturned,
)
from kitchen_timer.service.folding import folded, untold, with_course, without
from kitchen_timer.service.state import Evening, Pin, Reading

Touched = tuple[frozenset[CourseKey], frozenset[LoadKey]]


def touched_by_change(event: Event) -> Touched:
    """Courses and loads that a change after the order is about."""
    match event:
        case LandChanged(course) | CourseRushed(course) | CourseTakenOff(course) | PlatesChanged(course):
            return frozenset((course,)), frozenset()
        case CueSet(load) | CueFreed(load):
            return frozenset((load.of_course,)), frozenset((load,))
        case CoreTempRead(step):
            return frozenset((step.of_course,)), frozenset((step.of_load,))
        case LetStand(loads):
            return frozenset(load.of_course for load in loads), frozenset(loads)
        case LoadGiven(load, to):
            return frozenset((load.of_course, to.of_course)), frozenset((load, to))
        case TableMoved(courses):
            return frozenset(key for pair in courses for key in pair), frozenset()
        case _:
            return frozenset(), frozenset()


@folded.register
def _(event: LandChanged, state: Evening, entry: Recorded) -> Evening:
    run = state.courses.get(event.course)
    if run is None:
        return state
    # What stations were told and have not started moves with it: they are told again.
    return untold(with_course(state, replace(run, land=event.land, target_at=None, realigned=True)), run.key)


@folded.register
def _(event: CourseRushed, state: Evening, entry: Recorded) -> Evening:
    run = state.courses.get(event.course)
    if run is None:
        return state
    return with_course(
        state, replace(run, urgent=True, rushed=True, target_at=min(run.target_at or event.at, event.at))
    )


@folded.register
def _(event: TableLeft, state: Evening, entry: Recorded) -> Evening:
    # What stations were told of this table they are told again when the guest is back.
    told = {
        step: due
        for step, due in state.announced.items()
        if step.table != event.table or _has_landed(state, step.of_course)
    }
    return replace(state, away={**state.away, event.table: event.at}, announced=told)


def _has_landed(state: Evening, key: CourseKey) -> bool:
    run = state.courses.get(key)
    return run is not None and run.landed_at is not None


@folded.register
def _(event: TableReturned, state: Evening, entry: Recorded) -> Evening:
    if event.table not in state.away:
        return state
    courses = dict(state.courses)
    for key, run in state.courses.items():
        if key.table == event.table and run.landed_at is None:
            target_at = run.target_at
            if isinstance(run.land, AtTime):
                target_at = None
            elif target_at is not None:
                # Food that is on makes it wanted at once; what has not begun is wanted as much later as it was held.
                target_at = max(target_at, event.at) if run.loads else target_at + event.later_s
            land = _later(run.land, event.later_s)
            courses[key] = replace(run, land=land, target_at=target_at, realigned=True)
    away = {table: at for table, at in state.away.items() if table != event.table}
    return replace(state, courses=courses, away=away)


def _later(land: Land, by_s: int) -> Land:
    return AtTime(at=land.at + by_s) if isinstance(land, AtTime) else land


@folded.register
def _(event: CueSet, state: Evening, entry: Recorded) -> Evening:
    run = state.courses.get(event.load.of_course)
    if run is None or event.load in run.loads:
        return state
    pinned = {**run.pinned, event.load: Pin(event.portions, event.at)}
    return without(with_course(state, replace(run, pinned=pinned)), StepKey(*event.load, 0))


@folded.register
def _(event: CueFreed, state: Evening, entry: Recorded) -> Evening:
    run = state.courses.get(event.load.of_course)
    if run is None or event.load not in run.pinned:
        return state
    pinned = {key: pin for key, pin in run.pinned.items() if key != event.load}
    return without(with_course(state, replace(run, pinned=pinned)), StepKey(*event.load, 0))


@folded.register
def _(event: CoreTempRead, state: Evening, entry: Recorded) -> Evening:
    run = state.courses.get(event.step.of_course)
    if run is None or event.step.of_load not in run.loads:
        return state
    reading = Reading(event.celsius, event.at, event.enough)
    return with_course(state, replace(run, temps={**run.temps, event.step: reading}))


@folded.register
def _(event: LetStand, state: Evening, entry: Recorded) -> Evening:
    for load in event.loads:
        run = state.courses.get(load.of_course)
        if run is not None and load in run.loads:
            state = with_course(state, replace(run, let_stand=run.let_stand | {load}, touched=run.touched - {load}))
    return state


@folded.register
def _(event: LoadGiven, state: Evening, entry: Recorded) -> Evening:
    giver, taker = state.courses.get(event.load.of_course), state.courses.get(event.to.of_course)
    load = giver.loads.get(event.load) if giver else None
    if giver is None or taker is None or load is None or event.to in taker.loads:
        return state
    portions = min(event.portions, load.portions)
    left = {key: run for key, run in giver.loads.items() if key != event.load}
    moved_loads = dict(state.moved_loads)
    if portions < load.portions:
        left[event.load] = replace(load, portions=load.portions - portions)
    else:
        moved_loads[event.load] = event.to
    # A number is used once: the next load of the giver gets another.
    lost = giver.lost if event.load in left else (*giver.lost, event.load)
    still = giver.landed_at if replace(giver, loads=left).all_done(state.book) else None
    state = with_course(state, replace(giver, loads=left, lost=lost, landed_at=still))
    given = replace(load, key=event.to, portions=portions)
    allergic = any(plate.allergies and plate.dish == event.to.dish for plate in taker.course.plates)
    touched = taker.touched | {event.to} if allergic else taker.touched
    taker = replace(taker, loads={**taker.loads, event.to: given}, touched=touched)
    return replace(with_course(state, taker), moved_loads=moved_loads)


@folded.register
def _(event: PlatesChanged, state: Evening, entry: Recorded) -> Evening:
    run = state.courses.get(event.course)
    if run is None or any(plate.dish not in state.book for plate in event.plates):
        return state
    changed = replace(
        run,
        course=run.course.model_copy(update={"plates": event.plates}),
        touched=run.touched | {load for load in event.touched if load in run.loads},
        let_stand=run.let_stand - frozenset(event.touched),
    )
    if not changed.all_done(state.book):
        changed = replace(changed, landed_at=None)
    return with_course(state, changed)


@folded.register
def _(event: CourseTakenOff, state: Evening, entry: Recorded) -> Evening:
    run = state.courses.get(event.course)
    if run is None:
        return state
    courses = dict(state.courses)
    if run.loads:
        courses[run.key] = replace(run, off=True, landed_at=None)
    else:
        del courses[run.key]
    for key, other in state.courses.items():
        if key.table == run.key.table and getattr(other.land, "after", None) == run.key.course:
            courses[key] = replace(other, land=Hold(), target_at=None)
    return untold(replace(state, courses=courses), run.key)
