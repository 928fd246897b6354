"""An event: one course of many covers, plated in waves. Each wave is a course of its own and lands by itself."""

from collections.abc import Iterable
from fractions import Fraction
from itertools import groupby
from typing import Annotated

from pydantic import Field

from kitchen_timer.kitchen.dish import Book
from kitchen_timer.kitchen.seconds import Duration
from kitchen_timer.kitchen.station import Kitchen, Noun
from kitchen_timer.kitchen.table import Plate


class Waves(Noun):
    """How a course of many covers is cut into waves."""

    of: Annotated[int, Field(ge=1, le=200, strict=True)]
    """Plates in a wave; the last wave has what is left. 10 to 20 is usual (common practice, no source)."""
    every_s: Duration | None = Field(default=None, alias="every")
    """From one landing to the next; None: the next lands when the pass is free again."""


def cut_into_waves(plates: Iterable[Plate], of: int) -> tuple[tuple[Plate, ...], ...]:
    """The plates of each wave, ``of`` plates in all of them but the last.

    Plates with an allergy, a note or a seat come first, so that they are not lost in the crowd (common practice, no
    source). The rest of a mixed menu is spread evenly: at any plate each dish is within one plate of its share.
    """
    plates = tuple(plates)
    special = [plate for plate in plates if plate.allergies or plate.note or plate.seat]
    plain = [plate for plate in plates if plate not in special]
    ordered = [plate for plate in special for _ in range(plate.qty)]
    ordered += [plain[i] for i in evenly_spread([plate.qty for plate in plain])]
    cut = [ordered[i : i + of] for i in range(0, len(ordered), of)]
    return tuple(_counted(wave, plates) for wave in cut)


def evenly_spread(counts: list[int]) -> list[int]:
    """Each place ``i`` so often as ``counts[i]`` says, in an order in which none runs ahead or lags.

    The chairman assignment (R. Tijdeman, Discrete Mathematics 32, 1980, 323-330; the rule from memory): of those whose
    share is at least ``1 / (2n - 2)`` ahead of what they were given, the one that falls due first. After any number
    of turns each of ``n`` is at most ``1 - 1 / (2n - 2)`` away from its share.
    """
    if len(counts) == 1:
        return [0] * counts[0]
    total, given, fine = sum(counts), [0] * len(counts), 2 * len(counts) - 2
    order: list[int] = []
    for at in range(1, total + 1):
        open_now = [i for i, count in enumerate(counts) if fine * (count * at - given[i] * total) >= total]
        first = min(open_now, key=lambda i: Fraction(fine * (given[i] + 1) - 1, counts[i]))
        given[first] += 1
        order.append(first)
    return order


def _counted(wave: list[Plate], plates: tuple[Plate, ...]) -> tuple[Plate, ...]:
    """The same plates with their quantities, in the order in which they were ordered."""
    wave = sorted(wave, key=plates.index)
    return tuple(plate.model_copy(update={"qty": len(list(same))}) for plate, same in groupby(wave))


def plating_s(plates: Iterable[Plate], kitchen: Kitchen, book: Book) -> int:
    """Seconds that the pass takes for a wave: ``ceil(n / hands)`` times the longest plating time (rule 7)."""
    plates = tuple(plates)
    count = sum(plate.qty for plate in plates)
    hands = min(kitchen.pass_board.hands, count)
    return -(-count // hands) * max(book[plate.dish].plating_s for plate in plates)
