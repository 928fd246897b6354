"""Which loads a course is cooked in: portions that the equipment cannot take at once are split."""

from collections.abc import Iterable
from dataclasses import dataclass

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
    whole, rest = divmod(portions, max(1, most))
    return (most,) * whole + ((rest,) if rest else ())


def makeable(kitchen: Kitchen, component: Component) -> bool:
    """Whether the kitchen has the station and all the equipment that a component names."""
    return component.station in kitchen.stations and all(
        step.on is None or step.on in kitchen.equipment for step in component.steps
    )


def split_course(kitchen: Kitchen, book: Book, wanted: Wanted, *, full: bool = False) -> Splits:
    """The loads of one course that are still to be begun; dishes that the book lacks have none."""
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
            sizes = (full_split if full else even_split)(to_cook, component.most_at_once(kitchen))
            for i, portions in enumerate(sizes):
                loads.append(Load(LoadKey(table, course, dish_id, name, first + i), portions))
    return tuple(loads)


def split(question: Question, courses: Iterable[Wanted] | None = None) -> Splits:
    """The loads of a question that are still to be begun, split evenly where they do not fit at once."""
    wanted = question.courses if courses is None else tuple(courses)
    return tuple(load for course in wanted for load in split_course(question.kitchen, question.book, course))
