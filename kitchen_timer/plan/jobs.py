"""The courses of a question made ready for placing: seconds counted from ``now``, loads with their patterns."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from kitchen_timer.kitchen.dish import Component, Dish
from kitchen_timer.kitchen.table import After, AtTime
from kitchen_timer.plan.loads import Load, Splits, makeable, split_course
from kitchen_timer.plan.patterns import Pattern, Patterns
from kitchen_timer.plan.question import BegunLoad, CourseKey, LoadKey, Question, StepKey, Wanted

WAITING_PER_S = 0.2
"""Plate-seconds that one portion costs for a second of standing, where it keeps a minute or less."""
WAITING_KEEPS_S = 60
LATE_STEEP_S = 300
"""Seconds of lateness beyond which each counts ``1 + LATE_STEEPER`` times."""
LATE_STEEPER = 2


def waiting_rate(portions: int, keeps_s: int) -> float:
    """Plate-seconds per second that so many portions stand: ``portions * 0.2 * min(1, 60 s / keeps)``."""
    return portions * WAITING_PER_S * min(1.0, WAITING_KEEPS_S / max(1, keeps_s))


def lateness(weight: int, late_s: int) -> int:
    """Plate-seconds of a course so late, which weighs its plates; those beyond five minutes count three times."""
    late_s = max(0, late_s)
    return weight * (late_s + LATE_STEEPER * max(0, late_s - LATE_STEEP_S))


def late_for(weight: int, cost: float) -> float:
    """The most seconds late that cost so much: :func:`lateness` the other way round."""
    late_s = cost / weight
    return late_s if late_s <= LATE_STEEP_S else LATE_STEEP_S + (late_s - LATE_STEEP_S) / (1 + LATE_STEEPER)


def plating_of(dishes: list[Dish], plates: int, hands: int) -> tuple[int, int]:
    """Pairs of hands and seconds that plating takes (rule 7)."""
    pairs = min(hands, plates)
    return pairs, -(-plates // pairs) * max((dish.plating_s for dish in dishes), default=0)


@dataclass(eq=False, slots=True)
class LoadJob:
    """One load: what is left to do of it, and how long it keeps."""

    key: LoadKey
    part: int
    """Its component's place in ``CourseJob.parts``."""
    pattern: Pattern | None
    """None: every step has begun."""
    rate: float
    begun: BegunLoad | None = None
    begun_end: int = 0
    """When the last begun step ends, from ``now``."""
    may_wait_s: int = 0
    """Of the first step that is left, after the last begun one."""
    held: tuple[int, int] | None = None
    """``(equipment, slots)`` in which it waits for the first step that is left, after a begun one."""
    announced: int | None = None
    """Start that its station has been told, from ``now``; never negative."""

    @property
    def portions(self) -> int:
        """In it."""
        if self.begun is not None:
            return self.begun.portions
        return self.pattern.portions if self.pattern is not None else 0

    @property
    def stays(self) -> bool:
        """Whether it has begun or its station was told of it."""
        return self.begun is not None or self.announced is not None

    def first_start(self, start: int) -> int:
        """When it begins, or began, where what is left of it starts at ``start``."""
        if self.begun is None or not self.begun.steps:
            return start
        return self.begun_end - (self.begun.steps[-1].end_at - self.begun.steps[0].start_at)


@dataclass(eq=False, slots=True)
class Part:
    """One component of one dish of a course."""

    component: Component
    keeps_s: int
    after: tuple[int, ...]
    needed_by: tuple[int, ...]
    """Parts that name this one in their ``after``."""
    loads: tuple[LoadJob, ...] = ()
    reserve_s: int = 0
    """Of ``keeps_s``: left unused where that costs little."""


