"""Folds events into the evening. An event that fits nothing any more (its cause was struck out) is passed over."""

from collections.abc import Iterable
from dataclasses import replace

from kitchen_timer.kitchen.table import Asap, Hold
from kitchen_timer.plan.honest.promise import KEPT, score_of
from kitchen_timer.plan.question import CourseKey, LoadKey, StepKey
from kitchen_timer.service import fold_house  # noqa: F401  its folds register themselves
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
    Recorded,
    ServiceOpened,
    StepFinished,
    StepGivenMore,
    StepStarted,
    Struck,
)
from kitchen_timer.service.fold_changes import touched_by_change
from kitchen_timer.service.folding import folded, with_course, with_load, without
from kitchen_timer.service.state import Aside, CourseRun, Evening, Expected, LoadRun, SentCourse, StepRun, Tap

TAPS_KEPT = 300
"""So many of the latest commands can be taken back; older ones are left alone, so that an evening stays small."""


def replay(fresh: Evening, history: Iterable[Recorded]) -> Evening:
    """The evening that a whole history makes: what was struck out anywhere in it never happened."""
    recorded = list(history)
    struck = {entry.event.command for entry in recorded if isinstance(entry.event, Struck)}
    state = fresh
    for entry in recorded:
        if entry.command not in struck:
            state = fold(state, entry)
    return replace(state, seq=recorded[-1].seq) if recorded else state


def fold(state: Evening, entry: Recorded) -> Evening:
    """The evening after one more event (not for :class:`Struck`, which needs the history: :func:`replay`)."""
    after = folded(entry.event, state, entry)
    taps = _with_tap(after.taps, entry) if entry.client_id is not None else after.taps
    return replace(after, seq=entry.seq, taps=taps)


def _with_tap(taps: tuple[Tap, ...], entry: Recorded) -> tuple[Tap, ...]:
    courses, loads = touched(entry.event)
    if taps and taps[-1].command == entry.command:
        last = taps[-1]
        return (*taps[:-1], replace(last, courses=last.courses | courses, loads=last.loads | loads))
    return (*taps[-(TAPS_KEPT - 1) :], Tap(entry.command, type(entry.event).__name__, courses, loads))


def touched(event: Event) -> tuple[frozenset[CourseKey], frozenset[LoadKey]]:
    """Courses and loads that an event is about."""
    match event:
        case OrderTaken(courses):
            return frozenset(CourseKey(c.table, c.course) for c in courses), frozenset()
        case CourseFired(course) | CourseHeld(course) | CourseLanded(course) | CourseSent(course):
            return frozenset((course,)), frozenset()
        case StepStarted(step) | StepFinished(step) | StepGivenMore(step):
            return frozenset((step.of_course,)), frozenset((step.of_load,))
        case LoadLost(load):
            return frozenset((load.of_course,)), frozenset((load,))
        case CueAnnounced(cues):
            return frozenset(step.of_course for step, _ in cues), frozenset(step.of_load for step, _ in cues)
        case _:
            return touched_by_change(event)


@folded.register
def _(event: ServiceOpened, state: Evening, entry: Recorded) -> Evening:
    return Evening(kitchen=state.as_written or state.kitchen, book=state.book, service=event.service)


@folded.register
def _(event: OrderTaken, state: Evening, entry: Recorded) -> Evening:
    # A dish may have left the book since: its course stays out rather than stopping the replay.
    known = [c for c in event.courses if all(plate.dish in state.book for plate in c.plates)]
    taken = {CourseKey(c.table, c.course): CourseRun(course=c, land=c.land) for c in known}
    return replace(state, courses={**state.courses, **taken})


@folded.register
def _(event: CourseFired, state: Evening, entry: Recorded) -> Evening:
    run = state.courses.get(event.course)
    return state if run is None else with_course(state, replace(run, land=Asap(), target_at=None))


@folded.register
def _(event: CourseHeld, state: Evening, entry: Recorded) -> Evening:
    run = state.courses.get(event.course)
    if run is None:
        return state
    told = {step: due for step, due in state.announced.items() if step.of_course != run.key}
    return replace(with_course(state, replace(run, land=Hold(), target_at=None)), announced=told)


@folded.register
def _(event: StepStarted, state: Evening, entry: Recorded) -> Evening:
    key = event.step.of_load
    course = state.courses.get(key.of_course)
    if course is None or key in course.lost:
        return state
    begun = course.loads.get(key)
    before = begun.steps if begun else ()
    in_turn = len(before) == event.step.step and (not before or before[-1].finished)
    if not in_turn or event.step.component not in state.book[event.step.dish].components:
        return state
    if before and before[-1].end_at > event.at:
        # Tapped on while still lifting: the lifting is over.
        before = (*before[:-1], replace(before[-1], end_at=max(event.at, before[-1].start_at)))
    started = StepRun(start_at=event.at, end_at=event.end_at, due_at=event.due_at)
    portions = begun.portions if begun else event.portions
    return without(with_load(state, LoadRun(key, portions, (*before, started))), event.step)


