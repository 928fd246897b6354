"""How loads make way in a round of the compiled search. The same ideas as in make_way.py, told there in full."""

from kitchen_timer.plan.swift.compiled import compiled
from kitchen_timer.plan.swift.money import earliest_of, lateness_of, most_late, target_of
from kitchen_timer.plan.swift.place import clear, lay_out, lift, place_course, place_loads, place_within, window
from kitchen_timer.plan.swift.room import draw, draw_to, land, note_course, pass_free_from, pass_is_taken, put, take
from kitchen_timer.plan.swift.tables import (
    ALONE,
    ARE_OFF,
    AT,
    CHAIN,
    CHAIN_OF,
    CHANGED_COURSES,
    COST,
    COURSE_LOAD,
    COURSE_PART,
    COURSES,
    COURSES_END,
    END,
    FAR,
    FOLLOWS,
    HELD,
    HOLDERS,
    KEEP,
    LIFTED,
    LIMIT,
    LOAD_COURSE,
    LOAD_PART,
    LOG_COURSES,
    LOG_LOADS,
    MAY_GIVE,
    OFF,
    PART_DISH,
    PART_LOAD,
    PLATING,
    PUSHING,
    RATE,
    READY,
    STAYS,
    TARGET,
    WEIGHT,
    Sheet,
)

LESS = 0.3
"""How often loads make way for a load that stands, and not for a late course."""
LEADS = 0.3
"""How often a course that is late because it follows another has that one land later: its target is then later too."""
TOGETHER = 0.7
"""How often what follows a course that lands sooner is landed sooner with it."""
OFTEN = 0.5
"""How often the change that would be best is tried, and not a part of it."""
LATER = 0.2
"""How often not a load that stands is done later, but its course lands later: what waits for the pass may cost more."""
WHOLE = 0.4
"""How often a load that stands is done later with all that comes before and after it, as late as all that goes."""
GIVES, MOST_GIVE = 0.7, 3
"""How often a course whose loads find no place for its landing may land otherwise, and how many of them in a round."""
TURNS, MOST_TURNED = 0.2, 2
"""How often a late course is to land whether or not others have the pass then, and how many of them then land later."""
LEAST = 1e-6
"""Plate-seconds that count as less."""


@compiled
def make_way(s: Sheet, worse: float) -> bool:
    """Loads make way for a late course, or for a load that stands; False where that does not go."""
    s.now[0, MAY_GIVE] = MOST_GIVE if draw(s) < GIVES else 0
    if draw(s) < LESS:
        return less(s) and put_back(s, worse)
    return sooner(s) and put_back(s, worse)


@compiled
def put_back(s: Sheet, worse: float) -> bool:
    """Put back all that was taken off, others making way in turn; what finds no place lands otherwise."""
    while True:
        if s.now[0, ARE_OFF] > 0:
            index = 0
            while not s.now[s.now[index, LOG_LOADS], OFF]:
                index += 1
            course = s.given[s.now[index, LOG_LOADS], LOAD_COURSE]
            fine = next_at_pass(s, course) if s.now[course, LIFTED] else place_loads(s, course)
            if not fine and not give_place(s, course, worse):
                return False
        else:
            course = too_soon(s)
            if course < 0:
                return True
            if not give_place(s, course, worse):
                return False


@compiled
def too_soon(s: Sheet) -> int:
    """A course that lands too soon after one that lands otherwise, where courses may give their place; -1: none."""
    if s.now[0, MAY_GIVE] > 0:
        for index in range(s.now[0, CHANGED_COURSES]):
            for other in range(s.given[0, COURSES], s.given[0, COURSES_END]):
                if s.given[other, FOLLOWS] == s.now[index, LOG_COURSES] and s.now[other, AT] < earliest_of(s, other):
                    return other
    return -1


