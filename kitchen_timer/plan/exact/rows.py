"""Rows of numbers, one a second: the least over a stretch that slides along, and rows laid beside one another."""

import numpy as np
from numpy.typing import NDArray

Row = NDArray[np.float64]
"""A number for each second from some second on."""
Open = NDArray[np.bool_]
"""A yes or no for each second from some second on."""

NEVER = 1e12
"""The cost of what cannot be."""


def least_before(row: Row, within: int) -> Row:
    """For each second the least of it and the ``within`` seconds before it."""
    most = min(within + 1, len(row))
    reach = 1
    while reach < most:
        step = min(reach, most - reach)
        wider = row.copy()
        np.minimum(row[step:], row[:-step], out=wider[step:])
        row, reach = wider, reach + step
    return row


def least_after(row: Row, within: int) -> Row:
    """For each second the least of it and the ``within`` seconds after it."""
    return least_before(row[::-1], within)[::-1]


def least_from(row: Row) -> Row:
    """For each second the least of it and all after it."""
    return np.minimum.accumulate(row[::-1])[::-1]


def laid(row: Row, since: int, first: int, last: int) -> Row:
    """A row that begins at second ``since``, over the seconds from ``first`` to ``last``; ``NEVER`` where it is not."""
    out = np.full(last - first + 1, NEVER)
    a, b = max(since, first), min(since + len(row) - 1, last)
    if a <= b:
        out[a - first : b - first + 1] = row[a - since : b - since + 1]
    return out


def seconds(first: int, last: int) -> Row:
    """The seconds themselves."""
    return np.arange(first, last + 1, dtype=np.float64)


def last_least(row: Row) -> int:
    """Where the least is; the last place of several."""
    return len(row) - 1 - int(row[::-1].argmin())
