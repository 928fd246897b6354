"""Taking an order: every course gets the name it keeps at its table, everything is checked before anything happens."""

from collections.abc import Collection, Iterable

from kitchen_timer.kitchen.problems import (
    AllergiesNotAsked,
    BadMessage,
    DishIsOff,
    Fault,
    NotNow,
    UnknownDish,
    UnknownTable,
)
from kitchen_timer.kitchen.table import After, AtTime, Course, Land, Plate
from kitchen_timer.service.commands import CourseAsked, TakeOrder
from kitchen_timer.service.events import Event, OrderTaken
from kitchen_timer.service.state import Evening

FURTHEST_S = 12 * 3600
"""Seconds from now within which a landing can be wanted."""

MOST_PLATES = 100
"""Plates of one course. Planners take seconds for what more could ever need; larger parties are served in waves."""

LONGEST_NAME = 30
"""Letters of a course's name, as ``CourseName`` allows."""


def take_order(command: TakeOrder, state: Evening, now: int) -> tuple[Event, ...]:
    """The order taken at ``now``; refused whole, with the place and the cure, when any of it cannot be."""
    if not command.allergies_asked:
        raise AllergiesNotAsked(
            f"Table {command.table}'s order was not taken: nobody said that allergies were asked for.",
            "Ask the dining room, then take it.",
            where="allergies_asked",
        )
    return (OrderTaken(courses_of(command.table, command.courses, state, now)),)


def courses_of(table: str, asked: tuple[CourseAsked, ...], state: Evening, now: int) -> tuple[Course, ...]:
    """The courses an order would become."""
    if not asked or any(not course.plates for course in asked):
        place = next((f"courses[{i}].plates" for i, course in enumerate(asked) if not course.plates), "courses")
        fault = Fault(place, "there is nothing to cook", "order at least one plate of one course")
        raise BadMessage(f"Table {table}'s order has nothing in it: order at least one plate of one course.", [fault])
    _all_in_the_book(asked, state)
    for index, course in enumerate(asked):
        not_too_many(course.plates, f"courses[{index}].plates")
    names = _names(asked, state.names_at(table))
    courses: list[Course] = []
    for index, course in enumerate(asked):
        can_be_planned(course.land, f"courses[{index}].land", now)
        land = _landing(table, index, asked, names, state)
        courses.append(Course(table=table, course=names[index], in_at=now, land=land, plates=course.plates))
    _no_loop(table, courses)
    return tuple(courses)


def not_too_many(plates: Iterable[Plate], where: str) -> None:
    """Refuses a course of more plates than ``MOST_PLATES``."""
    count = sum(plate.qty for plate in plates)
    if count > MOST_PLATES:
        fault = Fault(where, f"{count} plates are too many for one course", f"order at most {MOST_PLATES} in each")
        raise BadMessage("So many plates cannot land together: serve them in waves, a course for each.", [fault])


def can_be_planned(land: Land, where: str, now: int) -> None:
    """Refuses a landing that is not of this service: planners look at every second until then."""
    at = land.at if isinstance(land, AtTime) else now + land.gap_s if isinstance(land, After) else now
    if abs(at - now) > FURTHEST_S:
        field = f"{where}.gap" if isinstance(land, After) else f"{where}.at"
        raise NotNow(
            f"That is more than twelve hours away ({field}).", "Hold it, and fire it when it is wanted.", where=field
        )


def _all_in_the_book(asked: Iterable[CourseAsked], state: Evening) -> None:
    for i, course in enumerate(asked):
        for j, plate in enumerate(course.plates):
            can_be_had(plate.dish, f"courses[{i}].plates[{j}].dish", state, course.course)


def can_be_had(dish: str, where: str, state: Evening, course: str = "") -> None:
    """Refuses a dish that the book does not have, or of which there is none left."""
    if dish not in state.book or dish in state.former:
        on_it = [found for found in state.book.values() if found.dish not in state.former]
        served = sorted(found.dish for found in on_it if found.course == course)
        close = ", ".join(served or sorted(found.dish for found in on_it)[:12])
        raise UnknownDish(
            f"The book has no dish {dish!r} ({where}).", f"Order one that it has: {close}.", where=where, dish=dish
        )
    gone = state.is_off(dish)
    if gone is not None:
        name = state.book[dish].name
        what = f"{name} is off: there is none left" if gone == name else f"{name} is off: there is no {gone} left"
        raise DishIsOff(f"{what} ({where}).", "Order another dish, or say that it is back on.", where=where, dish=dish)


def _names(asked: tuple[CourseAsked, ...], taken: set[str]) -> list[str]:
    """``mains``, and ``mains 2`` where the table has had mains already."""
    names: list[str] = []
    for course in asked:
        name = free_name(course.course, taken)
        taken.add(name.casefold())
        names.append(name)
    return names


def free_name(course: str, taken: Collection[str]) -> str:
    """The course's name, with a number where the table has had that name (``taken``, in small letters)."""
    name, count = course, 1
    while name.casefold() in taken:
        count += 1
        tail = f" {count}"
        name = course[: LONGEST_NAME - len(tail)] + tail
    return name


def _landing(table: str, index: int, asked: tuple[CourseAsked, ...], names: list[str], state: Evening) -> Land:
    """The course's landing, with ``after`` meaning this order's course of that name before any earlier one."""
    land = asked[index].land
    if not isinstance(land, After):
        return land
    wanted = land.after.casefold()
    here = [i for i, other in enumerate(asked) if i != index and other.course.casefold() == wanted]
    if here:
        # Of two with the same name the nearest before this one is meant.
        before = [i for i in here if i < index]
        return land.model_copy(update={"after": names[before[-1] if before else here[0]]})
    for key in (*state.courses, *state.sent):
        if key.table == table and key.course.casefold() == wanted:
            return land.model_copy(update={"after": key.course})
    known = sorted({*names[:index], *names[index + 1 :], *(k.course for k in state.courses if k.table == table)})
    raise UnknownTable(
        f"Table {table} has no course called {land.after} for {names[index]} to come after "
        f"(courses[{index}].land.after).",
        f"Name one that it has: {', '.join(known)}." if known else "Land it as soon as possible instead.",
        where=f"courses[{index}].land.after",
    )


def _no_loop(table: str, courses: list[Course]) -> None:
    follows = {course.course: course.land.after for course in courses if isinstance(course.land, After)}
    for start in follows:
        at, steps = start, 0
        while at in follows:
            at, steps = follows[at], steps + 1
            if steps > len(follows):
                raise NotNow(
                    f"Table {table}'s courses wait for one another in a circle: {', '.join(follows)}.",
                    "Let one of them land as soon as possible.",
                    where="courses",
                )
