"""What a kitchen's files may say and will regret: warnings for ``check``, none of which stops a service."""

from collections.abc import Iterator, Mapping

from kitchen_timer.files.written import Place, Written
from kitchen_timer.kitchen.dish import Book, Dish, Hands
from kitchen_timer.kitchen.problems import Warned
from kitchen_timer.kitchen.seconds import write_duration
from kitchen_timer.kitchen.station import Kitchen


def warnings_of(
    kitchen: Kitchen, book: Book, kitchen_text: Written, dish_texts: Mapping[str, Written]
) -> tuple[Warned, ...]:
    """Every warning, the kitchen's own first, then dish by dish."""
    found = list(_idle(kitchen, book, kitchen_text))
    found += _spelt_twice(book, dish_texts)
    for name, dish in book.items():
        found += _of_dish(kitchen, dish, dish_texts[name])
    return tuple(found)


def _warn(text: Written, place: Place, what: str, cure: str) -> Warned:
    return Warned(text.path(place), what, cure, text.file, text.line(place))


def _idle(kitchen: Kitchen, book: Book, text: Written) -> Iterator[Warned]:
    components = [c for dish in book.values() for c in dish.components.values()]
    used = {step.on for c in components for step in c.steps}
    busy = {c.station for c in components}
    for key in kitchen.equipment:
        if key not in used:
            yield _warn(text, ("equipment", key), "no dish uses this equipment", "take it out, or name it in a step")
    for key in kitchen.stations:
        if key not in busy:
            yield _warn(text, ("stations", key), "no dish needs this station", "take it out, or name it in the book")


def _spelt_twice(book: Book, texts: Mapping[str, Written]) -> Iterator[Warned]:
    """One allergen under two spellings: whoever looks for the one overlooks the other."""
    first: dict[str, tuple[str, str]] = {}
    for name, dish in book.items():
        for allergen in dish.all_allergens():
            plain = allergen.casefold().removesuffix("s")
            spelling, where = first.setdefault(plain, (allergen, name))
            if spelling != allergen:
                text = texts[name]
                what = f"the allergen {allergen!r} is written {spelling!r} in {where}"
                yield Warned(name, what, "write one allergen in one way", text.file, _line_of(text, allergen))


def _line_of(text: Written, allergen: str) -> int:
    places = (p for p in text.lines if len(p) > 1 and p[-2] == "allergens" and text.at(p) == allergen)
    return text.line(next(places, ()))


def _of_dish(kitchen: Kitchen, dish: Dish, text: Written) -> Iterator[Warned]:
    for key, component in dish.components.items():
        here: Place = ("components", key)
        needed_by_others = bool(dish.dependants_of(key))
        if component.keeps_s < dish.plating_s and not needed_by_others:
            keeps, plating = write_duration(component.keeps_s), write_duration(dish.plating_s)
            what = f"it keeps {keeps} and plating one plate takes {plating}: it is past its best before the plate is up"
            yield _warn(text, (*here, "keeps"), what, "let it keep longer, or plate faster")
        cooks = kitchen.stations[component.station].cooks
        for index in range(len(component.steps)):
            if cooks == 0 and component.busy_s(index, 1, kitchen):
                what = f"nobody's hands can do this: {component.station} has no cook"
                cure = f"give {component.station} a cook in kitchen.yaml, or write hands: none"
                yield _warn(text, (*here, "steps", index), what, cure)
        yield from _never_lifted(
            component.steps[-1].hands, here, len(component.steps) - 1, component.steps[-1].on, text
        )


def _never_lifted(hands: Hands | None, here: Place, last: int, on: str | None, text: Written) -> Iterator[Warned]:
    """The last step on equipment that nobody ends: food that leaves the oil or the oven by itself."""
    if on is not None and hands in (Hands.NONE, Hands.START):
        what = f"nobody is told to take it off: it ends on {on} with hands: {hands}"
        yield _warn(text, (*here, "steps", last, "hands"), what, "write hands: ends, or leave hands out")
