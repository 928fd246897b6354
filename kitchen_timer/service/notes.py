"""Notes of the score: every step of every load as the screens draw it."""

from collections.abc import Iterator

from kitchen_timer.plan.question import StepKey
from kitchen_timer.service.going import OVERDUE_S
from kitchen_timer.service.picture import CoursePicture, LoadPicture, Picture, StepPicture
from kitchen_timer.service.state import Evening
from kitchen_timer.service.views import NoteState, NoteView

Shared = dict[tuple[str, str, int, int, int], list[StepKey]]


def shared_slots(picture: Picture) -> Shared:
    """Steps that share slots: of one component, on equipment, starting and ending together (rule 5)."""
    shared: Shared = {}
    for course in picture.values():
        for load in course.loads:
            for step, what in zip(load.steps, load.component.steps, strict=True):
                if what.on is not None:
                    shared.setdefault(_place(step), []).append(step.key)
    return shared


def _place(step: StepPicture) -> tuple[str, str, int, int, int]:
    return (step.key.dish, step.key.component, step.key.step, step.start_at, step.end_at)


def notes_of(state: Evening, course: CoursePicture, shared: Shared, now: int) -> Iterator[NoteView]:
    """The notes of a course, load by load."""
    for load in course.loads:
        yield from load_notes(state, course, load, shared, now)


def load_notes(
    state: Evening, course: CoursePicture, load: LoadPicture, shared: Shared, now: int
) -> Iterator[NoteView]:
    """The notes of one load, first step to last."""
    dish = state.book[load.key.dish]
    for step, what in zip(load.steps, load.component.steps, strict=True):
        last = step is load.steps[-1]
        yield NoteView(
            id=str(step.key),
            load_id=str(load.key),
            course_id=str(course.key),
            table=load.key.table,
            dish=load.key.dish,
            dish_name=dish.name,
            component=load.key.component,
            component_name=load.component.name,
            do=what.do,
            station=load.component.station,
            on=None if what.on is None else state.kitchen.equipment_name(what.on),
            portions=load.portions,
            start_at=step.start_at,
            end_at=step.end_at,
            state=_note_state(state, step, now),
            late=_is_late(state, step, load, now),
            hands=load.component.hands_of(step.key.step).value,
            last=last,
            keeps_until=step.end_at + load.component.keeps_s if last else None,
            stands_until=max(step.end_at, course.stands_until(load)) if last else None,
            joined=_joined(step, shared),
            spare=load.spare,
            pinned=not load.begun and step is load.steps[0] and load.key in course.run.pinned,
        )


def _note_state(state: Evening, step: StepPicture, now: int) -> NoteState:
    if step.finished and step.end_at <= now:
        return "done"
    if step.begun:
        return "started"
    return "announced" if step.key in state.announced else "planned"


def _is_late(state: Evening, step: StepPicture, load: LoadPicture, now: int) -> bool:
    if step.begun:
        return step.began_late or (step.running and now > step.due_end_at)
    return not load.begun and step is load.steps[0] and now - state.announced.get(step.key, step.start_at) > OVERDUE_S


def _joined(step: StepPicture, shared: Shared) -> tuple[str, ...]:
    others = shared.get(_place(step), ())
    tables = dict.fromkeys(key.table for key in others if key.table != step.key.table)
    return tuple(tables)
