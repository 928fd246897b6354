"""Folds what changes in the house during a service: what is off, who stands where, what works, tables, the book."""

from collections.abc import Callable
from dataclasses import replace

from kitchen_timer.kitchen.dish import Dish
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.kitchen.table import Plate
from kitchen_timer.plan.question import CourseKey, LoadKey
from kitchen_timer.service.events import (
    BookRead,
    CooksChanged,
    LeftAgain,
    NoneLeft,
    Recorded,
    SlotsChanged,
    TableMoved,
    TapsChanged,
)
from kitchen_timer.service.folding import folded
from kitchen_timer.service.renaming import Names, rest_renamed, run_renamed
from kitchen_timer.service.state import CourseRun, Evening


@folded.register
def _(event: NoneLeft, state: Evening, entry: Recorded) -> Evening:
    return replace(state, none_left=state.none_left | {(event.dish, event.component)})


@folded.register
def _(event: LeftAgain, state: Evening, entry: Recorded) -> Evening:
    return replace(state, none_left=state.none_left - {(event.dish, event.component)})


def _with_station(state: Evening, station: str, **changed: object) -> Evening:
    if station not in state.kitchen.stations:
        return state
    now = state.kitchen.stations[station].model_copy(update=changed)
    return _with_kitchen(state, stations={**state.kitchen.stations, station: now})


def _with_kitchen(state: Evening, **changed: object) -> Evening:
    kitchen: Kitchen = state.kitchen.model_copy(update=changed)
    return replace(state, kitchen=kitchen, as_written=state.as_written or state.kitchen)


@folded.register
def _(event: CooksChanged, state: Evening, entry: Recorded) -> Evening:
    return _with_station(state, event.station, cooks=event.cooks)


@folded.register
def _(event: TapsChanged, state: Evening, entry: Recorded) -> Evening:
    return _with_station(state, event.station, taps=event.taps)


@folded.register
def _(event: SlotsChanged, state: Evening, entry: Recorded) -> Evening:
    equipment = state.kitchen.equipment
    if event.equipment not in equipment:
        return state
    now = equipment[event.equipment].model_copy(update={"slots": event.slots})
    return _with_kitchen(state, equipment={**equipment, event.equipment: now})


@folded.register
def _(event: TableMoved, state: Evening, entry: Recorded) -> Evening:
    moves = {old: new for old, new in event.courses if old in state.courses or old in state.sent}
    if not moves:
        return state
    # Loads of two courses that become one keep apart: those that come get numbers above those that are there.
    above = {new: _numbers(state, new) for new in moves.values()}

    def load_of(key: LoadKey) -> LoadKey:
        new = moves.get(key.of_course)
        if new is None:
            return key
        return LoadKey(*new, key.dish, key.component, key.load + above[new].get((key.dish, key.component), 0))

    names = Names(course=lambda key: moves.get(key, key), load=load_of)
    courses: dict[CourseKey, CourseRun] = {}
    tables = {old.table for old in moves}
    for key, run in state.courses.items():
        # Every course of a moved table has its landing after another one looked at, moved itself or not.
        now = run_renamed(run, names) if key in moves or key.table in tables else run
        courses[now.key] = _joined(courses[now.key], now, state) if now.key in courses else now
    sent = {
        names.course(key): replace(
            gone,
            course=gone.course.model_copy(
                update={"table": names.course(key).table, "course": names.course(key).course}
            ),
            loads=tuple(replace(load, key=load_of(load.key)) for load in gone.loads),
        )
        for key, gone in state.sent.items()
    }
    away = {_moved_table(table, moves): at for table, at in state.away.items()}
    return replace(rest_renamed(state, names), courses=courses, sent=sent, away=away)


def _numbers(state: Evening, key: CourseKey) -> dict[tuple[str, str], int]:
    """The highest load number of each component of an open course: begun, lost, pinned or planned."""
    run = state.courses.get(key)
    if run is None:
        return {}
    planned = [load for load in (state.plan.by_load if state.plan else ()) if load.of_course == key]
    highest: dict[tuple[str, str], int] = {}
    for load in (*run.loads, *run.lost, *run.pinned, *planned, *(s.of_load for s in state.announced)):
        if load.of_course == key:
            part = (load.dish, load.component)
            highest[part] = max(highest.get(part, 0), load.load)
    return highest


