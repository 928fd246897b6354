"""Closes landings and starts that are in no plan as cheap as the one in hand.

At given prices (``prices``) the least cost with a course landing at one second, or a load starting at one, is known for
every second at once: forwards it is what ``Prices.least`` worked out, backwards what all the rest costs. Where that is
more than the plan in hand costs, the second is closed. Windows only ever shrink, and they have holes.
"""

import numpy as np

from kitchen_timer.plan.exact.apart import Apart, Block, Party, Piece
from kitchen_timer.plan.exact.prices import Prices, late
from kitchen_timer.plan.exact.rows import NEVER, Open, Row, laid, least_after, least_before, seconds
from kitchen_timer.plan.jobs import LATE_STEEP_S, LATE_STEEPER

NEAR = 1e-6
"""So many plate-seconds dearer than the plan in hand counts as no dearer: rounding must not close that plan itself."""


def close(apart: Apart, prices: Prices, least: float) -> bool:
    """Close what costs more than the plan in hand; ``least`` is what ``prices.least()`` has just given.

    True where anything was closed; ``apart`` and ``prices`` are then measured anew.
    """
    closing = _Closing(apart.most_cost + NEAR)
    for party in apart.tops:
        whole = prices.landed(party)
        closing.party(party, whole + (least - float(whole.min())))
    if closing.closed:
        for party in apart.parties.values():
            party.first, party.last, party.open = _narrow(party.first, party.open)
        for piece in apart.pieces:
            for block in piece.blocks:
                block.first, block.last, block.open = _narrow(block.first, block.open)
        apart.measure()
        prices.take_over()
    return closing.closed


def _narrow(first: int, may: Open) -> tuple[int, int, Open]:
    places = np.flatnonzero(may)
    if not len(places):  # only where the plan in hand breaks a rule: what it costs says nothing then
        return first, first + len(may) - 1, np.ones_like(may)
    a, b = int(places[0]), int(places[-1])
    return first + a, first + b, may[a : b + 1]


class _Closing:
    def __init__(self, most: float) -> None:
        self.most = most
        self.closed = False

    def _keep(self, what: Party | Block, costs: Row) -> None:
        stays = what.open & (costs <= self.most)
        if stays.sum() < what.open.sum():
            what.open, self.closed = stays, True

    def party(self, party: Party, costs: Row) -> None:
        """``costs``: of everything, for each landing of this course."""
        self._keep(party, costs)
        for piece in party.pieces:
            self.piece(piece, party.first, costs)
        for later in party.next:
            # All but the later course, for each second from which it may land; then with it, for each of its landings.
            others = np.where(party.open, costs - later.worth, NEVER)
            self.party(later, _then(later, others, party.first + later.gap_s) + later.cost)

    def piece(self, piece: Piece, first: int, costs: Row) -> None:
        """``costs``: of everything, for each second from ``first`` on at which what the load waits for is."""
        block, last = piece.blocks[-1], first + len(costs) - 1
        since, to = block.first + block.length_s, block.last + block.length_s
        others = costs - piece.worth + piece.rate * seconds(first, last)
        row = least_after(laid(others, first, min(first, since), max(last, to)), piece.keeps_s)
        whole = block.cost - piece.rate * seconds(since, to) + row[since - min(first, since) :][: to - since + 1]
        for index in range(len(piece.blocks) - 1, -1, -1):
            block = piece.blocks[index]
            self._keep(block, whole)
            if index:
                before = piece.blocks[index - 1]
                since, to = before.first + before.length_s, before.last + before.length_s
                lowest, highest = min(block.first, since), max(block.last, to)
                row = least_after(laid(whole - block.before, block.first, lowest, highest), block.wait_s)
                whole = before.cost + row[since - lowest :][: to - since + 1]
        for feeder in piece.feeders:
            self.piece(feeder, piece.blocks[0].first, whole)


def _then(party: Party, others: Row, since: int) -> Row:
    """``others`` cost so much for each second from ``since`` on from which a course may land: with its lateness, for
    each of its landings."""
    first, last = min(since, party.first), max(since + len(others) - 1, party.last)
    row, at, weight = laid(others, since, first, last), seconds(first, last), party.wanted.weight
    on_time = row if party.fixed_target else np.where(at <= party.target, row, NEVER)
    least = np.minimum.accumulate(on_time) + late(party, at - party.target)
    if not party.fixed_target:
        moved, steep = np.where(at > party.target, row, NEVER), weight * (1 + LATE_STEEPER)
        least = np.minimum(least, least_before(moved - weight * at, LATE_STEEP_S) + weight * at)
        if len(at) > LATE_STEEP_S:
            far = np.minimum.accumulate(moved - steep * at)[:-LATE_STEEP_S] + steep * at[LATE_STEEP_S:]
            least[LATE_STEEP_S:] = np.minimum(least[LATE_STEEP_S:], far - weight * LATE_STEEPER * LATE_STEEP_S)
    return least[party.first - first : party.last - first + 1]
