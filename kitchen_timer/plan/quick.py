"""A valid plan at once: the running one kept where it still holds, what is new put into it."""

from dataclasses import replace

from kitchen_timer.plan.answer import Answer, PlannedStep
from kitchen_timer.plan.cost import priced
from kitchen_timer.plan.greedy import place, place_as
from kitchen_timer.plan.jobs import CourseJob
from kitchen_timer.plan.line import Line
from kitchen_timer.plan.prepare import Prepared, answer_of, is_open, place_all, prepare, starts_in
from kitchen_timer.plan.question import CourseKey, Question
from kitchen_timer.plan.resplit import as_planned
from kitchen_timer.plan.search import Search, score

POLISH = 400
"""A quick plan is polished until so many loads have been looked at, put or taken since the running one was laid out:
some 8 ms. What must be placed after half of that is placed in haste."""
MOST_POLISH = 12
LATER_S = 30
"""A started course that can only be kept by landing so much later is put before what has not started."""


def plan_quickly(question: Question, previous: Answer | None = None) -> Answer:
    """A valid plan at once: the running one kept where it still holds, what is new put into it; or one from scratch.

    Courses that can never be made are listed in it, never raised.
    """
    ready = prepare(question)
    line = ready.line()
    if previous is not None:
        keep(ready, line, previous)
    new = [key for key in ready.jobs if key not in line.placed]
    ends = line.effort + POLISH
    if previous is not None:
        line.patience = ends - POLISH // 2
    place_all(ready, line, new)
    if previous is not None and new:
        _started_first(ready, line, previous, new)
    if previous is not None:
        _sooner(ready, line, ends)
    if new:
        search = Search(ready, line, seed=0)
        rounds = MOST_POLISH if search.movable > 1 else 0
        while rounds and line.effort < ends:
            search.once(sideways=False)
            rounds -= 1
    return answer_of(ready, line)


def _started_first(ready: Prepared, line: Line, previous: Answer, new: list[CourseKey]) -> None:
    """Where a started course had to be planned anew and found no room in time, what has not started makes room."""

    def suffers(key: CourseKey) -> bool:
        course, before = line.placed.get(key), previous.by_course.get(key)
        if course is None or before is None or not course.job.has_begun or course.job.landed is not None:
            return False
        return course.broken_s > 0 or course.landing > before.landing_at - ready.question.now + LATER_S

    first = [key for key in new if suffers(key)]
    if not first:
        return
    others = [key for key, course in line.placed.items() if not course.job.has_begun]
    out = dict.fromkeys((*first, *(f for key in first for f in ready.followers(key)), *others))
    kept, jobs = line.snapshot(), dict(ready.jobs)
    old = {key: line.placed[key] for key in out}
    for key in out:
        line.take_course(key)
    anew: list[CourseKey] = []
    for key in sorted(out, key=lambda key: (key not in first, old[key].landing)):
        job, course = ready.jobs[key], None
        if is_open(job, line) and key in first:
            course = place(line, job, ready.templates.get(key))
        elif is_open(job, line):
            course = place_as(line, job, old[key].landing, {load.job: load.starts for load in old[key].loads})
        if course is None:
            anew.append(key)
        elif key in ready.as_before and key not in first:
            ready.as_before[key] = (course, ready.as_before[key][1])
    opens = True
    while anew and opens:
        opens = False
        for key in [key for key in anew if is_open(ready.jobs[key], line)]:
            if place(line, ready.jobs[key], ready.templates.get(key)) is not None:
                anew.remove(key)
                opens = True
    if anew or sum(score(line.placed[key]) for key in out) >= sum(score(course) for course in old.values()):
        line.restore(kept)
        ready.jobs.clear()
        ready.jobs.update(jobs)
        for key in out:
            if key in ready.as_before:
                ready.as_before[key] = (old[key], ready.as_before[key][1])


def _sooner(ready: Prepared, line: Line, ends: int) -> None:
    """Let late courses land sooner where room has come free and nothing that was announced moves."""
    for old in sorted(line.placed.values(), key=lambda course: course.landing):
        if line.effort >= ends:
            return
        job, key = old.job, old.job.key
        if job.landed is not None or old.landing <= max(old.target, job.earliest(line.up)):
            continue
        line.take_course(key)
        found = place(line, job, ready.templates.get(key))
        if found is not None and score(found) < score(old) - 1e-6 and found.steady <= old.steady:
            for follower in ready.followers(key):
                if (course := line.placed.get(follower)) is not None:
                    target = course.job.target_from(course.job.earliest(line.up))
                    line.placed[follower] = priced(replace(course, target=target))
            continue
        if found is not None:
            line.take_course(key)
        line.lift(job)
        line.put_course(old)


def keep(ready: Prepared, line: Line, previous: Answer) -> None:
    """Place what an earlier answer planned where it still fits, split as it was, what has begun first."""
    as_planned(ready, previous)
    known = [job for key, job in ready.jobs.items() if key in previous.by_course]
    known.sort(key=lambda job: (not job.has_begun, previous.by_course[job.key].landing_at))
    for job in known:
        if job.landed is not None:
            place_all(ready, line, [job.key])
        elif is_open(job, line):
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
