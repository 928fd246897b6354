"""The plan's own figures: targets, lateness, cost."""

from collections.abc import Iterator

from kitchen_timer.kitchen.table import After, AtTime
from kitchen_timer.plan.answer import PlannedCourse
from kitchen_timer.plan.check.broken import Break
from kitchen_timer.plan.check.cost import cost_of_table
from kitchen_timer.plan.check.courses import up_of
from kitchen_timer.plan.check.laid import Table
from kitchen_timer.plan.question import CourseKey, Question, Wanted

ROUNDING = 0.05
"""Plate-seconds by which a stated cost may differ from the one worked out here."""


def broken_figures(table: Table) -> Iterator[Break]:
    """Targets that cannot be right, lateness that does not follow from them, a cost that does not add up."""
    if table.answer.now != table.question.now:
        yield Break(0, "now", "the plan is for another moment", abs(table.answer.now - table.question.now))
    for wanted, planned in table.planned.values():
        late_s = max(0, planned.landing_at - planned.target_at)
        if planned.late_s != late_s:
            what = f"is {late_s} s late, not {planned.late_s} s"
            yield Break(0, str(wanted.key), what, abs(planned.late_s - late_s))
        yield from _target(table, wanted, planned)
    cost = cost_of_table(table).total
    if abs(cost - table.answer.cost) > ROUNDING:
        what = f"costs {cost:.2f}, not {table.answer.cost:.2f}"
        yield Break(0, "cost", what, max(1, round(abs(cost - table.answer.cost))))
    if table.answer.bound is not None and table.answer.bound > cost + ROUNDING:
        what = f"costs {cost:.2f}, which is less than the bound {table.answer.bound:.2f}"
        yield Break(0, "bound", what, max(1, round(table.answer.bound - cost)))


def _target(table: Table, wanted: Wanted, planned: PlannedCourse) -> Iterator[Break]:
    """Exact where it is given; else between what its longest chain of steps needs and its landing.

    The earliest landing with the kitchen to itself is a search of its own, so it is bounded here, not repeated.
    """
    target = planned.target_at
    if wanted.target_at is not None:
        if target != wanted.target_at:
            yield Break(0, str(wanted.key), "the target is not the one it was given", abs(target - wanted.target_at))
        return
    if isinstance(wanted.land, AtTime):
        if target != wanted.land.at:
            yield Break(0, str(wanted.key), "the target is not the wanted time", abs(target - wanted.land.at))
        return
    if wanted.begun or wanted.landed_at is not None:
        return
    earliest = max(wanted.in_at, table.question.now) + longest_chain_s(table.question, wanted)
    if isinstance(wanted.land, After):
        up_at = up_of(table, CourseKey(wanted.table, wanted.land.after))
        earliest = max(earliest, up_at + wanted.land.gap_s) if up_at is not None else earliest
    if target < earliest:
        yield Break(0, str(wanted.key), "the target is earlier than its food can be done", earliest - target)
    if target > planned.landing_at:
        what = "lands before its target, which was to be the earliest it could land"
        yield Break(0, str(wanted.key), what, target - planned.landing_at)


def longest_chain_s(question: Question, wanted: Wanted) -> int:
    """Seconds that no kitchen can cut short: the longest chain of components, one portion each."""
    longest = 0
    for dish, _ in wanted.portions:
        components = question.book[dish].components
        done: dict[str, int] = {}
        while len(done) < len(components):
            for name, component in components.items():
                if name not in done and all(before in done for before in component.after):
                    since = max((done[before] for before in component.after), default=0)
                    done[name] = since + sum(step.takes.usual_s for step in component.steps)
        longest = max(longest, *done.values())
    return longest
