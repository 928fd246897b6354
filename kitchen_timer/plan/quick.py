"""A valid plan at once: the running one kept where it still holds, what is new put into it."""

from kitchen_timer.plan.answer import Answer, PlannedStep
from kitchen_timer.plan.greedy import place_as
from kitchen_timer.plan.jobs import CourseJob
from kitchen_timer.plan.line import Line
from kitchen_timer.plan.prepare import Prepared, answer_of, place_all, prepare, starts_in
from kitchen_timer.plan.question import Question
from kitchen_timer.plan.resplit import as_planned
from kitchen_timer.plan.search import Search

POLISH_WORK = 300
"""A quick plan is polished by iterated greedy until so many loads have been put and taken: about 10 ms."""
MOST_POLISH = 12


def plan_quickly(question: Question, previous: Answer | None = None) -> Answer:
    """A valid plan at once: the running one kept where it still holds, what is new put into it; or one from scratch.

    Courses that can never be made are listed in it, never raised.
    """
    ready = prepare(question)
    line = ready.line()
    if previous is not None:
        keep(ready, line, previous)
    new = [key for key in ready.jobs if key not in line.placed]
    place_all(ready, line, new)
    if new:
        search = Search(ready, line, seed=0)
        rounds = MOST_POLISH if search.movable > 1 else 0
        while rounds and line.work < POLISH_WORK:
            search.once(sideways=False)
            rounds -= 1
    return answer_of(ready, line)


def keep(ready: Prepared, line: Line, previous: Answer) -> None:
    """Place what an earlier answer planned where it still fits, split as it was, what has begun first."""
    as_planned(ready, previous)
    known = [job for key, job in ready.jobs.items() if key in previous.by_course]
    known.sort(key=lambda job: (not job.has_begun, previous.by_course[job.key].landing_at))
    for job in known:
        if job.landed is not None:
            place_all(ready, line, [job.key])
        elif job.follows is None or job.up_before is not None or job.follows in line.up:
            landing = previous.by_course[job.key].landing_at - ready.question.now
            course = place_as(line, job, landing, starts_in(previous, ready, job))
            if course is not None and (steps := _as_it_was(previous, job)):
                ready.as_before[job.key] = (course, steps)


def _as_it_was(previous: Answer, job: CourseJob) -> tuple[PlannedStep, ...]:
    """The steps of a course that stands as planned, if not even what has begun is otherwise; none if it is."""
    planned = previous.by_load_of.get(job.key, {})
    if len(planned) != len(job.loads):
        return ()
    for load in job.loads:
        steps = planned.get(load.key)
        if steps is None:
            return ()
        if load.begun is None:
            if load.pattern is None or steps[0].portions != load.pattern.portions:
                return ()
        elif [(s.start_at, s.end_at) for s in steps[: len(load.begun.steps)]] != [
            (s.start_at, s.end_at) for s in load.begun.steps
        ]:
            return ()
    return tuple([step for steps in planned.values() for step in steps])
