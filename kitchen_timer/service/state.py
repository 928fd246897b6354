"""The evening as it stands: open courses with what is cooking, what was sent, the plan. Never changed in place.

Instants are whole seconds since 1970 UTC. :mod:`fold` makes the next evening out of one and an event.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date

from kitchen_timer.kitchen.dish import Book, Component
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.kitchen.table import After, Course, Hold, Land
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.question import CourseKey, LoadKey, StepKey
from kitchen_timer.service.going import OVERDUE_S


@dataclass(frozen=True, slots=True)
class StepRun:
    """A step that began."""

    start_at: int
    end_at: int
    """When it ended or is expected to."""
    due_at: int
    finished: bool = False
    """Tapped done (or ended by itself); ``end_at`` may still be some seconds of lifting ahead."""

    @property
    def began_late(self) -> bool:
        """Whether it began well after it was due."""
        return self.start_at - self.due_at > OVERDUE_S


@dataclass(frozen=True, slots=True)
class LoadRun:
    """A load of which at least the first step has begun."""

    key: LoadKey
    portions: int
    steps: tuple[StepRun, ...]

    def done(self, component: Component) -> bool:
        """Whether its last step has been finished."""
        return len(self.steps) >= len(component.steps) and self.steps[-1].finished

    def begun_whole(self, component: Component) -> bool:
        """Whether its last step has begun."""
        return len(self.steps) >= len(component.steps)

    @property
    def end_at(self) -> int:
        """End of what has begun so far."""
        return self.steps[-1].end_at

    @property
    def furthest(self) -> int:
        """How far on it is: steps begun, and whether the last of them is over."""
        return 2 * len(self.steps) + self.steps[-1].finished


@dataclass(frozen=True, slots=True)
class Pin:
    """The chef's own time for the start of a load that has not begun."""

    portions: int
    at: int


@dataclass(frozen=True, slots=True)
class Reading:
    """A core temperature that was read."""

    celsius: float
    at: int
    enough: bool
    """At least what the step asks for, or taken as it is by the chef."""


@dataclass(frozen=True, slots=True)
class Aside:
    """Begun food that left its place: lost, at ``at``. The oil it was lifted from may still recover."""

    load: LoadRun
    at: int


@dataclass(frozen=True, slots=True)
class Expected:
    """When a course was to land, as the first plan with it that says a range had it."""

    planned_at: int
    eighty_at: int
    """80 of 100 sampled evenings had it at the pass by then."""


@dataclass(frozen=True, slots=True)
class CourseRun:
    """An open course: ordered and not sent."""

    course: Course
    land: Land
    """How it is to land now: as ordered, or as the chef has called it since."""
    target_at: int | None = None
    """As the first plan after taking (or firing) gave it."""
    expected: Expected | None = None
    loads: Mapping[LoadKey, LoadRun] = field(default_factory=dict)
    lost: tuple[LoadKey, ...] = ()
    landed_at: int | None = None
    off: bool = False
    """Taken off: nobody wants it any more, what had started of it goes on and is spare."""
    urgent: bool = False
    """On the fly: before the others."""
    rushed: bool = False
    """Called on the fly since the last plan: for that plan no cue of others is in its way."""
    realigned: bool = False
    """Something of it was lost, or its landing was moved: food that would die of that is asked about."""
    pinned: Mapping[LoadKey, Pin] = field(default_factory=dict)
    temps: Mapping[StepKey, Reading] = field(default_factory=dict)
    """The latest reading of each step."""
    touched: frozenset[LoadKey] = frozenset()
    """Begun before an allergy was told that is theirs."""
    let_stand: frozenset[LoadKey] = frozenset()
    """Loads that the chef will not have cooked again."""

    @property
    def key(self) -> CourseKey:
        """Names the course."""
        return CourseKey(self.course.table, self.course.course)

    @property
    def held(self) -> bool:
        """Whether it waits to be called."""
        return isinstance(self.land, Hold)

    def portions(self) -> dict[str, int]:
        """Plates of each dish that are still wanted."""
        return {} if self.off else self.course.portions()

    def spare(self) -> dict[LoadKey, int]:
        """Begun portions that no plate of this course needs any more, by load; what is furthest on is needed first."""
        left: dict[tuple[str, str], int] = {}
        spare: dict[LoadKey, int] = {}
        wanted = self.portions()
        for key, run in sorted(self.loads.items(), key=lambda each: (-each[1].furthest, each[0])):
            part = (key.dish, key.component)
            needed = min(run.portions, left.get(part, wanted.get(key.dish, 0)))
            left[part] = left.get(part, wanted.get(key.dish, 0)) - needed
            if needed < run.portions:
                spare[key] = run.portions - needed
        return spare

    def next_load(self, dish: str, component: str) -> int:
        """A load number that none of its begun, lost or pinned loads has."""
        used = [k.load for k in (*self.loads, *self.lost, *self.pinned) if (k.dish, k.component) == (dish, component)]
        return max(used, default=0) + 1

    def all_done(self, book: Book) -> bool:
        """Whether every portion of every component has been cooked."""
        if self.off:
            return False
        for dish, qty in self.course.portions().items():
            for name, component in book[dish].components.items():
                ready = sum(
                    run.portions
                    for key, run in self.loads.items()
                    if key.dish == dish and key.component == name and run.done(component)
                )
                if ready < qty:
                    return False
        return True

    def to_cook(self, dish: str, component: str) -> int:
        """Portions of a component that no load holds yet."""
        held = sum(r.portions for k, r in self.loads.items() if (k.dish, k.component) == (dish, component))
        return max(0, self.portions().get(dish, 0) - held)


