"""Rules 2, 7, 8 and 9 for courses: landings, when they are up, and that none is forgotten."""

from collections.abc import Iterator
from math import ceil

from kitchen_timer.kitchen.table import After, AtTime
from kitchen_timer.plan.answer import PlannedCourse
from kitchen_timer.plan.check.broken import Break
from kitchen_timer.plan.check.laid import Table, twice_named
from kitchen_timer.plan.question import CourseKey, Wanted


def broken_by_courses(table: Table) -> Iterator[Break]:
    """Every break of the rules about whole courses."""
    yield from _all_there(table)
    for wanted, planned in table.planned.values():
        yield from _landing(table, wanted, planned)
        yield from _up(table, wanted, planned)
        yield from _not_before(table, wanted, planned)


def _all_there(table: Table) -> Iterator[Break]:
    answered = [course.key for course in table.answer.courses]
    given_up = [course.key for course in table.answer.impossible]
    wanted = {course.key: course for course in table.question.courses}
    for key in twice_named([*answered, *given_up]):
        yield Break(9, str(key), "is planned or given up more than once", 1)
    for key in {*answered, *given_up} - wanted.keys():
        yield Break(9, str(key), "is in the plan and nobody wants it", 1)
    for key in wanted.keys() - {*answered, *given_up}:
        yield Break(9, str(key), "is neither in the plan nor given up", 1)
    for key in given_up:
        if key in wanted and wanted[key].begun:
            yield Break(9, str(key), "is given up with started food in it", 1, excused=True)
    for course in table.answer.impossible:
        if not course.why or not course.would_help:
            yield Break(9, str(course.key), "is given up without saying why and what would help", 1)


def _landing(table: Table, wanted: Wanted, planned: PlannedCourse) -> Iterator[Break]:
    if wanted.landed_at is not None:
        if planned.landing_at != wanted.landed_at:
            moved = abs(planned.landing_at - wanted.landed_at)
            yield Break(0, str(wanted.key), "has landed and is not where it landed", moved)
    elif planned.landing_at < table.question.now:
        yield Break(2, str(wanted.key), "lands before now", table.question.now - planned.landing_at)


def _up(table: Table, wanted: Wanted, planned: PlannedCourse) -> Iterator[Break]:
    plates = sum(qty for _, qty in wanted.portions)
    hands = min(table.question.kitchen.pass_board.hands, plates)
    plating_s = ceil(plates / hands) * max(table.question.book[dish].plating_s for dish, _ in wanted.portions)
    if planned.up_at - planned.landing_at != plating_s:
        off = abs(planned.up_at - planned.landing_at - plating_s)
        yield Break(
            7, str(wanted.key), f"is up {planned.up_at - planned.landing_at} s after landing, not {plating_s} s", off
        )
    if planned.plates != plates:
        yield Break(9, str(wanted.key), f"has {planned.plates} plates, not {plates}", abs(planned.plates - plates))


def _not_before(table: Table, wanted: Wanted, planned: PlannedCourse) -> Iterator[Break]:
    earliest: int | None = None
    if isinstance(wanted.land, AtTime):
        earliest = wanted.land.at
    elif isinstance(wanted.land, After):
        before = CourseKey(wanted.table, wanted.land.after)
        up_at = up_of(table, before)
        if up_at is None:
            what = f"comes after {before.course}, which is held or impossible"
            excused = bool(wanted.begun) or wanted.landed_at is not None
            yield Break(9, str(wanted.key), what, 1, excused=excused)
        else:
            earliest = up_at + wanted.land.gap_s
    if earliest is not None and planned.landing_at < earliest:
        what = f"lands {earliest - planned.landing_at} s before it may"
        yield Break(8, str(wanted.key), what, earliest - planned.landing_at, excused=wanted.landed_at is not None)


def up_of(table: Table, key: CourseKey) -> int | None:
    """When a course is up: as sent, or as planned; None: neither."""
    if key in table.question.up:
        return table.question.up[key]
    return table.planned[key][1].up_at if key in table.planned else None
