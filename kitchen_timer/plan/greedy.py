"""Place one course: the lowest landing from its target on at which every load fits, each as late as it goes.

Announced cues stay where they are if the course can land on time with them; what has begun stands too long only where
no landing saves it.
"""

from dataclasses import replace

from kitchen_timer.plan.attempt import Attempt
from kitchen_timer.plan.cost import priced
from kitchen_timer.plan.jobs import CourseJob, LoadJob
from kitchen_timer.plan.line import Line, PlacedCourse, PlacedLoad
from kitchen_timer.plan.put import put_as
from kitchen_timer.plan.rest import rest_later
from kitchen_timer.plan.template import Template

CLEARLY_LATER_S = 60
"""A landing so much after the first one wanted is looked for without the reserve too."""
RESERVE_WORTH_S = 20
"""The reserve is given up for a landing sooner by more than this."""
STAYS_PUT = 0.5
"""An announced cue stays as long as this share of the reserve is left."""


def place(line: Line, job: CourseJob, template: Template | None = None) -> PlacedCourse | None:
    """Place a course on the line (and put it there); None, with the line as before, where it fits nowhere."""
    line.lift(job)
    course = _find(line, job, template)
    if course is not None:
        line.put_course(course, loads=False)
    else:
        line.set_down(job)
    return course


def _find(line: Line, job: CourseJob, template: Template | None) -> PlacedCourse | None:
    if job.landed is not None:
        return landed(line, job)
    if not any(part.reserve_s for part in job.parts):
        return _boldly(line, job, template)
    told = any(load.announced is not None for load in job.loads)
    if told and (course := _pinned(Attempt(line, job, reserve=STAYS_PUT))) is not None:
        return course
    careful = Attempt(line, job, reserve=1.0)
    course = _freely(careful, None)
    if course is not None and course.landing <= _wanted(careful) + CLEARLY_LATER_S:
        return course
    if course is not None:
        careful.take(course)
    sooner = _boldly(line, job, template)
    if course is None or (sooner is not None and sooner.landing < course.landing - RESERVE_WORTH_S):
        return sooner
    if sooner is not None:
        careful.take(sooner)
    careful.put(course)
    return course


def _boldly(line: Line, job: CourseJob, template: Template | None) -> PlacedCourse | None:
    """Without any reserve: announced cues where they are if that goes, otherwise anyhow."""
    attempt = Attempt(line, job)
    return _pinned(attempt) or _freely(attempt, template)


def _wanted(attempt: Attempt) -> int:
    return max(attempt.target, attempt.earliest)


def _freely(attempt: Attempt, template: Template | None) -> PlacedCourse | None:
    if attempt.job.has_begun:
        return _find_begun(attempt, template, _wanted(attempt))
    course = attempt.upwards(_wanted(attempt))
    if course is None and template is not None:
        course = attempt.from_template(template, _wanted(attempt))
    return course


def _pinned(attempt: Attempt) -> PlacedCourse | None:
    """With every announced cue where its station was told; None where it cannot be, or started food would die of it."""
    job = attempt.job
    told = [load for load in job.loads if load.announced is not None]
    if not told:
        return None
    from_s, to_s = _wanted(attempt), 1 << 40
    if job.has_begun:
        from_s, to_s = max(attempt.earliest, min(from_s, _dies_at(attempt))), max(_deadline(attempt), from_s)
    to_s = min(to_s, *(_stands_to(job, load) for load in told))
    done = max(load.announced + load.pattern.length_s for load in told if load.pattern and load.announced is not None)
    for low in dict.fromkeys((max(from_s, done), max(attempt.earliest, done))):
        if low <= to_s and (course := attempt.upwards(low, to_s, pinned=True)) is not None:
            return course
    return None


