"""A valid plan at once: the running one kept where it still holds, what is new put into it."""

from collections.abc import Collection

from kitchen_timer.plan.answer import Answer, PlannedStep
from kitchen_timer.plan.attempt import Attempt
from kitchen_timer.plan.greedy import place, place_as, retargeted
from kitchen_timer.plan.jobs import CourseJob
from kitchen_timer.plan.line import Line, PlacedCourse
from kitchen_timer.plan.prepare import Prepared, answer_of, is_open, place_all, prepare, starts_in
from kitchen_timer.plan.question import CourseKey, Question
from kitchen_timer.plan.resplit import as_planned
from kitchen_timer.plan.search import Search, score

POLISH = 400
"""A quick plan is polished until so many loads have been looked at, put or taken since the running one was laid out:
some 8 ms. What must be placed after half of that is placed in haste."""
MOST_POLISH, WAY = 12, 0.3
"""Rounds of it at most, and how often loads make way in one."""
LATER_S = 30
"""Started food may land so much later than with nothing in its way, so that what has not started stays where it is.
Where that has to land later by more than this instead, the other way round is tried too."""
TWICE = 25
"""It is tried if no more loads than so many for each course have been looked at, put or taken for placing until then,
and as long as no more are: some 5 ms at 20 open courses, 10 ms at 40."""
PATIENT = 1_000_000
"""As good as no limit: some 0.1 s where much food that has started has to be placed anew."""


def plan_quickly(
    question: Question, previous: Answer | None = None, *, remedies: bool = True, patient: bool = False
) -> Answer:
    """A valid plan at once: the running one kept where it still holds, what is new put into it; or one from scratch.

    Courses that can never be made are listed in it, never raised. ``remedies=False``: without looking for what would
    help them, which may take seconds (``prepare.with_remedies``). ``patient``: every way to make room for started food
    is tried to its end; under noise less of it stands too long.
    """
    ready = prepare(question, remedies=remedies)
    line = ready.line()
    if previous is None:
        ends, new = line.effort + POLISH, True
        place_all(ready, line, list(ready.jobs))
    else:
        new = _go_on(ready, line, previous, patient)
        ends = line.effort + POLISH if patient else line.patience + POLISH // 2
        _sooner(ready, line, ends)
    if new:
        search = Search(ready, line, seed=0, way=WAY)
        rounds = MOST_POLISH if search.movable > 1 else 0
        while rounds and line.effort < ends:
            search.once(sideways=False)
            rounds -= 1
    return answer_of(ready, line)


def _go_on(ready: Prepared, line: Line, previous: Answer, patient: bool) -> bool:
    """Lay out the plan that runs, with what is new and what cannot stay; False where all of it stays.

    Started food that cannot go on as planned is placed first, and what has not started makes room; unless it finds
    about as good a place beside all that, or the plan is better the other way round.
    """
    haste = PATIENT if patient else POLISH // 2
    as_planned(ready, previous)
    known = _known(ready, previous)
    _lay(ready, line, previous, [job for job in known if job.has_begun or job.landed is not None])
    others = [job.key for job in known if not job.has_begun and job.landed is None]
    first = [job for job in known if job.has_begun and job.landed is None and job.key not in line.placed]
    if not first:
        _lay_others(ready, line, previous, others)
        line.patience = line.effort + haste
        place_all(ready, line, [key for key in ready.jobs if key not in line.placed])
        return len(line.placed) > len(ready.as_before)
    # Where started food has to be placed anyway, none that suffers stays as it is: it may be in the way.
    for key in [job.key for job in known if _suffers(line.placed.get(job.key))]:
        first += [line.take_course(each).job for each in (key, *ready.followers(key)) if each in line.placed]
    before, most = _Way(ready, line), PATIENT if patient else TWICE * len(ready.jobs)
    since = line.effort
    line.patience = line.effort + haste
    place_all(ready, line, [job.key for job in first], leave=True)
    ideal = {job.key: course for job in first if (course := line.placed.get(job.key)) is not None}
    used = line.effort - since
    _lay_others(ready, line, previous, others)
    making_way = any(key not in line.placed for key in others if key in ready.jobs)
    alone: _Way | None = None
    if making_way and len(ideal) == len(first):
        started_first = _Way(ready, line)
        before.bring_back(but=others)
        _lay_others(ready, line, previous, [key for key in others if key not in line.placed])
        alone = _Way(ready, line)
        since = line.effort
        if not _beside(line, [ideal[job.key] for job in first]):
            started_first.bring_back()
        used += line.effort - since
    since = line.effort
    line.patience = line.effort + haste - used
    place_all(ready, line, [key for key in ready.jobs if key not in line.placed])
    used += line.effort - since
    if making_way and used < most and _make_way(ready, line, previous, others):
        started_first = _Way(ready, line)
        if alone is None:
            before.bring_back()
            _lay_others(ready, line, previous, others)
        else:
            alone.bring_back()
        line.patience = since = line.effort
        rest = [key for key in ready.jobs if key not in line.placed]
        place_all(ready, line, rest, most=line.effort + most - used)
        used += line.effort - since
        if _Way(ready, line).rank >= started_first.rank:
            started_first.bring_back()
    if used < most:
        _started_too(ready, line, [job.key for job in first], most - used)
    line.patience = line.effort + haste - used
    return True


