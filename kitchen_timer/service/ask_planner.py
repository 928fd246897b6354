"""The planner's question out of the evening: what is wanted, what has begun, what was announced."""

from collections.abc import Iterator
from dataclasses import replace

from kitchen_timer.kitchen.dish import Component
from kitchen_timer.kitchen.table import Asap, Course, Hold
from kitchen_timer.plan.honest.lengths import length_of
from kitchen_timer.plan.honest.reserve import reserve_of
from kitchen_timer.plan.question import BegunLoad, BegunStep, CourseKey, Question, StepKey, Wanted
from kitchen_timer.service.going import OVERDUE_S
from kitchen_timer.service.picture import LoadPicture, StepPicture, load_picture, picture_of
from kitchen_timer.service.state import CourseRun, Evening, LoadRun

LONG_AGO_S = 3600
"""Plating of a course that is put as landed is over."""

ON_THE_FLY = 3
"""A second of a course on the fly counts so many times."""
PRESSES_EVERY_S = 900
"""For each so many seconds that a course is behind already it counts once more. Without that a second of a table that
has waited for an hour costs no more than one of a table that has waited for six minutes: in an evening gone wrong one
was passed over for three hours. A judgement; that the table which has waited longest goes first is common practice."""
PRESSES_MOST = 8


def question_of(state: Evening, now: int) -> Question:
    """What to ask at ``now`` (seconds since 1970 UTC): held courses, and those after held ones, are left out.

    But what had started of them goes on and takes its slots and hands, and where food of a sent course was lifted the
    oil recovers: such a course is put as one that landed long ago, so that planners keep clear of its food and do
    nothing more to it.
    """
    planned = [run for key, run in state.courses.items() if state.is_planned(key)]
    keys = {run.key for run in planned}
    rushed = any(run.rushed for run in planned)
    tables = {key.table for key in keys}
    question = Question(
        kitchen=state.kitchen,
        book=state.book,
        now=now,
        courses=(
            *(_wanted(state, run, now) for run in planned),
            *_going_on(state, now),
            *_spare(state, planned, now),
            *_set_aside(state, now),
        ),
        up={key: sent.sent_at for key, sent in state.sent.items() if key.table in tables},
        # A course that was called otherwise since is planned anew: its cues are no reason to leave it where it was.
        announced={
            step: due
            for step, due in state.announced.items()
            if step.of_course in keys and state.courses[step.of_course].target_at is not None and not rushed
        },
    )
    # In noisy evenings of crowded kitchens 41 of 412 loads stood past their keeps without it, 17 with it.
    return replace(question, reserve_s=reserve_of(question))


def _wanted(state: Evening, run: CourseRun, now: int) -> Wanted:
    if isinstance(run.land, Hold):
        raise AssertionError(f"{run.key} is held")
    spent: dict[tuple[str, str], int] = {}
    for lost in run.lost:
        part = (lost.dish, lost.component)
        spent[part] = max(spent.get(part, 0), lost.load)
    return Wanted(
        table=run.course.table,
        course=run.course.course,
        in_at=run.course.in_at,
        land=run.land,
        portions=tuple(run.portions().items()),
        target_at=run.target_at,
        landed_at=run.landed_at,
        begun=tuple(_begun_loads(state, run, now)),
        spent=spent,
        presses=_presses(run, now),
    )


