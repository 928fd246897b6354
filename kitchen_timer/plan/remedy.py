"""What would make an impossible course possible: changes to the kitchen, the book or the order, and applying them."""

from dataclasses import dataclass, replace
from typing import Literal

from kitchen_timer.kitchen.dish import Book
from kitchen_timer.kitchen.seconds import Seconds
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.kitchen.table import Asap
from kitchen_timer.plan.question import CourseKey, Question, Wanted

Kind = Literal[
    "slots",  # so many more places in a piece of equipment
    "cooks",  # so many more cooks at a station
    "keeps",  # a component keeps so many seconds longer
    "plates",  # no more than so many plates of a dish at once: the rest as a course of its own
    "apart",  # a dish as a course of its own
    "landing",  # the course with a landing of its own
    "call",  # another course of the table called first
    "book",  # the book or the kitchen written otherwise
]

OF_THE_HOUSE = ("slots", "cooks", "keeps")
"""Changes of the kitchen or the book, which help any course; the others are changes of one order."""


@dataclass(frozen=True)
class Change:
    """One change: ``by`` slots, cooks, seconds or plates; 0 where that says nothing."""

    kind: Kind
    what: str
    """Id of the equipment or station, ``dish/component``, dish, or course."""
    by: int = 0


@dataclass(frozen=True)
class Remedy:
    """Changes that together make a course possible, in words that follow "what would help:"."""

    changes: tuple[Change, ...]
    words: str


def with_change(kitchen: Kitchen, book: Book, change: Change) -> tuple[Kitchen, Book]:
    """The kitchen and the book with one change of slots, cooks or keeps; other kinds leave them as they are."""
    if change.kind == "slots":
        equipment = kitchen.equipment[change.what]
        more = equipment.model_copy(update={"slots": equipment.slots + change.by})
        left = {key: each for key, each in {**kitchen.equipment, change.what: more}.items() if each.slots > 0}
        return kitchen.model_copy(update={"equipment": left}), book
    if change.kind == "cooks":
        station = kitchen.stations[change.what]
        other = station.model_copy(update={"cooks": max(0, station.cooks + change.by)})
        return kitchen.model_copy(update={"stations": {**kitchen.stations, change.what: other}}), book
    if change.kind == "keeps":
        dish_id, name = change.what.split("/")
        dish = book[dish_id]
        component = dish.components[name]
        longer = component.model_copy(update={"keeps_s": Seconds(component.keeps_s + change.by)})
        return kitchen, {
            **book,
            dish_id: dish.model_copy(update={"components": {**dish.components, name: longer}}),
        }
    return kitchen, book


def with_remedy(question: Question, key: CourseKey, remedy: Remedy) -> Question:
    """The question of an impossible course with its remedy applied.

    ``call`` needs the other course's order and ``book`` a cook with a pen: these leave the question as it is.
    """
    kitchen, book = question.kitchen, question.book
    for change in remedy.changes:
        kitchen, book = with_change(kitchen, book, change)
    courses: list[Wanted] = []
    for wanted in question.courses:
        courses += [wanted] if wanted.key != key else _served(wanted, remedy.changes)
    return replace(question, kitchen=kitchen, book=book, courses=tuple(courses))


def _served(wanted: Wanted, changes: tuple[Change, ...]) -> list[Wanted]:
    """A course as one or more: those split off come by themselves, as "mains 2" and so on."""
    courses = [wanted]
    for change in changes:
        if change.kind == "landing":
            courses[0] = replace(courses[0], land=Asap())
        elif change.kind == "apart":
            qty = dict(courses[0].portions)[change.what]
            courses[0] = replace(courses[0], portions=tuple(p for p in courses[0].portions if p[0] != change.what))
            courses.append(_another(wanted, len(courses) + 1, change.what, qty))
        elif change.kind == "plates":
            left = dict(courses[0].portions)[change.what] - change.by
            courses[0] = replace(
                courses[0], portions=tuple((d, change.by if d == change.what else n) for d, n in courses[0].portions)
            )
            while left > 0:
                courses.append(_another(wanted, len(courses) + 1, change.what, min(left, change.by)))
                left -= change.by
    return courses


def _another(wanted: Wanted, number: int, dish: str, qty: int) -> Wanted:
    return Wanted(
        wanted.table, f"{wanted.course} {number}", wanted.in_at, wanted.land, ((dish, qty),), wanted.target_at
    )
