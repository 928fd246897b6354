"""Allergies in words, never apart from the plate they were given with.

No list of allergens is a promise: where equipment is shared the words say so, and whether the guest can have the dish
is for the chef and the house's food-safety plan to say.
"""

from kitchen_timer.kitchen.dish import Book, Dish
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.kitchen.table import Course, Plate
from kitchen_timer.service.views import AllergyView


def shared_equipment(dish: Dish, kitchen: Kitchen) -> tuple[str, ...]:
    """Names of the equipment of a dish's steps on which one food carries over to the next."""
    used = (step.on for component in dish.components.values() for step in component.steps if step.on is not None)
    return tuple(kitchen.equipment_name(on) for on in dict.fromkeys(used) if kitchen.equipment[on].cross_contact)


def cross_contact_words(dish: Dish, kitchen: Kitchen) -> str:
    """``Fryer is shared: ask the chef``; empty where nothing is shared."""
    shared = shared_equipment(dish, kitchen)
    if not shared:
        return ""
    names = " and ".join(shared)
    return f"{names[:1].upper()}{names[1:]} {'is' if len(shared) == 1 else 'are'} shared: ask the chef"


def allergy_words(allergy: str, plate: Plate, table: str = "") -> str:
    """``NUT · seat 2 · table 6``; without the table on its own course's row."""
    parts = [allergy.upper()]
    if plate.seat:
        seat = plate.seat
        parts.append(seat if seat.casefold().startswith("seat") else f"seat {seat}")
    if table:
        parts.append(f"table {table}")
    return " · ".join(parts)


def allergies_of(
    course: Course, book: Book, kitchen: Kitchen, *, dish: str | None = None, with_table: bool = False
) -> tuple[AllergyView, ...]:
    """Every allergy of a course, or of one of its dishes."""
    return tuple(
        AllergyView(
            words=allergy_words(allergy, plate, course.table if with_table else ""),
            dish=book[plate.dish].name,
            table=course.table,
            cross_contact=cross_contact_words(book[plate.dish], kitchen),
        )
        for plate in course.plates
        if dish is None or plate.dish == dish
        for allergy in plate.allergies
    )


def allergy_warnings(course: Course, book: Book, kitchen: Kitchen) -> tuple[str, ...]:
    """What to look at before taking an order: an allergy that the dish lists, and shared equipment."""
    warnings: list[str] = []
    for plate in course.plates:
        dish = book[plate.dish]
        for allergy in plate.allergies:
            words = allergy_words(allergy, plate, course.table)
            listed = [each for each in dish.all_allergens() if _same_food(each, allergy)]
            if listed:
                warnings.append(f"{words}: {dish.name} lists {', '.join(listed)}. Change the dish or ask the chef.")
            else:
                warnings.append(f"{words}: {dish.name} lists none of it, which is no promise. Ask the chef.")
            if shared := cross_contact_words(dish, kitchen):
                warnings.append(f"{words}: {shared} ({dish.name}).")
    return tuple(dict.fromkeys(warnings))


def _same_food(listed: str, said: str) -> bool:
    """Whether a listed allergen and one that was said may be the same: loosely, since a miss would hurt."""
    one, other = listed.casefold().strip(), said.casefold().strip()
    stems = [word.rstrip("s") for word in one.split()]
    return one in other or other in one or any(word.rstrip("s") in stems for word in other.split())
