"""Which boards a handful of events changes."""

from collections.abc import Iterable

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.question import CourseKey
from kitchen_timer.service.events import (
    BookRead,
    CooksChanged,
    PlanAdopted,
    Recorded,
    ServiceOpened,
    SlotsChanged,
    Struck,
    TableLeft,
    TableMoved,
    TableReturned,
    TapsChanged,
)
from kitchen_timer.service.fold import touched
from kitchen_timer.service.state import Evening

PASS = "pass"


_EVERYWHERE = (BookRead, CooksChanged, SlotsChanged, TableLeft, TableMoved, TableReturned, TapsChanged)
"""Rare enough that nobody need work out which stations they touch."""


def boards_changed(before: Evening, after: Evening, written: Iterable[Recorded]) -> frozenset[str]:
    """Names of the boards that look different after these events: the pass for any, a station for its own food."""
    changed: set[str] = set()
    for entry in written:
        changed.add(PASS)
        event = entry.event
        if isinstance(event, (ServiceOpened, Struck, *_EVERYWHERE)):
            return frozenset({PASS, *map(_board, after.kitchen.stations)})
        if isinstance(event, PlanAdopted):
            changed |= _moved(before.plan, after.plan)
            continue
        courses, loads = touched(event)
        for load in loads:
            if load.dish in after.book and load.component in after.book[load.dish].components:
                changed.add(_board(after.component(load).station))
        if not loads:
            changed |= {board for key in courses for board in _boards_of(before, after, key)}
    return frozenset(changed)


def _board(station: str) -> str:
    return f"station:{station}"


def _boards_of(before: Evening, after: Evening, key: CourseKey) -> set[str]:
    runs = [run for evening in (before, after) if (run := evening.courses.get(key)) is not None]
    dishes = [after.book[dish] for run in runs for dish in run.course.portions() if dish in after.book]
    return {_board(component.station) for dish in dishes for component in dish.components.values()}


def _moved(old: Answer | None, new: Answer | None) -> set[str]:
    was = {(step.key, step.start_at, step.portions, step.station) for step in old.steps} if old else set()
    will = {(step.key, step.start_at, step.portions, step.station) for step in new.steps} if new else set()
    return {_board(station) for *_, station in was ^ will}
