"""What has begun is put on the line first: it is where it is, whatever the rules say of it."""

from collections import defaultdict

from kitchen_timer.kitchen.dish import Component, Hands
from kitchen_timer.plan.jobs import CourseJob, LoadJob
from kitchen_timer.plan.line import Line, PlacedLoad, before
from kitchen_timer.plan.patterns import Piece
from kitchen_timer.plan.profile import first_free
from kitchen_timer.plan.question import Question


def put_what_has_begun(line: Line, question: Question) -> None:
    """Take the slots and hands of every step that cooks have started; steps that shared slots count once."""
    now, patterns = question.now, line.patterns
    shared: dict[tuple[str, str, int, int, int, int, int], int] = defaultdict(int)
    for wanted in question.courses:
        for begun in wanted.begun:
            dish = patterns.book.get(begun.dish)
            component = dish.components.get(begun.component) if dish else None
            if component is None:
                continue
            for index, step in enumerate(begun.steps[: len(component.steps)]):
                until = step.end_at
                on = component.steps[index].on
                if on is not None and on in question.kitchen.equipment:
                    if not component.stays_on(index):
                        until += question.kitchen.equipment[on].recovery_s
                    elif index + 1 < len(begun.steps):
                        until = max(until, begun.steps[index + 1].start_at)
                if until > now:
                    # Only slots are shared, and with them the hands: on a board everyone works for himself.
                    own = 0 if on is not None else len(shared) + 1
                    times = (step.start_at - now, step.end_at - now, until - now)
                    shared[begun.dish, begun.component, index, *times, own] += begun.portions
    for (dish_id, name, index, start, end, until, _), portions in shared.items():
        component = patterns.book[dish_id].components[name]
        on = component.steps[index].on
        if on is not None and ("equipment", on) in patterns.number:
            amount = patterns.slots_of(component.steps[index], portions)
            line.profile.add(patterns.number["equipment", on], amount, start, until)
        if end > 0 and component.station in question.kitchen.stations:
            station = patterns.number["station", component.station]
            for from_s, to_s in _busy(component, index, start, end, line):
                line.profile.add(station, 1, from_s, to_s)


def _busy(component: Component, index: int, start: int, end: int, line: Line) -> tuple[tuple[int, int], ...]:
    """When hands are busy with a begun step that really takes from ``start`` to ``end``."""
    own = component.steps[index].handling_s
    handling_s = line.patterns.kitchen.handling_s if own is None else own
    hands = component.hands_of(index)
    ends = {Hands.ENDS: 2, Hands.START: 1, Hands.END: 1}.get(hands, 0)
    if hands is Hands.NONE:
        return ()
    if hands is Hands.ALL or end - start <= ends * handling_s:
        return ((start, end),)
    at_start, at_end = (start, start + handling_s), (end - handling_s, end)
    if hands is Hands.ENDS:
        return (at_start, at_end)
    return (at_start,) if hands is Hands.START else (at_end,)


def must_follow_at_once(load: LoadJob) -> bool:
    """Whether all that is left of a begun load is one piece that may not wait."""
    return (
        load.begun is not None and load.pattern is not None and len(load.pattern.pieces) == 1 and load.may_wait_s == 0
    )


def put_what_must(line: Line, jobs: list[CourseJob]) -> None:
    """Place the rest of begun loads, first due first, each as soon as it can.

    What may not wait stays there: where it finds no hands or slot at its second it waits as little as it can, a break
    forced by what has begun. The rest keeps its room until its course is placed.
    """
    loads = [load for job in jobs if job.landed is None for load in job.loads if load.begun and load.pattern]
    for load in sorted(loads, key=lambda load: (not must_follow_at_once(load), load.begun_end, load.key)):
        placed = PlacedLoad(load, soonest(line, load))
        line.put(placed)
        (line.fixed if must_follow_at_once(load) else line.tentative)[load.key] = placed


def soonest(line: Line, load: LoadJob, ready: int = 0) -> tuple[int, ...]:
    """Starts of what is left of a load, as soon as it can begin and then go on without waiting longer than it may.

    The first piece of a started load waits however long that takes: the wait before it is what has begun forces.
    """
    pattern = load.pattern
    assert pattern is not None
    pieces = pattern.pieces
    blocked = [line.piece_blocked(pattern, index) for index in range(len(pieces))]
    earliest = [max(0, load.begun_end) if load.begun is not None else ready] + [0] * (len(pieces) - 1)
    while True:
        starts: list[int] = []
        at = earliest[0]
        for index, piece in enumerate(pieces):
            at = max(at, earliest[index])
            start = at if blocked[index] < 0 else first_free(blocked[index] | before(at), at)
            if index and not _may_pause(line, pieces[index - 1], starts[-1], start, piece.wait_s):
                # The piece before starts later, so that this one can follow; beyond the last thing planned all is free.
                late = start - piece.wait_s - pieces[index - 1].length_s
                earliest[index - 1] = max(starts[-1] + 1, late)
                break
            starts.append(start)
            at = start + piece.length_s
        else:
            return tuple(starts)


def _may_pause(line: Line, piece: Piece, start: int, next_start: int, wait_s: int) -> bool:
    """Whether the piece after may start then: no longer after than it may wait, its slots free to be kept till then."""
    end = start + piece.length_s
    if next_start - end > wait_s:
        return False
    return piece.held is None or next_start == end or line.profile.is_free(*piece.held, end, next_start)
