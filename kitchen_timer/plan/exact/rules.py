"""The rules of a plan as constraints, one function per rule (DEVELOPERS.md lists the rules by number).

Where both sides of a constraint stand already (started food, courses that are not to move) nothing is said: what is
done is done, and the checker names it. What started food makes impossible is allowed and costs (``Overrun``).
"""

from collections.abc import Mapping
from dataclasses import dataclass

from kitchen_timer.kitchen.table import After, AtTime
from kitchen_timer.plan.exact import slots
from kitchen_timer.plan.exact.joined import Joined, waits_after
from kitchen_timer.plan.exact.limits import Limit
from kitchen_timer.plan.exact.moment import Model, Moment
from kitchen_timer.plan.exact.variables import CourseTimes, Times
from kitchen_timer.plan.question import CourseKey, LoadKey


@dataclass(frozen=True)
class Overrun:
    """Seconds by which started food waits or stands longer than it may; to be kept small."""

    where: str
    seconds: Moment


def at_least(model: Model, later: Moment, earlier: Moment, gap_s: int = 0) -> None:
    """``later`` is no earlier than ``gap_s`` after ``earlier``, unless both stand."""
    if later.var is not None or earlier.var is not None:
        model.cp.add(later.expr >= earlier.expr + gap_s)


def at_most(model: Model, later: Moment, earlier: Moment, gap_s: int) -> None:
    """``later`` is no later than ``gap_s`` after ``earlier``, unless both stand."""
    if later.var is not None or earlier.var is not None:
        model.cp.add(later.expr <= earlier.expr + gap_s)


def rule_1_steps_in_order(times: Times) -> list[Overrun]:
    """Steps follow one another, the wait before a step at most its ``may_wait``.

    Lengths are in the variables (a step's end is its start and a constant), and so is the order within a block.
    """
    overruns = []
    for load in times.moving():
        for step in range(max(1, load.begun), len(load.starts)):
            if load.blocks[step] != step:
                continue
            start, before, may_wait_s = load.starts[step], load.ends[step - 1], load.component.steps[step].may_wait_s
            at_least(times.model, start, before)
            if step == load.begun:
                where = f"wait before {load.key}/{step}"
                most = times.horizon - min(0, before.plus)
                overruns.append(Overrun(where, times.model.over(start, before, may_wait_s, most, where)))
            else:
                at_most(times.model, start, before, may_wait_s)
    return overruns


def rule_2_not_before_now(times: Times) -> None:
    """Nothing starts before ``now`` or before its order is in: the least value of every start says so already.

    A step that shares its block starts after the block does, so only the block's first start needs saying.
    """
    for load in times.moving():
        for step in range(load.begun, len(load.starts)):
            if load.blocks[step] == step:
                course = times.courses[load.key.of_course].wanted
                at_least(times.model, load.starts[step], Moment.fixed(max(0, course.in_at - times.question.now)))


def rule_3_after(times: Times) -> None:
    """A load starts no earlier than the end of every load of each component in its ``after``, unless it has begun."""
    for course in times.courses.values():
        for load in course.loads:
            if load.begun:
                continue
            for other in course.loads:
                if other.key.dish == load.key.dish and other.key.component in load.component.after:
                    at_least(times.model, load.starts[0], other.end)


def rule_4_stands_until(times: Times) -> dict[LoadKey, Moment]:
    """Until when each load stands: the landing, or the start of the last load that was waiting for it."""
    until: dict[LoadKey, Moment] = {}
    for course in times.courses.values():
        for load in course.loads:
            names = times.question.book[load.key.dish].dependants_of(load.key.component)
            starts = [
                other.starts[0]
                for other in course.loads
                if other.key.dish == load.key.dish and other.key.component in names
            ]
            least = min([0, *(start.plus for start in starts if start.var is None)])
            until[load.key] = (
                times.model.latest(starts, least, times.horizon, f"last after {load.key}") if starts else course.landing
            )
    return until


def rule_4_keeps(times: Times, stands_until: Mapping[LoadKey, Moment]) -> list[Overrun]:
    """Every load ends at or before the landing and stands no longer than it keeps."""
    overruns = []
    for course in times.courses.values():
        if not course.free:
            continue
        for load in course.loads:
            at_least(times.model, course.landing, load.end)
            until, keeps_s = stands_until[load.key], load.component.keeps_s
            if load.begun:
                where = f"stand of {load.key}"
                most = times.horizon - min(0, load.end.plus)
                overruns.append(Overrun(where, times.model.over(until, load.end, keeps_s, most, where)))
            else:
                at_most(times.model, until, load.end, keeps_s)
    return overruns


