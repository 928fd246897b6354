"""A course split into other loads: the ways to try, and the way that an earlier plan has it.

What has begun is a load already; what a station has been told stays the load it was told of (both keep their numbers).
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.cost import BROKEN_PER_S
from kitchen_timer.plan.greedy import place
from kitchen_timer.plan.jobs import CourseJob, LoadJob, waiting_rate
from kitchen_timer.plan.line import Line, PlacedCourse
from kitchen_timer.plan.loads import Load, Splits, ways_to_split
from kitchen_timer.plan.question import CourseKey, LoadKey, StepKey

if TYPE_CHECKING:
    from kitchen_timer.plan.prepare import Prepared  # which places courses well split itself

MOST_WAYS = 6
"""Other ways of one course that are ever tried."""


def other_splits(ready: "Prepared", key: CourseKey) -> tuple[CourseJob, ...]:
    """The same course with its portions split otherwise; none where all of it fits at once or is announced.

    First all components the second way, the third and so on, then one component at a time.
    """
    job = ready.jobs[key]
    known = ready.other_ways.get(key)
    if known is not None:
        return tuple(other for other in known if other is not job)
    free: dict[int, tuple[tuple[int, ...], ...]] = {}
    for number, part in enumerate(job.parts):
        new = [load for load in part.loads if load.begun is None]
        to_cook = sum(load.pattern.portions for load in new if load.pattern)
        ways = ways_to_split(ready.question.kitchen, part.component, to_cook) if len(new) > 1 else ((),)
        if len(ways) > 1 and not any(load.announced is not None for load in new):
            free[number] = ways
    most = max((len(ways) for ways in free.values()), default=1)
    chosen = [{part: ways[min(way, len(ways) - 1)] for part, ways in free.items()} for way in range(most)]
    if len(free) > 1:
        chosen += [{part: way} for part, ways in free.items() for way in ways]
    jobs = {_sizes(job): job}
    for sizes in chosen if free else ():
        other = _with_loads(ready, job, {part: _numbered(job, part, way) for part, way in sizes.items()})
        jobs.setdefault(_sizes(other), other)
    known = ready.other_ways[key] = tuple(jobs.values())[: MOST_WAYS + 1]
    return known[1:]


def splits_are_free(ready: "Prepared") -> bool:
    """Whether anything still to be begun may be split in more than one way: then no bound for one way is proof."""
    for job in ready.jobs.values():
        plates = dict(job.wanted.portions)
        for part in job.parts:
            new = [load.pattern.portions for load in part.loads if load.begun is None and load.pattern]
            most = part.component.most_at_once(ready.question.kitchen)
            if sum(new) > 1 and most is not None and plates[part.loads[0].key.dish] > most:
                return True
    return False


def splits_otherwise(ready: "Prepared", answer: Answer) -> Iterator[Splits]:
    """The loads of an answer but for one course, which is split in each of its other ways."""
    as_planned(ready, answer)
    splits = ready.splits
    for key in list(ready.jobs):
        stay = tuple(load for load in splits if load.key.of_course != key)
        for other in other_splits(ready, key):
            new = [load for load in other.loads if load.begun is None]
            yield (*stay, *(Load(load.key, load.pattern.portions) for load in new if load.pattern))


def as_planned(ready: "Prepared", answer: Answer) -> None:
    """Split what is still to be begun as an answer has it, numbers included, wherever that still adds up."""
    planned: dict[CourseKey, dict[tuple[str, str], list[Load]]] = {}
    begun = {load.key for job in ready.jobs.values() for load in job.loads if load.begun is not None}
    for load, steps in answer.by_load.items():
        if load not in begun:
            of_course = planned.setdefault(load.of_course, {})
            of_course.setdefault((load.dish, load.component), []).append(Load(load, steps[0].portions))
    for key, job in list(ready.jobs.items()):
        changed: dict[int, tuple[Load, ...]] = {}
        for number, part in enumerate(job.parts):
            new = [Load(each.key, each.pattern.portions) for each in part.loads if not each.begun and each.pattern]
            had = planned.get(key, {}).get(part.loads[0].key[2:4], []) if new else []
            if had and sorted(had, key=_by_key) != new and _adds_up(ready, job, new, had):
                changed[number] = tuple(sorted(had, key=_by_key))
        if changed:
            ready.jobs[key] = _with_loads(ready, job, changed)
            ready.other_ways.pop(key, None)


def place_well_split(ready: "Prepared", line: Line, key: CourseKey) -> PlacedCourse | None:
    """Place a course split in whichever way costs least, the present one where that costs nothing; None: in no way."""
    job = ready.jobs[key]
    best = place(line, job, ready.templates.get(key))
    if best is not None and _price(best) <= 0:
        return best
    for other in other_splits(ready, key):
        if best is not None:
            line.take_course(key)
        found = place(line, other)
        if found is not None and (best is None or _price(found) < _price(best) - 1e-9):
            best = found
            continue
        if found is not None:
            line.take_course(key)
        if best is not None:
            line.lift(best.job)
            line.put_course(best)
    if best is not None:
        ready.jobs[key] = best.job
    return best


def _price(course: PlacedCourse) -> float:
    return course.cost + course.steady + BROKEN_PER_S * course.broken_s


def _by_key(load: Load) -> LoadKey:
    return load.key


def _adds_up(ready: "Prepared", job: CourseJob, new: Sequence[Load], had: Sequence[Load]) -> bool:
    """Whether loads of an earlier plan hold what is still to be cooked, fit, and may be several."""
    key = had[0].key
    most = ready.patterns.book[key.dish].components[key.component].most_at_once(ready.question.kitchen)
    lost = job.wanted.spent.get((key.dish, key.component), 0)
    fits_at_once = most is None or dict(job.wanted.portions)[key.dish] <= most
    return (
        sum(load.portions for load in had) == sum(load.portions for load in new)
        and all(load.key.load > lost and (most is None or load.portions <= most) for load in had)
        and (len(had) == 1 or not fits_at_once)
    )


def _numbered(job: CourseJob, part: int, sizes: Sequence[int]) -> tuple[Load, ...]:
    key = job.parts[part].loads[0].key
    first = job.wanted.next_load(key.dish, key.component)
    return tuple(Load(LoadKey(*key[:4], first + i), portions) for i, portions in enumerate(sizes))


def _sizes(job: CourseJob) -> tuple[tuple[int, ...], ...]:
    return tuple(
        tuple(sorted(load.pattern.portions for load in part.loads if load.pattern and not load.begun))
        for part in job.parts
    )


def _with_loads(ready: "Prepared", job: CourseJob, changed: Mapping[int, tuple[Load, ...]]) -> CourseJob:
    """The course with other loads for some of its parts; begun loads stay the same objects, the line knows them."""
    question, parts = ready.question, list(job.parts)
    for number, new in changed.items():
        part = parts[number]
        loads = [load for load in part.loads if load.begun is not None]
        for load in new:
            pattern = ready.patterns.of(load.key.dish, load.key.component, load.portions)
            made = LoadJob(load.key, number, pattern, waiting_rate(load.portions, part.keeps_s))
            told = question.announced.get(StepKey(*load.key, 0))
            made.announced = None if told is None else max(0, told - question.now)
            loads.append(made)
        parts[number] = replace(part, loads=tuple(loads))
    return replace(job, parts=tuple(parts), loads=tuple(load for part in parts for load in part.loads))
