"""An instant or a number that the solver chooses, with the value that the hinted plan gives it."""

from collections.abc import Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model as cp

Expression = cp.LinearExpr | int
"""What the solver reads: a number chosen, or one that stands."""

Found = cp.CpSolver | cp.CpSolverSolutionCallback
"""Where values of a plan found are read."""


@dataclass(frozen=True, eq=False)
class Moment:
    """A variable plus a constant, in whole seconds after ``now``; without a variable, fixed.

    ``hinted`` is its value in the plan that the search starts from, None where there is none; it is never under
    ``least`` nor over ``most``.
    """

    var: cp.IntVar | None
    plus: int
    hinted: int | None
    least: int
    most: int

    @classmethod
    def fixed(cls, at: int) -> "Moment":
        """An instant that nobody can choose."""
        return cls(None, at, at, at, at)

    def later(self, seconds: int) -> "Moment":
        """So many seconds after this one."""
        hinted = None if self.hinted is None else self.hinted + seconds
        return Moment(self.var, self.plus + seconds, hinted, self.least + seconds, self.most + seconds)

    @property
    def expr(self) -> Expression:
        """What the solver reads."""
        return self.plus if self.var is None else self.var + self.plus

    def value(self, found: Found) -> int:
        """Its value in the solution found."""
        return self.plus if self.var is None else int(found.value(self.var)) + self.plus


class Model:
    """A CP-SAT model that remembers the hint of every variable.

    A hint helps only when it is whole: a variable that the rules derive from others (the last of several starts, who
    rides along with whom) gets its hint from theirs.
    """

    def __init__(self) -> None:
        self.cp = cp.CpModel()
        self.hints: dict[int, tuple[cp.IntVar, int]] = {}

    def hint(self, var: cp.IntVar, value: int | None) -> None:
        """Remember what the hinted plan says of a variable."""
        if value is not None:
            self.hints[var.index] = (var, value)

    def moment(self, least: int, most: int, name: str, hinted: int | None = None) -> Moment:
        """A new instant between ``least`` and ``most``, both included."""
        most = max(least, most)
        var = self.cp.new_int_var(least, most, name)
        self.hint(var, hinted)
        return Moment(var, 0, hinted, least, most)

    def truth(self, name: str, hinted: bool | None = None) -> cp.IntVar:
        """A new yes or no."""
        var = self.cp.new_bool_var(name)
        self.hint(var, None if hinted is None else int(hinted))
        return var

    def latest(self, moments: Sequence[Moment], least: int, most: int, name: str) -> Moment:
        """The latest of several instants (at least one)."""
        if len(moments) == 1:
            return moments[0]
        if all(moment.var is None for moment in moments):
            return Moment.fixed(max(moment.plus for moment in moments))
        hinted = [moment.hinted for moment in moments]
        known = [value for value in hinted if value is not None]
        least = max(least, *(moment.least for moment in moments))
        most = min(most, max(moment.most for moment in moments))
        latest = self.moment(least, most, name, max(known) if len(known) == len(hinted) else None)
        self.cp.add_max_equality(latest.expr, [moment.expr for moment in moments])
        return latest

    def over(self, moment: Moment, since: Moment, allowed: int, most: int, name: str) -> Moment:
        """By how much ``moment - since`` is more than ``allowed``, never negative; tight only where it is minimised."""
        if moment.var is None and since.var is None:
            return Moment.fixed(max(0, moment.plus - since.plus - allowed))
        hinted = None
        if moment.hinted is not None and since.hinted is not None:
            hinted = max(0, moment.hinted - since.hinted - allowed)
        most = min(most, moment.most - since.least - allowed)
        if most <= 0:
            return Moment.fixed(0)
        over = self.moment(0, most, name, hinted)
        self.cp.add(over.expr >= moment.expr - since.expr - allowed)
        return over

    def give_hints(self) -> None:
        """Hand the hints to the solver; once, when the model is whole."""
        for var, value in self.hints.values():
            self.cp.add_hint(var, value)