@compiled
def give_place(s: Sheet, course: int, worse: float) -> bool:
    """Land a whole course otherwise, as soon as it goes, if that costs no more than the round has gained so far."""
    if s.now[0, MAY_GIVE] == 0 or s.given[course, HELD]:
        return False
    s.now[0, MAY_GIVE] -= 1
    lift_for(s, course)
    left = worse + LEAST
    for index in range(s.now[0, CHANGED_COURSES]):
        other = s.now[index, LOG_COURSES]
        left += s.money[other, COST]
        if not s.now[other, LIFTED]:
            left -= lateness_of(s, other)
    if left < 0:
        return False
    # No others make way for it: they would have no end.
    s.now[0, PUSHING] = 0
    wanted = max(target_of(s, course), earliest_of(s, course))
    fine = place_course(s, course, wanted, most_late(s, course, left))
    s.now[0, PUSHING] = 1
    if fine:
        s.now[course, LIFTED] = 0
    return fine


@compiled
def pick_late(s: Sheet) -> int:
    """A late course that may land otherwise, the dearer the likelier; -1: there is none."""
    total = 0.0
    for course in range(s.given[0, COURSES], s.given[0, COURSES_END]):
        if not s.given[course, HELD] and s.now[course, AT] > target_of(s, course):
            total += s.money[course, COST]
    at = draw(s) * total
    for course in range(s.given[0, COURSES], s.given[0, COURSES_END]):
        if not s.given[course, HELD] and s.now[course, AT] > target_of(s, course):
            at -= s.money[course, COST]
            if at < 0:
                return course
    return -1


@compiled
def sooner(s: Sheet) -> bool:
    """Have a late course land sooner, and what follows it; or the course that it follows later."""
    course = pick_late(s)
    if course < 0:
        return False
    wanted = max(target_of(s, course), earliest_of(s, course))
    old = s.now[course, AT]
    if wanted >= old:
        return False
    leads = s.given[course, FOLLOWS]
    if s.given[course, TARGET] == -FAR and leads >= 0 and not s.given[leads, HELD] and draw(s) < LEADS:
        by_s = old - wanted if draw(s) < OFTEN else draw_to(s, 1, old - wanted)
        return other_landing(s, leads, s.now[leads, AT] + by_s)
    if draw(s) < TURNS:
        landing = wanted if draw(s) < OFTEN else draw_to(s, wanted, old - 1)
    else:
        landing = between(s, course, wanted, old - 1)
        if landing < 0:
            return False
    by_s = old - landing
    lift_for(s, course)
    s.now[0, CHAIN], s.now[0, CHAIN_OF] = landing, course
    count, first = 1, course
    while count < s.now.shape[0]:
        changed = follower_of(s, first)
        if changed < 0 or draw(s) >= TOGETHER:
            break
        target = target_of(s, changed)
        at = s.now[changed, AT]
        low = max(s.given[changed, READY] + s.given[changed, ALONE], target - by_s)
        new = max(low, at - by_s)
        if low < new and draw(s) < OFTEN:
            new = draw_to(s, low, new)
        if new >= at:
            break
        lift_for(s, changed)
        s.now[count, CHAIN], s.now[count, CHAIN_OF] = new, changed
        by_s, first = at - new, changed
        count += 1
    for index in range(count):  # noqa: SIM110
        if not land_at(s, s.now[index, CHAIN_OF], s.now[index, CHAIN]):
            return False
    return True


@compiled
def follower_of(s: Sheet, course: int) -> int:
    """A course that may land otherwise and whose target depends on this one; -1: none."""
    for other in range(s.given[0, COURSES], s.given[0, COURSES_END]):
        if s.given[other, FOLLOWS] == course and s.given[other, TARGET] == -FAR and not s.given[other, HELD]:
            return other
    return -1


@compiled
def between(s: Sheet, course: int, low: int, high: int) -> int:
    """An instant from ``low`` to ``high`` at which the pass has hands to plate a course; -1: there is none."""
    land(s, course, -1)
    at = draw_to(s, low, high)
    found = at
    while found <= high and pass_is_taken(s, course, found):
        found += 1
    if found > high:
        found = at - 1
        while found >= low and pass_is_taken(s, course, found):
            found -= 1
    land(s, course, 1)
    return found if found >= low else -1


@compiled
def lift_for(s: Sheet, course: int) -> None:
    """Take a course off that the round is for."""
    lift(s, course)
    land(s, course, -1)
    s.now[course, LIFTED] = 1
    for load in range(s.given[course, COURSE_LOAD], s.given[course + 1, COURSE_LOAD]):
        s.now[load, KEEP] = 1


