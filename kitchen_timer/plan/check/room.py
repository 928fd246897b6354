"""Rules 5, 6 and 7: never more slots, cooks or plating hands than there are."""

from collections import defaultdict
from collections.abc import Iterator
from math import ceil
from typing import NamedTuple

from kitchen_timer.kitchen.dish import Component, Hands
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.plan.check.broken import Break
from kitchen_timer.plan.check.laid import Laid, Table, slots_for


class Use(NamedTuple):
    """So much of something taken from one instant to another."""

    start: int
    end: int
    amount: int
    started: bool
    """What takes it has started, so that no plan could do otherwise."""
    by: tuple[Laid, int] | str
    """The step of a load (of the first of a group), or the course."""


def broken_by_room(table: Table) -> Iterator[Break]:
    """Every break of rules 5 to 7."""
    kitchen, now = table.question.kitchen, table.question.now
    slots: dict[str, list[Use]] = defaultdict(list)
    hands: dict[str, list[Use]] = defaultdict(list)
    alike: dict[tuple[str, str], list[Laid]] = defaultdict(list)
    for load in (*table.loads, *table.adrift):
        alike[load.key.dish, load.key.component].append(load)
    for loads in alike.values():
        _taken_by(kitchen, now, loads, slots, hands)
    for on, uses in slots.items():
        yield from _too_many(uses, kitchen.equipment[on].slots, now, 5, on, "slots")
    for station, uses in hands.items():
        yield from _too_many(uses, kitchen.stations[station].cooks, now, 6, station, "hands")
    yield from _too_many(list(_plating(table)), kitchen.pass_board.hands, now, 7, "pass", "plating hands")


def _taken_by(
    kitchen: Kitchen, now: int, loads: list[Laid], slots: dict[str, list[Use]], hands: dict[str, list[Use]]
) -> None:
    """What all loads of one component take of its station and its equipment."""
    component = loads[0].component
    for index, step in enumerate(component.steps):
        groups: dict[tuple[int, int], list[Laid]] = defaultdict(list)
        for load in loads:
            if index < len(load.starts):
                groups[load.starts[index], load.ends[index]].append(load)
        at_ends = _hands_at(component, index, kitchen)
        for (start, end), group in groups.items():
            started = all(index < load.begun for load in group)
            who = (group[0], index)
            if end > now:
                # Off the equipment nothing is shared: each load wants its own pair of hands.
                pairs = 1 if step.on is not None else len(group)
                for from_at, to_at in _busy(at_ends, start, end):
                    hands[component.station].append(Use(from_at, to_at, pairs, started, who))
            if step.on is not None:
                of_step = slots[step.on]
                of_step.append(Use(start, end, slots_for([x.portions for x in group], step.fits), started, who))
                _afterwards(kitchen, component, index, group, of_step)


def _afterwards(kitchen: Kitchen, component: Component, index: int, group: list[Laid], of_step: list[Use]) -> None:
    """After a step: the slots stay taken until the next step on the same equipment, or recover."""
    step = component.steps[index]
    assert step.on is not None
    end = group[0].ends[index]
    stays = index + 1 < len(component.steps) and component.steps[index + 1].on == step.on
    going_on: dict[int, list[Laid]] = defaultdict(list)
    leaving: list[Laid] = []
    for load in group:
        if stays and index + 1 < len(load.starts):
            going_on[load.starts[index + 1]].append(load)
        else:
            leaving.append(load)
    for next_start, together in going_on.items():
        if next_start > end:
            taken = slots_for([load.portions for load in together], step.fits)
            started = all(index < load.begun for load in together)
            of_step.append(Use(end, next_start, taken, started, (together[0], index)))
    recovery_s = kitchen.equipment[step.on].recovery_s
    if leaving and recovery_s:
        taken = slots_for([load.portions for load in leaving], step.fits)
        started = all(index < load.begun for load in leaving)
        of_step.append(Use(end, end + recovery_s, taken, started, (leaving[0], index)))


def _hands_at(component: Component, index: int, kitchen: Kitchen) -> tuple[int, int] | None:
    """Seconds of a cook's hands at the start and at the end of a step; None: throughout, however long."""
    step = component.steps[index]
    hands = step.hands
    if hands is None and step.on is None:
        hands = Hands.ALL
    elif hands is None:
        goes_back = any(later.on == step.on for later in component.steps[index + 1 :])
        hands = Hands.START if goes_back else Hands.ENDS
    if hands is Hands.ALL:
        return None
    if hands is Hands.NONE:
        return (0, 0)
    handling_s = kitchen.handling_s if step.handling_s is None else step.handling_s
    at_start = handling_s if hands in (Hands.START, Hands.ENDS) else 0
    at_end = handling_s if hands in (Hands.END, Hands.ENDS) else 0
    return (at_start, at_end)


def _busy(at_ends: tuple[int, int] | None, start: int, end: int) -> Iterator[tuple[int, int]]:
    """When hands are busy with a step; one no longer than what its ends need keeps them throughout."""
    if at_ends is None or (any(at_ends) and sum(at_ends) >= end - start):
        yield (start, end)
        return
    if at_ends[0]:
        yield (start, start + at_ends[0])
    if at_ends[1]:
        yield (end - at_ends[1], end)


def _plating(table: Table) -> Iterator[Use]:
    pass_hands = table.question.kitchen.pass_board.hands
    for key, (wanted, planned) in table.planned.items():
        plates = sum(qty for _, qty in wanted.portions)
        hands = min(pass_hands, plates)
        each_s = max(table.question.book[dish].plating_s for dish, _ in wanted.portions)
        up_at = planned.landing_at + ceil(plates / hands) * each_s
        if up_at > planned.landing_at:
            yield Use(planned.landing_at, up_at, hands, wanted.landed_at is not None, str(key))


def _too_many(uses: list[Use], room: int, now: int, rule: int, where: str, unit: str) -> Iterator[Break]:
    """One break for each stretch from ``now`` on in which more is taken than there is."""
    changes: dict[int, list[int]] = {}
    for use in uses:
        if use.end <= now:
            continue
        planned = 0 if use.started else use.amount
        for at, sign in ((max(use.start, now), 1), (use.end, -1)):
            change = changes.setdefault(at, [0, 0])
            change[0] += sign * use.amount
            change[1] += sign * planned
    taken = planned = 0
    stretch: tuple[int, bool, int] | None = None  # since when, whether only started food is in it, the most over
    for at in sorted(changes):
        taken += changes[at][0]
        planned += changes[at][1]
        over, forced = taken - room, planned == 0
        if stretch is not None and (over <= 0 or stretch[1] != forced):
            yield _over(uses, stretch, at, rule, where, unit)
            stretch = None
        if over > 0:
            stretch = (at, forced, over) if stretch is None else (stretch[0], forced, max(over, stretch[2]))


def _over(uses: list[Use], stretch: tuple[int, bool, int], to_at: int, rule: int, where: str, unit: str) -> Break:
    since, forced, over = stretch
    there = [use.by for use in uses if use.start < to_at and use.end > since]
    who = ", ".join(sorted({by if isinstance(by, str) else by[0].step(by[1]) for by in there}))
    return Break(rule, where, f"{over} {unit} too many for {to_at - since} s from {since}: {who}", over, excused=forced)
