"""What the compiled search reads and changes: a line of placed courses written on a sheet of numbers.

Courses, parts, loads, pieces, runs, uses and slots each have a row, one kind after another, and are named by their
row. A column that names the first row of what belongs to something ends before what the next row's column names, so
there is a row more after the last of each kind. Instants are seconds from the question's ``now``.

Few arrays, for what is compiled takes each apart at every call: ninety instead of four take it twice as long to run and
six times as long to compile.
"""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

NONE = -1
"""No course, no shared run, no slots."""
FAR = 1 << 40
"""Seconds beyond any evening."""


class Sheet(NamedTuple):
    """A line of courses, what the search makes of it, and room to work."""

    given: npt.NDArray[np.int64]
    """What stays as it is; columns below."""
    now: npt.NDArray[np.int64]
    """What changes, for the rows up to the pieces; other columns below."""
    bits: npt.NDArray[np.int64]
    """A bit a second. For each resource, rows with the seconds at which at least one, at least two and so on are taken;
    for each kind of shared run, a row with those at which one starts."""
    shared: npt.NDArray[np.int16]
    """For each kind of shared run, the portions that start together at each second."""
    money: npt.NDArray[np.float64]
    """Plate-seconds, for the rows up to the loads; other columns below."""


# Columns of ``given``.
COURSES, COURSES_END, LOADS, LOADS_END, SECONDS, SHARED = range(6)
"""Of row 0: first rows of courses and loads, and the rows after the last; how many seconds there are; the first row of
``bits`` that is of a kind of shared run."""
CAPACITY, LEVEL, LEVELS = range(3)
"""Of the rows after it, one for each resource. LEVEL, LEVELS: its first row of ``bits``, and how many it has."""
(
    COURSE_PART,
    COURSE_LOAD,
    WEIGHT,
    PASS_HANDS,
    PLATING,
    READY,
    FLOOR,
    TARGET,
    ALONE,
    FOLLOWS,
    GAP,
    HELD,
) = range(12)
"""Of a course. TARGET: -FAR where it depends on the course that it FOLLOWS; HELD: 1 where it lands when it does."""
PART_LOAD, KEEPS, RESERVE, AFTER, NEEDED_BY, PART_DISH, ORDER = range(7)
"""Of a part. AFTER and NEEDED_BY: first of the rows that name others in column 0. PART_DISH: the same for all parts of
one dish of a course. ORDER: not of this part, but the parts of the course in the way of placing backwards."""
LOAD_PIECE, LOAD_PART, LOAD_COURSE, PORTIONS, STAYS, BEGUN, USES_OF, HOLDS_ON = range(8)
"""Of a load. STAYS: 1 where it has begun or its station was told; USES_OF: a bit for each resource it uses; HOLDS_ON:
seconds after its end for which it holds of any at the most."""
PIECE_RUN, LENGTH, WAIT, HELD_SLOT, HELD_SLOTS = range(5)
RUN_USE, RUN_SLOT, OFFSET, JOIN = range(4)
"""Of a run. JOIN: the row of ``shared`` for its kind."""
USE_OF, USE_AMOUNT, USE_FROM, USE_TO = range(4)
"""Hands and slots, seconds from the start of the piece."""
SLOT_OF, SLOT_FITS, SLOT_FROM, SLOT_TO = range(4)
"""Slots that can be shared, and portions that fit in one."""

# Columns of ``now``.
AT, OLD, BEST = range(3)
"""Landing of a course, start of a piece: as it is, before the round, and in the best."""
FIRST, END, OFF, KEEP = range(3, 7)
"""Of a load: its first start and its end; 1 where it is not placed; 1 where it makes no way in this round."""
LIFTED, LIMIT = 5, 3
"""Of a course: 1 where it is not on the pass. Of a part: its loads are done by then."""
LOGGED = 7
"""1 where the round has changed a load or a course."""
LOG_LOADS, LOG_COURSES, HOLDERS, TAKEN_OFF, CHAIN, CHAIN_OF, OUT, FOUND, LOW = range(8, 17)
"""Lists from row 0 on. Loads and courses that the round has changed; loads or courses to choose from; loads taken off
just now; landings of courses that land sooner together, and which; courses taken out; starts of the pieces of the load
that is being placed, and the lowest that each may have."""
CHANGED_LOADS, CHANGED_COURSES, ARE_OFF, MADE_WAY, PUSHING, SINCE, CHANCE, KICK = range(8)
"""Of row 0: how many are on the two logs and how many loads are off, how many were taken off for others in this round,
1 where others make way, rounds since the cycle began, the state of chance, and 1 where the next round
changes the best at any price."""
MAY_GIVE, CYCLE = 17, 18
"""Of row 0: courses that may still give their place to others in this round; rounds of this cycle."""
COLUMNS = 19

# Columns of ``money``.
COST, NEW_COST = 0, 1
"""Of a course, and as the round has it."""
RATE = 0
"""Of a load: what a second of its standing costs."""
ALL, LOWEST, WARMTH = range(3)
"""Of row 0: cost of all, the lowest that there was, and by how much a round may end worse on average."""
