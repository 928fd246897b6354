"""What a book promises that its kitchen can never keep: dishes, and pairs of them, that cannot land even alone."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from kitchen_timer.kitchen.dish import Book
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.plan.impossible import Portions, why_not
from kitchen_timer.plan.targets import alone_s, can_be_made

LARGEST_TABLE = 6
"""Plates of one dish for one table that a kitchen should manage alone: a table of six all having the same."""


@dataclass(frozen=True)
class NeverLands:
    """Plates of a table that cannot land inside their ``keeps`` in an empty kitchen."""

    portions: Portions
    why: str
    would_help: str


def never_lands(kitchen: Kitchen, book: Book) -> Iterator[NeverLands]:
    """Each dish with the fewest plates, up to a table of six, that can never land; then pairs of one plate each.

    Pairs are of dishes of one course that can each be made; a pair takes milliseconds, half a second where the exact
    planner has to be asked.
    """
    makeable: list[str] = []
    for dish in book:
        for plates in range(1, LARGEST_TABLE + 1):
            if not _can_land(kitchen, book, ((dish, plates),)):
                yield _never(kitchen, book, ((dish, plates),))
                break
            if plates == 1:
                makeable.append(dish)
    for one, other in combinations(makeable, 2):
        portions = ((one, 1), (other, 1))
        if book[one].course == book[other].course and not _can_land(kitchen, book, portions):
            yield _never(kitchen, book, portions)


def _can_land(kitchen: Kitchen, book: Book, portions: Portions) -> bool:
    return can_be_made(kitchen, book, portions) or alone_s(kitchen, book, portions) is not None


def _never(kitchen: Kitchen, book: Book, portions: Portions) -> NeverLands:
    return NeverLands(portions, *why_not(kitchen, book, portions, can_be_made))