def _moved_table(table: str, moves: dict[CourseKey, CourseKey]) -> str:
    return next((new.table for old, new in moves.items() if old.table == table), table)


def _joined(one: CourseRun, other: CourseRun, state: Evening) -> CourseRun:
    """Two courses as one. The landing is that of the one named first in the evening; nothing of either is lost."""
    plates = (*one.course.plates, *other.course.plates)
    in_at = max(one.course.in_at, other.course.in_at)
    targets = [run.target_at for run in (one, other) if run.target_at is not None]
    joined = replace(
        one,
        course=one.course.model_copy(update={"plates": plates, "in_at": in_at}),
        target_at=max(targets) if len(targets) == 2 else None,
        loads={**one.loads, **other.loads},
        lost=(*one.lost, *other.lost),
        landed_at=None,
        urgent=one.urgent or other.urgent,
        realigned=True,
        pinned={**one.pinned, **other.pinned},
        temps={**one.temps, **other.temps},
        touched=one.touched | other.touched,
        let_stand=one.let_stand | other.let_stand,
    )
    return joined


@folded.register
def _(event: BookRead, state: Evening, entry: Recorded) -> Evening:
    changed = {dish.dish: dish for dish in event.dishes if state.book.get(dish.dish) != dish}
    named = {dish.dish for dish in event.dishes}
    others = set(state.book) - named - state.former if event.whole else event.gone
    gone = {dish for dish in others if dish in state.book}
    if not changed and not gone:
        return state
    old = {dish for dish in (*changed, *gone) if dish in state.book}
    started = {
        (run.key, load.dish) for run in state.courses.values() for load in (*run.loads, *run.pinned) if load.dish in old
    }
    started |= {(key, dish) for key, run in state.courses.items() for dish in gone & set(run.course.portions())}
    food = [load.key for sent in state.sent.values() for load in sent.loads] + [each.load.key for each in state.aside]
    started |= {(key.of_course, key.dish) for key in food if key.dish in old}
    kept = {dish: _former_id(state, dish) for dish in sorted({dish for _, dish in started})}
    if kept:
        state = _as_begun(state, kept, lambda course, dish: kept[dish] if (course, dish) in started else dish)
    former: dict[str, Dish] = {new: state.book[dish].model_copy(update={"dish": new}) for dish, new in kept.items()}
    book = {dish: found for dish, found in {**state.book, **changed, **former}.items() if dish not in gone}
    none_left = frozenset((dish, name) for dish, name in state.none_left if dish is None or dish in book)
    plan = state.plan
    if plan is not None:
        # What was planned by the dishes of before is no plan any more; it is made anew.
        edited = {*changed, *gone}
        plan = replace(plan, steps=tuple(step for step in plan.steps if step.key.dish not in edited))
    return replace(state, book=book, former=state.former | set(former), none_left=none_left, plan=plan)


def _former_id(state: Evening, dish: str) -> str:
    number = 1
    while (name := f"{dish[:34]}--{number}") in state.book:
        number += 1
    return name


def _as_begun(state: Evening, kept: dict[str, str], dish_of: Callable[[CourseKey, str], str]) -> Evening:
    """Courses whose food of an edited dish has started go on with the dish as it was, under a name of its own."""

    def load_of(key: LoadKey) -> LoadKey:
        return LoadKey(key.table, key.course, dish_of(key.of_course, key.dish), key.component, key.load)

    def plate_of(course: CourseKey, plate: Plate) -> Plate:
        dish = dish_of(course, plate.dish)
        return plate if dish == plate.dish else plate.model_copy(update={"dish": dish})

    names = Names(course=lambda key: key, load=load_of)
    courses: dict[CourseKey, CourseRun] = {}
    for key, run in state.courses.items():
        renamed = run_renamed(run, names)
        plates = tuple(plate_of(key, plate) for plate in run.course.plates)
        courses[key] = replace(renamed, course=renamed.course.model_copy(update={"plates": plates}))
    sent = {
        key: replace(
            gone,
            course=gone.course.model_copy(
                update={"plates": tuple(plate_of(key, plate) for plate in gone.course.plates)}
            ),
            loads=tuple(replace(load, key=load_of(load.key)) for load in gone.loads),
        )
        for key, gone in state.sent.items()
    }
    return replace(rest_renamed(state, names), courses=courses, sent=sent)