def _presses(run: CourseRun, now: int) -> int:
    """How many times a second of its lateness counts: more on the fly, and the longer it has been behind."""
    behind_s = 0 if run.target_at is None else max(0, now - run.target_at)
    waited = min(PRESSES_MOST, 1 + behind_s // PRESSES_EVERY_S)
    return waited * ON_THE_FLY if run.urgent else waited


def _going_on(state: Evening, now: int) -> Iterator[Wanted]:
    """Courses on hold or gone whose started loads still take slots or hands."""
    recovery_s = max((each.recovery_s for each in state.kitchen.equipment.values()), default=0)
    for key, run in state.courses.items():
        if state.is_planned(key) or not run.loads:
            continue
        drawn = [load_picture(state, run, load, now) for load in sorted(run.loads)]
        loads = tuple(_whole(load, load.portions, now) for load in drawn if load is not None)
        if any(load.steps[-1].end_at + recovery_s > now for load in loads):
            yield _landed_long_ago(run.course, loads)
    for sent in state.sent.values():
        if sent.sent_at + recovery_s <= now:
            continue
        # Under another name: under its own the course counts as up since it went.
        gone = sent.course.model_copy(update={"course": f"{sent.course.course}, gone"})
        # What was sent half cooked left its place with the plates.
        loads = tuple(
            _begun_by(load, sent.sent_at, now) for load in sent.loads if load.begun_whole(state.component(load.key))
        )
        if loads:
            yield _landed_long_ago(gone, loads)


def _whole(load: LoadPicture, portions: int, now: int) -> BegunLoad:
    """So many portions of a load that goes on, with all its steps as they are expected."""
    steps = tuple(BegunStep(s.start_at, s.end_at, s.finished and s.end_at <= now) for s in load.steps)
    return BegunLoad(load.key.dish, load.key.component, load.key.load, portions, steps)


def _spare(state: Evening, planned: list[CourseRun], now: int) -> Iterator[Wanted]:
    """Begun loads that no plate needs any more: they go on in their places, and nothing waits for them.

    One of which some portions are needed stays with its course, whole: it is one thing in one pan.
    """
    for run in planned:
        spare = [key for key, portions in run.spare().items() if portions == run.loads[key].portions]
        drawn = [load_picture(state, run, key, now) for key in sorted(spare)]
        loads = tuple(_whole(load, load.portions, now) for load in drawn if load is not None)
        if loads:
            yield _landed_long_ago(run.course, loads, ", spare")


def _set_aside(state: Evening, now: int) -> Iterator[Wanted]:
    """Food that was lost: where it was lifted from, the oil still recovers."""
    recovery_s = max((each.recovery_s for each in state.kitchen.equipment.values()), default=0)
    for number, aside in enumerate(state.aside, start=1):
        if aside.at + recovery_s > now:
            table, course = aside.load.key.of_course
            begun = (_lifted_off(aside.load, state.component(aside.load.key), aside.at, now),)
            yield _put_as_landed(table, f"{course}, lost {number}", begun)


def _lifted_off(load: LoadRun, component: Component, at: int, now: int) -> BegunLoad:
    """A lost load: it was in its slots until ``at``, and never came to the steps after that."""
    begun = _begun_by(load, at, now)
    steps = list(begun.steps)
    while component.stays_on(len(steps) - 1):
        steps.append(BegunStep(max(at, steps[-1].end_at), max(at, steps[-1].end_at), done=True))
    never = steps[0].start_at - LONG_AGO_S
    steps += [BegunStep(never, never, done=True)] * (len(component.steps) - len(steps))
    return replace(begun, steps=tuple(steps))


def _landed_long_ago(course: Course, begun: tuple[BegunLoad, ...], called: str = "") -> Wanted:
    return _put_as_landed(course.table, course.course + called, begun, course.in_at)


def _put_as_landed(table: str, course: str, begun: tuple[BegunLoad, ...], in_at: int | None = None) -> Wanted:
    landed_at = min(step.start_at for load in begun for step in load.steps) - LONG_AGO_S
    portions: dict[str, int] = {}
    for load in begun:
        portions[load.dish] = max(portions.get(load.dish, 0), load.portions)
    return Wanted(
        table=table,
        course=course,
        in_at=landed_at if in_at is None else min(in_at, landed_at),
        land=Asap(),
        portions=tuple(portions.items()),
        target_at=landed_at,
        landed_at=landed_at,
        begun=begun,
    )


def _begun_by(load: LoadRun, over_at: int, now: int) -> BegunLoad:
    """A load of a course that went at ``over_at``: whatever of it still went on ended then."""
    return BegunLoad(
        dish=load.key.dish,
        component=load.key.component,
        load=load.key.load,
        portions=load.portions,
        steps=tuple(
            BegunStep(step.start_at, max(step.start_at, min(step.end_at, over_at)), done=over_at <= now)
            for step in load.steps
        ),
    )


def _begun_loads(state: Evening, run: CourseRun, now: int) -> Iterator[BegunLoad]:
    """What has begun of a course, and what is taken for begun though nobody has tapped yet.

    A cook who is told to act at a second acts within some seconds of it. Until a cue is overdue it counts as answered
    at its time: to plan anew for every second of that would move the very cue that is being answered.
    """
    planned = state.plan.by_load if state.plan else {}
    left: dict[tuple[str, str], int] = {}
    loads = picture_of(state, now)[run.key].loads
    for load in sorted(loads, key=lambda each: not each.begun):
        key, part = load.key, (load.key.dish, load.key.component)
        steps = tuple(_taken_for_begun(load, {step.key.step: step.start_at for step in planned.get(key, ())}, now))
        if not steps and key in run.pinned and load.start_at >= now:
            # Put as begun, it is kept where the chef wants it by every planner and by the rules.
            steps = (BegunStep(load.start_at, load.steps[0].end_at),)
        if steps:
            wanted = left.get(part, run.portions().get(key.dish, 0))
            needed = min(load.portions - load.spare, wanted)
            left[part] = wanted - needed
            if needed:
                # What no plate needs any more is asked about apart (_spare), unless it is in the same pan.
                portions = load.portions if load.begun else needed
                yield BegunLoad(key.dish, key.component, key.load, portions, steps)


def _taken_for_begun(load: LoadPicture, starts: dict[int, int], now: int) -> Iterator[BegunStep]:
    before: int | None = None
    for index, step in enumerate(load.steps):
        if step.begun:
            in_time = now - step.due_end_at <= OVERDUE_S
            before = step.due_end_at if step.running and in_time else step.end_at
            if step.running and not in_time:
                before = max(before, _overruns_to(load, step, now))
            yield BegunStep(step.start_at, before, done=step.finished and step.end_at <= now)
            continue
        start = starts.get(index, step.start_at)
        if before is not None:
            start = max(before, start) if load.component.steps[index].may_wait_s else before
        if not now - OVERDUE_S <= start < now:
            return
        before = start + load.component.steps[index].length_s(load.portions)
        yield BegunStep(start, before)


def _overruns_to(load: LoadPicture, step: StepPicture, now: int) -> int:
    """When a step that runs over will end, as far as can be told: the mean of all the ends that are still possible.

    So what has not started of its course is cued by what the slow one really does, not by the hope that it is done now.
    """
    length = length_of(load.component, step.key.step, load.portions)
    return step.start_at + round(length.expected_s(now - step.start_at))


def told_under(
    state: Evening, starts: dict[StepKey, int], now: int, heads_up_s: int
) -> tuple[tuple[StepKey, int], ...]:
    """Which announced starts stand when a plan made at ``now`` moves them to ``starts``, and when they are due.

    One that is overdue keeps the due time it was announced with and counts up from it; one that moved beyond the
    heads-up is announced anew when its time comes.
    """
    kept: list[tuple[StepKey, int]] = []
    for step, due in state.announced.items():
        start = starts.get(step)
        if start is None:
            if not state.is_planned(step.of_course):
                kept.append((step, due))
        elif start <= now + heads_up_s:
            kept.append((step, due if due <= now else start))
    return tuple(kept)


def course_key(course_id: str) -> CourseKey:
    """``6/mains`` read; ValueError when it is not a course's id."""
    table, slash, course = course_id.partition("/")
    if not slash or not table or not course or "/" in course:
        raise ValueError(f"{course_id!r} names no course: write table/course, such as 6/mains")
    return CourseKey(table, course)
