"""The rounds of the compiled search: what is tried, what is kept of it, and the best that there has been."""

import numpy as np

from kitchen_timer.plan.swift.again import MOST_OUT, again
from kitchen_timer.plan.swift.changes import LEAST, make_way
from kitchen_timer.plan.swift.compiled import compiled
from kitchen_timer.plan.swift.money import cost_of, earliest_of
from kitchen_timer.plan.swift.room import draw, land, move, note_course, put_as
from kitchen_timer.plan.swift.tables import (
    ALL,
    AT,
    BEST,
    CHANGED_COURSES,
    CHANGED_LOADS,
    COST,
    COURSES,
    COURSES_END,
    CYCLE,
    FOLLOWS,
    KEEP,
    KICK,
    LIFTED,
    LOAD_COURSE,
    LOADS,
    LOADS_END,
    LOG_COURSES,
    LOG_LOADS,
    LOGGED,
    LOWEST,
    MADE_WAY,
    NEW_COST,
    OFF,
    OLD,
    PUSHING,
    SINCE,
    STAYS,
    WARMTH,
    Sheet,
)

WAY = 0.9
"""How often loads make way in a round."""
WARM, COLD = 2.0, 0.1
"""By how much a round may end worse on average, at the start and at the end of a cycle: so many times what a course of
the best costs on average (the chance of more falls off exponentially, as in annealing: Kirkpatrick, Gelatt and Vecchi,
Science 220, 1983)."""
COOL_EVERY = 64
"""Rounds."""
FIRST_CYCLE, LONGER = 1000, 1.5
"""Rounds of the first cycle for each course, and how many times as long each is as the one before. After a cycle the
search goes back to the best, and on from there with a few courses put back in another order whatever it costs."""
KICKED, KICKED_MOST = 2, 6
"""So many courses."""


@compiled
def search(s: Sheet, rounds: int) -> int:
    """So many rounds; how many of them found something better than ever."""
    better = 0
    for _ in range(rounds):
        worse = -s.money[0, WARMTH] * np.log(1.0 - draw(s))
        s.now[0, MADE_WAY] = 0
        if s.now[0, KICK]:
            s.now[0, KICK], s.now[0, PUSHING] = 0, 0
            worse = np.inf
            fine = again(s, KICKED, KICKED_MOST, worse)
        else:
            s.now[0, PUSHING] = draw(s) < WAY
            fine = make_way(s, worse) if s.now[0, PUSHING] else again(s, 1, MOST_OUT, worse)
        if not fine or not settle(s, worse):
            roll_back(s)
        forget(s)
        if s.money[0, ALL] < s.money[0, LOWEST] - LEAST:
            better += 1
            keep_best(s)
        s.now[0, SINCE] += 1
        if s.now[0, SINCE] >= s.now[0, CYCLE]:
            go_back(s)
            begin_cycle(s, int(LONGER * s.now[0, CYCLE]))
            s.now[0, KICK] = 1
        elif s.now[0, SINCE] % COOL_EVERY == 0:
            cool(s)
    return better


@compiled
def begin_cycle(s: Sheet, rounds: int) -> None:
    """Begin a cycle of so many rounds, at its warmest, from the best."""
    s.now[0, CYCLE] = max(rounds, FIRST_CYCLE * (s.given[0, COURSES_END] - s.given[0, COURSES]))
    cool(s)


@compiled
def cool(s: Sheet) -> None:
    """As warm as it is to be so late in the cycle."""
    course = s.money[0, LOWEST] / max(1, s.given[0, COURSES_END] - s.given[0, COURSES])
    s.money[0, WARMTH] = course * WARM * (COLD / WARM) ** (s.now[0, SINCE] / max(1, s.now[0, CYCLE]))


@compiled
def keep_best(s: Sheet) -> None:
    """Remember the line as it is as the best."""
    s.money[0, LOWEST] = s.money[0, ALL]
    for row in range(s.given[0, COURSES], s.now.shape[0]):
        s.now[row, BEST] = s.now[row, AT]


