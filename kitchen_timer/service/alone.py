"""One dish with the whole kitchen to itself: the evening in which nothing else was ordered. Pure."""

from kitchen_timer.kitchen.problems import UnknownDish
from kitchen_timer.kitchen.table import Asap, Plate
from kitchen_timer.service.commands import CourseAsked, TakeOrder
from kitchen_timer.service.decide import decide
from kitchen_timer.service.events import Recorded
from kitchen_timer.service.fold import fold
from kitchen_timer.service.state import Evening

MOST_PLATES = 40
"""Plates of one dish that anybody asks about."""

TABLE = "1"


def evening_alone(dish: str, plates: int, state: Evening, now: int) -> Evening:
    """The kitchen as its file has it, and one table that wants so many plates (1 to 40) of one dish.

    What is off tonight can be asked about all the same. UnknownDish where the book has it not.
    """
    if dish not in state.book or dish in state.former:
        known = ", ".join(sorted(set(state.book) - state.former)[:12])
        raise UnknownDish(f"The book has no dish {dish!r}.", f"Name one that it has: {known}.", where="dish")
    empty = Evening(kitchen=state.as_written or state.kitchen, book=state.book, service=state.service)
    wanted = Plate(dish=dish, qty=min(max(plates, 1), MOST_PLATES))
    order = TakeOrder(TABLE, (CourseAsked(state.book[dish].course, (wanted,), Asap()),), allergies_asked=True)
    alone = empty
    for seq, event in enumerate(decide(order, empty, now), start=1):
        alone = fold(alone, Recorded(seq, now * 1000, event, command=1))
    return alone
