"""Placing loads: each as late as it goes for a landing, where others make way if they must (rules 1 to 4)."""

from kitchen_timer.plan.swift.compiled import compiled
from kitchen_timer.plan.swift.room import (
    draw,
    draw_to,
    land,
    misses,
    note_course,
    pass_free_from,
    pass_is_taken,
    put,
    stand,
    take,
    taken_at,
)
from kitchen_timer.plan.swift.tables import (
    AFTER,
    AT,
    BEGUN,
    COURSE_LOAD,
    COURSE_PART,
    END,
    FAR,
    FIRST,
    FOUND,
    HELD_SLOT,
    HELD_SLOTS,
    HOLDERS,
    HOLDS_ON,
    KEEP,
    KEEPS,
    LENGTH,
    LIMIT,
    LOAD_COURSE,
    LOAD_PART,
    LOAD_PIECE,
    LOADS,
    LOADS_END,
    LOW,
    MADE_WAY,
    NEEDED_BY,
    OFF,
    ORDER,
    PART_LOAD,
    PIECE_RUN,
    PUSHING,
    READY,
    RUN_USE,
    SECONDS,
    STAYS,
    TAKEN_OFF,
    USE_AMOUNT,
    USE_FROM,
    USE_OF,
    USE_TO,
    USES_OF,
    WAIT,
    Sheet,
)

MOST_LOOKS = 100
"""Places looked at for one load."""
MOST_OFF = 20
"""Loads taken off for one course, those taken off again counted again."""
WAITS = 0.5
"""How often a load that may wait in between does."""
LAST = 0.75
"""How often a load in whose way others stand is tried as late as can be first, and not at any instant."""
ENDS_TRIED = 6
"""Instants at which it is tried: each sooner by as much as what cannot go stands in the way."""
LANDINGS_TRIED = 20
"""Landings of a course that is put back, each later than the one before by more."""
SHIFTS_TRIED = 5
"""How often what comes after a load is done sooner, so that the load finds room."""
SHIFTS_S = 600
"""By so much at most."""


@compiled
def latest(s: Sheet, load: int, from_s: int, to_s: int, ready: int) -> bool:
    """Find the starts of a load that is done as late as can be from ``from_s`` to ``to_s``: ``found``."""
    base = s.given[load, LOAD_PIECE]
    last = s.given[load + 1, LOAD_PIECE] - base - 1
    if last < 0:
        return False
    k, looks = last, 0
    s.now[k, LOW] = max(from_s - s.given[base + k, LENGTH], ready)
    at = to_s - s.given[base + k, LENGTH]
    while True:
        if at < s.now[k, LOW]:
            if k == last:
                return False
            k += 1
            at = s.now[k, FOUND] - 1
            continue
        looks += 1
        if looks > MOST_LOOKS:
            return False
        piece = base + k
        sooner_s = misses(s, load, piece, at)
        if sooner_s > 0:
            at -= sooner_s
            continue
        if k < last and s.given[piece, HELD_SLOT] >= 0:
            done = at + s.given[piece, LENGTH]
            if taken_at(s, s.given[piece, HELD_SLOT], s.given[piece, HELD_SLOTS], done, s.now[k + 1, FOUND]) >= 0:
                at = s.now[k, LOW] - 1
                continue
        s.now[k, FOUND] = at
        if k == 0:
            return True
        k -= 1
        at = s.now[k + 1, FOUND] - s.given[base + k, LENGTH]
        s.now[k, LOW] = max(at - s.given[base + k + 1, WAIT], ready)


@compiled
def fits(s: Sheet, load: int) -> int:
    """0 where a load fits where ``found`` says; else by how many seconds sooner it may be looked for next."""
    base, sooner_s = s.given[load, LOAD_PIECE], 0
    count = s.given[load + 1, LOAD_PIECE] - base
    for k in range(count):
        if s.now[k, FOUND] < 0:
            return FAR
        sooner_s = max(sooner_s, misses(s, load, base + k, s.now[k, FOUND]))
        if k + 1 < count and s.given[base + k, HELD_SLOT] >= 0:
            done = s.now[k, FOUND] + s.given[base + k, LENGTH]
            if taken_at(s, s.given[base + k, HELD_SLOT], s.given[base + k, HELD_SLOTS], done, s.now[k + 1, FOUND]) >= 0:
                sooner_s = max(sooner_s, 1)
    return sooner_s


