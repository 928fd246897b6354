"""An adopted plan as a row's body, written small: a busy night adopts a thousand plans of hundreds of steps.

What a step says beside its times (words, station, equipment) is the same for every load of its component and is
written once; a load is its key, its portions and the start and end of each step.
"""

from typing import Any

from kitchen_timer.plan.answer import Answer, Impossible, LandingRange, PlannedCourse, PlannedStep
from kitchen_timer.plan.question import CourseKey, LoadKey, StepKey
from kitchen_timer.service.events import PlanAdopted

Body = dict[str, Any]


def plan_body(event: PlanAdopted) -> Body:
    """The body of a :class:`PlanAdopted`. Steps come back sorted by key."""
    answer = event.answer
    parts: dict[str, list[list[Any]]] = {}
    loads: list[list[Any]] = []
    for key, steps in sorted(answer.by_load.items()):
        parts.setdefault(f"{key.dish}/{key.component}", [[s.do, s.station, s.on] for s in steps])
        times = [instant - answer.now for step in steps for instant in (step.start_at, step.end_at)]
        loads.append([*key, steps[0].portions, *times])
    return {
        "now": answer.now,
        "cost": answer.cost,
        "bound": answer.bound,
        "courses": [
            [c.table, c.course, c.plates, c.target_at, c.landing_at, c.up_at, c.late_s] for c in answer.courses
        ],
        "impossible": [[i.table, i.course, i.why, i.would_help, i.rule] for i in answer.impossible],
        "parts": parts,
        "loads": loads,
        "causes": [[key, cause] for key, cause in event.causes],
        "told": [[step, due] for step, due in event.told],
        "moved": [[step, words] for step, words in event.moved],
        "ranges": [[*key, *(at - answer.now for at in _points(lands))] for key, lands in (answer.ranges or {}).items()],
    }


def _points(lands: LandingRange) -> tuple[int, ...]:
    return lands.p10_at, lands.p50_at, lands.p80_at, lands.p90_at


def read_plan(body: Body, *, whole: bool) -> PlanAdopted:
    """The event of a body; without its steps unless ``whole``."""
    answer = Answer(
        now=body["now"],
        courses=tuple(PlannedCourse(*course) for course in body["courses"]),
        steps=_steps(body) if whole else (),
        impossible=tuple(Impossible(*course) for course in body["impossible"]),
        cost=body["cost"],
        bound=body["bound"],
        ranges=_ranges(body),
    )
    return PlanAdopted(
        answer=answer,
        causes=tuple((CourseKey(*key), cause) for key, cause in body["causes"]),
        told=tuple((StepKey(*step), due) for step, due in body["told"]),
        moved=tuple((StepKey(*step), words) for step, words in body.get("moved", ())),
    )


def _ranges(body: Body) -> dict[CourseKey, LandingRange] | None:
    written = body.get("ranges")  # not there in rows of older evenings
    if not written:
        return None
    now: int = body["now"]
    return {
        CourseKey(table, course): LandingRange(*(now + after for after in points)) for table, course, *points in written
    }


def _steps(body: Body) -> tuple[PlannedStep, ...]:
    now: int = body["now"]
    steps: list[PlannedStep] = []
    for table, course, dish, component, load, portions, *times in body["loads"]:
        key = LoadKey(table, course, dish, component, load)
        said = body["parts"][f"{dish}/{component}"]
        for index, (start, end) in enumerate(zip(times[::2], times[1::2], strict=True)):
            do, station, on = said[index]
            steps.append(PlannedStep(StepKey(*key, index), do, station, on, portions, now + start, now + end))
    return tuple(steps)
