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


@dataclass(frozen=True, slots=True)
class CourseRun:
    """An open course: ordered and not sent."""

    course: Course
    land: Land
    """How it is to land now: as ordered, or as the chef has called it since."""
    target_at: int | None = None
    """As the first plan after taking (or firing) gave it."""
    loads: Mapping[LoadKey, LoadRun] = field(default_factory=dict)
    lost: tuple[LoadKey, ...] = ()
    landed_at: int | None = None

    @property
    def key(self) -> CourseKey:
        """Names the course."""
        return CourseKey(self.course.table, self.course.course)

    @property
    def held(self) -> bool:
        """Whether it waits to be called."""
        return isinstance(self.land, Hold)

    def all_done(self, book: Book) -> bool:
        """Whether every portion of every component has been cooked."""
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
        return max(0, self.course.portions().get(dish, 0) - held)


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
    plan: Answer | None = None
    causes: Mapping[CourseKey, str] = field(default_factory=dict)
    taps: tuple[Tap, ...] = ()
    """The latest commands, newest last."""

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
            if before is not None and before.held:
                return key.course
            if key in seen:
                return None
            seen.add(key)

    def is_planned(self, key: CourseKey) -> bool:
        """Whether the planner is asked about it: open, not held, not after a held one."""
        run = self.courses.get(key)
        return run is not None and not run.held and self.waits_for_held(key) is None

    def names_at(self, table: str) -> set[str]:
        """Names of courses this table has had, in small letters: each may be used once a service."""
        return {key.course.casefold() for key in (*self.courses, *self.sent) if key.table == table}
