"""Who takes what and how long, by name, as a whole answer has it: for saying why something has to wait."""

from collections.abc import Iterable
from dataclasses import dataclass

from kitchen_timer.kitchen.dish import Book
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.plan.answer import PlannedStep
from kitchen_timer.plan.question import LoadKey


@dataclass(frozen=True, slots=True)
class Taken:
    """One load taking some of a resource."""

    resource: tuple[str, str]
    """``("equipment", id)``, ``("station", id)`` or ``("pass", "")``."""
    key: LoadKey | None
    """None: plating."""
    table: str
    course: str
    from_at: int
    until_at: int
    """When it is free again, recovery included."""
    done_at: int
    """When the food is out, before the recovery."""


def taken_by(kitchen: Kitchen, book: Book, loads: Iterable[tuple[PlannedStep, ...]]) -> list[Taken]:
    """Slots and hands that loads take, each load given by all its steps in order."""
    taken: list[Taken] = []
    for steps in loads:
        key = steps[0].key.of_load
        component = book[key.dish].components[key.component]
        for at, step in enumerate(steps):
            index = step.key.step
            if step.on is not None and step.on in kitchen.equipment:
                stays = component.stays_on(index) and at + 1 < len(steps)
                done_at = steps[at + 1].start_at if stays else step.end_at
                until_at = done_at + (0 if stays else kitchen.equipment[step.on].recovery_s)
                resource = ("equipment", step.on)
                taken.append(Taken(resource, key, key.table, key.course, step.start_at, until_at, done_at))
            for from_s, to_s in component.busy_s(index, step.portions, kitchen):
                from_at, until_at = step.start_at + from_s, step.start_at + to_s
                resource = ("station", component.station)
                taken.append(Taken(resource, key, key.table, key.course, from_at, until_at, until_at))
    return taken