def _started_too(ready: Prepared, line: Line, keys: list[CourseKey], most: int) -> None:
    """Let started courses that land before one that suffers make room too: seconds of theirs may save its food.

    Given up where placing them takes more than ``most`` effort.
    """
    first = [key for key in keys if _suffers(line.placed.get(key))]
    until = max([-1, *(line.placed[key].landing for key in first)])
    earlier = {k for k, c in line.placed.items() if c.job.has_begun and c.job.landed is None and c.landing <= until}
    if not first or not earlier - set(first):
        return
    before = _Way(ready, line)
    others = [key for key, course in line.placed.items() if not course.job.has_begun or key in earlier]
    out = dict.fromkeys((*first, *(f for key in (*first, *others) for f in (key, *ready.followers(key)))))
    old = {key: line.placed[key] for key in out}
    for key in out:
        line.take_course(key)
    line.patience = line.effort
    for key in sorted(out, key=lambda key: (key not in first, not old[key].job.has_begun, old[key].landing)):
        course, job = old[key], ready.jobs[key]
        if not is_open(job, line):
            continue
        if key in first:
            since = line.effort
            place(line, job, ready.templates.get(key))
            most -= line.effort - since
            if most < 0:
                before.bring_back()
                return
            continue
        found = place_as(line, job, course.landing, {load.job: load.starts for load in course.loads})
        if found is not None and key in ready.as_before and ready.as_before[key][0] is course:
            ready.as_before[key] = (found, ready.as_before[key][1])
    rest = [key for key in ready.jobs if key not in line.placed]
    place_all(ready, line, rest, most=line.effort + most)
    if _Way(ready, line).rank >= before.rank:
        before.bring_back()


def _suffers(course: PlacedCourse | None) -> bool:
    return course is not None and course.broken_s > 0 and course.job.landed is None


def _beside(line: Line, ideal: list[PlacedCourse]) -> bool:
    """Place started courses about as well as with nothing in their way, beside what is on the line."""
    for course in ideal:
        if not is_open(course.job, line):
            return False
        line.lift(course.job)
        to_s = course.landing + (0 if course.broken_s else LATER_S)
        attempt = Attempt(line, course.job)
        found = attempt.upwards(course.landing, to_s)
        if found is not None and found.broken_s <= course.broken_s and found.steady <= course.steady:
            line.put_course(found, loads=False)
        else:
            return False  # the line is brought back by whoever asked
    return True


def _lay_others(ready: Prepared, line: Line, previous: Answer, keys: list[CourseKey]) -> None:
    _lay(ready, line, previous, [ready.jobs[key] for key in keys if key in ready.jobs])


