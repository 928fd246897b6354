"""A whole plan on the line, from which one course is taken out to see what stands in its way."""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import cached_property

from kitchen_timer.plan.answer import Answer, PlannedStep
from kitchen_timer.plan.attempt import Attempt
from kitchen_timer.plan.begun import put_what_has_begun
from kitchen_timer.plan.jobs import CourseJob, LoadJob
from kitchen_timer.plan.line import Line, PlacedCourse, PlacedLoad
from kitchen_timer.plan.prepare import Prepared, prepare, starts_in
from kitchen_timer.plan.profile import Profile, first_free, last_free
from kitchen_timer.plan.question import CourseKey, LoadKey, Question, StepKey
from kitchen_timer.plan.resplit import as_planned
from kitchen_timer.plan.taken import Taken, taken_by

PASS = 0
"""The number of the pass among resources."""
MOST_LANDINGS = 9
"""Landings that are tried between the one that is wanted and the one that is planned, closest together at one end."""


@dataclass(frozen=True)
class InTheWay:
    """Something of other courses that can be taken away: loads that share slots, or the plating of a course."""

    loads: tuple[LoadKey, ...]
    plating: CourseKey | None
    taken: Taken


class Scene:
    """The plan as it stands. All its instants but those in ``Taken`` count from the question's ``now``."""

    def __init__(self, question: Question, answer: Answer) -> None:
        self.question, self.answer = question, answer
        self.now = question.now
        self.ready: Prepared = prepare(question, remedies=False)
        as_planned(self.ready, answer)
        self.line: Line = self.ready.line()
        self.placed: dict[LoadKey, PlacedLoad] = {}
        """Everything on the line that can be taken off it."""
        for job in self.ready.jobs.values():
            self.line.lift(job)
        self.line.tentative.clear()
        for key in answer.by_course:
            if key in self.ready.jobs:
                self._put(self.ready.jobs[key])

    def _put(self, job: CourseJob) -> None:
        course = self.answer.by_course[job.key]
        self.line.up[job.key] = course.up_at - self.now
        self.line.profile.add(PASS, job.pass_hands, course.landing_at - self.now, course.up_at - self.now)
        for load, starts in starts_in(self.answer, self.ready, job).items():
            if load.key in self.line.fixed:
                self.placed[load.key] = self.line.fixed[load.key]
            else:
                self.placed[load.key] = PlacedLoad(load, starts)
                self.line.put(self.placed[load.key])

    @cached_property
    def loads(self) -> dict[LoadKey, tuple[PlannedStep, ...]]:
        """Every load of the plan, and what has begun of courses that are in it no more."""
        loads = dict(self.answer.by_load)
        for wanted in self.question.courses:
            for begun in wanted.begun:
                key = LoadKey(*wanted.key, begun.dish, begun.component, begun.load)
                dish = self.question.book.get(begun.dish)
                if key in loads or dish is None or begun.component not in dish.components:
                    continue
                part = dish.components[begun.component]
                steps = [
                    PlannedStep(
                        StepKey(*key, i), what.do, part.station, what.on, begun.portions, went.start_at, went.end_at
                    )
                    for i, (what, went) in enumerate(zip(part.steps, begun.steps, strict=False))
                ]
                if steps:
                    loads[key] = tuple(steps)
        return loads

    @cached_property
    def _taken(self) -> list[Taken]:
        return taken_by(self.question.kitchen, self.question.book, self.loads.values())

    @cached_property
    def _sharing(self) -> dict[LoadKey, tuple[LoadKey, ...]]:
        """Of each load those that stand in the same slots with it at some time, itself among them."""
        together: dict[tuple[object, ...], list[LoadKey]] = {}
        for key, steps in self.loads.items():
            for step in steps:
                if step.on is not None:
                    what = (key.dish, key.component, step.key.step, step.start_at, step.end_at)
                    together.setdefault(what, []).append(key)
        sharing: dict[LoadKey, dict[LoadKey, None]] = {key: {key: None} for key in self.loads}
        for keys in together.values():
            for key in keys:
                sharing[key].update(dict.fromkeys(keys))
        return {key: tuple(others) for key, others in sharing.items()}

    def begun(self, key: LoadKey) -> bool:
        """Whether a load has started."""
        wanted = self.question.course(key.of_course)
        part = (key.dish, key.component, key.load)
        return wanted is not None and any((b.dish, b.component, b.load) == part for b in wanted.begun)

    # -- taking out --------------------------------------------------------------------------------------------------

    @contextmanager
    def without(self, key: CourseKey) -> Iterator[None]:
        """The line without one course; its started food stays where it is."""
        kept = self.line.snapshot()
        course = self.answer.by_course[key]
        job = self.ready.jobs[key]
        self.line.profile.remove(PASS, job.pass_hands, course.landing_at - self.now, course.up_at - self.now)
        for load_key, placed in self.placed.items():
            if load_key.of_course == key and load_key not in self.line.fixed:
                self.line.take(placed)
        up = self.line.up.pop(key, None)
        try:
            yield
        finally:
            self.line.restore(kept)
            if up is not None:
                self.line.up[key] = up

    @contextmanager
    def removed(self, things: Iterable[InTheWay]) -> Iterator[None]:
        """The line without these, whatever they take anywhere."""
        kept = self.line.snapshot()
        things = list(things)
        for load in dict.fromkeys(key for thing in things for key in thing.loads):
            if load in self.placed:
                self.line.take(self.placed[load])
        begun = {key for thing in things for key in thing.loads if self.begun(key)}
        if begun:
            self._lift_begun(begun)
        for key in dict.fromkeys(thing.plating for thing in things if thing.plating is not None):
            course, job = self.answer.by_course[key], self.ready.jobs[key]
            self.line.profile.remove(PASS, job.pass_hands, course.landing_at - self.now, course.up_at - self.now)
        try:
            yield
        finally:
            self.line.restore(kept)

    def _lift_begun(self, keys: set[LoadKey]) -> None:
        """Take away what started loads take; with what shares their slots, or not exactly."""
        courses = [
            replace(
                wanted,
                begun=tuple(b for b in wanted.begun if LoadKey(*wanted.key, b.dish, b.component, b.load) in keys),
            )
            for wanted in self.question.courses
        ]
        only = Line(self.line.patterns)
        put_what_has_begun(only, replace(self.question, courses=tuple(w for w in courses if w.begun)))
        for resource, levels in enumerate(only.profile._levels):
            for level in levels:
                for from_s, to_s in _stretches(level):
                    self.line.profile.remove(resource, 1, from_s, to_s)

    @contextmanager
    def relaxed(self, resources: Iterable[int], key: CourseKey) -> Iterator[None]:
        """The line with these resources taken by nobody but the course's own started food."""
        kept = self.line.snapshot()
        own = self._own(key)
        for resource in resources:
            self.line.profile.be_as(own, resource)
        try:
            yield
        finally:
            self.line.restore(kept)

    def _own(self, key: CourseKey) -> Profile:
        line = Line(self.line.patterns)
        wanted = self.ready.jobs[key].wanted
        if wanted.begun:
            put_what_has_begun(line, replace(self.question, courses=(wanted,)))
            for load_key, placed in self.line.fixed.items():
                if load_key.of_course == key:
                    line.put(placed)
        return line.profile

    # -- looking -----------------------------------------------------------------------------------------------------

    def sooner(self, job: CourseJob, landing: int, *, pinned: bool = False) -> PlacedCourse | None:
        """The course landing before ``landing`` and not before it is wanted, as little sooner as is found, if it fits.

        The line is as before. ``pinned``: with announced loads where their stations were told.
        """
        attempt = Attempt(self.line, job)
        low = max(attempt.earliest, min(attempt.target, landing - 1))
        return self._first_of(attempt, reversed(_landings(attempt.blocked, low, landing - 1, from_top=True)), pinned)

    def soonest(self, job: CourseJob, landing: int) -> PlacedCourse | None:
        """The course at the soonest landing that is found before ``landing``; the line is as before."""
        attempt = Attempt(self.line, job)
        low = max(attempt.earliest, min(attempt.target, landing - 1))
        return self._first_of(attempt, _landings(attempt.blocked, low, landing - 1, from_top=False), pinned=False)

    def soonest_of_all(self, job: CourseJob, landing: int) -> PlacedCourse | None:
        """As :meth:`soonest`, looked for as long as the planner itself would: to be sure that there is none."""
        attempt = Attempt(self.line, job)
        low = max(attempt.earliest, min(attempt.target, landing - 1))
        if low >= landing:
            return None
        template = self.ready.templates.get(job.key)
        course = attempt.upwards(low, landing - 1)
        if course is None and template is not None:
            course = attempt.from_template(template, low)
        if course is not None:
            attempt.take(course)
        return course if course is not None and course.landing < landing else None

    def _first_of(self, attempt: Attempt, landings: Iterable[int], pinned: bool) -> PlacedCourse | None:
        for landing in landings:
            if (course := attempt.at(landing, pinned=pinned)) is not None:
                attempt.take(course)
                return course
        return None

    def fits(self, job: CourseJob, course: PlacedCourse) -> bool:
        """Whether a course found with less on the line goes there now, exactly as it is."""
        attempt = Attempt(self.line, job, look=False)
        found = attempt.exactly(course.landing, {placed.job: placed.starts for placed in course.loads})
        if found is None:
            return False
        attempt.take(found)
        return True

    def in_the_way(self, job: CourseJob, course: PlacedCourse, resources: Iterable[int]) -> list[InTheWay]:
        """What others have of these resources while the course would need them, longest there first."""
        names = self.line.patterns.names
        found: dict[tuple[object, ...], InTheWay] = {}
        for resource in resources:
            if resource == PASS:
                found |= self._plating(job, course)
                continue
            needs = [use for placed in course.loads for use in uses(placed, resource)]
            for taken in self._taken:
                if taken.resource != names[resource] or taken.key is None or taken.key.of_course == job.key:
                    continue
                from_s, until_s = taken.from_at - self.now, taken.until_at - self.now
                if any(from_s < to and until_s > start for start, to in needs):
                    loads = tuple(k for k in self._sharing[taken.key] if k.of_course != job.key)
                    old = found.get(loads)
                    if old is None or old.taken.until_at < taken.until_at:
                        found[loads] = InTheWay(loads, None, taken)
        return sorted(found.values(), key=lambda thing: -thing.taken.until_at)

    def _plating(self, job: CourseJob, course: PlacedCourse) -> dict[tuple[object, ...], InTheWay]:
        found: dict[tuple[object, ...], InTheWay] = {}
        for other in self.answer.courses:
            at, up = other.landing_at - self.now, other.up_at - self.now
            if other.key in self.ready.jobs and other.key != job.key and at < course.up and up > course.landing:
                taken = Taken(("pass", ""), None, *other.key, other.landing_at, other.up_at, other.up_at)
                found["plating", other.key] = InTheWay((), other.key, taken)
        return found


