"""What a course costs as it is placed: lateness and waiting, as cost.py has them."""

from kitchen_timer.plan.cost import BROKEN_PER_S, RESERVE_PER_S
from kitchen_timer.plan.jobs import late_for, lateness
from kitchen_timer.plan.swift.compiled import compiled
from kitchen_timer.plan.swift.tables import (
    ALONE,
    AT,
    COURSE_PART,
    END,
    FAR,
    FIRST,
    FLOOR,
    FOLLOWS,
    GAP,
    KEEPS,
    NEEDED_BY,
    PART_LOAD,
    PLATING,
    PORTIONS,
    RATE,
    READY,
    RESERVE,
    TARGET,
    WEIGHT,
    Sheet,
)

_lateness, _late_for = compiled(lateness), compiled(late_for)


@compiled
def earliest_of(s: Sheet, course: int) -> int:
    """The earliest landing by rule 8."""
    leads = s.given[course, FOLLOWS]
    if leads < 0:
        return int(s.given[course, FLOOR])
    return int(max(s.given[course, FLOOR], s.now[leads, AT] + s.given[leads, PLATING] + s.given[course, GAP]))


@compiled
def target_of(s: Sheet, course: int) -> int:
    """The landing from which on it is late."""
    if s.given[course, TARGET] > -FAR:
        return int(s.given[course, TARGET])
    return int(max(earliest_of(s, course), s.given[course, READY] + s.given[course, ALONE]))


@compiled
def lateness_of(s: Sheet, course: int) -> float:
    """Plate-seconds of its lateness."""
    return float(_lateness(s.given[course, WEIGHT], s.now[course, AT] - target_of(s, course)))


@compiled
def most_late(s: Sheet, course: int, cost: float) -> int:
    """The most seconds late that cost so much."""
    return int(min(_late_for(s.given[course, WEIGHT], cost), FAR))


@compiled
def cost_of(s: Sheet, course: int) -> float:
    """Plate-seconds of a course; begun food that stands too long counts as in the search (``BROKEN_PER_S``)."""
    cost, landing = lateness_of(s, course), s.now[course, AT]
    for part in range(s.given[course, COURSE_PART], s.given[course + 1, COURSE_PART]):
        until = -FAR
        for index in range(s.given[part, NEEDED_BY], s.given[part + 1, NEEDED_BY]):
            later = s.given[index, 0]
            for load in range(s.given[later, PART_LOAD], s.given[later + 1, PART_LOAD]):
                until = max(until, s.now[load, FIRST])
        if until == -FAR:
            until = landing
        for load in range(s.given[part, PART_LOAD], s.given[part + 1, PART_LOAD]):
            stands_s = until - s.now[load, END]
            cost += s.money[load, RATE] * max(0, stands_s) + BROKEN_PER_S * max(0, stands_s - s.given[part, KEEPS])
            if s.given[part, RESERVE]:
                past_s = stands_s - s.given[part, KEEPS] + s.given[part, RESERVE]
                cost += RESERVE_PER_S * s.given[load, PORTIONS] * min(s.given[part, RESERVE], max(0, past_s))
    return cost
