"""The planner's question out of the evening: what is wanted, what has begun, what was announced."""

from kitchen_timer.kitchen.table import Hold
from kitchen_timer.plan.question import BegunLoad, BegunStep, CourseKey, Question, StepKey, Wanted
from kitchen_timer.service.state import CourseRun, Evening, LoadRun


def question_of(state: Evening, now: int) -> Question:
    """What to ask at ``now`` (seconds since 1970 UTC): held courses, and those after held ones, are left out."""
    planned = [run for key, run in state.courses.items() if state.is_planned(key)]
    keys = {run.key for run in planned}
    tables = {key.table for key in keys}
    return Question(
        kitchen=state.kitchen,
        book=state.book,
        now=now,
        courses=tuple(_wanted(run, now) for run in planned),
        up={key: sent.sent_at for key, sent in state.sent.items() if key.table in tables},
        announced={step: due for step, due in state.announced.items() if step.of_course in keys},
    )


def _wanted(run: CourseRun, now: int) -> Wanted:
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
        portions=tuple(run.course.portions().items()),
        target_at=run.target_at,
        landed_at=run.landed_at,
        begun=tuple(_begun(load, now) for _, load in sorted(run.loads.items())),
        spent=spent,
    )


def _begun(load: LoadRun, now: int) -> BegunLoad:
    return BegunLoad(
        dish=load.key.dish,
        component=load.key.component,
        load=load.key.load,
        portions=load.portions,
        steps=tuple(
            BegunStep(
                start_at=step.start_at,
                end_at=step.end_at if step.finished else max(step.end_at, now),
                done=step.finished and step.end_at <= now,
            )
            for step in load.steps
        ),
    )


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