def uses(placed: PlacedLoad, resource: int) -> Iterator[tuple[int, int]]:
    """When a placed load has some of a resource: ``(from, to)``, slots with their recovery."""
    pattern = placed.job.pattern
    if pattern is None:
        return
    if placed.job.held is not None and placed.job.held[0] == resource:
        yield placed.job.begun_end, placed.starts[0]
    for index, (piece, start) in enumerate(zip(pattern.pieces, placed.starts, strict=True)):
        for run in piece.runs:
            yield from ((start + from_s, start + to_s) for of, from_s, to_s in run.hands if of == resource)
            yield from ((start + use.from_s, start + use.to_s) for use in run.slots if use.resource == resource)
        if piece.held is not None and piece.held[0] == resource:
            yield start + piece.length_s, placed.starts[index + 1]


def used_by(job: CourseJob, loads: Iterable[LoadJob]) -> list[int]:
    """The resources that loads of a course use, the pass last."""
    found = dict.fromkeys(r for load in loads if load.pattern is not None for r in load.pattern.resources)
    return [*found, *([PASS] if job.plating_s else [])]


def _landings(blocked: int, low: int, high: int, *, from_top: bool) -> list[int]:
    """A few landings of ``low .. high`` that no load by itself rules out, in order, most of them near one end."""
    found: set[int] = set()
    for number in range(MOST_LANDINGS if blocked >= 0 and low <= high else 0):
        away = (high - low) * (2**number - 1) // (2 ** (MOST_LANDINGS - 1) - 1)
        landing = last_free(blocked, low, high - away) if from_top else first_free(blocked, low + away)
        if landing is not None and landing <= high:
            found.add(landing)
    return sorted(found)


def _stretches(bits: int) -> Iterator[tuple[int, int]]:
    at = 0
    while bits:
        skip = (bits & -bits).bit_length() - 1
        at, bits = at + skip, bits >> skip
        width = (~bits & (bits + 1)).bit_length() - 1
        yield at, at + width
        at, bits = at + width, bits >> width
