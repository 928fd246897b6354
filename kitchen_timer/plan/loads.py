"""Which loads a course is cooked in: portions that the equipment cannot take at once are split.

How they are split is the planner's to decide. Seven portions, three to a basket, two baskets: six and one keep the one
waiting, not three; four and three take less long where each portion lengthens a load; three, three and one can start
as single baskets come free. There are many more ways; the few of :func:`ways_to_split` are those that have won.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate

from kitchen_timer.kitchen.dish import Book, Component
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.plan.question import LoadKey, Question, Wanted


@dataclass(frozen=True)
class Load:
    """Portions of one component of one course that are cooked together and of which nothing has begun."""

    key: LoadKey
    portions: int


Splits = tuple[Load, ...]
"""Every load that is still to be begun, of every course of a question."""


def even_split(portions: int, most: int | None) -> tuple[int, ...]:
    """As few loads as ``most`` portions at once allow, as even as can be, larger ones first."""
    if portions <= 0:
        return ()
    count = 1 if most is None else -(-portions // max(1, most))
    share, over = divmod(portions, count)
    return (share + 1,) * over + (share,) * (count - over)


def full_split(portions: int, most: int | None) -> tuple[int, ...]:
    """As few loads as ``most`` portions at once allow, each as full as can be but the last."""
    if portions <= 0:
        return ()
    if most is None or portions <= most:
        return (portions,)
    most = max(1, most)  # equipment that is out has no slots; a load has portions all the same
    whole, rest = divmod(portions, most)
    return (most,) * whole + ((rest,) if rest else ())


MOST_LOADS = 5
"""A component is not split into more loads than this for the sake of smaller ones: each has to be handled."""


@lru_cache(maxsize=4096)
def _ways(portions: int, rooms: tuple[tuple[int, int], ...], lengthens: bool) -> tuple[tuple[int, ...], ...]:
    most, fits, slots = min((fits * slots, fits, slots) for fits, slots in rooms)
    half = fits * -(-slots // 2)
    ways = [even_split(portions, most), full_split(portions, most)]
    for size in dict.fromkeys((half, fits)):
        if size < most:
            ways += [way for way in (full_split(portions, size), even_split(portions, size)) if len(way) <= MOST_LOADS]
    ways = list(dict.fromkeys(ways))
    if lengthens:
        return tuple(ways)
    return tuple(way for way in ways if not any(_better(other, way, rooms) for other in ways if other is not way))


def _better(one: tuple[int, ...], other: tuple[int, ...], rooms: tuple[tuple[int, int], ...]) -> bool:
    """Whether one split does all that another does, where loads take as long whatever they hold.

    As many loads, none that takes more slots, and the small ones, which wait for the large, hold less.
    """
    if len(one) != len(other):
        return False
    slots = all(-(-a // fits) <= -(-b // fits) for fits, _ in rooms for a, b in zip(one, other, strict=True))
    waits = zip(accumulate(reversed(one)), accumulate(reversed(other)), strict=True)
    return slots and all(a <= b for a, b in waits)


def ways_to_split(kitchen: Kitchen, component: Component, portions: int) -> tuple[tuple[int, ...], ...]:
    """The few ways to split portions into loads that are worth trying, larger loads first; one where all fit at once.

    As few loads as can be, even or full; loads of half the slots or of a single one. A way that another can stand in
    for at no cost is left out.
    """
    most = component.most_at_once(kitchen)
    if most is None or portions <= most:
        return ((portions,),) if portions > 0 else ((),)
    rooms = {(step.fits, kitchen.equipment[step.on].slots) for step in component.steps if step.on is not None}
    return _ways(portions, tuple(sorted(rooms)), any(step.each_s for step in component.steps))


def ways_of_course(kitchen: Kitchen, book: Book, wanted: Wanted) -> int:
    """How many ways :func:`split_course` has."""
    parts = [(part, qty) for dish, qty in wanted.portions if dish in book for part in book[dish].components.values()]
    return max((len(ways_to_split(kitchen, part, qty)) for part, qty in parts if makeable(kitchen, part)), default=1)


def makeable(kitchen: Kitchen, component: Component) -> bool:
    """Whether the kitchen has the station and all the equipment that a component names."""
    return component.station in kitchen.stations and all(
        step.on is None or step.on in kitchen.equipment for step in component.steps
    )


def split_course(kitchen: Kitchen, book: Book, wanted: Wanted, way: int = 0) -> Splits:
    """The loads of one course that are still to be begun; dishes that the book lacks have none.

    ``way`` numbers the ways of each component, the last where it has fewer.
    """
    loads: list[Load] = []
    table, course = wanted.table, wanted.course
    for dish_id, qty in wanted.portions:
        dish = book.get(dish_id)
        if dish is None:
            continue
        for name, component in dish.components.items():
            if not makeable(kitchen, component):
                continue
            touched = bool(wanted.begun or wanted.spent)
            to_cook = wanted.to_cook(dish_id, name) if touched else qty
            first = wanted.next_load(dish_id, name) if touched else 1
            ways = ways_to_split(kitchen, component, to_cook)
            for i, portions in enumerate(ways[min(way, len(ways) - 1)]):
                loads.append(Load(LoadKey(table, course, dish_id, name, first + i), portions))
    return tuple(loads)


def split(question: Question, courses: Iterable[Wanted] | None = None) -> Splits:
    """The loads of a question that are still to be begun, split the first way where they do not fit at once."""
    wanted = question.courses if courses is None else tuple(courses)
    return tuple(load for course in wanted for load in split_course(question.kitchen, question.book, course))
