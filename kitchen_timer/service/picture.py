"""The plan and what really happened laid over one another: for every load, each step as it went or is expected to go.

A begun step is what was tapped; a later step of a begun load follows it at once where it may not wait, whatever the
last plan said; everything else is as planned. So the screens are right also between a tap and the next plan.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from kitchen_timer.kitchen.dish import Component, Step
from kitchen_timer.plan.question import CourseKey, LoadKey, StepKey
from kitchen_timer.service.state import CourseRun, Evening, LoadRun


@dataclass(frozen=True, slots=True)
class StepPicture:
    """One step as it went or is expected to go. Instants are seconds since 1970 UTC."""

    key: StepKey
    start_at: int
    end_at: int
    """Of a running step: the expected end, never before now."""
    due_end_at: int
    """The end it was to have; before ``end_at`` where it runs over."""
    begun: bool
    finished: bool
    began_late: bool

    @property
    def running(self) -> bool:
        """Whether it goes on and nobody has ended it."""
        return self.begun and not self.finished


@dataclass(frozen=True, slots=True)
class LoadPicture:
    """A load from its first step to its last."""

    key: LoadKey
    portions: int
    component: Component
    steps: tuple[StepPicture, ...]
    spare: int = 0
    """Portions of it that no plate needs any more."""

    @property
    def needed(self) -> bool:
        """Whether some plate needs it."""
        return self.spare < self.portions

    @property
    def end_at(self) -> int:
        """When it is done."""
        return self.steps[-1].end_at

    @property
    def start_at(self) -> int:
        """When it begins."""
        return self.steps[0].start_at

    @property
    def begun(self) -> bool:
        """Whether its first step has begun."""
        return self.steps[0].begun

    @property
    def done(self) -> bool:
        """Whether its last step has been finished."""
        return self.steps[-1].finished


@dataclass(frozen=True, slots=True)
class CoursePicture:
    """An open course with its loads."""

    run: CourseRun
    loads: tuple[LoadPicture, ...]
    planned: bool
    """Whether a plan has a landing for it."""
    target_at: int
    landing_at: int
    up_at: int

    @property
    def key(self) -> CourseKey:
        """Names the course."""
        return self.run.key

    @property
    def late_s(self) -> int:
        """Seconds from target to landing."""
        return max(0, self.landing_at - self.target_at)

    @property
    def spread_s(self) -> int | None:
        """Seconds from the first load done to the last, measured or expected; None without loads."""
        ends = [load.end_at for load in self.loads if load.needed]
        return max(ends) - min(ends) if ends else None

    def stands_until(self, load: LoadPicture) -> int:
        """When a load stops standing: the landing, or the start of the last load that waits for it (rule 4)."""
        waiting = [
            other.start_at
            for other in self.loads
            if other.needed and other.key.dish == load.key.dish and load.key.component in other.component.after
        ]
        return max(waiting, default=self.landing_at)


Picture = Mapping[CourseKey, CoursePicture]


_last: tuple[Evening, int, Picture] | None = None


def picture_of(state: Evening, now: int) -> Picture:
    """Every open course, held ones with whatever had started.

    The last picture is kept: of one evening at one second the engine and every board ask for the same, and a tap in
    that second changes one course of it.
    """
    global _last
    last = _last
    if last is not None and last[0] is state and last[1] == now:
        return last[2]
    picture = _drawn(state, now, _still(last[0], state, last[2]) if last is not None and last[1] == now else {})
    _last = (state, now, picture)
    return picture


def _still(before: Evening, state: Evening, picture: Picture) -> Picture:
    """What is as it was in the picture of an evening before, at the same second."""
    if before.plan is not state.plan or before.book is not state.book:
        return {}
    return {
        key: course
        for key, course in picture.items()
        if state.courses.get(key) is course.run and state.is_planned(key) == before.is_planned(key)
    }


def _drawn(state: Evening, now: int, known: Picture) -> Picture:
    by_course: dict[CourseKey, set[LoadKey]] = {key: set(run.loads) for key, run in state.courses.items()}
    planned = state.plan.by_load if state.plan else {}
    for key in planned:
        if key.of_course in by_course and state.is_planned(key.of_course):
            by_course[key.of_course].add(key)
    return {key: known.get(key) or _course(state, state.courses[key], keys, now) for key, keys in by_course.items()}


def _course(state: Evening, run: CourseRun, keys: set[LoadKey], now: int) -> CoursePicture:
    spare = run.spare()
    drawn = [load_picture(state, run, key, now, spare.get(key, 0)) for key in sorted(keys)]
    loads = tuple(load for load in drawn if load is not None)
    planned = state.plan.by_course.get(run.key) if state.plan and state.is_planned(run.key) else None
    if run.landed_at is not None:
        landing_at = run.landed_at
    else:
        # What was not started in time cannot be done in time: its end moves with the clock until it is planned anew.
        ends = [load.end_at + (0 if load.begun else max(0, now - load.start_at)) for load in loads if load.needed]
        landing_at = max([*ends, planned.landing_at if planned else now])
    plating_s = planned.up_at - planned.landing_at if planned else 0
    target_at = run.target_at
    if target_at is None:
        target_at = planned.target_at if planned else landing_at
    return CoursePicture(
        run=run,
        loads=loads,
        planned=planned is not None,
        target_at=target_at,
        landing_at=landing_at,
        up_at=landing_at + plating_s,
    )


def load_picture(state: Evening, run: CourseRun, key: LoadKey, now: int, spare: int = 0) -> LoadPicture | None:
    """One load; None where neither the plan nor the kitchen knows it (any more)."""
    dish = state.book.get(key.dish)
    component = dish.components.get(key.component) if dish else None
    begun = run.loads.get(key)
    planned = state.plan.by_load.get(key, ()) if state.plan else ()
    if component is None or (begun is None and (not planned or key in run.lost)):
        return None
    if begun is None and (len(planned) != len(component.steps) or run.to_cook(key.dish, key.component) == 0):
        return None
    portions = begun.portions if begun else planned[0].portions
    starts = {step.key.step: step.start_at for step in planned}
    if begun is None and key in run.pinned:
        by_s = run.pinned[key].at - planned[0].start_at
        starts = {index: start + by_s for index, start in starts.items()}
    steps: list[StepPicture] = []
    for index, step in enumerate(component.steps):
        before = steps[-1].end_at if begun and steps else None
        steps.append(_step(StepKey(*key, index), step, portions, begun, before, starts.get(index), now))
    return LoadPicture(key=key, portions=portions, component=component, steps=tuple(steps), spare=spare)


def _step(
    key: StepKey, step: Step, portions: int, begun: LoadRun | None, before: int | None, planned: int | None, now: int
) -> StepPicture:
    if begun and key.step < len(begun.steps):
        went = begun.steps[key.step]
        end_at = went.end_at if went.finished else max(went.end_at, now)
        return StepPicture(key, went.start_at, end_at, went.end_at, True, went.finished, went.began_late)
    if before is None:
        start_at = planned if planned is not None else now
    elif step.may_wait_s == 0 or planned is None:
        start_at = before
    else:
        start_at = max(before, planned)
    end_at = start_at + step.length_s(portions)
    return StepPicture(key, start_at, end_at, end_at, begun=False, finished=False, began_late=False)
