"""What a load asks of hands and slots from its start on, worked out once per component and number of portions.

A load's steps fall into *pieces*: steps that follow one another at once. Within a piece nothing moves; between two
pieces the load may wait. Within a piece, steps one after another on the same equipment are a *run*: loads of the
same component whose run starts and ends together share its slots and are handled once (rules 5 and 6).
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from kitchen_timer.kitchen.dish import Book, Component, Dish, Step
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.plan.remedy import Remedy

JoinKey = tuple[str, str, int, tuple[int, ...]]
"""Dish, component, first step of the run, seconds of each of its steps: equal ones can share slots."""


@dataclass(frozen=True, slots=True)
class SlotUse:
    """Slots taken by one step, in seconds after the start of its piece, recovery included."""

    resource: int
    fits: int
    amount: int
    from_s: int
    to_s: int


@dataclass(frozen=True, slots=True)
class Run:
    """Steps that stay on one piece of equipment, or one step that needs none."""

    offset_s: int
    """From the start of the piece."""
    hands: tuple[tuple[int, int, int], ...]
    """``(station, from_s, to_s)`` after the start of the piece."""
    slots: tuple[SlotUse, ...]
    join: JoinKey | None
    uses: tuple[tuple[int, int, int, int], ...]
    """Hands and slots as ``(resource, amount, from_s, to_s)``."""
    takes: tuple[tuple[int, int, int, int], ...]
    """The same as they are taken: ``(resource, amount, from_s, a bit for each second)``."""
    looks: tuple[tuple[int, int, int, int], ...]
    """The same as they are looked for: ``(resource, level of it, from_s, a bit for each second)``; see profile.py."""


@dataclass(frozen=True, slots=True)
class Piece:
    """Steps that follow one another at once."""

    offsets_s: tuple[int, ...]
    lengths_s: tuple[int, ...]
    length_s: int
    """Until the next piece can start: what has to wait at any rate is in it."""
    wait_s: int
    """How long it may wait beyond that after the piece before it."""
    runs: tuple[Run, ...]
    held: tuple[int, int] | None
    """``(equipment, slots)`` that stay taken until the next piece starts."""


@dataclass(frozen=True, eq=False)
class Pattern:
    """All that is still to be done of a load, from step ``first`` on."""

    dish: str
    component: str
    portions: int
    first: int
    pieces: tuple[Piece, ...]
    resources: tuple[int, ...]
    station: int

    @cached_property
    def length_s(self) -> int:
        """Seconds from the first start to the last end when it waits nowhere."""
        return sum(piece.length_s for piece in self.pieces)

    @cached_property
    def waits_s(self) -> int:
        """The longest that it may wait between its pieces."""
        return sum(piece.wait_s for piece in self.pieces[1:])

    @cached_property
    def before_end_s(self) -> tuple[int, ...]:
        """Of each piece, the seconds from its start to the last end when nothing waits."""
        return tuple(sum(piece.length_s for piece in self.pieces[i:]) for i in range(len(self.pieces)))

    @cached_property
    def first_steps(self) -> tuple[int, ...]:
        """Of each piece, which step of the component it begins with."""
        return tuple(
            self.first + sum(len(piece.lengths_s) for piece in self.pieces[:i]) for i in range(len(self.pieces))
        )


class Patterns:
    """The patterns of one kitchen and one book, and the numbers of its resources."""

    def __init__(self, kitchen: Kitchen, book: Book) -> None:
        self.kitchen = kitchen
        self.book: Book = dict(book)
        names = [("pass", "")]
        names += [("station", station) for station in kitchen.stations]
        names += [("equipment", equipment) for equipment in kitchen.equipment]
        self.names: tuple[tuple[str, str], ...] = tuple(names)
        self.number = {name: i for i, name in enumerate(names)}
        self.capacities = (
            kitchen.pass_board.hands,
            *(station.cooks for station in kitchen.stations.values()),
            *(equipment.slots for equipment in kitchen.equipment.values()),
        )
        self._made: dict[tuple[str, str, int, int], Pattern] = {}
        self.shapes: dict[object, object] = {}
        """Filled by jobs.py: what courses of the same plates have in common."""
        self.splits: dict[object, tuple[tuple[str, str, int, int], ...]] = {}
        """Filled by prepare.py: dish, component, number and portions of the loads of a course untouched so far."""
        self.lacking: dict[object, tuple[str, str, str] | None] = {}
        """Filled by prepare.py: what book and kitchen lack for a course."""
        self.alone: dict[object, object] = {}
        """Filled by targets.py: courses with the kitchen to themselves."""
        self.rests: dict[object, tuple[tuple[int, ...], ...] | None] = {}
        """Filled by rest.py: starts before the landing of what has not started of a course, in an empty kitchen."""
        self.reasons: dict[object, tuple[int, str, tuple[Remedy, ...]]] = {}
        """Filled by impossible.py: why a course can never be made."""
        self.tries: dict[object, dict[object, bool]] = {}
        """Filled by impossible.py: what was tried for courses whose remedies are not all found yet."""

    def dish(self, dish: str) -> Dish:
        """A dish of the book; KeyError when there is none."""
        return self.book[dish]

    def of(self, dish: str, component: str, portions: int, first: int = 0) -> Pattern:
        """The pattern of so many portions from step ``first`` on."""
        key = (dish, component, portions, first)
        made = self._made.get(key)
        if made is None:
            made = self._made[key] = self._make(dish, component, portions, first)
        return made

    def slots_of(self, step: Step, portions: int) -> int:
        """Slots that so many portions take in one step (rule 5)."""
        return -(-portions // step.fits)

    def _make(self, dish: str, name: str, portions: int, first: int) -> Pattern:
        component = self.book[dish].components[name]
        steps = component.steps
        twice = _comes_back(component, first)
        gaps: dict[int, int] | None = {}
        if twice:
            whole = self._piece(dish, name, component, portions, first, len(steps), first, twice, {})
            never = any(level < 0 for run in whole.runs for _, level, _, _ in run.looks)
            gaps = self._gaps(component, portions, first) if never else None
        if gaps is None:
            pieces = [whole]
        else:
            cuts = [first, *(i for i in range(first + 1, len(steps)) if steps[i].may_wait_s)]
            pieces = []
            for at, begin in enumerate(cuts):
                end = cuts[at + 1] if at + 1 < len(cuts) else len(steps)
                pieces.append(self._piece(dish, name, component, portions, begin, end, first, twice, gaps))
        used = dict.fromkeys(
            resource
            for piece in pieces
            for run in piece.runs
            for resource in (*(h[0] for h in run.hands), *(s.resource for s in run.slots))
        )
        station = self.number["station", component.station]
        return Pattern(dish, name, portions, first, tuple(pieces), tuple(used), station)

    def _gaps(self, component: Component, portions: int, first: int) -> dict[int, int] | None:
        """Seconds to wait before steps, so that what a load left has recovered when it returns; None: too long."""
        steps, gaps = component.steps, dict[int, int]()
        for back in range(first + 1, len(steps)):
            on = steps[back].on
            left = max((i for i in range(first, back) if steps[i].on == on), default=back)
            if on is None or left >= back - 1:
                continue
            between = range(left + 1, back + 1)
            away_s = sum(steps[i].length_s(portions) for i in between[:-1]) + sum(gaps.get(i, 0) for i in between)
            lacks_s = self.kitchen.equipment[on].recovery_s - away_s
            for i in reversed(between):
                if lacks_s > 0 and not component.stays_on(i - 1):
                    more_s = min(lacks_s, steps[i].may_wait_s - gaps.get(i, 0))
                    gaps[i] = gaps.get(i, 0) + more_s
                    lacks_s -= more_s
            if lacks_s > 0:
                return None
        return gaps

    def _piece(
        self,
        dish: str,
        name: str,
        component: Component,
        portions: int,
        begin: int,
        end: int,
        first: int,
        twice: bool,
        gaps: Mapping[int, int],
    ) -> Piece:
        steps = component.steps
        lengths = [steps[i].length_s(portions) for i in range(begin, end)]
        offsets = [sum(lengths[:i]) for i in range(len(lengths))]
        station = self.number["station", component.station]
        runs: list[Run] = []
        i = begin
        while i < end:
            stop = i + 1
            while stop < end and steps[i].on is not None and component.stays_on(stop - 1):
                stop += 1
            hands: list[tuple[int, int, int]] = []
            slots: list[SlotUse] = []
            for k in range(i, stop):
                offset = offsets[k - begin]
                hands += [(station, offset + a, offset + b) for a, b in component.busy_s(k, portions, self.kitchen)]
                on = steps[k].on
                if on is not None:
                    until = offset + lengths[k - begin]
                    until += 0 if component.stays_on(k) else self.kitchen.equipment[on].recovery_s
                    amount = self.slots_of(steps[k], portions)
                    slots.append(SlotUse(self.number["equipment", on], steps[k].fits, amount, offset, until))
            on_equipment = steps[i].on is not None
            crosses = on_equipment and (component.stays_on(stop - 1) or (i > first and component.stays_on(i - 1)))
            join = None
            if on_equipment and not crosses and not twice:
                join = (dish, name, i, tuple(lengths[i - begin : stop - begin]))
            runs.append(self._run(offsets[i - begin], hands, slots, join))
            i = stop
        if twice and _comes_back(component, begin, end):
            runs = [self._run(0, [hand for run in runs for hand in run.hands], _summed(runs), None)]
        held = None
        last_on = steps[end - 1].on
        if end < len(steps) and last_on is not None and component.stays_on(end - 1):
            held = (self.number["equipment", last_on], self.slots_of(steps[end - 1], portions))
        wait_s = steps[begin].may_wait_s - gaps.get(begin, 0) if begin > first else 0
        return Piece(tuple(offsets), tuple(lengths), sum(lengths) + gaps.get(end, 0), wait_s, tuple(runs), held)

    def _run(
        self, offset_s: int, hands: Iterable[tuple[int, int, int]], slots: Iterable[SlotUse], join: JoinKey | None
    ) -> Run:
        uses = [(station, 1, from_s, to_s) for station, from_s, to_s in hands]
        uses += [(use.resource, use.amount, use.from_s, use.to_s) for use in slots]
        takes = [(r, amount, a, (1 << (b - a)) - 1) for r, amount, a, b in uses if b > a and amount > 0]
        looks = [(r, self.capacities[r] - amount, a, (1 << (b - a)) - 1) for r, amount, a, b in uses if b > a]
        return Run(offset_s, tuple(hands), tuple(slots), join, tuple(uses), tuple(takes), tuple(looks))


def _comes_back(component: Component, first: int, end: int | None = None) -> bool:
    """Whether a load returns to equipment it has left: its own recovery may then stand in its way.

    Such a load is planned without waits, as one piece whose uses are added up, which is always allowed; where there
    are not that many slots, it waits elsewhere until what it left has recovered.
    """
    left: set[str] = set()
    on: str | None = None
    for step in component.steps[first:end]:
        if step.on != on:
            if on is not None:
                left.add(on)
            if step.on in left:
                return True
            on = step.on
    return False


def _summed(runs: list[Run]) -> list[SlotUse]:
    """The slots of several runs added up where they overlap."""
    uses = [use for run in runs for use in run.slots]
    marks = sorted({mark for use in uses for mark in (use.from_s, use.to_s)})
    slots = []
    for resource in dict.fromkeys(use.resource for use in uses):
        for a, b in pairwise(marks):
            amount = sum(u.amount for u in uses if u.resource == resource and u.from_s <= a and b <= u.to_s)
            if amount:
                slots.append(SlotUse(resource, 1, amount, a, b))
    return slots


_KNOWN: list[Patterns] = []
_MOST_KNOWN = 8


def patterns_for(kitchen: Kitchen, book: Book) -> Patterns:
    """The patterns of a kitchen and book, kept from call to call (a book edited in between is another book)."""
    for known in tuple(_KNOWN):
        if (known.kitchen is kitchen or known.kitchen == kitchen) and known.book == book:
            return known
    made = Patterns(kitchen, book)
    _KNOWN.insert(0, made)
    del _KNOWN[_MOST_KNOWN:]
    return made
