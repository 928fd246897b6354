"""The exact planner: the rules of a plan written as constraints, the cost as the goal, solved by CP-SAT.

Read ``variables`` (what is chosen), ``rules`` (one function per rule), ``goal`` (what is minimised) and ``solve``; for
bounds ``apart`` (courses that meet only through prices), ``prices``, ``closing`` and ``raising``.
"""

from kitchen_timer.plan.exact.goal import Goal
from kitchen_timer.plan.exact.solve import Solved, land_alone, solve

__all__ = ["Goal", "Solved", "land_alone", "solve"]