@dataclass(eq=False, slots=True)
class CourseJob:
    """One course to be placed. Instants count from the question's ``now``."""

    wanted: Wanted
    key: CourseKey
    plates: int
    weight: int
    """Plate-seconds that a second of its lateness costs, up to five minutes."""
    ready: int
    """Nothing of it starts before this (rule 2)."""
    floor: int
    """It lands no earlier than this, ``after`` apart (rule 8)."""
    target: int | None
    """None: depends on when the course before it is up."""
    alone_s: int
    follows: CourseKey | None
    gap_s: int
    up_before: int | None
    """When the course it follows was up, if that is no longer planned."""
    pass_hands: int
    plating_s: int
    landed: int | None
    parts: tuple[Part, ...] = ()
    order: tuple[int, ...] = ()
    """Parts such that each comes after those that need it: the way of placing backwards from the landing."""
    loads: tuple[LoadJob, ...] = field(default=())
    in_waves: bool = False
    """More of the same follows at the same table, or went before: what may wait is done early, to leave room for it."""

    @property
    def has_begun(self) -> bool:
        """Whether food of it is on."""
        return bool(self.wanted.begun)

    def earliest(self, up: Mapping[CourseKey, int]) -> int:
        """Earliest landing by rule 8, from ``now``; the course it follows must be up in ``up`` or no longer planned."""
        if self.follows is None:
            return self.floor
        before = self.up_before if self.up_before is not None else up[self.follows]
        return max(self.floor, before + self.gap_s)

    def target_from(self, earliest: int) -> int:
        """The target: fixed, or the later of what rule 8 and having the kitchen to itself allow."""
        if self.target is not None:
            return self.target
        return max(earliest, self.ready + self.alone_s)


def job_of(question: Question, patterns: Patterns, wanted: Wanted, alone_s: int, splits: Splits | None) -> CourseJob:
    """Make one course ready; every dish of it must be in the book and makeable."""
    now = question.now
    shape = shape_of(patterns, wanted.portions)
    ready = max(0, wanted.in_at - now)
    land = wanted.land
    follows = CourseKey(wanted.table, land.after) if isinstance(land, After) else None
    up_at = question.up.get(follows) if follows else None
    floor = land.at - now if isinstance(land, AtTime) else 0
    target: int | None = None
    if wanted.target_at is not None:
        target = wanted.target_at - now
    elif isinstance(land, AtTime):
        target = floor
    elif follows is None:
        target = ready + alone_s
    job = CourseJob(
        wanted=wanted,
        key=wanted.key,
        plates=wanted.plates,
        weight=wanted.weight,
        ready=ready,
        floor=max(0, floor),
        target=target,
        alone_s=alone_s,
        follows=follows,
        gap_s=land.gap_s if isinstance(land, After) else 0,
        up_before=None if up_at is None else up_at - now,
        pass_hands=shape.pass_hands,
        plating_s=shape.plating_s,
        landed=None if wanted.landed_at is None else wanted.landed_at - now,
    )
    new = split_course(question.kitchen, question.book, wanted) if splits is None else splits
    _fill(job, question, patterns, new)
    return job


def _fill(job: CourseJob, question: Question, patterns: Patterns, splits: Splits) -> None:
    wanted, now = job.wanted, question.now
    new: dict[tuple[str, str], list[Load]] = {}
    for each in splits:
        new.setdefault(each.key[2:4], []).append(each)
    begun_of: dict[tuple[str, str], list[BegunLoad]] = {}
    for begun in wanted.begun:
        begun_of.setdefault((begun.dish, begun.component), []).append(begun)
    shape = shape_of(patterns, wanted.portions)
    parts: list[Part] = []
    for number, (of, component, after, needed_by) in enumerate(shape.parts):
        loads = [_begun_job(begun, wanted, component, number, patterns, now) for begun in begun_of.get(of, ())]
        for load in new.get(of, ()):
            rate = waiting_rate(load.portions, component.keeps_s)
            loads.append(LoadJob(load.key, number, patterns.of(*of, load.portions), rate))
        reserve_s = question.reserve_s.get((job.key, *of), 0) if question.reserve_s else 0
        parts.append(Part(component, component.keeps_s, after, needed_by, tuple(loads), reserve_s=reserve_s))
    job.parts = tuple(parts)
    job.order = shape.order
    job.loads = tuple([load for part in parts for load in part.loads])
    if question.announced:
        for placing in job.loads:
            # Of food that has started: a step that may wait; what follows at once goes by the food, not by a cue.
            first = len(placing.begun.steps) if placing.begun is not None else 0
            told = question.announced.get(StepKey(*placing.key, first)) if not first or placing.may_wait_s else None
            placing.announced = None if told is None or placing.pattern is None else max(0, told - now)


