"""What is due by now, and when to look again. Steps that mind themselves, landings, heads-ups, what is overdue.

Everything is asked of the evening and the second it is; asking twice changes nothing.
"""

from collections.abc import Iterator

from kitchen_timer.plan.question import StepKey
from kitchen_timer.service.events import CourseLanded, CueAnnounced, Event, StepFinished, StepStarted
from kitchen_timer.service.going import (
    HEADS_UP_S,
    OVERDUE_S,
    ends_by_itself,
    finish_is_tapped,
    lifting_s,
    start_is_tapped,
    starts_by_itself,
)
from kitchen_timer.service.picture import CoursePicture, LoadPicture, Picture, StepPicture, picture_of
from kitchen_timer.service.state import Evening


def due_by(state: Evening, now: int) -> tuple[Event, ...]:
    """What has happened by itself by ``now`` and is not written down yet; call again until nothing is left."""
    picture = picture_of(state, now)
    events: list[Event] = []
    for course in picture.values():
        for load in course.loads:
            at, event = _by_itself(state, course, load)
            if event is not None and at <= now:
                events.append(event)
        landing = landing_due(state, course)
        if landing is not None and landing <= now:
            events.append(CourseLanded(course.key, landing))
    told = [
        (step.key, step.start_at)
        for step in coming_starts(picture)
        if step.key not in state.announced and step.start_at - HEADS_UP_S <= now
    ]
    if told:
        events.append(CueAnnounced(tuple(sorted(told, key=lambda cue: (cue[1], cue[0])))))
    return tuple(events)


def _by_itself(state: Evening, course: CoursePicture, load: LoadPicture) -> tuple[int, Event | None]:
    """The next thing that a load does without a tap, and when."""
    begun = [step for step in load.steps if step.begun]
    taps = state.kitchen.stations[load.component.station].taps
    if not begun:
        first = load.steps[0]
        ready_at = _ready_at(state, course, load) if taps != "both" else None
        if ready_at is None:
            return 0, None
        at = max(ready_at, first.start_at)
        due_at = state.announced.get(first.key, first.start_at)
        return at, StepStarted(first.key, load.portions, at, at + first.end_at - first.start_at, due_at)
    last = begun[-1]
    index = last.key.step
    if not last.finished:
        reading = course.run.temps.get(last.key)
        if ends_by_itself(load.component, index, taps) and (reading is None or reading.enough):
            return last.due_end_at, StepFinished(last.key, last.due_end_at)
        return 0, None
    if index + 1 < len(load.steps) and starts_by_itself(load.component, index + 1, taps):
        following = load.steps[index + 1]
        at = following.start_at
        return at, StepStarted(following.key, load.portions, at, following.end_at, at)
    return 0, None


def _ready_at(state: Evening, course: CoursePicture, load: LoadPicture) -> int | None:
    """From when on a load that nobody taps may count as started; None while what it comes after is not done."""
    if not state.is_planned(course.key) or course.run.landed_at is not None:
        return None
    ready_at = course.run.course.in_at
    for name in load.component.after:
        before = [each for each in course.loads if (each.key.dish, each.key.component) == (load.key.dish, name)]
        if not before or not all(each.done for each in before):
            return None
        ready_at = max(ready_at, *(each.end_at for each in before))
    return ready_at


def landing_due(state: Evening, course: CoursePicture) -> int | None:
    """When a course whose food is all done lands; None while something is still to be done."""
    run = course.run
    if run.landed_at is not None or not state.is_planned(run.key) or not run.all_done(state.book):
        return None
    planned = state.plan.by_course.get(run.key) if state.plan else None
    last_end = max(load.end_at for load in course.loads if load.needed)
    return max(last_end, planned.landing_at) if planned else last_end


def coming_starts(picture: Picture) -> Iterator[StepPicture]:
    """The next start that a cook has to tap, of every load that has one."""
    for load in _loads(picture):
        index = sum(step.begun for step in load.steps)
        if index < len(load.steps) and start_is_tapped(load.component, index):
            yield load.steps[index]


def coming_finishes(state: Evening, picture: Picture) -> Iterator[tuple[StepPicture, int]]:
    """Ends that a cook has to tap of steps that go on, each with the second to act."""
    for load in _loads(picture):
        for step in load.steps:
            if step.running and finish_is_tapped(load.component, step.key.step):
                yield step, finish_due_at(load, step, state)


def finish_due_at(load: LoadPicture, step: StepPicture, state: Evening) -> int:
    """The second to end a step: the handling before its end where it is lifted."""
    return step.due_end_at - lifting_s(load.component, step.key.step, load.portions, state.kitchen)


def _loads(picture: Picture) -> Iterator[LoadPicture]:
    for course in picture.values():
        yield from course.loads


def overdue(state: Evening, now: int) -> frozenset[StepKey]:
    """Starts untapped and ends overrun by more than ``OVERDUE_S``: the plan no longer tells the truth about these."""
    picture = picture_of(state, now)
    late = {step.key for step in _running(picture) if now - step.due_end_at > OVERDUE_S}
    late |= {step.key for step in _untapped(picture) if now - step.start_at > OVERDUE_S}
    return frozenset(late)


def missed(state: Evening, picture: Picture, now: int) -> frozenset[StepKey]:
    """Cues nobody answered: as :func:`overdue`, but by the second a station was told, however often planned anew."""
    late = {step.key for step in _running(picture) if now - step.due_end_at > OVERDUE_S}
    told = state.announced
    late |= {step.key for step in _untapped(picture) if now - told.get(step.key, step.start_at) > OVERDUE_S}
    return frozenset(late)


def _running(picture: Picture) -> Iterator[StepPicture]:
    for load in _loads(picture):
        yield from (step for step in load.steps if step.running)


def _untapped(picture: Picture) -> Iterator[StepPicture]:
    """Coming starts that wait for nothing but a cook; one that ends a running step is that step's overrun."""
    running = {step.key.of_load for step in _running(picture)}
    yield from (step for step in coming_starts(picture) if step.key.of_load not in running)


def next_due_at(state: Evening, now: int) -> int | None:
    """The next second after ``now`` at which :func:`due_by` or :func:`overdue` may have something to say."""
    picture = picture_of(state, now)
    coming: list[int] = []
    for course in picture.values():
        for load in course.loads:
            at, event = _by_itself(state, course, load)
            if event is not None:
                coming.append(at)
        landing = landing_due(state, course)
        if landing is not None:
            coming.append(landing)
    coming += [step.start_at - HEADS_UP_S for step in coming_starts(picture)]
    coming += [due - HEADS_UP_S for _, due in coming_finishes(state, picture)]
    coming += [step.due_end_at + OVERDUE_S + 1 for step in _running(picture)]
    coming += [step.start_at + OVERDUE_S + 1 for step in _untapped(picture)]
    return min((at for at in coming if at > now), default=None)
