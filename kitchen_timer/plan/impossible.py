"""Why a course can never be made, by which rule, and what would help.

The kitchen is changed by one thing at a time, a slot, a cook, a time that something keeps, and the course tried again
by the constructive planner: what makes it possible is what would help, and says which rule stops it.
"""

from collections.abc import Callable, Iterator

from kitchen_timer.kitchen.dish import Book, Component
from kitchen_timer.kitchen.seconds import Seconds
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.plan.patterns import Patterns

Portions = tuple[tuple[str, int], ...]
Possible = Callable[[Kitchen, Book, Portions], bool]

LONGER = (2, 4)
"""How many times as long as now a component is tried to keep."""
MOST_REMEDIES = 3


def why_never(patterns: Patterns, portions: Portions, possible: Possible) -> tuple[int, str, str]:
    """The rule that stops a course, the reason and the remedy, in kitchen words; kept from call to call."""
    key = tuple(sorted(portions))
    if key not in patterns.reasons:
        patterns.reasons[key] = _Why(patterns.kitchen, patterns.book, key, possible).reason()
    return patterns.reasons[key]


class _Why:
    def __init__(self, kitchen: Kitchen, book: Book, portions: Portions, possible: Possible) -> None:
        self.kitchen, self.book, self.portions, self.possible = kitchen, book, portions, possible

    def reason(self) -> tuple[int, str, str]:
        nobody = self._nobody()
        if nobody is not None:
            return nobody
        slots = [(on, more) for on in self._equipment() if (more := self._more_slots(on))]
        cooks = [station for station in self._stations() if self._with_cooks(station)]
        keeps = next(self._keeping(), None)
        fewer = self._fewer()
        help_with: list[str] = []
        if slots:
            on, more = slots[0]
            has = self.kitchen.equipment[on].slots
            help_with.append(f"{has + more} places in the {self.kitchen.equipment_name(on)} instead of {has}")
        if cooks:
            help_with.append(f"one more cook at {self.kitchen.stations[cooks[0]].name}")
        if keeps is not None:
            component, longer_s = keeps
            help_with.append(
                f"{_small(component.name)} that keeps {_time(longer_s)} instead of {_time(component.keeps_s)}"
            )
        if fewer:
            help_with.append(f"no more than {fewer} plates of it at once")
        help_with = help_with[:MOST_REMEDIES] or ["take a dish off this course, or let its components keep longer"]
        would_help = " or ".join([", ".join(help_with[:-1]), help_with[-1]] if len(help_with) > 1 else help_with)
        if slots:
            return 5, self._too_full(slots[0][0]), would_help
        if cooks:
            return 6, self._too_busy(cooks[0]), would_help
        weakest = keeps[0] if keeps is not None else min(self._components(), key=lambda c: c.keeps_s)
        what = f"{weakest.name} (keeps {_time(weakest.keeps_s)}): the rest of the course cannot be done within that"
        return 4, what, would_help

    # -- what is there ---------------------------------------------------------------------------------------------

    def _components(self) -> list[Component]:
        return [c for dish, _ in self.portions for c in self.book[dish].components.values()]

    def _equipment(self) -> list[str]:
        """Equipment that the course uses, what is used by most portions first."""
        used: dict[str, int] = {}
        for dish, qty in self.portions:
            for component in self.book[dish].components.values():
                for step in component.steps:
                    if step.on is not None:
                        used[step.on] = used.get(step.on, 0) + qty
        return sorted(used, key=lambda on: -used[on])

    def _stations(self) -> list[str]:
        return list(dict.fromkeys(component.station for component in self._components()))

    def _nobody(self) -> tuple[int, str, str] | None:
        for component in self._components():
            station = self.kitchen.stations[component.station]
            busy = any(component.busy_s(i, 1, self.kitchen) for i in range(len(component.steps)))
            if station.cooks == 0 and busy:
                return 6, f"{station.name}: nobody stands there to make the {_small(component.name)}", (
                    f"a cook at {station.name}"
                )  # fmt: skip
        return None

    # -- one thing changed -----------------------------------------------------------------------------------------

    def _more_slots(self, on: str) -> int | None:
        """How many slots more would do: one, or enough to take all portions at once."""
        equipment = self.kitchen.equipment[on]
        all_at_once = max(
            -(-qty // step.fits)
            for dish, qty in self.portions
            for component in self.book[dish].components.values()
            for step in component.steps
            if step.on == on
        )
        for more in dict.fromkeys((1, all_at_once - equipment.slots)):
            if more > 0:
                changed = equipment.model_copy(update={"slots": equipment.slots + more})
                kitchen = self.kitchen.model_copy(update={"equipment": {**self.kitchen.equipment, on: changed}})
                if self.possible(kitchen, self.book, self.portions):
                    return more
        return None

    def _with_cooks(self, name: str) -> bool:
        station = self.kitchen.stations[name]
        more = station.model_copy(update={"cooks": station.cooks + 1})
        kitchen = self.kitchen.model_copy(update={"stations": {**self.kitchen.stations, name: more}})
        return self.possible(kitchen, self.book, self.portions)

    def _keeping(self) -> Iterator[tuple[Component, int]]:
        """A component and how long it would have to keep, those that keep least first."""
        parts = [(dish, name, c) for dish, _ in self.portions for name, c in self.book[dish].components.items()]
        for times in LONGER:
            for dish_id, name, component in sorted(parts, key=lambda part: part[2].keeps_s)[:6]:
                longer_s = times * max(15, component.keeps_s)
                dish = self.book[dish_id]
                other = component.model_copy(update={"keeps_s": Seconds(longer_s)})
                components = {**dish.components, name: other}
                book = {**self.book, dish_id: dish.model_copy(update={"components": components})}
                if self.possible(self.kitchen, book, self.portions):
                    yield component, longer_s

    def _fewer(self) -> int | None:
        """How many plates would do, where the course is of one dish."""
        if len(self.portions) != 1:
            return None
        dish, qty = self.portions[0]
        low, high = 0, qty
        while high - low > 1:
            middle = (low + high) // 2
            if self.possible(self.kitchen, self.book, ((dish, middle),)):
                low = middle
            else:
                high = middle
        return low or None

    # -- words -----------------------------------------------------------------------------------------------------

    def _too_full(self, on: str) -> str:
        users = [c for c in self._components() if any(step.on == on for step in c.steps)]
        weakest = min(users, key=lambda c: c.keeps_s)
        equipment = self.kitchen.equipment[on]
        again = f" and recovers {_time(equipment.recovery_s)}" if equipment.recovery_s else ""
        recovers = f", which recovers {_time(equipment.recovery_s)}," if equipment.recovery_s else ""
        for dish, qty in self.portions:
            for component in self.book[dish].components.values():
                most = component.most_at_once(self.kitchen)
                if component in users and most is not None and most < qty:
                    return (
                        f"{qty} {_small(component.name)} need {-(-qty // most)} loads in the "
                        f"{self.kitchen.equipment_name(on)}{recovers} "
                        f"and the first would stand too long (keeps {_time(component.keeps_s)})"
                    )
        places = "place" if equipment.slots == 1 else "places"
        return (
            f"the {self.kitchen.equipment_name(on)} has {equipment.slots} {places}{again}: {_small(weakest.name)} "
            f"(keeps {_time(weakest.keeps_s)}) and the rest cannot all be done that close together"
        )

    def _too_busy(self, name: str) -> str:
        station = self.kitchen.stations[name]
        weakest = min((c for c in self._components() if c.station == name), key=lambda c: c.keeps_s)
        cooks = "1 cook" if station.cooks == 1 else f"{station.cooks} cooks"
        return (
            f"{station.name} has {cooks}: {_small(weakest.name)} (keeps {_time(weakest.keeps_s)}) "
            "and the rest cannot all be done that close together"
        )


def _time(seconds: int) -> str:
    """Seconds as cooks say them: ``45 s``, ``2 min``, ``2:30 min``."""
    minutes, rest = divmod(seconds, 60)
    if seconds <= 90:
        return f"{seconds} s"
    return f"{minutes}:{rest:02d} min" if rest else f"{minutes} min"


def _small(name: str) -> str:
    """A component's name inside a sentence."""
    return name[:1].lower() + name[1:]
