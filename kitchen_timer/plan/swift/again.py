"""Courses put back in another order by the compiled search. The same ideas as in search.py, told there in full."""

from kitchen_timer.plan.swift.changes import LEAST, lift_for, pick_late
from kitchen_timer.plan.swift.compiled import compiled
from kitchen_timer.plan.swift.money import cost_of, earliest_of, most_late, target_of
from kitchen_timer.plan.swift.place import place_course
from kitchen_timer.plan.swift.room import draw, draw_to
from kitchen_timer.plan.swift.tables import (
    AT,
    COST,
    COURSES,
    COURSES_END,
    FOLLOWS,
    HELD,
    HOLDERS,
    LIFTED,
    OUT,
    Sheet,
)

MOST_OUT = 5
"""Courses taken out at once."""
NEAR = 8
"""They are drawn from so many that land nearest to the first."""
DEAR = 0.5
"""How often the first is a late one."""


@compiled
def again(s: Sheet, least: int, most: int, worse: float) -> bool:
    """Take a few courses out that land near one another and put them back in another order, if that is not worse."""
    count = with_followers(s, near_out(s, least, most))
    if count == 0:
        return False
    left = worse + LEAST
    for index in range(count):
        left += s.money[s.now[index, OUT], COST]
        other = draw_to(s, 0, index)
        s.now[index, OUT], s.now[other, OUT] = s.now[other, OUT], s.now[index, OUT]
    for _ in range(count):
        course = next_out(s)
        wanted = max(target_of(s, course), earliest_of(s, course))
        if not place_course(s, course, wanted, most_late(s, course, left)):
            return False
        s.now[course, LIFTED] = 0
        left -= cost_of(s, course)
        if left < 0:
            return False
    return True


@compiled
def near_out(s: Sheet, least: int, most: int) -> int:
    """Take a few courses out that land near one another: how many, in ``out``."""
    count = 0
    for course in range(s.given[0, COURSES], s.given[0, COURSES_END]):
        if not s.given[course, HELD]:
            s.now[count, HOLDERS] = course
            count += 1
    if count == 0:
        return 0
    centre = s.now[draw_to(s, 0, count - 1), HOLDERS]
    if draw(s) < DEAR:
        dear = pick_late(s)
        centre = dear if dear >= 0 else centre
    # Those that land nearest come first in `holders`.
    at, near = s.now[centre, AT], min(NEAR + 1, count)
    for first in range(near):
        for index in range(first + 1, count):
            if abs(s.now[s.now[index, HOLDERS], AT] - at) < abs(s.now[s.now[first, HOLDERS], AT] - at):
                s.now[index, HOLDERS], s.now[first, HOLDERS] = s.now[first, HOLDERS], s.now[index, HOLDERS]
    out = take_out(s, centre, 0)
    for _ in range(1, draw_to(s, min(least, near), min(most, near))):
        out = take_out(s, s.now[draw_to(s, 0, near - 1), HOLDERS], out)
    return out


@compiled
def with_followers(s: Sheet, count: int) -> int:
    """Take out what follows those in ``out``; how many are out then, 0 where one is held."""
    index = 0
    while index < count:
        for other in range(s.given[0, COURSES], s.given[0, COURSES_END]):
            if s.given[other, FOLLOWS] == s.now[index, OUT]:
                if s.given[other, HELD]:
                    return 0
                count = take_out(s, other, count)
        index += 1
    return count


@compiled
def take_out(s: Sheet, course: int, count: int) -> int:
    """Take a course out if it is not yet, and write it down in ``out`` after so many: how many are there then."""
    if s.now[course, LIFTED]:
        return count
    s.now[count, OUT] = course
    lift_for(s, course)
    return count + 1


@compiled
def next_out(s: Sheet) -> int:
    """The first in ``out`` that is not back and follows none that is not."""
    index = 0
    while True:
        course = s.now[index, OUT]
        leads = s.given[course, FOLLOWS]
        if s.now[course, LIFTED] and (leads < 0 or not s.now[leads, LIFTED]):
            return int(course)
        index += 1