def _stands_to(job: CourseJob, load: LoadJob) -> int:
    """The last landing for which an announced load can stay where it is."""
    assert load.announced is not None
    assert load.pattern is not None
    waits_s = sum(piece.wait_s for piece in load.pattern.pieces)
    end = load.announced + load.pattern.length_s + waits_s + job.parts[load.part].keeps_s
    dependants = [_longest(job, p) for p in job.parts[load.part].needed_by]
    return end + max(dependants, default=0)


def _longest(job: CourseJob, part: int) -> int:
    """The most that can lie between the start of a part and the landing."""
    longest = (
        max(
            (sum(p.wait_s for p in load.pattern.pieces) + load.pattern.length_s)
            for load in job.parts[part].loads
            if load.pattern is not None
        )
        if any(load.pattern is not None for load in job.parts[part].loads)
        else 0
    )
    return longest + job.parts[part].keeps_s + max((_longest(job, p) for p in job.parts[part].needed_by), default=0)


def landed(line: Line, job: CourseJob) -> PlacedCourse:
    """A course that is at the pass already: only its plating goes on."""
    assert job.landed is not None
    target = job.target if job.target is not None else job.landed
    loads = tuple(PlacedLoad(load, (load.begun_end,)) for load in job.loads if load.pattern is None)
    return priced(PlacedCourse(job, target, job.landed, job.landed + job.plating_s, loads, 0.0, 0.0))


def _find_begun(attempt: Attempt, template: Template | None, from_s: int) -> PlacedCourse | None:
    """A course with food on: first nothing stands too long, or as short as can be; then as little late as can be."""
    deadline = _deadline(attempt)
    low = attempt.earliest
    # Before its time only where something would die by then, not for the reserve.
    course = attempt.upwards(max(low, min(from_s, _dies_at(attempt))))
    if course is not None and course.landing > max(deadline, from_s):
        # Something dies at that landing: look whether a lower one saves it.
        attempt.take(course)
        lower = attempt.downwards(min(deadline, course.landing - 1), low)
        if lower is not None:
            return lower
        attempt.put(course)
    return course if course is not None or attempt.reserve else rest_later(attempt, template)


def _dies_at(attempt: Attempt) -> int:
    """The last landing at which no settled or begun load of a course stands longer than it keeps."""
    return _deadline(attempt, reserve=0.0)


def _deadline(attempt: Attempt, reserve: float | None = None) -> int:
    """The same with the attempt's reserve, or that share of it."""
    share = attempt.reserve if reserve is None else reserve
    job, ends = attempt.job, []
    for load in job.loads:
        if load.begun is None:
            continue
        placed = attempt.settled.get(load)
        if placed is not None:
            end = placed.end
        else:
            assert load.pattern is not None
            waits_s = sum(piece.wait_s for piece in load.pattern.pieces)
            end = max(0, load.begun_end) + load.may_wait_s + load.pattern.length_s + waits_s
        part = job.parts[load.part]
        after = [_longest(job, p) for p in part.needed_by if any(other.begun is None for other in job.parts[p].loads)]
        if after or not part.needed_by:
            ends.append(end + part.keeps_s - int(share * part.reserve_s) + min(after, default=0))
    return min(ends, default=1 << 40)


def place_as(
    line: Line, job: CourseJob, landing: int, starts: dict[LoadJob, tuple[int, ...]], *, as_before: bool = False
) -> PlacedCourse | None:
    """Place a course at exactly these instants if every rule allows it (and put it there); None otherwise.

    ``as_before``: what has begun may wait and stand as long as that makes it.
    """
    line.lift(job)
    course = put_as(line, job, landing, starts, as_before=as_before)
    if course is not None:
        line.put_course(course, loads=False)
    else:
        line.set_down(job)
    return course


def retargeted(line: Line, course: PlacedCourse) -> PlacedCourse:
    """A placed course with its target as it is now that the course before it lands otherwise."""
    target = course.job.target_from(course.job.earliest(line.up))
    if target == course.target:
        return course
    again = line.placed[course.job.key] = priced(replace(course, target=target))
    return again
