"""Stretches of seconds in rows of bits, a second a bit and 64 in a word, as ``profile.py`` has them in long integers.

Words are signed, for a signed and an unsigned number together are a float to the compiler: ``-1`` is all bits.
"""

import numpy as np
import numpy.typing as npt

from kitchen_timer.plan.swift.compiled import compiled

Bits = npt.NDArray[np.int64]

WORD = 64
"""Bits in a word."""
_DE_BRUIJN = 0x03F79D71B4CB0A89
"""Every six bits of it in a row are another number, so that they tell which single bit it was multiplied by (Leiserson,
Prokop and Randall, Using de Bruijn Sequences to Index a 1 in a Computer Word, 1998)."""
_NUMBERS = np.zeros(WORD, dtype=np.int64)
for _bit in range(WORD):
    _NUMBERS[(_DE_BRUIJN << _bit & (1 << WORD) - 1) >> WORD - 6] = _bit


@compiled
def _number(bit: int | np.int64) -> int:
    """The number of the one bit that is set in a word."""
    return int(_NUMBERS[np.int64(np.uint64(bit * _DE_BRUIJN) >> np.uint64(WORD - 6))])


@compiled
def _from(second: int) -> int:
    """The bits of its word from a second on."""
    return -1 << (second & 63)


@compiled
def _until(second: int) -> int:
    """The bits of its word up to a second, its own too."""
    return ~(-2 << (second & 63))


@compiled
def _of_word(word: int, from_s: int, to_s: int) -> int:
    """The bits of a word that are in a stretch, which it has some of."""
    where = -1
    if word == from_s >> 6:
        where &= _from(from_s)
    if word == (to_s - 1) >> 6:
        where &= _until(to_s - 1)
    return where


@compiled
def first_in(bits: Bits, row: int, from_s: int, to_s: int) -> int:
    """The first second of a stretch that is set; -1: there is none."""
    if from_s >= to_s:
        return -1
    word, last = from_s >> 6, (to_s - 1) >> 6
    found = bits[row, word] & _from(from_s)
    while word < last:
        if found != 0:
            return (word << 6) + _number(found & -found)
        word += 1
        found = bits[row, word]
    found &= _until(to_s - 1)
    return (word << 6) + _number(found & -found) if found != 0 else -1


@compiled
def last_in(bits: Bits, row: int, from_s: int, to_s: int) -> int:
    """The last second of a stretch that is set; -1: there is none."""
    if from_s >= to_s:
        return -1
    first, word = from_s >> 6, (to_s - 1) >> 6
    found = bits[row, word] & _until(to_s - 1)
    while found == 0 and word > first:
        word -= 1
        found = bits[row, word]
    if word == first:
        found &= _from(from_s)
    if found == 0:
        return -1
    below = np.uint64(found)
    for by in (1, 2, 4, 8, 16, 32):
        below |= below >> np.uint64(by)
    return (word << 6) + _number(np.int64(below - (below >> np.uint64(1))))


@compiled
def more(bits: Bits, row: int, rows: int, amount: int, from_s: int, to_s: int) -> None:
    """Count so many more in a stretch: of ``rows`` rows the first has the seconds with one or more, and so on."""
    if from_s >= to_s:
        return
    for word in range(from_s >> 6, ((to_s - 1) >> 6) + 1):
        where = _of_word(word, from_s, to_s)
        for level in range(rows - 1, amount - 1, -1):
            bits[row + level, word] |= bits[row + level - amount, word] & where
        for level in range(min(amount, rows)):
            bits[row + level, word] |= where


@compiled
def fewer(bits: Bits, row: int, rows: int, amount: int, from_s: int, to_s: int) -> None:
    """Count so many fewer in a stretch."""
    if from_s >= to_s:
        return
    for word in range(from_s >> 6, ((to_s - 1) >> 6) + 1):
        where = _of_word(word, from_s, to_s)
        for level in range(rows - amount):
            bits[row + level, word] &= bits[row + level + amount, word] | ~where
        for level in range(max(0, rows - amount), rows):
            bits[row + level, word] &= ~where