def rule_5_slots(times: Times, joined: Joined) -> None:
    """At no instant more slots of an equipment are taken than it has.

    A step takes ``ceil(portions / fits)`` slots from its start to its end, and ``recovery`` longer; where the next
    step is on the same equipment, until that starts instead.
    """
    kitchen = times.question.kitchen
    limits = {name: Limit(times.model, equipment.slots) for name, equipment in kitchen.equipment.items()}
    steps = [
        (load, step, on)
        for load in times.loads
        for step in range(len(load.starts))
        if (on := load.component.steps[step].on) is not None and on in limits
    ]
    still = slots.Still()
    for load, step, on in steps:
        recovery_s = 0 if load.stays_until(step) is not None else kitchen.equipment[on].recovery_s
        if load.starts[step].var is None:
            still.add(limits[on], load, step, recovery_s)
        else:
            slots.of_step(times.model, limits[on], joined, load, step, recovery_s)
    still.take()
    for load, step, on in steps:
        until = load.stays_until(step)
        if until is not None and until.var is not None and waits_after(load, step):
            slots.of_wait(times, limits[on], joined, load, step, until)
    for group, riders in joined.riders_of_standing:
        on = group.loads[0].component.steps[group.step].on
        if on is not None and on in limits:
            recovery_s = 0 if group.loads[0].component.stays_on(group.step) else kitchen.equipment[on].recovery_s
            slots.more_for_standing(times.model, limits[on], group, riders, recovery_s)
    for limit in limits.values():
        limit.hold()


def rule_6_hands(times: Times, joined: Joined) -> None:
    """At no instant do the steps of a station need more hands than it has cooks; who shares slots is handled once."""
    kitchen = times.question.kitchen
    limits = {name: Limit(times.model, station.cooks) for name, station in kitchen.stations.items()}
    handled: set[tuple[str, str, int, int, int]] = set()
    for load in times.loads:
        limit = limits.get(load.component.station)
        if limit is None:
            continue
        for step, start in enumerate(load.starts):
            if start.var is not None:
                key = load.step_key(step)
                for from_s, to_s in load.busy(step, kitchen):
                    limit.add(start.later(from_s), to_s - from_s, 1, f"hands {key}", joined.own.get(key))
                continue
            alike = (load.key.dish, load.key.component, step, start.plus, load.ends[step].plus)
            if load.component.steps[step].on is not None and alike in handled:
                continue
            handled.add(alike)
            if load.ends[step].plus > 0:
                for from_s, to_s in load.busy(step, kitchen):
                    limit.add_fixed(start.plus + from_s, start.plus + to_s, 1)
    for limit in limits.values():
        limit.hold()


def rule_7_plating(times: Times) -> None:
    """Plating starts at the landing, and never more hands are plating than the pass has."""
    limit = Limit(times.model, times.question.kitchen.pass_board.hands)
    for key, course in times.courses.items():
        if course.landing.var is None:
            limit.add_fixed(course.landing.plus, course.up.plus, course.hands)
        else:
            limit.add(course.landing, course.plating_s, course.hands, f"plating {key}")
    limit.hold()


def rule_8_not_before(times: Times) -> None:
    """A course with a time lands no earlier than that; one after another, no earlier than that is up plus the gap."""
    for course in times.courses.values():
        earliest = rule_8_earliest(times, course)
        if earliest is not None and course.wanted.landed_at is None:
            at_least(times.model, course.landing, earliest)


def rule_8_earliest(times: Times, course: CourseTimes) -> Moment | None:
    """The earliest that rule 8 lets a course land; None where it says nothing."""
    land, now = course.wanted.land, times.question.now
    if isinstance(land, AtTime):
        return Moment.fixed(land.at - now)
    if isinstance(land, After):
        before = CourseKey(course.wanted.table, land.after)
        if before in times.question.up:
            return Moment.fixed(times.question.up[before] + land.gap_s - now)
        if before in times.courses:
            return times.courses[before].up.later(land.gap_s)
    return None
