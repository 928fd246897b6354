"""The least that a question costs when every second of scarce hands and slots has a price instead of a limit.

With limits gone each course is on its own, and the best way to make it is found exactly, to the second, by dynamic
programming: for each landing the cheapest end of every load, for each end the cheapest starts. What the prices take in
for all there is of the resources is taken off again. The result is at most the cost of any plan, whatever the prices
(Lagrange): in a plan nothing takes more than there is, so it pays no more than is taken off.
"""

import numpy as np

from kitchen_timer.plan.exact.apart import Apart, Block, Party, Piece
from kitchen_timer.plan.exact.limits import Resource
from kitchen_timer.plan.exact.rows import NEVER, Row, laid, last_least, least_after, least_before, least_from, seconds
from kitchen_timer.plan.jobs import LATE_STEEP_S, LATE_STEEPER

AT_PASS = Resource("pass", "pass")


def late(party: Party, by: Row) -> Row:
    """Plate-seconds of a course so many seconds late."""
    by = np.maximum(0.0, by)
    cost: Row = party.wanted.weight * (by + LATE_STEEPER * np.maximum(0.0, by - LATE_STEEP_S))
    return cost


class Prices:
    """A price for each second of each resource that can be short, and what is taken at these prices."""

    def __init__(self, apart: Apart) -> None:
        self.apart = apart
        self.of: dict[Resource, Row] = {resource: np.zeros(apart.length) for resource in apart.short}
        self.taken: dict[Resource, Row] = {}
        """By what the last :meth:`least` chose."""
        self._sums: dict[Resource, Row] = {}

    def take_over(self) -> None:
        """After a closing: no price where nothing can be short any more."""
        for resource in list(self.of):
            if resource in self.apart.short:
                self.of[resource] = np.where(self.apart.short[resource], self.of[resource], 0.0)
            else:
                del self.of[resource]

    def least(self) -> float:
        """No plan in the windows costs less; what is chosen for it is counted in ``taken``."""
        self._sums = {resource: np.concatenate([[0.0], np.cumsum(row)]) for resource, row in self.of.items()}
        self.taken = {resource: np.zeros(self.apart.length) for resource in self.of}
        total = -sum(self.apart.room[resource] * float(row.sum()) for resource, row in self.of.items())
        for party in self.apart.tops:
            self._land(party)
            whole = self.landed(party)
            at = int(whole.argmin())
            total += float(whole[at])
            self._choose(party, party.first + at)
        return total

    def landed(self, party: Party) -> Row:
        """Of a course after no other: its least cost for each landing, with all that comes after it."""
        return party.cost + late(party, seconds(party.first, party.last) - party.target)

    def _paid(self, resource: Resource, first: int, last: int, since: int, until: int) -> Row:
        sums = self._sums[resource]
        return sums[first + until : last + until + 1] - sums[first + since : last + since + 1]

    def _land(self, party: Party) -> None:
        first, last = party.first, party.last
        cost = np.where(party.open, 0.0, NEVER)
        if AT_PASS in self._sums:
            cost += party.hands * self._paid(AT_PASS, first, last, 0, party.plating_s)
        for piece in party.pieces:
            self._make(piece)
            piece.worth = worth(piece, first, last)
            cost += piece.worth
        for later in party.next:
            self._land(later)
            later.worth = _after(later, first + later.gap_s, last + later.gap_s)
            cost += later.worth
        party.cost = cost

    def _make(self, piece: Piece) -> None:
        for index, block in enumerate(piece.blocks):
            cost = np.where(block.open, 0.0, NEVER)
            for take in block.takes:
                cost += take.amount * self._paid(take.resource, block.first, block.last, take.since, take.until)
            if index == 0:
                for feeder in piece.feeders:
                    self._make(feeder)
                    feeder.worth = worth(feeder, block.first, block.last)
                    cost += feeder.worth
            else:
                block.before = _waited(piece.blocks[index - 1], block)
                cost += block.before
            block.cost = cost

    def _choose(self, party: Party, landing: int) -> None:
        if AT_PASS in self.taken:
            self.taken[AT_PASS][landing : landing + party.plating_s] += party.hands
        for piece in party.pieces:
            self._chosen(piece, landing)
        for later in party.next:
            earliest = landing + later.gap_s
            since = max(0, earliest - later.first)
            target = later.target if later.fixed_target else max(later.target, earliest)
            costs = later.cost[since:] + late(later, seconds(later.first + since, later.last) - target)
            self._choose(later, later.first + since + int(costs.argmin()))

    def _chosen(self, piece: Piece, until: int) -> None:
        block = piece.blocks[-1]
        done = until - block.first - block.length_s
        since, to = max(0, done - piece.keeps_s), min(len(block.cost) - 1, done)
        start = block.first + since + last_least(block.cost[since : to + 1] - piece.rate * seconds(since, to))
        for index in range(len(piece.blocks) - 1, -1, -1):
            block = piece.blocks[index]
            block.chosen = start
            for take in block.takes:
                self.taken[take.resource][start + take.since : start + take.until] += take.at(start - block.first)
            if index:
                before = piece.blocks[index - 1]
                ready = start - before.length_s - before.first
                since, to = max(0, ready - block.wait_s), min(len(before.cost) - 1, ready)
                start = before.first + since + last_least(before.cost[since : to + 1])
        for feeder in piece.feeders:
            self._chosen(feeder, start)


def worth(piece: Piece, first: int, last: int) -> Row:
    """A load's least cost when it stands until each second from ``first`` to ``last``: its price and its standing."""
    block = piece.blocks[-1]
    since, to = block.first + block.length_s, block.last + block.length_s
    row = laid(block.cost - piece.rate * seconds(since, to), since, min(since, first), max(to, last))
    least = least_before(row, piece.keeps_s)[first - min(since, first) :][: last - first + 1]
    return least + piece.rate * seconds(first, last)


def _waited(before: Block, block: Block) -> Row:
    since, to = before.first + before.length_s, before.last + before.length_s
    first = min(since, block.first)
    row = least_before(laid(before.cost, since, first, max(to, block.last)), block.wait_s)
    return row[block.first - first :][: block.last - block.first + 1]


def _after(party: Party, first: int, last: int) -> Row:
    """A course's least cost when rule 8 lets it land from each second between ``first`` and ``last`` on."""
    since, to = min(first, party.first), max(last, party.last)
    row, at, weight = laid(party.cost, party.first, since, to), seconds(since, to), party.wanted.weight
    least = least_from(row + late(party, at - party.target))
    if not party.fixed_target:
        # The target is the earliest landing: late by the seconds from then on, and three times after five minutes.
        soon = least_after(row + weight * at, LATE_STEEP_S) - weight * at
        steep = weight * (1 + LATE_STEEPER)
        far = np.full(len(at), NEVER)
        if len(at) > LATE_STEEP_S:
            far[:-LATE_STEEP_S] = least_from(row + steep * at)[LATE_STEEP_S:]
            far[:-LATE_STEEP_S] -= steep * at[:-LATE_STEEP_S] + weight * LATE_STEEPER * LATE_STEEP_S
        least = np.where(at <= party.target, least, np.minimum(soon, far))
    return least[first - since : last - since + 1]