@dataclass(frozen=True, slots=True)
class SentCourse:
    """A course that has gone; ``command`` takes it back."""

    course: Course
    sent_at: int
    landed_at: int
    spread_s: int
    late_s: int
    past_keeps: int
    command: int
    loads: tuple[LoadRun, ...] = ()
    """Its food: the oil it was lifted from may still recover."""

    @property
    def key(self) -> CourseKey:
        """Names the course."""
        return CourseKey(self.course.table, self.course.course)


@dataclass(frozen=True, slots=True)
class Tap:
    """A command that can still be taken back: what it did and to what."""

    command: int
    kind: str
    """Name of its first event."""
    courses: frozenset[CourseKey]
    loads: frozenset[LoadKey]


@dataclass(frozen=True, slots=True)
class Evening:
    """All that is known of a service."""

    kitchen: Kitchen
    book: Book
    seq: int = 0
    """Of the last event in it."""
    service: date | None = None
    courses: Mapping[CourseKey, CourseRun] = field(default_factory=dict)
    sent: Mapping[CourseKey, SentCourse] = field(default_factory=dict)
    """In the order they went."""
    announced: Mapping[StepKey, int] = field(default_factory=dict)
    """Starts that stations have been told and nobody has begun, each with its due time."""
    moved: Mapping[StepKey, str] = field(default_factory=dict)
    """Announced starts that a plan has moved since, each with how far and why in kitchen words."""
    plan: Answer | None = None
    causes: Mapping[CourseKey, str] = field(default_factory=dict)
    taps: tuple[Tap, ...] = ()
    """The latest commands, newest last."""
    aside: tuple[Aside, ...] = ()
    """Food that was lost."""
    away: Mapping[str, int] = field(default_factory=dict)
    """Tables that a guest has left, and since when."""
    none_left: frozenset[tuple[str | None, str | None]] = frozenset()
    """Eighty-six: ``(dish id, None)``, or ``(None, component name)``."""
    as_written: Kitchen | None = None
    """The kitchen of its file, where cooks, slots or taps were changed since."""
    former: frozenset[str] = frozenset()
    """Dishes that are in the book for started food only: the book has them otherwise, or no more."""
    scores: tuple[float, ...] = ()
    """How tonight's courses landed against what was expected of them (``plan/honest/promise.py``), oldest first."""
    moved_courses: Mapping[CourseKey, CourseKey] = field(default_factory=dict)
    moved_loads: Mapping[LoadKey, LoadKey] = field(default_factory=dict)
    """What courses and loads are called now that phones may still know by an older name."""

    def component(self, load: LoadKey | StepKey) -> Component:
        """The component that a load or a step is of."""
        return self.book[load.dish].components[load.component]

    def load(self, key: LoadKey) -> LoadRun | None:
        """A load that has begun, if it has."""
        course = self.courses.get(key.of_course)
        return course.loads.get(key) if course else None

    def runs(self) -> Iterator[LoadRun]:
        """Every load of an open course that has begun."""
        for course in self.courses.values():
            yield from course.loads.values()

    def waits_for_held(self, key: CourseKey) -> str | None:
        """The held course (its name at the table) that this one comes after, however far up; None for none."""
        seen = {key}
        while True:
            run = self.courses.get(key)
            if run is None or not isinstance(run.land, After):
                return None
            key = CourseKey(key.table, run.land.after)
            before = self.courses.get(key)
            if before is not None and (before.held or run.land.fired == "sent"):
                return key.course
            if key in seen:
                return None
            seen.add(key)

    def is_planned(self, key: CourseKey) -> bool:
        """Whether the planner is asked about it: open, not held, not after a held one, its guests at the table."""
        run = self.courses.get(key)
        if run is None or run.held or run.off or self.waits_for_held(key) is not None:
            return False
        return key.table not in self.away or run.landed_at is not None

    def any_planned(self) -> bool:
        """Whether the planner has anything to be asked about."""
        return any(self.is_planned(key) for key in self.courses)

    def names_at(self, table: str) -> set[str]:
        """Names of courses this table has had, in small letters: each may be used once a service."""
        known = (*self.courses, *self.sent, *self.moved_courses)
        return {key.course.casefold() for key in known if key.table == table}

    def now_called(self, key: CourseKey) -> CourseKey:
        """The name that a course has now; its own where it was never moved."""
        seen = {key}
        while key not in self.courses and key in self.moved_courses and (key := self.moved_courses[key]) not in seen:
            seen.add(key)
        return key

    def load_now_called(self, key: LoadKey) -> LoadKey:
        """The name that a load has now; its own where it was never moved."""
        seen = {key}
        while key in self.moved_loads and (key := self.moved_loads[key]) not in seen:
            seen.add(key)
        return key

    def is_off(self, dish: str) -> str | None:
        """What there is none left of that a dish needs, as the cooks call it; None: it is to be had."""
        found = self.book[dish]
        if (dish, None) in self.none_left:
            return found.name
        gone = {name for of_dish, name in self.none_left if of_dish is None}
        return next((part.name for part in found.components.values() if part.name in gone), None)