@compiled
def holders(s: Sheet, own: int, resource: int, from_s: int, to_s: int) -> int:
    """Loads of others that hold of a resource in a stretch and can make way, in no order: how many, in ``holders``."""
    found, bit = 0, 1 << resource
    for load in range(s.given[0, LOADS], s.given[0, LOADS_END]):
        if s.now[load, FIRST] >= to_s or s.now[load, END] + s.given[load, HOLDS_ON] <= from_s:
            continue
        if (
            s.given[load, STAYS]
            or s.now[load, OFF]
            or s.now[load, KEEP]
            or not s.given[load, USES_OF] & bit
            or s.given[load, LOAD_COURSE] == own
        ):
            continue
        holds = False
        for piece in range(s.given[load, LOAD_PIECE], s.given[load + 1, LOAD_PIECE]):
            start = s.now[piece, AT]
            for run in range(s.given[piece, PIECE_RUN], s.given[piece + 1, PIECE_RUN]):
                for use in range(s.given[run, RUN_USE], s.given[run + 1, RUN_USE]):
                    if (
                        s.given[use, USE_OF] == resource
                        and start + s.given[use, USE_FROM] < to_s
                        and start + s.given[use, USE_TO] > from_s
                    ):
                        holds = True
        if holds:
            other = draw_to(s, 0, found)
            s.now[found, HOLDERS] = s.now[other, HOLDERS]
            s.now[other, HOLDERS] = load
            found += 1
    return found


@compiled
def clear(s: Sheet, load: int) -> int:
    """Take off what stands in the way of a load at ``found``; seconds by which it must be sooner if that cannot go."""
    base, sooner_s = s.given[load, LOAD_PIECE], 0
    taken = 0
    for piece in range(base, s.given[load + 1, LOAD_PIECE]):
        start = s.now[piece - base, FOUND]
        for run in range(s.given[piece, PIECE_RUN], s.given[piece + 1, PIECE_RUN]):
            for use in range(s.given[run, RUN_USE], s.given[run + 1, RUN_USE]):
                resource, amount = s.given[use, USE_OF], s.given[use, USE_AMOUNT]
                from_s, to_s = start + s.given[use, USE_FROM], start + s.given[use, USE_TO]
                if to_s > s.given[0, SECONDS] or from_s < 0:
                    sooner_s = max(sooner_s, 1)
                    continue
                second = taken_at(s, resource, amount, from_s, to_s)
                if second < 0:
                    continue
                count = holders(s, s.given[load, LOAD_COURSE], resource, from_s, to_s)
                for index in range(count):
                    if s.now[0, MADE_WAY] + taken >= MOST_OFF:
                        break
                    other = s.now[index, HOLDERS]
                    take(s, other)
                    s.now[taken, TAKEN_OFF] = other
                    taken += 1
                    second = taken_at(s, resource, amount, from_s, to_s)
                    if second < 0:
                        break
                if second >= 0:
                    sooner_s = max(sooner_s, to_s - second)
    if fits(s, load) == 0:
        s.now[0, MADE_WAY] += taken
        return 0
    for index in range(taken - 1, -1, -1):
        other = s.now[index, TAKEN_OFF]
        stand(s, other)
    return max(1, sooner_s)


@compiled
def window(s: Sheet, load: int, landing: int) -> tuple[int, int]:
    """The first and the last second at which a load may be done (rule 4)."""
    part = s.given[load, LOAD_PART]
    keeps, low, high = s.given[part, KEEPS], -FAR, FAR
    for index in range(s.given[part, NEEDED_BY], s.given[part + 1, NEEDED_BY]):
        later = s.given[index, 0]
        for other in range(s.given[later, PART_LOAD], s.given[later + 1, PART_LOAD]):
            if not s.given[other, BEGUN]:
                low, high = max(low, s.now[other, FIRST]), min(high, s.now[other, FIRST])
    if high == FAR:
        return landing - keeps, landing
    return low - keeps, min(high, landing)


@compiled
def ready_at(s: Sheet, load: int) -> int:
    """When a load may start: its course is in, and what it comes after is done, as far as that stands."""
    part = s.given[load, LOAD_PART]
    ready = int(s.given[s.given[load, LOAD_COURSE], READY])
    for index in range(s.given[part, AFTER], s.given[part + 1, AFTER]):
        before = s.given[index, 0]
        for other in range(s.given[before, PART_LOAD], s.given[before + 1, PART_LOAD]):
            if not s.now[other, OFF]:
                ready = max(ready, s.now[other, END])
    return ready


@compiled
def lay_out(s: Sheet, load: int, end: int, waits: bool) -> None:
    """Have a load that is done at ``end`` in ``found``, waiting in between as long as it happens, or not at all."""
    base = s.given[load, LOAD_PIECE]
    for piece in range(s.given[load + 1, LOAD_PIECE] - 1, base - 1, -1):
        end -= s.given[piece, LENGTH]
        s.now[piece - base, FOUND] = end
        if waits:
            end -= draw_to(s, 0, s.given[piece, WAIT])


