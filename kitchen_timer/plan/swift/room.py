"""Whether there is room for a piece, and taking and giving back what a load needs (rules 5, 6 and 7)."""

import numpy as np

from kitchen_timer.plan.swift.bits import fewer, first_in, last_in, more
from kitchen_timer.plan.swift.compiled import compiled
from kitchen_timer.plan.swift.tables import (
    ARE_OFF,
    AT,
    CAPACITY,
    CHANCE,
    CHANGED_COURSES,
    CHANGED_LOADS,
    END,
    FIRST,
    FOUND,
    HELD_SLOT,
    HELD_SLOTS,
    JOIN,
    LENGTH,
    LEVEL,
    LEVELS,
    LOAD_PIECE,
    LOG_COURSES,
    LOG_LOADS,
    LOGGED,
    OFF,
    OFFSET,
    OLD,
    PASS_HANDS,
    PIECE_RUN,
    PLATING,
    PORTIONS,
    RUN_SLOT,
    RUN_USE,
    SECONDS,
    SHARED,
    SLOT_FITS,
    SLOT_FROM,
    SLOT_OF,
    SLOT_TO,
    USE_AMOUNT,
    USE_FROM,
    USE_OF,
    USE_TO,
    Sheet,
)


@compiled
def taken_at(s: Sheet, resource: int, amount: int, from_s: int, to_s: int) -> int:
    """The first second of a stretch at which there are not so many free; -1: there is none."""
    spare = s.given[1 + resource, CAPACITY] - amount
    if to_s > s.given[0, SECONDS]:
        return int(s.given[0, SECONDS])
    if spare < 0:
        return from_s
    return first_in(s.bits, s.given[1 + resource, LEVEL] + spare, from_s, to_s)


@compiled
def change(s: Sheet, resource: int, amount: int, from_s: int, to_s: int) -> None:
    """Take so many for a stretch; below 0: give back."""
    row, rows = s.given[1 + resource, LEVEL], s.given[1 + resource, LEVELS]
    if amount > 0:
        more(s.bits, row, rows, amount, max(0, from_s), to_s)
    elif amount < 0:
        fewer(s.bits, row, rows, -amount, max(0, from_s), to_s)


@compiled
def more_slots(others: int, portions: int, fits: int) -> int:
    """Slots that so many portions take beyond those of others with whom they share."""
    return (others + portions + fits - 1) // fits - (others + fits - 1) // fits


@compiled
def misses(s: Sheet, load: int, piece: int, start: int) -> int:
    """0 where a piece fits at that start; else by how many seconds sooner it may be looked for next."""
    portions, sooner_s = s.given[load, PORTIONS], 0
    for run in range(s.given[piece, PIECE_RUN], s.given[piece + 1, PIECE_RUN]):
        join, at = s.given[run, JOIN], start + s.given[run, OFFSET]
        others = int(s.shared[join, at]) if join >= 0 and at < s.given[0, SECONDS] else 0
        if others > 0:
            for slot in range(s.given[run, RUN_SLOT], s.given[run + 1, RUN_SLOT]):
                extra = more_slots(others, portions, s.given[slot, SLOT_FITS])
                from_s, to_s = start + s.given[slot, SLOT_FROM], start + s.given[slot, SLOT_TO]
                if extra > 0 and taken_at(s, s.given[slot, SLOT_OF], extra, from_s, to_s) >= 0:
                    return 1
            continue
        for use in range(s.given[run, RUN_USE], s.given[run + 1, RUN_USE]):
            to_s = start + s.given[use, USE_TO]
            second = taken_at(s, s.given[use, USE_OF], s.given[use, USE_AMOUNT], start + s.given[use, USE_FROM], to_s)
            if second >= 0:
                sooner_s = max(sooner_s, to_s - second)
    if sooner_s > 1:
        # It may share what another load takes on the way.
        for run in range(s.given[piece, PIECE_RUN], s.given[piece + 1, PIECE_RUN]):
            join = s.given[run, JOIN]
            if join < 0:
                continue
            at = start + s.given[run, OFFSET]
            low, high = at + 1 - min(sooner_s, start + 1), min(at, s.given[0, SECONDS])
            found = last_in(s.bits, s.given[0, SHARED] + join, low, high)
            if found >= 0:
                sooner_s = at - found
    return sooner_s


@compiled
def change_shared(s: Sheet, join: int, at: int, sign: int) -> None:
    """Remember that there is a shared run of a kind at a second (1), or that there is none any more (-1)."""
    if sign > 0:
        more(s.bits, s.given[0, SHARED] + join, 1, 1, at, at + 1)
    else:
        fewer(s.bits, s.given[0, SHARED] + join, 1, 1, at, at + 1)