@folded.register
def _(event: StepFinished, state: Evening, entry: Recorded) -> Evening:
    return _last_step(state, event.step, end_at=event.at, finished=True)


@folded.register
def _(event: StepGivenMore, state: Evening, entry: Recorded) -> Evening:
    return _last_step(state, event.step, end_at=event.end_at, finished=False)


def _last_step(state: Evening, step: StepKey, end_at: int, finished: bool) -> Evening:
    load = state.load(step.of_load)
    if load is None or len(load.steps) != step.step + 1 or load.steps[-1].finished:
        return state
    last = load.steps[-1]
    changed = replace(last, end_at=max(end_at, last.start_at), finished=finished)
    return with_load(state, replace(load, steps=(*load.steps[:-1], changed)))


@folded.register
def _(event: LoadLost, state: Evening, entry: Recorded) -> Evening:
    course = state.courses.get(event.load.of_course)
    if course is None or event.load not in course.loads:
        return state
    load = course.loads[event.load]
    gone = load.portions if event.portions is None else min(event.portions, load.portions)
    aside = (*state.aside, Aside(replace(load, portions=gone), event.at))
    if gone < load.portions:
        rest = replace(load, portions=load.portions - gone)
        left = replace(course, loads={**course.loads, event.load: rest}, landed_at=None, realigned=True)
        return replace(with_course(state, left), aside=aside)
    loads = {key: run for key, run in course.loads.items() if key != event.load}
    told = {step: due for step, due in state.announced.items() if step.of_load != event.load}
    lost = replace(course, loads=loads, lost=(*course.lost, event.load), landed_at=None, realigned=True)
    return replace(with_course(state, lost), announced=told, aside=aside)


@folded.register
def _(event: CourseLanded, state: Evening, entry: Recorded) -> Evening:
    run = state.courses.get(event.course)
    if run is None or run.held or not run.all_done(state.book):
        return state
    landed = with_course(state, replace(run, landed_at=event.at, expected=None))
    if run.expected is None:
        return landed
    score = score_of(run.expected.planned_at, run.expected.eighty_at, event.at)
    return replace(landed, scores=(*state.scores, score)[-KEPT:])


@folded.register
def _(event: CourseSent, state: Evening, entry: Recorded) -> Evening:
    run = state.courses.get(event.course)
    if run is None:
        return state
    gone = SentCourse(
        course=run.course,
        sent_at=event.at,
        landed_at=event.landed_at,
        spread_s=event.spread_s,
        late_s=event.late_s,
        past_keeps=event.past_keeps,
        command=entry.command,
        loads=tuple(run.loads.values()),
    )
    return replace(
        state,
        courses={key: other for key, other in state.courses.items() if key != run.key},
        sent={**state.sent, run.key: gone},
        announced={step: due for step, due in state.announced.items() if step.of_course != run.key},
    )


@folded.register
def _(event: CueAnnounced, state: Evening, entry: Recorded) -> Evening:
    told = {step: due for step, due in event.cues if step.of_course in state.courses and not _has_begun(state, step)}
    return replace(state, announced={**state.announced, **told}) if told else state


def _has_begun(state: Evening, step: StepKey) -> bool:
    load = state.load(step.of_load)
    return load is not None and len(load.steps) > step.step


@folded.register
def _(event: PlanAdopted, state: Evening, entry: Recorded) -> Evening:
    answer = event.answer
    courses = dict(state.courses)
    for planned in answer.courses:
        run = courses.get(planned.key)
        if run is None or not state.is_planned(planned.key):
            continue
        if run.target_at is None:
            # Of a course called again with food on, the target is reckoned from scratch: its first plan knows better.
            target_at = min(planned.target_at, planned.landing_at) if run.loads else planned.target_at
            run = courses[planned.key] = replace(run, target_at=target_at, rushed=False, expected=None)
        elif run.rushed:
            run = courses[planned.key] = replace(run, rushed=False)
        lands = (answer.ranges or {}).get(planned.key)
        if lands is not None and run.expected is None and run.landed_at is None:
            courses[planned.key] = replace(run, expected=Expected(planned.landing_at, lands.p80_at))
    told = {step: due for step, due in event.told if step.of_course in courses and not _has_begun(state, step)}
    moved = {step: words for step, words in {**state.moved, **dict(event.moved)}.items() if step in told}
    return replace(state, courses=courses, announced=told, plan=answer, causes=dict(event.causes), moved=moved)
