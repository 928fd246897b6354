"""The exact planner: the rules of a plan written as constraints, the cost as the goal, solved by CP-SAT.

Read ``variables`` (what is chosen), ``rules`` (one function per rule), ``goal`` (what is minimised) and ``solve``.
"""

from kitchen_timer.plan.exact.bound import bound_on_cost
from kitchen_timer.plan.exact.goal import Goal
from kitchen_timer.plan.exact.solve import Solved, land_alone, solve

__all__ = ["Goal", "Solved", "bound_on_cost", "land_alone", "solve"]
