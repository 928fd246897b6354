"""What a planner answers: when each step starts, when each course lands, what can never be made.

All instants are whole seconds since 1970 UTC. ``files/plan_json.py`` writes it as plan.json.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from functools import cached_property

from kitchen_timer.plan.question import CourseKey, LoadKey, StepKey
from kitchen_timer.plan.remedy import Remedy


@dataclass(frozen=True)
class LandingRange:
    """Instants by which 10, 50, 80 and 90 of 100 evenings like this have a course at the pass."""

    p10_at: int
    p50_at: int
    p80_at: int
    p90_at: int


@dataclass(frozen=True)
class PlannedStep:
    """One step of one load, begun ones included, so that the answer is the whole picture."""

    key: StepKey
    do: str
    station: str
    on: str | None
    portions: int
    start_at: int
    end_at: int


@dataclass(frozen=True)
class PlannedCourse:
    """One table's course."""

    table: str
    course: str
    plates: int
    target_at: int
    landing_at: int
    up_at: int
    late_s: int
    """Seconds from target to landing, never negative."""

    @property
    def key(self) -> CourseKey:
        """Names the course."""
        return CourseKey(self.table, self.course)


@dataclass(frozen=True)
class Impossible:
    """A course that can never be made: which rule stops it, and what would help."""

    table: str
    course: str
    why: str
    would_help: str
    rule: int = 9
    remedies: tuple[Remedy, ...] = field(default=(), compare=False)
    """What ``would_help`` says, to be applied (``remedy.with_remedy``): each by itself is enough."""

    @property
    def key(self) -> CourseKey:
        """Names the course."""
        return CourseKey(self.table, self.course)


@dataclass(frozen=True)
class Answer:
    """A plan. ``cost`` is lateness + waiting in plate-seconds; disturbance is not in it."""

    now: int
    courses: tuple[PlannedCourse, ...]
    steps: tuple[PlannedStep, ...]
    impossible: tuple[Impossible, ...] = ()
    cost: float = 0.0
    bound: float | None = None
    """A proven lower bound on ``cost``; None where none was sought."""
    ranges: Mapping[CourseKey, LandingRange] | None = field(default=None, compare=False, repr=False)
    """When each course really lands, as far as can be told; None where nobody has looked."""
    causes: Mapping[CourseKey, str] | None = field(default=None, compare=False, repr=False)
    """What courses that are behind wait for (``why.why_behind``); None where whoever planned has not looked."""

    def __getstate__(self) -> dict[str, object]:
        """Its fields alone go to another process. What is worked out from them may be added by any thread meanwhile."""
        return {each.name: getattr(self, each.name) for each in fields(self)}

    @cached_property
    def by_step(self) -> Mapping[StepKey, PlannedStep]:
        """Every step by its key."""
        return {step.key: step for step in self.steps}

    @cached_property
    def by_course(self) -> Mapping[CourseKey, PlannedCourse]:
        """Every course by its key."""
        return {course.key: course for course in self.courses}

    @cached_property
    def by_load(self) -> Mapping[LoadKey, tuple[PlannedStep, ...]]:
        """The steps of every load, first to last."""
        loads: dict[LoadKey, list[PlannedStep]] = {}
        for step in sorted(self.steps, key=lambda s: s.key):
            loads.setdefault(step.key.of_load, []).append(step)
        return {key: tuple(steps) for key, steps in loads.items()}

    @cached_property
    def by_load_of(self) -> Mapping[CourseKey, Mapping[LoadKey, tuple[PlannedStep, ...]]]:
        """Of every course, the steps of its loads."""
        courses: dict[CourseKey, dict[LoadKey, tuple[PlannedStep, ...]]] = {}
        for key, steps in self.by_load.items():
            courses.setdefault(key.of_course, {})[key] = steps
        return courses
