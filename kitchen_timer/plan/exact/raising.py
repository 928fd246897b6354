"""Raises prices where too much is taken and lowers them where there is room, until they prove no more.

Subgradient steps towards the cost of the plan in hand (Polyak's length), smoothed over rounds. Any prices prove a
bound, so nothing here has to be exact. Neighbouring seconds share a price: fewer to be found, and no bound is worse for
being one that fewer prices prove.
"""

from collections.abc import Callable, Iterable, Mapping

import numpy as np
from ortools.sat.python import cp_model as cp

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.exact.apart import Apart
from kitchen_timer.plan.exact.closing import close
from kitchen_timer.plan.exact.limits import Resource
from kitchen_timer.plan.exact.prices import Prices
from kitchen_timer.plan.exact.rows import Open, Row
from kitchen_timer.plan.exact.variables import Times
from kitchen_timer.plan.exact.windows import Windows, price_in_hand
from kitchen_timer.plan.loads import Load
from kitchen_timer.plan.question import CourseKey, Question

TOGETHER_S = 5
"""So many seconds share a price."""
NEWEST = 0.85
"""How much the newest round counts in the smoothed step: at ten courses 0.25 proves a quarter less in 160 rounds."""
AGAIN = 0.4
"""How long the first steps are when a cheaper plan is in hand: prices are near where they belong."""
IN_VAIN = 10
"""After so many rounds that prove little more, steps become shorter,"""
SHORTER = 0.75
"""by this factor,"""
SHORTEST = 1e-3
"""and when they are as short as this nothing more comes of it."""
LITTLE = 2e-3
"""Of what is still unproven: a round that proves no more than this was in vain."""
CLOSE_EVERY = 12
"""Rounds between closings; a closing costs about as much as two."""
SHARE_EVERY = 15
"""Rounds after which shared handling is shared anew."""
LEAN = 0.5
"""How much a round makes courses lean, at first."""


class Raising:
    """The bound proven so far for one way to split every course, and the windows that the plan in hand leaves open."""

    def __init__(
        self, question: Question, splits: Iterable[Load], targets: Mapping[CourseKey, int], hint: Answer
    ) -> None:
        """``question`` must be one that can be taken apart; ``hint`` holds every course in ``targets``."""
        self.splits, self.targets = tuple(splits), targets
        self.apart = Apart(question, self.splits, targets, hint)
        self.prices = Prices(self.apart)
        self.bound = 0.0
        """Proven: no plan with these loads costs less, in plate-seconds."""
        self.rounds = 0
        self._highest = -float("inf")
        self._best: dict[Resource, Row] = {}
        self._leaning = {key: row.copy() for key, row in self.apart.leaning.items()}

    def cheaper(self, hint: Answer) -> None:
        """A cheaper plan is in hand: more can be closed."""
        cost = price_in_hand(self.apart.question, self.targets, self.targets, hint)
        self.apart.most_cost = min(self.apart.most_cost, cost)

    @property
    def proven(self) -> bool:
        """Whether nothing costs less than the plan in hand."""
        return self.bound >= self.apart.most_cost - 1e-6

    def narrow(self, windows: Windows) -> None:
        """Make windows no wider than what is still open."""
        for key, party in self.apart.parties.items():
            window = windows.of[key]
            window.least, window.most = max(window.least, party.first), min(window.most, party.last)
        for piece in self.apart.pieces:
            starts, block = windows.of[piece.key.of_course].starts, piece.blocks[0]
            first, last = starts[piece.key]
            starts[piece.key] = (max(first, block.first), min(last, block.last))

    def keep_shut(self, times: Times) -> None:
        """Let the solver choose only what is still open, holes and all."""
        model = times.model.cp
        for key, party in self.apart.parties.items():
            model.add_linear_expression_in_domain(times.courses[key].landing.expr, _domain(party.first, party.open))
        loads = {load.key: load for course in times.courses.values() for load in course.loads}
        for piece in self.apart.pieces:
            for block in piece.blocks:
                start = loads[piece.key].starts[block.steps[0].step]
                model.add_linear_expression_in_domain(start.expr, _domain(block.first, block.open))

    def go(self, enough: Callable[[], bool]) -> None:
        """Go on until ``enough`` says so or prices prove no more."""
        apart, prices = self.apart, self.prices
        length = AGAIN if self.rounds else 1.0
        vain = since = 0
        smooth: dict[Resource, Row] = {}
        while not self.proven and length > SHORTEST and not enough():
            least = prices.least()
            self.rounds += 1
            since += 1
            vain += 1
            if least > self._highest:
                if least > self._highest + LITTLE * (apart.most_cost - self._highest):
                    vain = 0
                self._highest, self.bound = least, max(self.bound, least)
                self._remember()
                if since >= CLOSE_EVERY:
                    since = 0
                    if close(apart, prices, least):
                        smooth = {}
            if vain >= IN_VAIN:
                length, vain = length * SHORTER, 0
            smooth = self._step(smooth, length, max(apart.most_cost - least, 1e-3 * apart.most_cost))
            apart.lean(LEAN * length)
            if self.rounds % SHARE_EVERY == 0:
                apart.share_anew()
            if not smooth:
                break
        if not self._best:
            return
        self._recall()
        least = prices.least()
        self.bound = max(self.bound, least)
        close(apart, prices, least)

    def _step(self, smooth: dict[Resource, Row], length: float, missing: float) -> dict[Resource, Row]:
        prices, short = self.prices, self.apart.short
        directions: dict[Resource, Row] = {}
        squared = 0.0
        for resource, row in prices.of.items():
            taken = prices.taken.get(resource)
            if taken is None:
                continue
            over = taken - self.apart.room[resource]
            over = _together(np.where(short[resource], over, np.minimum(over, 0.0)))
            if resource in smooth:
                over = NEWEST * over + (1 - NEWEST) * smooth[resource]
            smooth[resource] = over
            direction = np.where((_together(row) <= 0) & (over < 0), 0.0, over)
            squared += float((direction**2).sum()) * TOGETHER_S
            directions[resource] = direction
        if squared < 1e-9:
            return {}
        for resource, direction in directions.items():
            raised = np.maximum(0.0, _together(prices.of[resource]) + length * missing / squared * direction)
            prices.of[resource] = np.repeat(raised, TOGETHER_S)
        return {resource: row for resource, row in smooth.items() if resource in prices.of}

    def _remember(self) -> None:
        self._best = {resource: row.copy() for resource, row in self.prices.of.items()}
        self._leaning = {key: row.copy() for key, row in self.apart.leaning.items()}

    def _recall(self) -> None:
        self.prices.of = {
            resource: self._best.get(resource, np.zeros(self.apart.length)) for resource in self.apart.short
        }
        self.prices.take_over()
        self.apart.leaning = {key: row.copy() for key, row in self._leaning.items()}
        self.apart.share_anew()


def _domain(first: int, may: Open) -> cp.Domain:
    edges = np.flatnonzero(np.diff(np.concatenate([[False], may, [False]]).astype(np.int8)))
    return cp.Domain.from_intervals([[first + int(a), first + int(b) - 1] for a, b in edges.reshape(-1, 2)])


def _together(row: Row) -> Row:
    mean: Row = row.reshape(-1, TOGETHER_S).mean(axis=1)
    return mean
