"""A resource that is never to be taken more than there is of it: slots, hands, plating hands."""

from collections.abc import Iterable
from typing import Literal, NamedTuple

from ortools.sat.python import cp_model as cp

from kitchen_timer.plan.exact.moment import Expression, Model, Moment


class Resource(NamedTuple):
    """Slots of one piece of equipment, hands of one station, or the hands that plate."""

    kind: Literal["equipment", "station", "pass"]
    name: str


class Use(NamedTuple):
    """So much taken for a while that can be chosen."""

    from_at: Moment
    to_at: Moment
    length_s: int | None
    """None: what lies between the two."""
    demand: Expression
    most: int
    """It is never more than this."""
    name: str
    present: cp.IntVar | None

    def interval(self, model: Model) -> cp.IntervalVar:
        """It, for the solver."""
        from_at, to_at, name, present = self.from_at, self.to_at, self.name, self.present
        if self.length_s is not None:
            if present is None:
                return model.cp.new_fixed_size_interval_var(from_at.expr, self.length_s, name)
            return model.cp.new_optional_fixed_size_interval_var(from_at.expr, self.length_s, present, name)
        hinted = None
        if from_at.hinted is not None and to_at.hinted is not None:
            hinted = max(0, to_at.hinted - from_at.hinted)
        length = model.moment(0, to_at.most - from_at.least, f"{name} for", hinted)
        if present is None:
            return model.cp.new_interval_var(from_at.expr, length.expr, to_at.expr, name)
        model.cp.add(length.expr == to_at.expr - from_at.expr)
        return model.cp.new_optional_interval_var(from_at.expr, length.expr, to_at.expr, present, name)


class Limit:
    """What takes one resource; :meth:`hold` makes the constraint.

    What cannot be moved is added up into one profile, cut off at what there is: where started food takes too much
    already, no plan could do otherwise, and the solver is not to fail over it.
    """

    def __init__(self, model: Model, capacity: int) -> None:
        self.model, self.capacity = model, capacity
        self.fixed: list[tuple[int, int, int]] = []
        self.uses: list[Use] = []

    def add_fixed(self, from_at: int, to_at: int, amount: int) -> None:
        """So much is taken between two instants that stand."""
        self.fixed.append((from_at, to_at, amount))

    def add(
        self, from_at: Moment, length_s: int, demand: Expression, name: str, present: cp.IntVar | None = None
    ) -> None:
        """So much is taken for so long; with ``present``, only where that is true."""
        if length_s > 0:
            self.uses.append(Use(from_at, from_at.later(length_s), length_s, demand, self._most(demand), name, present))

    def add_until(
        self, from_at: Moment, to_at: Moment, demand: Expression, name: str, present: cp.IntVar | None
    ) -> None:
        """So much is taken from one instant to another, neither of which need stand."""
        self.uses.append(Use(from_at, to_at, None, demand, self._most(demand), name, present))

    def _most(self, demand: Expression) -> int:
        return demand if isinstance(demand, int) else max(self.capacity, 1)

    def first_room(self, from_at: int, amount: int) -> int:
        """The first second from then on at which what cannot be moved leaves room for so much."""
        for since, to_at, taken in added_up(self.fixed):
            if since <= from_at < to_at and taken + amount > self.capacity:
                from_at = to_at
        return from_at

    def hold(self) -> None:
        """At no instant more than there is: said of what could ever meet so much else that there is not enough."""
        fixed = [(a, b, min(amount, self.capacity)) for a, b, amount in added_up(self.fixed)]
        crowded = [
            (a, b)
            for a, b, most in added_up([*fixed, *((use.from_at.least, use.to_at.most, use.most) for use in self.uses)])
            if most > self.capacity
        ]
        uses = [use for use in self.uses if any(a < use.to_at.most and use.from_at.least < b for a, b in crowded)]
        if not uses:
            return
        first, last = min(use.from_at.least for use in uses), max(use.to_at.most for use in uses)
        intervals, demands = [use.interval(self.model) for use in uses], [use.demand for use in uses]
        for from_at, to_at, taken in fixed:
            if from_at < last and first < to_at and taken > 0:
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