@compiled
def settle(s: Sheet, worse: float) -> bool:
    """Price what the round has changed; False where it is not allowed or too much worse, and nothing is priced."""
    for index in range(s.now[0, CHANGED_LOADS]):
        note_course(s, s.given[s.now[index, LOG_LOADS], LOAD_COURSE])
    index = 0
    while index < s.now[0, CHANGED_COURSES]:
        course = s.now[index, LOG_COURSES]
        if s.now[course, AT] < earliest_of(s, course):
            return False
        if s.now[course, AT] != s.now[course, OLD]:
            for other in range(s.given[0, COURSES], s.given[0, COURSES_END]):
                if s.given[other, FOLLOWS] == course:
                    note_course(s, other)
        index += 1
    gained = 0.0
    for index in range(s.now[0, CHANGED_COURSES]):
        course = s.now[index, LOG_COURSES]
        s.money[course, NEW_COST] = cost_of(s, course)
        gained += s.money[course, COST] - s.money[course, NEW_COST]
    if gained < -worse - 1e-9:
        return False
    for index in range(s.now[0, CHANGED_COURSES]):
        course = s.now[index, LOG_COURSES]
        s.money[course, COST] = s.money[course, NEW_COST]
    s.money[0, ALL] -= gained
    return True


@compiled
def roll_back(s: Sheet) -> None:
    """All as it was before the round; all off first, for the rows of bits count no more than there ever is."""
    for index in range(s.now[0, CHANGED_LOADS]):
        load = s.now[index, LOG_LOADS]
        if not s.now[load, OFF]:
            move(s, load, -1)
    for index in range(s.now[0, CHANGED_LOADS]):
        put_as(s, s.now[index, LOG_LOADS], OLD)
    for index in range(s.now[0, CHANGED_COURSES]):
        course = s.now[index, LOG_COURSES]
        if not s.now[course, LIFTED]:
            land(s, course, -1)
    for index in range(s.now[0, CHANGED_COURSES]):
        course = s.now[index, LOG_COURSES]
        s.now[course, AT] = s.now[course, OLD]
        land(s, course, 1)


@compiled
def forget(s: Sheet) -> None:
    """The round is over."""
    for index in range(s.now[0, CHANGED_LOADS]):
        s.now[s.now[index, LOG_LOADS], LOGGED] = 0
    for index in range(s.now[0, CHANGED_COURSES]):
        course = s.now[index, LOG_COURSES]
        s.now[course, LOGGED] = 0
        s.now[course, LIFTED] = 0
    s.now[0, CHANGED_LOADS] = 0
    s.now[0, CHANGED_COURSES] = 0
    for load in range(s.given[0, LOADS], s.given[0, LOADS_END]):
        s.now[load, KEEP] = 0


@compiled
def go_back(s: Sheet) -> None:
    """Go back to the best that there has been."""
    s.now[0, SINCE] = 0
    if s.money[0, ALL] == s.money[0, LOWEST]:
        return
    # All off first: the rows of bits count no more than there ever is.
    for load in range(s.given[0, LOADS], s.given[0, LOADS_END]):
        if not s.given[load, STAYS]:
            move(s, load, -1)
    for load in range(s.given[0, LOADS], s.given[0, LOADS_END]):
        if not s.given[load, STAYS]:
            put_as(s, load, BEST)
    for course in range(s.given[0, COURSES], s.given[0, COURSES_END]):
        land(s, course, -1)
    for course in range(s.given[0, COURSES], s.given[0, COURSES_END]):
        s.now[course, AT] = s.now[course, BEST]
        land(s, course, 1)
    total = 0.0
    for course in range(s.given[0, COURSES], s.given[0, COURSES_END]):
        s.money[course, COST] = cost_of(s, course)
        total += s.money[course, COST]
    s.money[0, ALL] = total
    s.money[0, LOWEST] = total