class _Way:
    """One way to lay out a plan, to be brought back."""

    def __init__(self, ready: Prepared, line: Line) -> None:
        self.ready, self.line = ready, line
        self._line = line.snapshot()
        self.placed = frozenset(line.placed)
        self._dicts = [(each, dict(each)) for each in (ready.jobs, ready.impossible, ready.as_before)]
        self.rank = -len(line.placed), sum(score(course) for course in line.placed.values())

    def bring_back(self, but: Collection[CourseKey] = ()) -> None:
        """Lay it out again; ``but``: these stay where they are, unless they follow one that was placed since.

        To lay out forty courses where they were takes longer than to place one.
        """
        line, ready = self.line, self.ready
        added = [key for key in line.placed if key not in self.placed]
        gone = {key for key in added if key not in but}
        gone |= {follower for key in gone for follower in ready.followers(key)}
        stay = [key for key in added if key not in gone]
        before = {key: ready.as_before[key] for key in stay if key in ready.as_before}
        if stay:
            for key in gone.intersection(line.placed):
                line.take_course(key)
        else:
            line.restore(self._line)
        for now, then in self._dicts:
            now.clear()
            now.update(then)  # type: ignore[arg-type]
        ready.as_before.update(before)


def _make_way(ready: Prepared, line: Line, previous: Answer, others: list[CourseKey]) -> bool:
    """Whether a course that has not started lands much later than planned, or a cue moves that was announced."""
    for key in others:
        course = line.placed.get(key)
        if course is None or course.steady > 0:
            return True
        if course.landing > previous.by_course[key].landing_at - ready.question.now + LATER_S:
            return True
    return False


def _sooner(ready: Prepared, line: Line, ends: int) -> None:
    """Let late courses land sooner where room has come free and nothing that was announced moves."""
    for old in sorted(line.placed.values(), key=lambda course: (not course.broken_s, course.landing)):
        if line.effort >= ends:
            return
        job, key = old.job, old.job.key
        if job.landed is not None or (not old.broken_s and old.landing <= max(old.target, job.earliest(line.up))):
            continue
        line.take_course(key)
        found = place(line, job, ready.templates.get(key))
        if found is not None and score(found) < score(old) - 1e-6 and found.steady <= old.steady:
            for follower in ready.followers(key):
                if (course := line.placed.get(follower)) is not None:
                    retargeted(line, course)
            continue
        if found is not None:
            line.take_course(key)
        line.lift(job)
        line.put_course(old)


def keep(ready: Prepared, line: Line, previous: Answer) -> None:
    """Place what an earlier answer planned where it still fits, split as it was, what has begun first."""
    as_planned(ready, previous)
    _lay(ready, line, previous, _known(ready, previous))


def _known(ready: Prepared, previous: Answer) -> list[CourseJob]:
    known = [job for key, job in ready.jobs.items() if key in previous.by_course]
    return sorted(known, key=lambda job: (not job.has_begun, previous.by_course[job.key].landing_at))


def _lay(ready: Prepared, line: Line, previous: Answer, jobs: list[CourseJob]) -> None:
    for job in jobs:
        if job.landed is not None:
            place_all(ready, line, [job.key])
        elif is_open(job, line):
            landing = previous.by_course[job.key].landing_at - ready.question.now
            steps = _as_it_was(previous, job)
            # What started food suffered in the plan before it may suffer in this one: nothing of it has changed.
            course = place_as(line, job, landing, starts_in(previous, ready, job), as_before=bool(steps))
            if course is not None and steps and _goes_on_as_planned(previous, course, ready.question.now):
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


def _goes_on_as_planned(previous: Answer, course: PlacedCourse, now: int) -> bool:
    """Whether what follows begun food at once finds its hands when it did, neither sooner nor later."""
    planned = previous.by_load_of[course.job.key]
    return all(
        load.job.begun is None
        or load.job.pattern is None
        or planned[load.job.key][load.job.pattern.first].start_at - now == load.starts[0]
        for load in course.loads
    )