@compiled
def move(s: Sheet, load: int, sign: int) -> None:
    """Take what a load needs where its starts are (1), or give it back (-1)."""
    portions, last = s.given[load, PORTIONS], s.given[load + 1, LOAD_PIECE] - 1
    for piece in range(s.given[load, LOAD_PIECE], last + 1):
        start = s.now[piece, AT]
        for run in range(s.given[piece, PIECE_RUN], s.given[piece + 1, PIECE_RUN]):
            join = s.given[run, JOIN]
            if join >= 0:
                at = start + s.given[run, OFFSET]
                others = s.shared[join, at] - (portions if sign < 0 else 0)
                s.shared[join, at] += sign * portions
                if others == 0:
                    change_shared(s, join, at, sign)
                if others > 0:
                    for slot in range(s.given[run, RUN_SLOT], s.given[run + 1, RUN_SLOT]):
                        extra = more_slots(others, portions, s.given[slot, SLOT_FITS])
                        if extra > 0:
                            from_s, to_s = start + s.given[slot, SLOT_FROM], start + s.given[slot, SLOT_TO]
                            change(s, s.given[slot, SLOT_OF], sign * extra, from_s, to_s)
                    continue
            for use in range(s.given[run, RUN_USE], s.given[run + 1, RUN_USE]):
                from_s, to_s = start + s.given[use, USE_FROM], start + s.given[use, USE_TO]
                change(s, s.given[use, USE_OF], sign * s.given[use, USE_AMOUNT], from_s, to_s)
        if s.given[piece, HELD_SLOT] >= 0 and piece < last:
            change(
                s,
                s.given[piece, HELD_SLOT],
                sign * s.given[piece, HELD_SLOTS],
                start + s.given[piece, LENGTH],
                s.now[piece + 1, AT],
            )


@compiled
def stand(s: Sheet, load: int) -> None:
    """Put a load where it starts."""
    piece, last = s.given[load, LOAD_PIECE], s.given[load + 1, LOAD_PIECE] - 1
    s.now[load, FIRST] = s.now[piece, AT]
    s.now[load, END] = s.now[last, AT] + s.given[last, LENGTH]
    move(s, load, 1)
    if s.now[load, OFF]:
        s.now[load, OFF] = 0
        s.now[0, ARE_OFF] -= 1


@compiled
def put(s: Sheet, load: int) -> None:
    """Put a load where it was found to fit."""
    piece = s.given[load, LOAD_PIECE]
    for index in range(s.given[load + 1, LOAD_PIECE] - piece):
        s.now[piece + index, AT] = s.now[index, FOUND]
    stand(s, load)


@compiled
def put_as(s: Sheet, load: int, column: int) -> None:
    """Put a load where another column has it."""
    for piece in range(s.given[load, LOAD_PIECE], s.given[load + 1, LOAD_PIECE]):
        s.now[piece, AT] = s.now[piece, column]
    stand(s, load)


@compiled
def take(s: Sheet, load: int) -> None:
    """Take a load off; where it was is remembered for the round."""
    if not s.now[load, LOGGED]:
        s.now[load, LOGGED] = 1
        s.now[s.now[0, CHANGED_LOADS], LOG_LOADS] = load
        s.now[0, CHANGED_LOADS] += 1
        for piece in range(s.given[load, LOAD_PIECE], s.given[load + 1, LOAD_PIECE]):
            s.now[piece, OLD] = s.now[piece, AT]
    move(s, load, -1)
    s.now[load, OFF] = 1
    s.now[0, ARE_OFF] += 1


@compiled
def note_course(s: Sheet, course: int) -> None:
    """Remember where a course landed before the round."""
    if not s.now[course, LOGGED]:
        s.now[course, LOGGED] = 1
        s.now[s.now[0, CHANGED_COURSES], LOG_COURSES] = course
        s.now[0, CHANGED_COURSES] += 1
        s.now[course, OLD] = s.now[course, AT]


@compiled
def land(s: Sheet, course: int, sign: int) -> None:
    """Take the pass for a course (1), or give it back (-1)."""
    landing = s.now[course, AT]
    change(s, 0, sign * s.given[course, PASS_HANDS], landing, landing + s.given[course, PLATING])


@compiled
def pass_is_taken(s: Sheet, course: int, landing: int) -> bool:
    """Whether the pass has no hands to plate a course that lands then."""
    to_s = landing + s.given[course, PLATING]
    return taken_at(s, 0, s.given[course, PASS_HANDS], landing, to_s) >= 0


@compiled
def pass_free_from(s: Sheet, course: int, landing: int) -> int:
    """The first instant from one on at which the pass has hands to plate a course; -1: there is none."""
    while pass_is_taken(s, course, landing):
        landing += 1
        if landing >= s.given[0, SECONDS]:
            return -1
    return landing


@compiled
def draw(s: Sheet) -> float:
    """A number of chance from 0 to below 1 (xorshift64: Marsaglia, Xorshift RNGs, J. Stat. Softw. 8(14), 2003)."""
    x = np.uint64(s.now[0, CHANCE])
    x ^= x << np.uint64(13)
    x ^= x >> np.uint64(7)
    x ^= x << np.uint64(17)
    s.now[0, CHANCE] = np.int64(x)
    return float(x >> np.uint64(11)) / 9007199254740992.0


@compiled
def draw_to(s: Sheet, low: int, high: int) -> int:
    """A whole number of chance from ``low`` to ``high``."""
    return low + int(draw(s) * (high - low + 1))