@compiled
def land_at(s: Sheet, course: int, landing: int) -> bool:
    """Land a course that was taken off, others making way."""
    for load in range(s.given[course, COURSE_LOAD], s.given[course + 1, COURSE_LOAD]):
        if s.given[load, STAYS] and s.now[load, END] > landing:
            return False
    if pass_is_taken(s, course, landing) and not turn_away(s, course, landing):
        return False
    s.now[course, AT] = landing
    land(s, course, 1)
    s.now[course, LIFTED] = 0
    return place_loads(s, course)


@compiled
def turn_away(s: Sheet, course: int, landing: int) -> bool:
    """Take courses off that have the pass when another is to land; False where those that can go are not enough."""
    to_s = landing + s.given[course, PLATING]
    for _ in range(MOST_TURNED):
        chosen, found = -1, 0
        for other in range(s.given[0, COURSES], s.given[0, COURSES_END]):
            at = s.now[other, AT]
            if s.given[other, HELD] or s.now[other, LIFTED] or at >= to_s or at + s.given[other, PLATING] <= landing:
                continue
            if s.given[other, COURSE_LOAD] == s.given[other + 1, COURSE_LOAD]:
                continue
            found += 1
            if draw_to(s, 1, found) == 1:
                chosen = other
        if chosen < 0:
            return False
        lift_for(s, chosen)
        if not pass_is_taken(s, course, landing):
            return True
    return False


@compiled
def next_at_pass(s: Sheet, course: int) -> bool:
    """Land a course that was turned away when the pass has hands for it, others making way."""
    old = s.now[course, AT]
    wanted = max(target_of(s, course), earliest_of(s, course))
    landing = pass_free_from(s, course, wanted if draw(s) < OFTEN else max(wanted, old))
    return landing >= 0 and land_at(s, course, landing)


@compiled
def other_landing(s: Sheet, course: int, landing: int) -> bool:
    """Land one course at another instant, others making way."""
    lift_for(s, course)
    return land_at(s, course, landing)


@compiled
def less(s: Sheet) -> bool:
    """Have food that stands done later, or its course land later."""
    count = 0
    for course in range(s.given[0, COURSES], s.given[0, COURSES_END]):
        if s.money[course, COST] > lateness_of(s, course) + LEAST:
            s.now[count, HOLDERS] = course
            count += 1
    if count == 0:
        return False
    course = s.now[draw_to(s, 0, count - 1), HOLDERS]
    landing = s.now[course, AT]
    if not s.given[course, HELD] and draw(s) < LATER:
        most = 1 + int((s.money[course, COST] - lateness_of(s, course)) / s.given[course, WEIGHT])
        return other_landing(s, course, landing + draw_to(s, 1, most))
    total, chosen, end = 0.0, -1, 0
    for load in range(s.given[course, COURSE_LOAD], s.given[course + 1, COURSE_LOAD]):
        if s.given[load, STAYS]:
            continue
        _, high = window(s, load, landing)
        stands = s.money[load, RATE] * (high - s.now[load, END])
        if stands > 0:
            total += stands
            if draw(s) * total < stands:
                chosen, end = load, high
    if chosen < 0:
        return False
    if draw(s) >= OFTEN:
        end = draw_to(s, s.now[chosen, END] + 1, end)
    if draw(s) < WHOLE:
        return later_whole(s, course, chosen, end)
    take(s, chosen)
    s.now[chosen, KEEP] = 1
    lay_out(s, chosen, end, False)
    if clear(s, chosen) != 0:
        return False
    put(s, chosen)
    return True


@compiled
def later_whole(s: Sheet, course: int, load: int, end: int) -> bool:
    """Have a load done later, and with it all of its dish, others making way."""
    landing = s.now[course, AT]
    dish = s.given[s.given[load, LOAD_PART], PART_DISH]
    for part in range(s.given[course, COURSE_PART], s.given[course + 1, COURSE_PART]):
        s.now[part, LIMIT] = FAR
        if s.given[part, PART_DISH] != dish:
            continue
        for other in range(s.given[part, PART_LOAD], s.given[part + 1, PART_LOAD]):
            if not s.given[other, STAYS]:
                take(s, other)
                s.now[other, KEEP] = 1
    s.now[s.given[load, LOAD_PART], LIMIT] = end
    note_course(s, course)
    return place_within(s, course, landing)
