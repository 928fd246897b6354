"""Why a course can never be made, by which rule and by how much, and what would help.

The kitchen is changed by one thing at a time, slots, cooks, a time that something keeps, the plates made at once, and
the course tried again by the constructive planner: the least that makes it possible is what would help, and says which
rule stops it. Where no one thing does, several are tried together. So a remedy is never a guess.

Trying takes a tenth of a second, seconds in a large kitchen: a plan that must be there at once says only that the
course cannot be made, and the remedies follow.
"""

from collections.abc import Callable

from kitchen_timer.kitchen.dish import Book, Component
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.plan.answer import Impossible
from kitchen_timer.plan.patterns import Patterns
from kitchen_timer.plan.question import Wanted
from kitchen_timer.plan.remedy import Change, Remedy, with_change

Portions = tuple[tuple[str, int], ...]
Possible = Callable[[Kitchen, Book, Portions], bool]

MOST_REMEDIES = 3
MOST_KEEPING = 4
"""Components, those that keep least first, that are tried to keep longer one by one."""
KEEPS_TO_S = 5
"""How exactly it is found out how much longer something would have to keep."""

Reason = tuple[int, str, tuple[Remedy, ...]]
Reasons = dict[Portions, Reason]

LOOKED_FOR = "that is being worked out"
"""What would help, until it is known."""


class Stopped(Exception):
    """There was something else to do before the remedies were found; what was tried is remembered."""


def never(
    patterns: Patterns,
    wanted: Wanted,
    possible: Possible,
    *,
    enough: Callable[[], bool] = lambda: False,
    stop: Callable[[], bool] = lambda: False,
) -> Impossible:
    """A course that cannot be made: the rule that stops it, the reason and the remedies; kept from call to call.

    ``enough``: one remedy will do by now. ``stop``: none any more, :class:`Stopped` is raised.
    """
    key = tuple(sorted(wanted.portions))
    if key not in patterns.reasons:

        def tried(kitchen: Kitchen, book: Book, portions: Portions) -> bool:
            if stop():
                raise Stopped
            return possible(kitchen, book, portions)

        tries = patterns.tries.setdefault(key, {})
        patterns.reasons[key] = _Never(patterns.kitchen, patterns.book, key, tried, enough, tries).reason()
        del patterns.tries[key]
    return _in_full(wanted, patterns.reasons[key])


def never_at_once(patterns: Patterns, wanted: Wanted, *, alone: bool) -> Impossible:
    """The same without looking for remedies; ``alone``: it could be made with the kitchen to itself."""
    known = patterns.reasons.get(tuple(sorted(wanted.portions)))
    if known is not None:
        return _in_full(wanted, known)
    if alone:
        return _in_full(wanted, NO_ROOM)
    rule, why = _Never(patterns.kitchen, patterns.book, wanted.portions, lambda *_: False).at_once()
    return Impossible(wanted.table, wanted.course, why, LOOKED_FOR, rule)


def _in_full(wanted: Wanted, reason: Reason) -> Impossible:
    rule, why, remedies = reason
    return Impossible(wanted.table, wanted.course, why, in_words(remedies), rule, remedies)


def why_not(kitchen: Kitchen, book: Book, portions: Portions, possible: Possible) -> tuple[str, str]:
    """Why so many plates of each dish can never be made together, and what would help."""
    _, why, remedies = _Never(kitchen, book, portions, possible).reason()
    return why, in_words(remedies)


def in_words(remedies: tuple[Remedy, ...]) -> str:
    """Remedies as one sentence's end: ``one or another or a third``."""
    words = [remedy.words for remedy in remedies]
    return " or ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


NO_ROOM: Reason = (5, "what is on leaves no room for it", (Remedy((), "send what is on, then call it again"),))
"""It could be made alone, and yet found no room: only food that is on can be in its way for ever."""


