"""Putting a whole course on the line where its instants are known: as an earlier plan had it, or as it is alone.

Nothing is searched for. What does not fit is taken off again, so that the line is as before.
"""

from collections.abc import Iterable, Mapping

from kitchen_timer.plan.cost import priced
from kitchen_timer.plan.jobs import CourseJob, LoadJob
from kitchen_timer.plan.line import Line, PlacedCourse, PlacedLoad
from kitchen_timer.plan.profile import first_free, later

Starts = tuple[int, ...]


def settled_of(line: Line, job: CourseJob) -> dict[LoadJob, PlacedLoad]:
    """The loads of a course that nothing can move any more: done, or going on without a wait."""
    settled: dict[LoadJob, PlacedLoad] = {}
    if job.has_begun:
        for load in job.loads:
            if load.pattern is None:
                settled[load] = PlacedLoad(load, (load.begun_end,))
            elif load.key in line.fixed:
                settled[load] = line.fixed[load.key]
    return settled


def put_as(
    line: Line, job: CourseJob, landing: int, starts: Mapping[LoadJob, Starts], *, as_before: bool = False
) -> PlacedCourse | None:
    """Put the loads of a course at exactly these instants if every rule allows it; None, and nothing put, if not.

    ``as_before``: what has begun may wait and stand as long as that makes it.
    """
    earliest = job.earliest(line.up)
    if landing < earliest or not line.profile.is_free(0, job.pass_hands, landing, landing + job.plating_s):
        return None
    settled = settled_of(line, job)
    done = dict(settled)
    put: list[PlacedLoad] = []
    fine = all(load.end <= landing for load in settled.values())
    if fine:
        for part in job.order:
            for load in job.parts[part].loads:
                if load in settled:
                    continue
                at = starts.get(load)
                if at is None or not _in_time(job, load, at, done, settled, landing, as_before):
                    fine = False
                    break
                if not (fine := _fits(line, load, at)):
                    break
                done[load] = placed = PlacedLoad(load, at)
                line.put(placed)
                put.append(placed)
            if not fine:
                break
    if not fine:
        for placed in reversed(put):
            line.take(placed)
        return None
    loads = tuple([done[load] for load in job.loads])
    target = job.target_from(earliest)
    return priced(PlacedCourse(job, target, landing, landing + job.plating_s, loads, 0.0, 0.0))


def _fits(line: Line, load: LoadJob, starts: Starts) -> bool:
    assert load.pattern is not None
    if load.held is not None and not line.profile.is_free(*load.held, load.begun_end, starts[0]):
        return False
    return line.fits_at(load.pattern, starts)


def _in_time(
    job: CourseJob,
    load: LoadJob,
    starts: Starts,
    done: Mapping[LoadJob, PlacedLoad],
    settled: Mapping[LoadJob, PlacedLoad],
    landing: int,
    as_before: bool,
) -> bool:
    pattern = load.pattern
    assert pattern is not None
    pieces = pattern.pieces
    if len(starts) != len(pieces) or starts[0] < job.ready:
        return False
    forced = as_before and load.begun is not None
    if load.begun is not None and not load.begun_end <= starts[0]:
        return False
    if load.begun is not None and not forced and starts[0] > max(0, load.begun_end + load.may_wait_s):
        return False
    for index in range(1, len(starts)):
        if not 0 <= starts[index] - starts[index - 1] - pieces[index - 1].length_s <= pieces[index].wait_s:
            return False
    part = job.parts[load.part]
    end = starts[-1] + pieces[-1].length_s
    low = high = landing
    if part.needed_by:
        needed = [done[o].starts[0] for p in part.needed_by for o in job.parts[p].loads if o.begun is None]
        if needed:
            low, high = max(needed), min(min(needed), landing)
    if settled:
        for p in part.after:
            for other in job.parts[p].loads:
                if other in settled and starts[0] < settled[other].end:
                    return False
    return end <= high and (forced or low - part.keeps_s <= end)


def put_alike(
    line: Line, job: CourseJob, loads: Iterable[tuple[LoadJob, Starts]], from_s: int, first: int = 0
) -> tuple[int, dict[LoadJob, PlacedLoad]] | None:
    """Put loads at the first landing from ``from_s`` on at which all of them fit: it, and the loads.

    ``loads`` come with the starts of their pieces before the landing (below 0); none starts before ``first``.
    """
    loads = list(loads)
    blocked = line.profile.starts_blocked(0, job.pass_hands, 0, job.plating_s)
    lowest = from_s
    for load, starts in loads:
        assert load.pattern is not None
        for index, start in enumerate(starts):
            blocked |= later(max(0, line.piece_blocked(load.pattern, index)), -start)
        lowest = max(lowest, max(job.ready, first) - starts[0])
    landing = first_free(blocked, lowest)
    # From here on nothing else is on the line: what does not fit there fits nowhere.
    quiet = line.profile.quiet_from() - min([0, *(starts[0] for _, starts in loads)])
    last = max(quiet, landing)
    while landing <= last:
        put: list[PlacedLoad] = []
        for load, starts in loads:
            assert load.pattern is not None
            at = tuple([landing + start for start in starts])
            if not line.fits_at(load.pattern, at):
                break
            put.append(PlacedLoad(load, at))
            line.put(put[-1])
        if len(put) == len(loads):
            return landing, {placed.job: placed for placed in put}
        for placed in reversed(put):
            line.take(placed)
        landing = first_free(blocked, min(landing + 5, last)) if landing < last else last + 1
    return None
