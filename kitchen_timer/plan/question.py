"""The frozen input of every planner: what is wanted, what has begun, what time it is.

All instants are whole seconds since 1970 UTC, all lengths whole seconds.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from kitchen_timer.kitchen.dish import Book
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.kitchen.table import After, Asap, AtTime


class CourseKey(NamedTuple):
    """One table's course."""

    table: str
    course: str

    def __str__(self) -> str:
        return "/".join(self)


class LoadKey(NamedTuple):
    """The portions of one component of one table's course that are cooked together; loads count from 1."""

    table: str
    course: str
    dish: str
    component: str
    load: int

    @property
    def of_course(self) -> CourseKey:
        """The course this load is for."""
        return CourseKey(self.table, self.course)

    def __str__(self) -> str:
        return "/".join(map(str, self))


class StepKey(NamedTuple):
    """One step of one load; steps count from 0. Written ``6/mains/hake/fish/1/0``."""

    table: str
    course: str
    dish: str
    component: str
    load: int
    step: int

    @property
    def of_load(self) -> LoadKey:
        """The load this step is done to."""
        return LoadKey(*self[:5])

    @property
    def of_course(self) -> CourseKey:
        """The course this step is for."""
        return CourseKey(self.table, self.course)

    def __str__(self) -> str:
        return "/".join(map(str, self))

    @classmethod
    def read(cls, text: str) -> "StepKey":
        """The key written as ``6/mains/hake/fish/1/0``; ValueError when it is not one."""
        parts = text.split("/")
        if len(parts) != 6:
            raise ValueError(f"{text!r} names no step: write table/course/dish/component/load/step")
        return cls(parts[0], parts[1], parts[2], parts[3], int(parts[4]), int(parts[5]))


@dataclass(frozen=True)
class BegunStep:
    """A step that a cook has started: never moved."""

    start_at: int
    end_at: int
    """When it ended, or when it is expected to; not before ``now`` while it goes on."""
    done: bool = False


@dataclass(frozen=True)
class BegunLoad:
    """A load of which at least the first step has started; its later steps are still to be planned."""

    dish: str
    component: str
    load: int
    portions: int
    steps: tuple[BegunStep, ...]


@dataclass(frozen=True)
class Wanted:
    """A course to be planned (never a held one)."""

    table: str
    course: str
    in_at: int
    land: Asap | AtTime | After
    portions: tuple[tuple[str, int], ...]
    """``(dish id, plates)``, each dish once, in the order first named."""
    target_at: int | None = None
    """Fixed when the order was taken (service); None: the planner works it out by the rules of a plan."""
    landed_at: int | None = None
    """When it has landed already: everything is at the pass, plating goes on or waits for ``sent``."""
    begun: tuple[BegunLoad, ...] = ()
    spent: Mapping[tuple[str, str], int] = field(default_factory=dict)
    """Of ``(dish, component)``: the highest load number used by loads that were lost (cook again)."""
    presses: int = 1
    """Each second that it is late counts so many times (service only)."""

    @property
    def key(self) -> CourseKey:
        """Names the course."""
        return CourseKey(self.table, self.course)

    @property
    def plates(self) -> int:
        """Plates of all dishes."""
        return sum(qty for _, qty in self.portions)

    @property
    def weight(self) -> int:
        """Plate-seconds that a second of its lateness costs, up to five minutes."""
        return self.plates * self.presses

    def to_cook(self, dish: str, component: str) -> int:
        """Portions of a component that no begun load holds: they are still to be split into loads.

        Begun loads may hold more than there are plates (one was taken off): the rest of them is spare.
        """
        qty = dict(self.portions)[dish]
        return max(0, qty - sum(b.portions for b in self.begun if (b.dish, b.component) == (dish, component)))

    def next_load(self, dish: str, component: str) -> int:
        """The number of the next load of a component: begun and lost loads keep theirs."""
        used = [b.load for b in self.begun if (b.dish, b.component) == (dish, component)]
        return max([0, self.spent.get((dish, component), 0), *used]) + 1


@dataclass(frozen=True)
class Question:
    """Everything a planner may know."""

    kitchen: Kitchen
    book: Book
    now: int
    courses: tuple[Wanted, ...]
    up: Mapping[CourseKey, int] = field(default_factory=dict)
    """When courses that are no longer planned were up (sent ones); for rule 8."""
    announced: Mapping[StepKey, int] = field(default_factory=dict)
    """Starts that stations have been told and nobody has begun: moving one costs (service only)."""
    reserve_s: Mapping[tuple[CourseKey, str, str], int] = field(default_factory=dict)
    """Of ``(course, dish, component)``: seconds of its ``keeps`` that planners leave unused if they can. No rule."""

    def course(self, key: CourseKey) -> Wanted | None:
        """The wanted course of that name."""
        return next((wanted for wanted in self.courses if wanted.key == key), None)
