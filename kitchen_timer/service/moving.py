"""A table's guests sit at another table now; two tables are put together."""

from kitchen_timer.kitchen.problems import BadMessage, Fault, NotNow, UnknownTable
from kitchen_timer.kitchen.table import After
from kitchen_timer.plan.question import CourseKey
from kitchen_timer.service.events import Event, TableMoved
from kitchen_timer.service.state import Evening
from kitchen_timer.service.taking import MOST_PLATES, free_name


def move_table(table: str, to: str, merge: bool, state: Evening) -> tuple[Event, ...]:
    """Every open course of a table goes to another number, and what those come after with them."""
    if table == to:
        fault = Fault("to", f"it is table {table} already", "name the table that they sit at now")
        raise BadMessage("The table was not moved.", [fault])
    moving = [key for key, run in state.courses.items() if key.table == table]
    if not any(not state.courses[key].off for key in moving):
        raise UnknownTable(f"Table {table} has nothing open.", "Name a table that has.", where="table")
    there = [key for key, run in state.courses.items() if key.table == to and not run.off]
    if there and not merge:
        raise NotNow(
            f"Table {to} has {', '.join(key.course for key in there)} open.",
            "Put the two together (merge), or name a table that is free.",
            where="to",
        )
    followed = [CourseKey(table, run.land.after) for run in state.courses.values() if isinstance(run.land, After)]
    moving += [key for key in dict.fromkeys(followed) if key.table == table and key in state.sent]
    taken = {key.course.casefold() for key in (*state.courses, *state.sent) if key.table == to}
    pairs: list[tuple[CourseKey, CourseKey]] = []
    for key in moving:
        twin = next((k for k in there if k.course.casefold() == key.course.casefold()), None)
        if twin is not None and _can_be_one(state, key, twin):
            pairs.append((key, twin))
            continue
        name = free_name(key.course, taken)
        taken.add(name.casefold())
        pairs.append((key, CourseKey(to, name)))
    return (TableMoved(tuple(pairs)),)


def _can_be_one(state: Evening, key: CourseKey, twin: CourseKey) -> bool:
    """Whether two courses can still land together: open, not at the pass, not taken off, not too many plates."""
    run, other = state.courses.get(key), state.courses[twin]
    if run is None or run.landed_at is not None or other.landed_at is not None or run.off:
        return False
    return run.course.plate_count + other.course.plate_count <= MOST_PLATES
