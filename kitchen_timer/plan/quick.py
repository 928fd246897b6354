"""A valid plan at once: the running one kept where it still holds, what is new put into it."""

from dataclasses import replace

from kitchen_timer.plan.answer import Answer, PlannedStep
from kitchen_timer.plan.cost import priced
from kitchen_timer.plan.greedy import place, place_as
from kitchen_timer.plan.line import Line, PlacedCourse
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
    """Where a started course had to be planned anew and found no room in time, others make room: first what has not
    started, then also started courses that would land before it, which may lose a few seconds to save its food."""

    def suffers(key: CourseKey) -> bool:
        course, before = line.placed.get(key), previous.by_course.get(key)
        if course is None or before is None or not course.job.has_begun or course.job.landed is not None:
            return False
        return course.broken_s > 0 or course.landing > before.landing_at - ready.question.now + LATER_S

    for started_too in (False, True):
        first = [key for key in new if suffers(key)]
        if not first:
            return
        until = max(line.placed[key].landing for key in first) if started_too else -1
        others = [
            key
            for key, course in line.placed.items()
            if not course.job.has_begun or (course.job.landed is None and course.landing <= until)
        ]
        _make_room(ready, line, first, [key for key in others if key not in first])


def _make_room(ready: Prepared, line: Line, first: list[CourseKey], others: list[CourseKey]) -> None:
    """Put these courses first, the others back where they were or where they fit; if that is worse, change nothing."""
    out = dict.fromkeys((*first, *(f for key in first for f in ready.followers(key)), *others))
    out.update(dict.fromkeys(f for key in others for f in ready.followers(key)))
    kept, jobs, before = line.snapshot(), dict(ready.jobs), dict(ready.as_before)
    old = {key: line.placed[key] for key in out}
    for key in out:
        line.take_course(key)
    anew: list[CourseKey] = []
    for key in sorted(out, key=lambda key: (key not in first, not old[key].job.has_begun, old[key].landing)):
        job, course = ready.jobs[key], None
        if is_open(job, line) and key in first:
            course = place(line, job, ready.templates.get(key))
        elif is_open(job, line):
            course = place_as(line, job, old[key].landing, {load.job: load.starts for load in old[key].loads})
        if course is None:
            anew.append(key)
        elif key not in first and key in before and before[key][0] is old[key]:
            ready.as_before[key] = (course, before[key][1])
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
        ready.as_before.clear()
        ready.as_before.update(before)


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
            if course is not None and (steps := _as_it_was(previous, course, ready.question.now)):
                ready.as_before[job.key] = (course, steps)


def _as_it_was(previous: Answer, course: PlacedCourse, now: int) -> tuple[PlannedStep, ...]:
    """The steps of a course that stands as planned, if not even what has begun is otherwise; none if it is."""
    job = course.job
    planned = previous.by_load_of.get(job.key, {})
    if len(planned) != len(job.loads):
        return ()
    for placed in course.loads:
        load = placed.job
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
        elif load.pattern is not None and steps[load.pattern.first].start_at - now != placed.starts[0]:
            return ()  # what follows at once found its hands sooner or later than then
    return tuple([step for steps in planned.values() for step in steps])
