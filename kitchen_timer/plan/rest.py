"""The last resort for a course with food on: what has not started of it is made as with the kitchen to itself, later.

What has started goes on as soon as it can and then stands, longer than it keeps if it must: that cannot be helped. All
the rest can still be cooked so that it is fresh, if not earlier then after everything else that is planned.
"""

from collections.abc import Sequence
from dataclasses import replace

from kitchen_timer.kitchen.table import Asap
from kitchen_timer.plan.attempt import Attempt
from kitchen_timer.plan.begun import soonest
from kitchen_timer.plan.jobs import CourseJob, LoadJob
from kitchen_timer.plan.line import Line, PlacedCourse, PlacedLoad
from kitchen_timer.plan.loads import Load
from kitchen_timer.plan.patterns import Patterns
from kitchen_timer.plan.put import put_alike
from kitchen_timer.plan.question import BegunLoad, BegunStep, Question, Wanted
from kitchen_timer.plan.template import Template, matched_loads

EXACT_S = 0.3
"""The longest that the exact planner may think about what is left of one course."""

Rest = Sequence[tuple[LoadJob, tuple[int, ...]]]


def rest_later(attempt: Attempt, template: Template | None) -> PlacedCourse | None:
    """Place a started course so that all that has not started of it obeys every rule; None where no landing does."""
    line, job = attempt.line, attempt.job
    if attempt.never is not None:
        return None
    settled = dict(attempt.settled)
    going_on = [load for load in job.loads if load.begun is not None and load not in settled]
    for load in sorted(going_on, key=lambda load: (load.begun_end, load.key)):
        settled[load] = PlacedLoad(load, soonest(line, load))
        line.put(settled[load])
    course = _with(line, job, settled, template)
    if course is None:
        for load in going_on:
            line.take(settled[load])
    return course


def _with(
    line: Line, job: CourseJob, settled: dict[LoadJob, PlacedLoad], template: Template | None
) -> PlacedCourse | None:
    attempt = Attempt(line, job, settled=settled)
    new = [load for load in job.loads if load.begun is None]
    from_s = max([attempt.earliest, *(load.end for load in settled.values())])
    rest: Rest | None = matched_loads(new, template) if template is not None else None
    if rest is None or (course := _alike(attempt, rest, from_s)) is None:
        course = attempt.upwards(max(from_s, line.profile.quiet_from()))
    if course is None:
        rest = _alone(line.patterns, job, new)
        course = _alike(attempt, rest, from_s) if rest is not None else None
    return course


def _alike(attempt: Attempt, rest: Rest, from_s: int) -> PlacedCourse | None:
    job, settled = attempt.job, attempt.settled
    for load, starts in rest:
        waits_for = [other for p in job.parts[load.part].after for other in job.parts[p].loads if other in settled]
        from_s = max([from_s, *(settled[other].end - starts[0] for other in waits_for)])
    found = put_alike(attempt.line, job, rest, from_s)
    return attempt.course_at(found[0], {**settled, **found[1]}) if found is not None else None


def _alone(patterns: Patterns, job: CourseJob, new: Sequence[LoadJob]) -> Rest | None:
    """:func:`_solved`, worked out once: the same course is asked about with every tap while its food is on."""
    begun = [(each.dish, each.component, each.portions) for each in job.wanted.begun]
    key = (job.wanted.portions, tuple(begun), tuple(load.pattern for load in new))
    if key not in patterns.rests:
        rest = _solved(patterns, job, new)
        patterns.rests[key] = None if rest is None else tuple(starts for _, starts in rest)
    known = patterns.rests[key]
    return None if known is None else tuple(zip(new, known, strict=True))


def _solved(patterns: Patterns, job: CourseJob, new: Sequence[LoadJob]) -> Rest | None:
    """What has not started as the exact planner would make it, everything else done and the kitchen empty."""
    from kitchen_timer.plan.exact.solve import solve  # takes 0.3 s to load: only where needed

    question = Question(patterns.kitchen, patterns.book, 0, (_all_begun_done(patterns, job),))
    splits = [Load(load.key, load.pattern.portions) for load in new if load.pattern is not None]
    answer = solve(question, splits=splits, seconds=EXACT_S, targets={job.key: 0}).answer
    if answer is None or job.key not in answer.by_course:
        return None
    landing = answer.by_course[job.key].landing_at
    rest = []
    for load in new:
        assert load.pattern is not None
        steps = answer.by_load.get(load.key)
        if steps is None:
            return None
        rest.append((load, tuple(steps[index].start_at - landing for index in load.pattern.first_steps)))
    return rest


def _all_begun_done(patterns: Patterns, job: CourseJob) -> Wanted:
    begun = [
        BegunLoad(
            each.dish,
            each.component,
            each.load,
            each.portions,
            (BegunStep(-1, 0, done=True),) * len(patterns.book[each.dish].components[each.component].steps),
        )
        for each in job.wanted.begun
    ]
    return replace(job.wanted, in_at=0, land=Asap(), target_at=0, landed_at=None, begun=tuple(begun))
