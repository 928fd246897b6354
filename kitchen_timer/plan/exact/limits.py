"""A resource that is never to be taken more than there is of it: slots, hands, plating hands."""

from collections.abc import Iterable
from typing import Literal, NamedTuple

from ortools.sat.python import cp_model as cp

from kitchen_timer.plan.exact.moment import Expression, Model, Moment


class Resource(NamedTuple):
    """Slots of one piece of equipment, hands of one station, or the hands that plate."""

    kind: Literal["equipment", "station", "pass"]
    name: str


class Limit:
    """What takes one resource; :meth:`hold` makes the constraint.

    What cannot be moved is added up into one profile, cut off at what there is: where started food takes too much
    already, no plan could do otherwise, and the solver is not to fail over it.
    """

    def __init__(self, model: Model, capacity: int) -> None:
        self.model, self.capacity = model, capacity
        self.fixed: list[tuple[int, int, int]] = []
        self.intervals: list[cp.IntervalVar] = []
        self.demands: list[Expression] = []

    def add_fixed(self, from_at: int, to_at: int, amount: int) -> None:
        """So much is taken between two instants that stand."""
        self.fixed.append((from_at, to_at, amount))

    def add(
        self, from_at: Moment, length_s: int, demand: Expression, name: str, present: cp.IntVar | None = None
    ) -> None:
        """So much is taken for so long; with ``present``, only where that is true."""
        if length_s <= 0:
            return
        if present is None:
            interval = self.model.cp.new_fixed_size_interval_var(from_at.expr, length_s, name)
        else:
            interval = self.model.cp.new_optional_fixed_size_interval_var(from_at.expr, length_s, present, name)
        self.intervals.append(interval)
        self.demands.append(demand)

    def add_until(
        self, from_at: Moment, to_at: Moment, horizon: int, demand: Expression, name: str, present: cp.IntVar | None
    ) -> None:
        """So much is taken from one instant to another, neither of which need stand."""
        hinted = None
        if from_at.hinted is not None and to_at.hinted is not None:
            hinted = max(0, to_at.hinted - from_at.hinted)
        length = self.model.moment(0, horizon - min(0, from_at.plus), f"{name} for", hinted)
        if present is None:
            interval = self.model.cp.new_interval_var(from_at.expr, length.expr, to_at.expr, name)
        else:
            self.model.cp.add(length.expr == to_at.expr - from_at.expr)
            interval = self.model.cp.new_optional_interval_var(from_at.expr, length.expr, to_at.expr, present, name)
        self.intervals.append(interval)
        self.demands.append(demand)

    def first_room(self, from_at: int, amount: int) -> int:
        """The first second from then on at which what cannot be moved leaves room for so much."""
        for since, to_at, taken in added_up(self.fixed):
            if since <= from_at < to_at and taken + amount > self.capacity:
                from_at = to_at
        return from_at

    def hold(self) -> None:
        """At no instant more than there is."""
        if not self.intervals:
            return
        intervals, demands = list(self.intervals), list(self.demands)
        for from_at, to_at, amount in added_up(self.fixed):
            if (taken := min(amount, self.capacity)) > 0:
                intervals.append(self.model.cp.new_fixed_size_interval_var(from_at, to_at - from_at, "taken"))
                demands.append(taken)
        if self.capacity == 1:
            self.model.cp.add_no_overlap(intervals)
            for demand in demands:
                if not isinstance(demand, int):
                    self.model.cp.add(demand <= 1)
                elif demand > 1:
                    self.model.cp.add_bool_or([])
        else:
            self.model.cp.add_cumulative(intervals, demands, self.capacity)


def added_up(taken: Iterable[tuple[int, int, int]]) -> list[tuple[int, int, int]]:
    """``(from, to, amount)`` that overlap as stretches that do not, from second 0 on."""
    changes: dict[int, int] = {}
    for from_at, to_at, amount in taken:
        if to_at > max(0, from_at) and amount:
            changes[max(0, from_at)] = changes.get(max(0, from_at), 0) + amount
            changes[to_at] = changes.get(to_at, 0) - amount
    stretches: list[tuple[int, int, int]] = []
    total, since = 0, 0
    for at in sorted(changes):
        if total and at > since:
            stretches.append((since, at, total))
        total, since = total + changes[at], at
    return stretches
