"""How much of every resource is taken, second by second, as big integers: bit t stands for second t.

Thermometer coding: of each resource, level k has bit t set where at least k of it are taken at second t. Whether
q more are to be had is then one look at level ``capacity - q + 1``, and a whole evening is tested in a few shifts
and ORs. Above the highest bit everything is free, so there is no horizon. Sets of seconds are held by what is
*blocked* in them, which keeps the integers non-negative (Python's bit operations on negative ones cost more).
"""

from collections.abc import Sequence
from itertools import count


def span(from_s: int, to_s: int) -> int:
    """The seconds ``from_s <= t < to_s`` as bits; those before 0 are left out."""
    from_s = max(0, from_s)
    return ((1 << (to_s - from_s)) - 1) << from_s if to_s > from_s else 0


def touching(taken: int, width_s: int) -> int:
    """Starts t at which the stretch ``t .. t + width_s`` meets a taken second."""
    have = 1
    while have * 2 <= width_s:
        taken |= taken >> have
        have *= 2
    if have < width_s:
        taken |= taken >> (width_s - have)
    return taken


def later(blocked: int, by_s: int) -> int:
    """The same set of seconds ``by_s`` later; nothing lies before it."""
    return (blocked << by_s) | ((1 << by_s) - 1)


def spread(blocked: int, wait_s: int) -> int:
    """Blocked seconds of ``{t + w: t allowed, 0 <= w <= wait_s}``."""
    have = 0
    while have < wait_s:
        by_s = have + 1 if have + have < wait_s else wait_s - have
        blocked &= (blocked << by_s) | ((1 << by_s) - 1)
        have += by_s
    return blocked


def spread_holding(blocked: int, wait_s: int, taken: int) -> int:
    """As :func:`spread`, where the seconds waited through must not be ``taken``."""
    have = 0
    while have < wait_s:
        by_s = min(have + 1, wait_s - have)
        blocked &= later(blocked, by_s) | (touching(taken, by_s) << by_s)
        have += by_s
    return blocked


def first_free(blocked: int, from_s: int) -> int:
    """The first second at or after ``from_s`` that is not blocked: there always is one."""
    ahead = blocked >> from_s
    return from_s + ((ahead + 1) & ~ahead).bit_length() - 1


def last_free(blocked: int, from_s: int, to_s: int) -> int | None:
    """The last second of ``from_s <= t <= to_s`` that is not blocked; None where there is none."""
    from_s = max(0, from_s)
    if to_s < from_s:
        return None
    free = ~(blocked >> from_s) & ((1 << (to_s - from_s + 1)) - 1)
    return from_s + free.bit_length() - 1 if free else None


Kept = tuple[list[list[int]], list[int], list[dict[tuple[int, int], int] | None]]
_STAMPS = count(1)


class Profile:
    """What is taken of every resource, from second 0 on. Resources are numbered from 0."""

    __slots__ = ("_levels", "_seen", "_stamps", "capacities")

    def __init__(self, capacities: Sequence[int]) -> None:
        self.capacities = tuple(capacities)
        # Levels are shared with snapshots: never changed in place.
        self._levels: list[list[int]] = [[] for _ in self.capacities]
        self._stamps = [0] * len(self.capacities)
        self._seen: list[dict[tuple[int, int], int] | None] = [None] * len(self.capacities)

    def stamp(self, resource: int) -> int:
        """A number that names the present state of a resource: equal stamps, equal state."""
        return self._stamps[resource]

    def levels(self, resource: int) -> list[int]:
        """Of a resource, the seconds at which at least one, at least two and so on are taken."""
        return self._levels[resource]

    def touch(self, resource: int) -> None:
        """Give the resource's state a new stamp."""
        self._stamps[resource] = next(_STAMPS)

    def be_as(self, other: "Profile", resource: int) -> None:
        """Have as much taken of a resource as another profile has."""
        self._levels[resource] = other._levels[resource]
        self.touch(resource)
        self._seen[resource] = None

    def add(self, resource: int, amount: int, from_s: int, to_s: int) -> None:
        """Take so many from ``from_s`` until ``to_s``; more than there are counts too (what has begun may ask it)."""
        if (where := span(from_s, to_s)) and amount > 0:
            self.take(resource, amount, where)

    def remove(self, resource: int, amount: int, from_s: int, to_s: int) -> None:
        """Give back what :meth:`add` took."""
        if (where := span(from_s, to_s)) and amount > 0:
            self.give(resource, amount, where)

    def take(self, resource: int, amount: int, where: int) -> None:
        """Take so many at the seconds ``where``, of which there is at least one."""
        levels = self._levels[resource]
        for _ in range(amount):
            # One more of it: at every second the lowest level that is free there is taken.
            raised, more = levels.copy(), where
            for k, level in enumerate(levels):
                raised[k] = level | more
                more &= level
                if not more:
                    break
            else:
                raised.append(more)
            levels = raised
        self._levels[resource] = levels
        self._stamps[resource] = next(_STAMPS)
        self._seen[resource] = None

    def give(self, resource: int, amount: int, where: int) -> None:
        """Give back what :meth:`take` took."""
        levels = self._levels[resource].copy()
        for _ in range(amount):
            # One less: at every second the highest level that is taken there becomes free.
            top = len(levels) - 1
            for k in range(top):
                above = levels[k + 1] & where
                levels[k] ^= (levels[k] & where) ^ above
                if not above:
                    break
            else:
                if levels:
                    levels[top] ^= levels[top] & where
            while levels and not levels[-1]:
                levels.pop()
        self._levels[resource] = levels
        self._stamps[resource] = next(_STAMPS)
        self._seen[resource] = None

    def quiet_from(self) -> int:
        """The second from which on nothing is taken of anything."""
        return max((level.bit_length() for levels in self._levels for level in levels), default=0)

    def full(self, resource: int, amount: int) -> int:
        """Seconds at which fewer than ``amount`` are free; -1 (all of them) where there never are so many."""
        level = self.capacities[resource] - amount
        if level < 0:
            return -1
        levels = self._levels[resource]
        return levels[level] if level < len(levels) else 0

    def starts_blocked(self, resource: int, amount: int, from_s: int, to_s: int) -> int:
        """Starts t at which ``amount`` cannot be had from ``t + from_s`` until ``t + to_s``; -1: never."""
        width_s = to_s - from_s
        seen = self._seen[resource]
        if seen is None:
            seen = self._seen[resource] = {}
        found = seen.get((amount, width_s))
        if found is None:
            found = seen[amount, width_s] = touching(self.full(resource, amount), width_s)
        return found >> from_s

    def is_free(self, resource: int, amount: int, from_s: int, to_s: int) -> bool:
        """Whether ``amount`` can be had from ``from_s`` until ``to_s``."""
        return not self.full(resource, amount) & span(from_s, to_s)

    def snapshot(self) -> Kept:
        """The present state, for :meth:`restore`."""
        return self._levels.copy(), self._stamps.copy(), self._seen.copy()

    def restore(self, kept: Kept) -> None:
        """Go back to a state kept before; the same snapshot may be restored again."""
        self._levels, self._stamps, self._seen = kept[0].copy(), kept[1].copy(), kept[2].copy()
