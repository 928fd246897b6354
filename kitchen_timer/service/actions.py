"""Actions of a station: what a cook is told to start and to end, loads that share slots as one.

An action has the second to act (``due_at``) and, until then and after, everything needed to act on it: portions by
table, what the orders said, allergies, the temperature to read, a caution where something burns.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import inf
from typing import Literal

from kitchen_timer.kitchen.dish import Step
from kitchen_timer.service.allergies import allergies_of
from kitchen_timer.service.checks import unread
from kitchen_timer.service.due import finish_due_at
from kitchen_timer.service.going import (
    HEADS_UP_S,
    ends_by_itself,
    finish_is_tapped,
    is_lifted,
    start_is_tapped,
    starts_by_itself,
)
from kitchen_timer.service.picture import CoursePicture, LoadPicture, Picture, StepPicture
from kitchen_timer.service.state import Evening
from kitchen_timer.service.views import ActionView

HOT_OIL = "Hot oil: lower it in dry and slowly, never leave it."
TORCH = "Torch: clear of oil and cloths, shut the gas after."


@dataclass(frozen=True, slots=True)
class _Act:
    kind: Literal["start", "finish"]
    due_at: int
    course: CoursePicture
    load: LoadPicture
    step: StepPicture

    @property
    def what(self) -> Step:
        return self.load.component.steps[self.step.key.step]

    @property
    def together(self) -> tuple[object, ...]:
        """Acts for which this is the same are one cue."""
        key = self.step.key
        alone = () if self.what.on is not None else (str(key),)
        at = (self.step.start_at, self.step.due_end_at)
        return (self.kind, key.dish, key.component, key.step, *at, self.step.begun, *alone)


def actions_of(state: Evening, picture: Picture, station: str, until: float = inf) -> tuple[ActionView, ...]:
    """Every action of a station that is still to be done and due by ``until``, by due time."""
    groups: dict[tuple[object, ...], list[_Act]] = {}
    for act in _acts(state, picture, station):
        groups.setdefault(act.together, []).append(act)
    soon = (group for group in groups.values() if min(act.due_at for act in group) <= until)
    views = [_view(state, sorted(group, key=_by_landing)) for group in soon]
    return tuple(sorted(views, key=lambda view: (view.due_at, view.id)))


def _by_landing(act: _Act) -> tuple[int, str, str]:
    return (act.course.landing_at, act.load.key.table, str(act.step.key))


def _acts(state: Evening, picture: Picture, station: str) -> Iterator[_Act]:
    for course in picture.values():
        if course.run.landed_at is not None:
            continue
        for load in course.loads:
            if load.component.station != station:
                continue
            for step in load.steps:
                index = step.key.step
                if not step.begun and start_is_tapped(load.component, index):
                    yield _Act("start", state.announced.get(step.key, step.start_at), course, load, step)
                if not step.finished and finish_is_tapped(load.component, index):
                    yield _Act("finish", finish_due_at(load, step, state), course, load, step)


def _view(state: Evening, group: list[_Act]) -> ActionView:
    first = group[0]
    what, step, component = first.what, first.step, first.load.component
    due_at = min(act.due_at for act in group)
    steps = tuple(str(act.step.key) for act in group)
    per_table: dict[str, int] = {}
    for act in group:
        per_table[act.load.key.table] = per_table.get(act.load.key.table, 0) + act.load.portions
    do = what.do if first.kind == "start" else "Lift" if is_lifted(component, step.key.step) else "Done"
    return ActionView(
        id=f"{first.kind}:{min(steps)}",
        kind=first.kind,
        due_at=due_at,
        heads_up_at=due_at - HEADS_UP_S,
        do=do,
        component_name=component.name,
        dish_names=_once(state.book[act.load.key.dish].name for act in group),
        portions=sum(act.load.portions for act in group),
        tables=tuple(per_table),
        per_table=tuple(per_table.items()),
        courses=_once(str(act.course.key) for act in group),
        steps=steps,
        on=None if what.on is None else state.kitchen.equipment_name(what.on),
        takes_s=max(0, step.end_at - step.start_at),
        allergies=tuple(
            allergy
            for act in _one_a_course(group)
            for allergy in allergies_of(
                act.course.run.course, state.book, state.kitchen, dish=act.load.key.dish, with_table=True
            )
        ),
        notes=_notes(group),
        core_temp=_core_temp(first) if any(unread(act.course.run, act.load) for act in group) else None,
        running=first.kind == "finish" and step.running,
        caution=_caution(first, state),
        by_itself=_by_itself(first, state),
        pinned=first.kind == "start" and any(act.load.key in act.course.run.pinned for act in group),
        moved=next((state.moved[act.step.key] for act in group if act.step.key in state.moved), ""),
    )


def _once(words: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(words))


def _one_a_course(group: list[_Act]) -> list[_Act]:
    return list({act.course.key: act for act in group}.values())


def _notes(group: list[_Act]) -> tuple[str, ...]:
    return _once(
        f"{plate.note} · table {act.course.key.table}"
        for act in _one_a_course(group)
        for plate in act.course.run.course.plates
        if plate.dish == act.load.key.dish and plate.note
    )


def _by_itself(act: _Act, state: Evening) -> bool:
    component, index = act.load.component, act.step.key.step
    taps = state.kitchen.stations[component.station].taps
    if act.kind == "start":
        return starts_by_itself(component, index, taps)
    return ends_by_itself(component, index, taps)


def _core_temp(act: _Act) -> float | None:
    """On the end of the step it belongs to; where nobody taps that end, on its start."""
    if act.kind == "start" and finish_is_tapped(act.load.component, act.step.key.step):
        return None
    return act.what.core_temp


def _caution(act: _Act, state: Evening) -> str:
    """By the words of the step and its equipment: a kitchen names its fryer and its torch as such."""
    where = "" if act.what.on is None else f"{act.what.on} {state.kitchen.equipment_name(act.what.on)}"
    said = f"{where} {act.what.do}".casefold()
    if "fryer" in said or "fry" in where.casefold() or "hot oil" in said:
        return HOT_OIL
    return TORCH if "torch" in said else ""