class _Never:
    def __init__(
        self,
        kitchen: Kitchen,
        book: Book,
        portions: Portions,
        possible: Possible,
        enough: Callable[[], bool] = lambda: False,
        tries: dict[object, bool] | None = None,
    ) -> None:
        self.kitchen, self.book, self.portions, self._possible = kitchen, book, portions, possible
        self._enough = enough
        self._tries = {} if tries is None else tries
        self.base = self._nobody()
        """Who must be there whatever else is."""

    def reason(self) -> Reason:
        if self.base and self._helps(*self.base):
            return self._without(self.base[0], (self._remedy(),))
        if not self.base and self._helps():
            return NO_ROOM
        slots, cooks = self._slots(), self._cooks()
        found = [*slots[:1], *cooks[:1]]
        for look in (self._keeps, self._fewer, self._apart):
            if len(found) < MOST_REMEDIES and not (found and self._enough()):
                found += look()[:1]
        remedies = tuple(self._remedy(*changes) for changes in found[:MOST_REMEDIES])
        if not remedies:
            remedies = (self._remedy(*self._all_together()),)
        if self.base:
            return self._without(self.base[0], remedies)
        if slots:
            return 5, self._too_full(slots[0][0].what), remedies
        if cooks:
            return 6, self._too_busy(cooks[0][0].what), remedies
        return 4, self._too_long([change for change in remedies[0].changes if change.kind == "keeps"]), remedies

    def at_once(self) -> tuple[int, str]:
        """The rule and the reason as far as they are plain: nobody there, equipment out, or else what keeps least."""
        if self.base:
            rule, why, _ = self._without(self.base[0], ())
            return rule, why
        for _, component, _ in self._parts():
            for step in component.steps:
                if step.on is not None and self.kitchen.equipment[step.on].slots == 0:
                    return 5, self._too_full(step.on)
        return 4, self._too_long([])

    def _remedy(self, *changes: Change) -> Remedy:
        every = (*self.base, *changes)
        return Remedy(every, " and ".join(self._words(change) for change in every))

    def _helps(self, *changes: Change, portions: Portions | None = None) -> bool:
        kitchen, book = self.kitchen, self.book
        for change in changes:
            kitchen, book = with_change(kitchen, book, change)
        key = changes, portions
        if key not in self._tries:
            self._tries[key] = self._possible(kitchen, book, self.portions if portions is None else portions)
        return self._tries[key]

    # -- what is there -----------------------------------------------------------------------------------------------

    def _parts(self) -> list[tuple[str, Component, int]]:
        """``dish/component``, the component and its portions."""
        return [
            (f"{dish}/{name}", component, qty)
            for dish, qty in self.portions
            for name, component in self.book[dish].components.items()
        ]

    def _nobody(self) -> tuple[Change, ...]:
        """Cooks without whom nothing can be made at all."""
        lacking: dict[Change, None] = {}
        for _, component, qty in self._parts():
            busy = any(component.busy_s(i, qty, self.kitchen) for i in range(len(component.steps)))
            if busy and self.kitchen.stations[component.station].cooks == 0:
                lacking[Change("cooks", component.station, 1)] = None
        return tuple(lacking)

    # -- one thing changed -------------------------------------------------------------------------------------------

    def _least(self, kind: str, what: str, most: int, grain: int = 1) -> int | None:
        """The least of a change, in whole grains, that makes the course possible; None where ``most`` does not."""

        def helps(grains: int) -> bool:
            return self._helps(*self.base, Change(kind, what, grains * grain))  # type: ignore[arg-type]

        high = max(1, -(-most // grain))
        if helps(1):
            return grain
        if high == 1 or not helps(high):
            return None
        low = 1
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (low, middle) if helps(middle) else (middle, high)
        return high * grain

    def _slots(self) -> list[tuple[Change, ...]]:
        """More places, of what most portions use first."""
        used: dict[str, int] = {}
        for _, component, qty in self._parts():
            for step in component.steps:
                if step.on is not None:
                    used[step.on] = used.get(step.on, 0) + -(-qty // step.fits)
        found: list[tuple[Change, ...]] = []
        for on in sorted(used, key=lambda on: -used[on]):
            more = self._least("slots", on, used[on])
            if more is not None:
                found.append((Change("slots", on, more),))
        return found

    def _cooks(self) -> list[tuple[Change, ...]]:
        at: dict[str, int] = {}
        for _, component, qty in self._parts():
            most = component.most_at_once(self.kitchen)
            at[component.station] = at.get(component.station, 0) + (-(-qty // max(1, most)) if most is not None else 1)
        found: list[tuple[Change, ...]] = []
        for station, loads in at.items():
            more = self._least("cooks", station, loads)
            if more is not None:
                found.append((Change("cooks", station, more),))
        return found

    def _keeps(self) -> list[tuple[Change, ...]]:
        """The first component that would do if it kept longer, those that keep least first."""
        for what, _, _ in sorted(self._parts(), key=lambda part: part[1].keeps_s)[:MOST_KEEPING]:
            longer_s = self._least("keeps", what, self._all_s(), KEEPS_TO_S)
            if longer_s is not None:
                return [(Change("keeps", what, longer_s),)]
        return []

    def _all_s(self) -> int:
        """Seconds that all of it takes, one thing after another."""
        total = 0
        for _, component, qty in self._parts():
            most = component.most_at_once(self.kitchen)
            loads = -(-qty // max(1, most)) if most is not None else 1
            recovers_s = sum(self.kitchen.equipment[s.on].recovery_s for s in component.steps if s.on is not None)
            total += loads * (recovers_s + sum(s.length_s(qty) + s.may_wait_s for s in component.steps))
        return total

    def _fewer(self) -> list[tuple[Change, ...]]:
        """No more than so many plates of a dish at once, the others as a course of their own."""
        found: list[tuple[Change, ...]] = []
        for dish, qty in self.portions:
            low, high = 0, qty
            while high - low > 1:
                middle = (low + high) // 2
                portions = tuple((d, middle if d == dish else n) for d, n in self.portions)
                fine = self._helps(*self.base, portions=portions) and self._helps(
                    *self.base, portions=((dish, min(middle, qty - middle)),)
                )
                low, high = (middle, high) if fine else (low, middle)
            if low:
                found.append((Change("plates", dish, low),))
        return found[:1]

    def _apart(self) -> list[tuple[Change, ...]]:
        """One dish as a course of its own."""
        for dish, qty in self.portions if len(self.portions) > 1 else ():
            others = tuple(each for each in self.portions if each[0] != dish)
            if self._helps(*self.base, portions=others) and self._helps(*self.base, portions=((dish, qty),)):
                return [(Change("apart", dish),)]
        return []

    def _all_together(self) -> tuple[Change, ...]:
        """Several things at once: whatever is not needed of all that could be changed is left out again."""
        changes = [Change("keeps", what, self._all_s()) for what, _, _ in self._parts()]
        if not self._helps(*self.base, *changes):
            used = dict.fromkeys(s.on for _, c, _ in self._parts() for s in c.steps if s.on is not None)
            changes += [Change("slots", on, sum(qty for _, qty in self.portions)) for on in used]
            changes += [Change("cooks", s, len(self._parts())) for s in {c.station for _, c, _ in self._parts()}]
        for change in list(changes):
            fewer = [other for other in changes if other != change]
            if self._helps(*self.base, *fewer):
                changes = fewer
        for place, change in enumerate(changes):
            changes[place] = self._smaller(changes, place, change)
        return tuple(changes)

    def _smaller(self, changes: list[Change], place: int, change: Change) -> Change:
        grain = KEEPS_TO_S if change.kind == "keeps" else 1
        low, high = 0, -(-change.by // grain)
        while high - low > 1:
            middle = (low + high) // 2
            tried = [*changes[:place], Change(change.kind, change.what, middle * grain), *changes[place + 1 :]]
            low, high = (low, middle) if self._helps(*self.base, *tried) else (middle, high)
        return Change(change.kind, change.what, high * grain)

    # -- words -------------------------------------------------------------------------------------------------------

    def _words(self, change: Change) -> str:
        match change.kind:
            case "slots":
                has = self.kitchen.equipment[change.what].slots
                return f"{has + change.by} places in the {self.kitchen.equipment_name(change.what)} instead of {has}"
            case "cooks":
                station = self.kitchen.stations[change.what]
                if station.cooks == 0:
                    return f"{'a cook' if change.by == 1 else f'{change.by} cooks'} at {station.name}"
                return f"{'one more cook' if change.by == 1 else f'{change.by} more cooks'} at {station.name}"
            case "keeps":
                dish, name = change.what.split("/")
                component = self.book[dish].components[name]
                longer = time_words(component.keeps_s + change.by)
                return f"{small(component.name)} that keeps {longer} instead of {time_words(component.keeps_s)}"
            case "plates":
                of = "it" if len(self.portions) == 1 else small(self.book[change.what].name)
                plates = "plate" if change.by == 1 else "plates"
                return f"no more than {change.by} {plates} of {of} at once"
        return f"{small(self.book[change.what].name)} as a course of its own"

    def _without(self, lacking: Change, remedies: tuple[Remedy, ...]) -> Reason:
        station = self.kitchen.stations[lacking.what]
        made = next(c for _, c, _ in self._parts() if c.station == lacking.what)
        return 6, f"{station.name}: nobody stands there to make the {small(made.name)}", remedies

    def _too_full(self, on: str) -> str:
        users = [(what, c, qty) for what, c, qty in self._parts() if any(step.on == on for step in c.steps)]
        equipment = self.kitchen.equipment[on]
        if equipment.slots == 0:
            return f"the {self.kitchen.equipment_name(on)} is out: none of its places can be used"
        again = f" and recovers {time_words(equipment.recovery_s)}" if equipment.recovery_s else ""
        recovers = f", which recovers {time_words(equipment.recovery_s)}," if equipment.recovery_s else ""
        for what, component, qty in users:
            most = component.most_at_once(self.kitchen)
            if most is not None and most < qty:
                longer_s = self._least("keeps", what, self._all_s(), KEEPS_TO_S)
                stands = "too long" if longer_s is None else time_words(component.keeps_s + longer_s)
                return (
                    f"{qty} {small(component.name)} need {-(-qty // most)} loads in the "
                    f"{self.kitchen.equipment_name(on)}{recovers} "
                    f"and the first would stand {stands} (keeps {time_words(component.keeps_s)})"
                )
        places = "place" if equipment.slots == 1 else "places"
        needed = self._needed_at_once(on)
        has = f"has {equipment.slots} {places}{again}" + (f", {needed} are needed" if needed > equipment.slots else "")
        return f"the {self.kitchen.equipment_name(on)} {has}: {self._weakest([c for _, c, _ in users])}"

    def _needed_at_once(self, on: str) -> int:
        more = self._least("slots", on, sum(qty for _, qty in self.portions) * len(self._parts()))
        return self.kitchen.equipment[on].slots + (more or 0)

    def _too_busy(self, name: str) -> str:
        station = self.kitchen.stations[name]
        cooks = "1 cook" if station.cooks == 1 else f"{station.cooks} cooks"
        return f"{station.name} has {cooks}: {self._weakest([c for _, c, _ in self._parts() if c.station == name])}"

    def _weakest(self, among: list[Component]) -> str:
        weakest = min(among, key=lambda c: c.keeps_s)
        return (
            f"{small(weakest.name)} (keeps {time_words(weakest.keeps_s)}) and the rest cannot all be done that close "
            "together"
        )

    def _too_long(self, longer: list[Change]) -> str:
        if not longer:
            weakest = min((c for _, c, _ in self._parts()), key=lambda c: c.keeps_s)
            keeps = time_words(weakest.keeps_s)
            return f"{weakest.name} (keeps {keeps}): the rest of the course cannot be done within that"
        dish, name = longer[0].what.split("/")
        component = self.book[dish].components[name]
        keeps, stands = time_words(component.keeps_s), time_words(component.keeps_s + longer[0].by)
        return f"{component.name} (keeps {keeps}) would stand {stands} until the rest of the course is done"


def time_words(seconds: int) -> str:
    """Seconds as cooks say them: ``45 s``, ``2 min``, ``2:30 min``."""
    minutes, rest = divmod(seconds, 60)
    if seconds <= 90:
        return f"{seconds} s"
    return f"{minutes}:{rest:02d} min" if rest else f"{minutes} min"


def small(name: str) -> str:
    """A name inside a sentence."""
    return name[:1].lower() + name[1:]
