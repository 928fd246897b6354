"""Proven lower bounds on the cost: a plan that need respect only the busiest one or two resources costs no more.

The full model proves little from ten courses on; forgetting all but what is scarcest proves far more in less time.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.exact.limits import Resource
from kitchen_timer.plan.exact.solve import FOUND, Posed, Stop, bound_of, new_solver, pose, stopping
from kitchen_timer.plan.exact.variables import plating_of
from kitchen_timer.plan.loads import Load
from kitchen_timer.plan.question import CourseKey, Question

LOOK = 1 / 6
"""Share of the time in which one resource is looked at by itself."""


def bound_on_cost(
    question: Question,
    *,
    splits: Iterable[Load],
    targets: Mapping[CourseKey, int],
    seconds: float,
    workers: int = 1,
    seed: int = 0,
    stop: Stop | None = None,
    hint: Answer | None = None,
) -> float | None:
    """With these loads no plan of the courses in ``targets`` costs less, in plate-seconds.

    Resource by resource, the busiest hands first, for half of the time; then the two that proved most together. None
    where announced cues or started food that overruns would be in the goal too.
    """
    loads = tuple(splits)
    alone: dict[Resource, float] = {}
    spent_s = 0.0
    for resource in by_work(question, loads, frozenset(targets)):
        if alone and spent_s > seconds / 2:
            break
        posed = pose(question, loads, targets, hint=hint, kept=frozenset([resource]).__contains__)
        if posed.overruns:
            return None
        alone[resource], took_s = _prove(posed, seconds * LOOK, workers, seed, stop)
        spent_s += took_s
    two = sorted(alone, key=lambda resource: alone[resource], reverse=True)[:2]
    if len(two) < 2:
        return max(alone.values(), default=0.0)
    posed = pose(question, loads, targets, hint=hint, kept=frozenset(two).__contains__)
    together, _ = _prove(posed, max(seconds / 4, seconds - spent_s), workers, seed, stop)
    return max(together, *alone.values())


def _prove(posed: Posed, seconds: float, workers: int, seed: int, stop: Stop | None) -> tuple[float, float]:
    """``(proven bound, seconds taken)``."""
    scale = posed.terms.minimise(posed.times.model.cp)
    solver = new_solver(seconds, workers, seed, way="bounding")
    with stopping(solver, stop):
        status = solver.status_name(solver.solve(posed.times.model.cp))
    proven = bound_of(solver, posed, scale) if status in (*FOUND, "UNKNOWN") else 0.0
    return max(0.0, proven), solver.wall_time


def by_work(question: Question, loads: Iterable[Load], planned: frozenset[CourseKey]) -> list[Resource]:
    """Resources that are asked for at all: hands before slots, the busiest first.

    Work is in seconds for each one there is of it. Hands come first because slots are seldom what is short.
    """
    kitchen = question.kitchen
    work: dict[Resource, float] = defaultdict(float)
    for load in loads:
        component = question.book[load.key.dish].components[load.key.component]
        station = Resource("station", component.station)
        cooks = max(1, kitchen.stations[component.station].cooks)
        for index, step in enumerate(component.steps):
            work[station] += (
                sum(to_s - from_s for from_s, to_s in component.busy_s(index, load.portions, kitchen)) / cooks
            )
            if step.on is not None:
                equipment = kitchen.equipment[step.on]
                recovery_s = 0 if component.stays_on(index) else equipment.recovery_s
                # Shared slots would count less; this only says where to look.
                taken = -(-load.portions // step.fits)
                taken_s = taken * (step.length_s(load.portions) + recovery_s)
                work[Resource("equipment", step.on)] += taken_s / equipment.slots
    for wanted in question.courses:
        if wanted.key in planned:
            plating_s, hands = plating_of(question, wanted)
            work[Resource("pass", "pass")] += hands * plating_s / kitchen.pass_board.hands
    return sorted(work, key=lambda resource: (resource.kind == "equipment", -work[resource]))