@compiled
def search_room(s: Sheet, load: int, landing: int) -> bool:
    """Place a load that is off as late as it goes, others making way where the round is such; False: no room."""
    from_s, to_s = window(s, load, landing)
    to_s = min(to_s, s.now[s.given[load, LOAD_PART], LIMIT])
    ready = ready_at(s, load)
    if to_s < from_s:
        return False
    if latest(s, load, from_s, to_s, ready):
        put(s, load)
        return True
    if not s.now[0, PUSHING]:
        return False
    waits = draw(s) < WAITS
    end = to_s if draw(s) < LAST else draw_to(s, from_s, to_s)
    lay_out(s, load, end, waits)
    for _ in range(ENDS_TRIED):
        if s.now[0, FOUND] < ready:
            return False
        sooner_s = 0 if fits(s, load) == 0 else clear(s, load)
        if sooner_s == 0:
            put(s, load)
            return True
        end -= sooner_s
        if end < from_s:
            return False
        for k in range(s.given[load + 1, LOAD_PIECE] - s.given[load, LOAD_PIECE]):
            s.now[k, FOUND] -= sooner_s
    return False


@compiled
def make_sooner(s: Sheet, load: int, landing: int) -> bool:
    """Limit what comes after a load, so that the load finds room sooner; False where it finds none anyhow."""
    part = s.given[load, LOAD_PART]
    from_s, to_s = window(s, load, landing)
    later = False
    for index in range(s.given[part, NEEDED_BY], s.given[part + 1, NEEDED_BY]):
        for other in range(s.given[s.given[index, 0], PART_LOAD], s.given[s.given[index, 0] + 1, PART_LOAD]):
            if s.given[other, STAYS]:
                return False
            later = True
    high = min(to_s, from_s - 1)
    if not later or not latest(s, load, high - SHIFTS_S, high, ready_at(s, load)):
        return False
    last = s.given[load + 1, LOAD_PIECE] - 1
    by_s = from_s - (s.now[last - s.given[load, LOAD_PIECE], FOUND] + s.given[last, LENGTH])
    for index in range(s.given[part, NEEDED_BY], s.given[part + 1, NEEDED_BY]):
        other_part = s.given[index, 0]
        for other in range(s.given[other_part, PART_LOAD], s.given[other_part + 1, PART_LOAD]):
            past_s = s.now[other, FIRST] - (from_s + s.given[part, KEEPS] - by_s)
            if past_s > 0:
                s.now[other_part, LIMIT] = min(s.now[other_part, LIMIT], s.now[other, END] - past_s)
                if not s.now[other, OFF]:
                    take(s, other)
    return True


@compiled
def place_loads(s: Sheet, course: int) -> bool:
    """Place all loads of a course that are off, for its landing; False where they find no room."""
    landing = s.now[course, AT]
    for part in range(s.given[course, COURSE_PART], s.given[course + 1, COURSE_PART]):
        s.now[part, LIMIT] = FAR
    return place_within(s, course, landing)


@compiled
def place_within(s: Sheet, course: int, landing: int) -> bool:
    """As :func:`place_loads`, with the limits of its parts as they are."""
    tries, index = 0, s.given[course, COURSE_PART]
    while index < s.given[course + 1, COURSE_PART]:
        part = s.given[index, ORDER]
        index += 1
        for load in range(s.given[part, PART_LOAD], s.given[part + 1, PART_LOAD]):
            if not s.now[load, OFF]:
                continue
            if search_room(s, load, landing):
                continue
            tries += 1
            if tries > SHIFTS_TRIED or not make_sooner(s, load, landing):
                return False
            index = s.given[course, COURSE_PART]
            break
    return True


@compiled
def place_course(s: Sheet, course: int, wanted: int, most_late_s: int) -> bool:
    """Put a course of which all loads are off where it lands as soon as can be from ``wanted`` on."""
    failed, landing, stride, found = wanted - 1, wanted, 1, -1
    for _ in range(LANDINGS_TRIED):
        if landing - wanted > most_late_s:
            return False
        if try_landing(s, course, landing):
            found = landing
            break
        failed = landing
        stride = min(2 * stride, 32)
        landing += max(1, stride // 2)
        landing = pass_free_from(s, course, landing)
        if landing < 0:
            return False
    if found < 0:
        return False
    while found - failed > 1:
        middle = (found + failed) // 2
        lift(s, course)
        land(s, course, -1)
        if try_landing(s, course, middle):
            found = middle
        else:
            failed = middle
            if not try_landing(s, course, found):
                return False
    return True


@compiled
def try_landing(s: Sheet, course: int, landing: int) -> bool:
    """Land a course of which all loads are off then; as before where it does not fit."""
    if pass_is_taken(s, course, landing):
        return False
    s.now[course, AT] = landing
    if place_loads(s, course):
        land(s, course, 1)
        return True
    lift(s, course)
    return False


@compiled
def lift(s: Sheet, course: int) -> None:
    """Take off all loads of a course that can go and are not off."""
    note_course(s, course)
    for load in range(s.given[course, COURSE_LOAD], s.given[course + 1, COURSE_LOAD]):
        if not s.given[load, STAYS] and not s.now[load, OFF]:
            take(s, load)