def _begun_job(
    begun: BegunLoad, wanted: Wanted, component: Component, part: int, patterns: Patterns, now: int
) -> LoadJob:
    key = LoadKey(*wanted.key, begun.dish, begun.component, begun.load)
    first = len(begun.steps)
    left = first < len(component.steps)
    held, on = None, component.steps[first - 1].on if first else None
    if on is not None and component.stays_on(first - 1):
        held = (patterns.number["equipment", on], patterns.slots_of(component.steps[first - 1], begun.portions))
    return LoadJob(
        key=key,
        part=part,
        pattern=patterns.of(begun.dish, begun.component, begun.portions, first) if left else None,
        rate=waiting_rate(begun.portions, component.keeps_s),
        begun=begun,
        begun_end=begun.steps[-1].end_at - now if begun.steps else 0,
        may_wait_s=component.steps[first].may_wait_s if left else 0,
        held=held,
    )


@dataclass(frozen=True)
class Shape:
    """What all courses of the same plates have in common."""

    parts: tuple[tuple[tuple[str, str], Component, tuple[int, ...], tuple[int, ...]], ...]
    """Dish and component, the parts it comes after, and those that come after it."""
    order: tuple[int, ...]
    pass_hands: int
    plating_s: int


def shape_of(patterns: Patterns, portions: tuple[tuple[str, int], ...]) -> Shape:
    """The shape of a course of so many plates of each dish, worked out once; KeyError for a dish that is not there."""
    shape = patterns.shapes.get(portions)
    if isinstance(shape, Shape):
        return shape
    dishes = [patterns.dish(dish) for dish, _ in portions]
    pairs, plating_s = plating_of(dishes, sum(qty for _, qty in portions), patterns.kitchen.pass_board.hands)
    parts: list[tuple[tuple[str, str], Component, tuple[int, ...], tuple[int, ...]]] = []
    for (dish_id, _), dish in zip(portions, dishes, strict=True):
        place = {name: len(parts) + i for i, name in enumerate(dish.components)}
        for name, component in dish.components.items():
            after = tuple(dict.fromkeys(place[other] for other in component.after))
            needed_by = tuple(place[other] for other in dish.dependants_of(name))
            parts.append(((dish_id, name), component, after, needed_by))
    order = _backwards([(part[1].keeps_s, part[3]) for part in parts])
    made = patterns.shapes[portions] = Shape(tuple(parts), order, pairs, plating_s)
    return made


def _backwards(parts: list[tuple[int, tuple[int, ...]]]) -> tuple[int, ...]:
    """Parts (keeps, needed by) with all that need them before them; among equals those that keep least come first."""
    order: list[int] = []
    left = sorted(range(len(parts)), key=lambda i: (parts[i][0], i))
    while left:
        for i in left:
            if all(other in order for other in parts[i][1]):
                order.append(i)
                left.remove(i)
                break
    return tuple(order)


def missing(question: Question, wanted: Wanted) -> tuple[str, str, str] | None:
    """Why a course cannot even be thought of with this book and kitchen, what would help, and where; None: it can."""
    for dish_id, _ in wanted.portions:
        dish = question.book.get(dish_id)
        if dish is None:
            return (
                f"the book has no dish {dish_id!r}",
                "write the dish into the book, or take it off the order",
                dish_id,
            )
        for name, component in dish.components.items():
            if makeable(question.kitchen, component):
                continue
            if component.station not in question.kitchen.stations:
                return (
                    f"{component.name}: the kitchen has no station {component.station!r}",
                    f"name another station for {dish_id}.components.{name}",
                    f"{dish_id}/{name}",
                )
            gone = next(s.on for s in component.steps if s.on is not None and s.on not in question.kitchen.equipment)
            return (
                f"{component.name}: the kitchen has no {gone!r}",
                f"name other equipment in {dish_id}.components.{name}",
                f"{dish_id}/{name}",
            )
    return None
