"""What sets the pace of an event: how long its waves keep the pass, each equipment and each station busy at least."""

from collections import Counter
from collections.abc import Collection
from dataclasses import dataclass
from math import ceil

from kitchen_timer.kitchen.dish import Component
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.plan.jobs import plating_of
from kitchen_timer.plan.question import CourseKey, Question


@dataclass(frozen=True, slots=True)
class Busy:
    """The least time that some courses keep one resource busy, however they are planned."""

    resource: tuple[str, str]
    """``("pass", "")``, ``("equipment", id)`` or ``("station", id)``."""
    least_s: int


def pace_of(question: Question, keys: Collection[CourseKey]) -> tuple[Busy, ...]:
    """What these courses need of every resource that they use, the one that holds them most first, in seconds.

    Lower bounds: the pass by rule 7, equipment with full slots and its recovery (rule 5), stations with every load
    handled together that can share slots (rule 6). Where each course plates with all hands, no plan is shorter than
    the pass's figure from the first landing to the last up.
    """
    kitchen, book = question.kitchen, question.book
    busy: dict[tuple[str, str], float] = {}
    loads: dict[str, list[int]] = {}
    for wanted in question.courses:
        if wanted.key not in keys:
            continue
        dishes = [book[dish] for dish, _ in wanted.portions]
        pairs, seconds = plating_of(dishes, wanted.plates, kitchen.pass_board.hands)
        busy["pass", ""] = busy.get(("pass", ""), 0.0) + pairs * seconds / kitchen.pass_board.hands
        for dish, qty in wanted.portions:
            loads.setdefault(dish, []).append(qty)
    for dish, sizes in loads.items():
        for component in book[dish].components.values():
            at, cooks = ("station", component.station), kitchen.stations[component.station].cooks
            for index, step in enumerate(component.steps):
                slots_s, hands_s = _least(component, index, sizes, kitchen)
                busy[at] = busy.get(at, 0.0) + hands_s / max(1, cooks)
                if step.on is not None:
                    on = ("equipment", step.on)
                    busy[on] = busy.get(on, 0.0) + slots_s / kitchen.equipment[step.on].slots
    found = [Busy(resource, ceil(seconds - 1e-9)) for resource, seconds in busy.items() if seconds > 0]
    return tuple(sorted(found, key=lambda each: (-each.least_s, each.resource)))


def _least(component: Component, index: int, sizes: list[int], kitchen: Kitchen) -> tuple[int, int]:
    """Slot-seconds and hand-seconds that one step takes at the least, for so many portions in each course.

    Portions that fit the equipment are one load. Of one that is split only the step's length for one portion is sure.
    """
    step, most = component.steps[index], component.most_at_once(kitchen)

    def handled_s(portions: int) -> int:
        return sum(to_s - from_s for from_s, to_s in component.busy_s(index, portions, kitchen))

    counted = Counter(size if most is None or size <= most else 0 for size in sizes)
    if step.on is None:
        return 0, sum(times * handled_s(max(1, size)) for size, times in counted.items())
    equipment = kitchen.equipment[step.on]
    recovery_s, room = 0 if component.stays_on(index) else equipment.recovery_s, equipment.slots * step.fits
    if step.each_s == 0 or counted[0]:
        slots = ceil(sum(sizes) / step.fits)
        return slots * (step.length_s(1) + recovery_s), ceil(sum(sizes) / room) * handled_s(1)
    slots_s = hands_s = 0
    for size, times in counted.items():  # only equal loads take equally long, and only those can share slots
        slots_s += ceil(size * times / step.fits) * (step.length_s(size) + recovery_s)
        hands_s += ceil(times / (room // size)) * handled_s(size)
    return slots_s, hands_s
