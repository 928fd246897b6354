"""Rules 1 to 4: lengths and waits, nothing in the past, components after others, nothing past its keeps."""

from collections.abc import Iterator

from kitchen_timer.plan.check.broken import Break
from kitchen_timer.plan.check.laid import Laid, Table
from kitchen_timer.plan.question import CourseKey


def broken_by_loads(table: Table) -> Iterator[Break]:
    """Every break of rules 1 to 4."""
    for load in table.loads:
        yield from _lengths_and_waits(load)
        yield from _not_too_early(table, load)
    for (number, course, dish), loads in table.by_dish.items():
        components = table.question.book[dish].components
        for name, of_component in loads.items():
            for before in components[name].after:
                yield from _after(of_component, loads.get(before, []))
        landing_at = table.planned[CourseKey(number, course)][1].landing_at
        for of_component in loads.values():
            yield from _keeps(table, of_component, loads, landing_at)


def _lengths_and_waits(load: Laid) -> Iterator[Break]:
    steps, portions = load.component.steps, load.portions
    for index in range(len(load.starts)):
        start, end = load.starts[index], load.ends[index]
        step = steps[index]
        if index >= load.begun:
            length_s = step.takes.usual_s + step.each_s * (portions - 1)
            if end - start != length_s:
                yield Break(
                    1, load.step(index), f"takes {end - start} s, not {length_s} s", abs(end - start - length_s)
                )
        if index == 0:
            continue
        wait_s = start - load.ends[index - 1]
        if wait_s < 0:
            what = "starts before the step before it has ended"
            yield Break(1, load.step(index), what, -wait_s, excused=index < load.begun)
        elif wait_s > step.may_wait_s:
            what = f"waits {wait_s} s, may wait {step.may_wait_s} s"
            yield Break(1, load.step(index), what, wait_s - step.may_wait_s, excused=index <= load.begun)


def _not_too_early(table: Table, load: Laid) -> Iterator[Break]:
    for index in range(load.begun, len(load.starts)):
        start = load.starts[index]
        if start < table.question.now:
            yield Break(2, load.step(index), "starts before now", table.question.now - start)
        if start < load.course.in_at:
            yield Break(2, load.step(index), "starts before its order is in", load.course.in_at - start)


def _after(loads: list[Laid], before: list[Laid]) -> Iterator[Break]:
    done = max((load.end for load in before), default=None)
    for load in loads:
        if done is not None and load.start < done:
            what = "starts before a component that it comes after is done"
            yield Break(3, load.step(0), what, done - load.start, excused=load.begun > 0)


def stands_s(load: Laid, of_dish: dict[str, list[Laid]], landing: int, dependants: list[str]) -> int:
    """Seconds that a load stands: to the landing, or to the start of the last component that waited for it."""
    starts = [other.start for name in dependants for other in of_dish.get(name, ())]
    return max(0, (max(starts) if starts else landing) - load.end)


def _keeps(table: Table, loads: list[Laid], of_dish: dict[str, list[Laid]], landing: int) -> Iterator[Break]:
    key = loads[0].key
    dependants = [n for n, c in table.question.book[key.dish].components.items() if key.component in c.after]
    for load in loads:
        landed = load.course.landed_at is not None
        if load.end > landing:
            yield Break(4, str(load.key), "is not done when its course lands", load.end - landing, excused=landed)
        keeps_s = load.component.keeps_s
        stood_s = stands_s(load, of_dish, landing, dependants)
        if stood_s > keeps_s:
            what = f"stands {stood_s} s, keeps {keeps_s} s"
            yield Break(4, str(load.key), what, stood_s - keeps_s, excused=load.begun > 0)
