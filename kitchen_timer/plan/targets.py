"""When a course could land with the kitchen to itself: the target of a course wanted as soon as can be.

Found by the constructive planner; where that does not reach what the longest chain of steps or the busiest resource
needs at the least, by the exact one. Kept for every kitchen, book and number of plates.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import ceil

from kitchen_timer.kitchen.dish import Book
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.kitchen.table import Asap
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.attempt import Attempt
from kitchen_timer.plan.jobs import CourseJob, Part, job_of
from kitchen_timer.plan.line import Line, PlacedCourse
from kitchen_timer.plan.loads import split_course, ways_of_course
from kitchen_timer.plan.patterns import Patterns, patterns_for
from kitchen_timer.plan.question import Question, Wanted
from kitchen_timer.plan.template import Template

Portions = tuple[tuple[str, int], ...]
FIND_S = 0.3
"""The longest that the exact planner may look for a way to make a course that the constructive one cannot place."""
SURE_S = 0.06
"""The longest that it may look for an earlier landing than is known; it takes 0.02 s for most. Until it is sure the
target stays what the constructive planner reached: the order waits for it."""


@dataclass(frozen=True)
class Alone:
    """A course with the kitchen to itself."""

    seconds: int
    """From its first start to its landing."""
    template: Template
    way: int
    """The way of splitting its portions into loads (loads.py) in which it lands so soon."""


def alone_s(kitchen: Kitchen, book: Book, portions: Portions) -> int | None:
    """Seconds in which a course of so many plates of each dish could land with the kitchen to itself.

    None where it never could; KeyError for a dish or equipment that is not there.
    """
    alone = alone_for(patterns_for(kitchen, book), portions)
    return alone.seconds if alone else None


def alone_for(patterns: Patterns, portions: Portions) -> Alone | None:
    """The course with the kitchen to itself, kept from call to call; None where it can never be made."""
    key = tuple(sorted(portions))
    if key not in patterns.alone:
        patterns.alone[key] = _find(patterns, key)
    found = patterns.alone[key]
    assert found is None or isinstance(found, Alone)
    return found


def question_of(patterns: Patterns, portions: Portions) -> Question:
    """The question of one course with the kitchen to itself, from second 0."""
    wanted = Wanted("alone", "course", 0, Asap(), portions, target_at=0)
    return Question(patterns.kitchen, patterns.book, 0, (wanted,))


def can_be_made(kitchen: Kitchen, book: Book, portions: Portions) -> bool:
    """Whether the constructive planner finds a way to make a course with the kitchen to itself."""
    return _constructed(Patterns(kitchen, book), portions)[0] is not None


def _find(patterns: Patterns, portions: Portions) -> Alone | None:
    best, proven = _constructed(patterns, portions)
    return best if proven else _exactly(patterns, portions, best)


def _constructed(patterns: Patterns, portions: Portions) -> tuple[Alone | None, bool]:
    """What the constructive planner finds, and whether nothing can be earlier."""
    question = question_of(patterns, portions)
    wanted = question.courses[0]
    best: Alone | None = None
    for way in range(ways_of_course(patterns.kitchen, patterns.book, wanted)):
        splits = split_course(patterns.kitchen, patterns.book, wanted, way)
        job = job_of(question, patterns, wanted, 0, splits)
        least = least_s(job, patterns)
        if best is not None and least >= best.seconds:
            continue
        course = Attempt(Line(patterns), job).upwards(least, None if best is None else best.seconds - 1, alone=True)
        if course is not None:
            best = Alone(course.landing, template_of(course), way)
            if course.landing <= least:
                return best, True
    return best, False


def _exactly(patterns: Patterns, portions: Portions, best: Alone | None) -> Alone | None:
    """What the exact planner makes of a course that the constructive one could not place, or not surely earliest."""
    from kitchen_timer.plan.exact.solve import land_alone, solve  # the solver takes 0.3 s to load: only where needed

    question = question_of(patterns, portions)
    wanted = question.courses[0]
    ways = ways_of_course(patterns.kitchen, patterns.book, wanted)
    if best is not None and ways == 1:
        earliest = land_alone(patterns.kitchen, patterns.book, dict(portions), SURE_S)
        return best if earliest is None else replace(best, seconds=min(best.seconds, earliest))
    for way in range(ways):
        splits = split_course(patterns.kitchen, patterns.book, wanted, way)
        answer = solve(
            question, splits=splits, seconds=(FIND_S if best is None else SURE_S) / ways, targets={wanted.key: 0}
        ).answer
        if answer is not None and (best is None or answer.courses[0].landing_at < best.seconds):
            best = Alone(answer.courses[0].landing_at, _template_in(answer, patterns), way)
    return best


def _template_in(answer: Answer, patterns: Patterns) -> Template:
    """A course of an answer as starts before its landing."""
    landing, template = answer.courses[0].landing_at, []
    for key, steps in answer.by_load.items():
        pattern = patterns.of(key.dish, key.component, steps[0].portions)
        first = [sum(len(piece.lengths_s) for piece in pattern.pieces[:i]) for i in range(len(pattern.pieces))]
        starts = tuple(steps[index].start_at - landing for index in first)
        template.append((key.dish, key.component, steps[0].portions, starts))
    return tuple(template)


def template_of(course: PlacedCourse) -> Template:
    """A placed course as starts before its landing."""
    return tuple(
        (
            load.job.pattern.dish,
            load.job.pattern.component,
            load.job.pattern.portions,
            tuple(start - course.landing for start in load.starts),
        )
        for load in course.loads
        if load.job.pattern is not None
    )


def least_s(job: CourseJob, patterns: Patterns) -> int:
    """Seconds before which a course of which nothing has begun cannot land, even with the kitchen to itself.

    No sooner than its longest chain of components takes; nor than a resource can do what has to be done with it: all
    that is needed no sooner than ``head`` and no later than ``tail`` before the landing takes at least its work, shared
    out over all there is of the resource, in between.
    """
    first: dict[int, int] = {}
    done: dict[int, int] = {}
    longest = [max((load.pattern.length_s for load in part.loads if load.pattern), default=0) for part in job.parts]
    for p in reversed(job.order):
        first[p] = max((done[other] for other in job.parts[p].after), default=0)
        done[p] = first[p] + longest[p]
    then: dict[int, int] = {}
    needs: dict[int, list[Need]] = {}
    for p in job.order:
        then[p] = max((longest[other] + then[other] for other in job.parts[p].needed_by), default=0)
        for resource, head_s, tail_s, work_s in _needs(job.parts[p]):
            needs.setdefault(resource, []).append((first[p] + head_s, tail_s + then[p], work_s))
    least = max(done.values(), default=0)
    for resource, of in needs.items():
        room = patterns.capacities[resource]
        for head in {need[0] for need in of} if room else ():
            for tail in {need[1] for need in of}:
                work_s = sum(need[2] for need in of if need[0] >= head and need[1] >= tail)
                if work_s:
                    least = max(least, head + tail + ceil(work_s / room - 1e-6))
    return least


Need = tuple[int, int, float]
"""Seconds from the course's first start, seconds before its landing, and the least that it takes of a resource."""


def _needs(part: Part) -> Iterator[tuple[int, int, int, float]]:
    """What loads of a part need: resource, seconds from their start and before their end, unit-seconds at the least.

    Loads may share slots where they start and end together: of slots each needs only what its portions fill, and of
    the hands only the first is sure.
    """
    for number, load in enumerate(part.loads):
        assert load.pattern is not None
        from_s, length_s = 0, load.pattern.length_s
        for piece in load.pattern.pieces:
            for run in piece.runs:
                shares = run.join is not None and len(part.loads) > 1
                for station, a, b in run.hands if not shares or number == 0 else ():
                    yield station, from_s + a, length_s - from_s - b, float(b - a)
                for use in run.slots:
                    amount = load.pattern.portions / use.fits if shares else use.amount
                    work_s = amount * (use.to_s - use.from_s)
                    yield use.resource, from_s + use.from_s, length_s - from_s - use.to_s, work_s
            from_s += piece.length_s
