"""What stands in an evening under names that change: a table moves, a dish is edited while food of it is on.

Only names change. What phones still know by an older name is found by :meth:`Evening.now_called`.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import TypeVar

from kitchen_timer.kitchen.seconds import Seconds
from kitchen_timer.kitchen.table import After, Land
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.question import CourseKey, LoadKey, StepKey
from kitchen_timer.service.state import CourseRun, Evening

T = TypeVar("T")


@dataclass(frozen=True)
class Names:
    """New names by old ones."""

    course: Callable[[CourseKey], CourseKey]
    load: Callable[[LoadKey], LoadKey]

    def step(self, key: StepKey) -> StepKey:
        """A step's new name."""
        return StepKey(*self.load(key.of_load), key.step)

    def land(self, table: str, land: Land) -> Land:
        """A landing that names the course before it."""
        if not isinstance(land, After):
            return land
        before = self.course(CourseKey(table, land.after)).course
        return After(after=before, gap_s=Seconds(land.gap_s), fired=land.fired)


def run_renamed(run: CourseRun, names: Names) -> CourseRun:
    """A course with all its loads under their new names."""
    key = names.course(run.key)
    return replace(
        run,
        course=run.course.model_copy(update={"table": key.table, "course": key.course}),
        land=names.land(run.key.table, run.land),
        loads={names.load(k): replace(load, key=names.load(k)) for k, load in run.loads.items()},
        lost=tuple(map(names.load, run.lost)),
        pinned={names.load(k): pin for k, pin in run.pinned.items()},
        temps={names.step(k): reading for k, reading in run.temps.items()},
        touched=frozenset(map(names.load, run.touched)),
        let_stand=frozenset(map(names.load, run.let_stand)),
    )


def rest_renamed(state: Evening, names: Names) -> Evening:
    """The evening with all but its open and sent courses under the new names, the old ones remembered."""
    known = {key for run in state.courses.values() for key in (*run.loads, *run.lost, *run.pinned)}
    known |= {step.of_load for step in state.announced}
    known |= set(state.plan.by_load) if state.plan else set()
    return replace(
        state,
        announced={names.step(step): due for step, due in state.announced.items()},
        plan=None if state.plan is None else _plan_renamed(state.plan, names),
        causes={names.course(key): cause for key, cause in state.causes.items()},
        taps=tuple(
            replace(tap, courses=frozenset(map(names.course, tap.courses)), loads=frozenset(map(names.load, tap.loads)))
            for tap in state.taps
        ),
        aside=tuple(replace(each, load=replace(each.load, key=names.load(each.load.key))) for each in state.aside),
        moved_courses=_remembered(state.moved_courses, state.courses, names.course),
        moved_loads=_remembered(state.moved_loads, known, names.load),
    )


def _remembered(older: Mapping[T, T], keys: Iterable[T], name: Callable[[T], T]) -> dict[T, T]:
    """Older names and those that change now; what bears an old name again is not led away from it."""
    changed = {key: name(key) for key in keys if name(key) != key}
    borne = set(changed.values())
    return {old: new for old, new in {**older, **changed}.items() if old not in borne}


def _plan_renamed(plan: Answer, names: Names) -> Answer:
    courses = {names.course(each.key): each for each in sorted(plan.courses, key=lambda c: c.landing_at)}
    steps = [replace(step, key=names.step(step.key)) for step in plan.steps]
    return replace(
        plan,
        courses=tuple(replace(each, table=key.table, course=key.course) for key, each in courses.items()),
        steps=tuple(sorted(steps, key=lambda step: step.key)),
        impossible=tuple(
            replace(each, table=names.course(each.key).table, course=names.course(each.key).course)
            for each in plan.impossible
        ),
    )
