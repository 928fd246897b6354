"""The compiled search, bound to a line of placed courses."""

from collections.abc import Callable

import numpy as np

from kitchen_timer.plan.line import Line
from kitchen_timer.plan.swift.rounds import search
from kitchen_timer.plan.swift.tables import COLUMNS, Sheet
from kitchen_timer.plan.swift.writing import Written, have_so

LOOK_S = 0.004
"""How often a running search looks whether it is to stop."""
FIRST_ROUNDS, MOST_ROUNDS = 20, 500
"""Rounds before the first look, and at most between two."""

MOST_VAIN = 4000
"""It is in vain after so many rounds for each course that find nothing better than ever."""


def compile_all() -> None:
    """Compile what a search calls, by a search of nothing."""
    given, now = np.zeros((2, 12), dtype=np.int64), np.zeros((2, COLUMNS), dtype=np.int64)
    bits, shared = np.zeros((1, 1), dtype=np.int64), np.zeros((1, 1), dtype=np.int16)
    search(Sheet(given, now, bits, shared, np.zeros((2, 3))), 0)


class Swift:
    """A search that goes on from a line of placed courses, and what it has found better than that."""

    def __init__(self, line: Line, seed: int) -> None:
        self.line = line
        self._written = Written(line, seed)
        self._rounds = FIRST_ROUNDS
        self.vain = 0
        """Rounds since the best."""

    @property
    def in_vain(self) -> bool:
        """Whether nothing better than ever has been found for long."""
        return self.vain > MOST_VAIN * len(self._written.courses)

    def go(self, elapsed: Callable[[], float], until: float, enough: Callable[[], bool]) -> bool:
        """Search until an instant of ``elapsed``, or till ``enough``, or in vain; True: the line could be better."""
        better = False
        while (since := elapsed()) < until and not enough() and not self.in_vain:
            if search(self._written.sheet, self._rounds):
                better, self.vain = True, 0
            else:
                self.vain += self._rounds
            took_s = max(elapsed() - since, 1e-6)
            self._rounds = max(1, min(MOST_ROUNDS, int(self._rounds * min(2.0, LOOK_S / took_s))))
        return better

    def have_best(self) -> None:
        """Have the courses of the line as they are in the best."""
        found = self._written.best()
        have_so(self.line, found)
        self._written.courses = [self.line.placed[course.job.key] for course in self._written.courses]
