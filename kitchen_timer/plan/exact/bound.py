"""Proven lower bounds on the cost: a plan that need respect only the busiest one or two resources costs no more.

The full model proves little from ten courses on; forgetting all but what is scarcest proves far more in less time.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Mapping

from kitchen_timer.plan.exact.limits import Resource
from kitchen_timer.plan.exact.solve import FOUND, Stop, bound_of, new_solver, pose, stopping
from kitchen_timer.plan.loads import Load
from kitchen_timer.plan.question import CourseKey, Question


def bound_on_cost(
    question: Question,
    *,
    splits: Iterable[Load],
    targets: Mapping[CourseKey, int],
    seconds: float,
    workers: int = 1,
    seed: int = 0,
    stop: Stop | None = None,
) -> float | None:
    """With these loads no plan of the courses in ``targets`` costs less, in plate-seconds.

    Each of the two busiest resources alone, then both together, a third of the time each; the best of what they prove.
    None where announced cues or started food that overruns would be in the goal too.
    """
    loads = tuple(splits)
    busiest = by_load(question, loads)[:2]
    looks = [frozenset([one]) for one in busiest] + ([frozenset(busiest)] if len(busiest) > 1 else [frozenset()])
    best: float | None = None
    for kept in looks:
        posed = pose(question, loads, targets, kept=_only(kept))
        if posed.overruns:
            return None
        scale = posed.terms.minimise(posed.times.model.cp)
        solver = new_solver(seconds / len(looks), workers, seed)
        with stopping(solver, stop):
            status = solver.status_name(solver.solve(posed.times.model.cp))
        if status in (*FOUND, "UNKNOWN"):
            proven = bound_of(solver, posed, scale)
            best = proven if best is None else max(best, proven)
    return best


def _only(kept: frozenset[Resource]) -> Callable[[Resource], bool]:
    return lambda resource: resource in kept


def by_load(question: Question, loads: Iterable[Load]) -> list[Resource]:
    """Resources that are asked for at all, the busiest first: seconds of work for each one there is of it."""
    kitchen = question.kitchen
    work: Counter[Resource] = Counter()
    for load in loads:
        component = question.book[load.key.dish].components[load.key.component]
        station = Resource("station", component.station)
        for index, step in enumerate(component.steps):
            for from_s, to_s in component.busy_s(index, load.portions, kitchen):
                work[station] += to_s - from_s
            if step.on is not None:
                recovery_s = 0 if component.stays_on(index) else kitchen.equipment[step.on].recovery_s
                # Shared slots would count less; this only says where to look.
                taken = -(-load.portions // step.fits)
                work[Resource("equipment", step.on)] += taken * (step.length_s(load.portions) + recovery_s)

    def pressure(resource: Resource) -> float:
        there = kitchen.stations[resource.name].cooks if resource.kind == "station" else None
        there = kitchen.equipment[resource.name].slots if resource.kind == "equipment" else there
        return work[resource] / max(1, there or 1)

    return sorted(work, key=pressure, reverse=True)
