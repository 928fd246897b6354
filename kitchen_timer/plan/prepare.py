"""A question made ready for planning, and a line of placed courses made into an answer."""

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass, field, replace

from kitchen_timer.plan.answer import Answer, Impossible, PlannedCourse, PlannedStep
from kitchen_timer.plan.begun import put_what_has_begun, put_what_must
from kitchen_timer.plan.greedy import place
from kitchen_timer.plan.impossible import Reasons, Stopped, in_words, never, never_at_once
from kitchen_timer.plan.jobs import CourseJob, LoadJob, job_of, missing
from kitchen_timer.plan.line import Line, PlacedCourse, PlacedLoad
from kitchen_timer.plan.loads import Load, Splits, split_course
from kitchen_timer.plan.patterns import Patterns, patterns_for
from kitchen_timer.plan.question import CourseKey, LoadKey, Question, StepKey, Wanted
from kitchen_timer.plan.remedy import OF_THE_HOUSE, Change, Remedy
from kitchen_timer.plan.resplit import place_well_split
from kitchen_timer.plan.targets import alone_for, can_be_made
from kitchen_timer.plan.template import Template


@dataclass
class Prepared:
    """Jobs of all courses that can be made, and why the others cannot."""

    question: Question
    patterns: Patterns
    jobs: dict[CourseKey, CourseJob] = field(default_factory=dict)
    templates: dict[CourseKey, Template] = field(default_factory=dict)
    impossible: dict[CourseKey, Impossible] = field(default_factory=dict)
    as_before: dict[CourseKey, tuple[PlacedCourse, tuple[PlannedStep, ...]]] = field(default_factory=dict)
    """Filled by quick.py: courses that stand as an earlier answer had them, and the steps of that."""
    other_ways: dict[CourseKey, tuple[CourseJob, ...]] = field(default_factory=dict)
    """Filled by resplit.py: each course as it is split and in other ways."""
    remedies: bool = True
    """Whether what would help an impossible course is looked for; ``False``: that comes later."""

    @property
    def splits(self) -> Splits:
        """Every load that is still to be begun."""
        loads = [load for job in self.jobs.values() for load in job.loads]
        return tuple(Load(load.key, load.pattern.portions) for load in loads if not load.begun and load.pattern)

    def line(self) -> Line:
        """A line with nothing on it but what has begun."""
        line = Line(self.patterns)
        put_what_has_begun(line, self.question)
        put_what_must(line, list(self.jobs.values()))
        return line

    def followers(self, key: CourseKey) -> list[CourseKey]:
        """Courses that land after this one, and after those, in that order; not what has landed already."""
        behind = [k for k, job in self.jobs.items() if job.follows == key and job.up_before is None]
        found = [k for k in behind if self.jobs[k].landed is None]
        return [f for k in found for f in (k, *self.followers(k))]


def prepare(question: Question, *, remedies: bool = True) -> Prepared:
    """Jobs for all courses that can be made; never raises for one that cannot."""
    patterns = patterns_for(question.kitchen, question.book)
    ready = Prepared(question, patterns, remedies=remedies)
    for wanted in question.courses:
        if (lacks := _lacking(patterns, question, wanted)) is not None:
            cure = Remedy((Change("book", lacks[2]),), lacks[1])
            ready.impossible[wanted.key] = Impossible(wanted.table, wanted.course, *lacks[:2], 9, (cure,))
            continue
        alone = alone_for(patterns, wanted.portions)
        if alone is None and not wanted.begun and wanted.landed_at is None:
            ready.impossible[wanted.key] = _never(ready, wanted)
            continue
        new = _splits_of(patterns, question, wanted, alone.way if alone else 0)
        job = job_of(question, patterns, wanted, alone.seconds if alone else 0, new)
        ready.jobs[wanted.key] = job
        if alone is not None:
            ready.templates[wanted.key] = alone.template
    for job in ready.jobs.values():
        before = ready.jobs.get(job.follows) if job.follows else None
        if before is not None and {d for d, _ in before.wanted.portions} & {d for d, _ in job.wanted.portions}:
            before.in_waves = job.in_waves = True
    _drop_what_follows_nothing(ready)
    return ready


def _never(ready: Prepared, wanted: Wanted) -> Impossible:
    if ready.remedies:
        return never(ready.patterns, wanted, can_be_made)
    return never_at_once(ready.patterns, wanted, alone=alone_for(ready.patterns, wanted.portions) is not None)


def with_remedies(
    question: Question, answer: Answer, enough: Callable[[], bool], stop: Callable[[], bool]
) -> tuple[Answer, Reasons]:
    """The answer with what would help its impossible courses, and why each of those plates can never be made.

    ``enough``: one remedy a course will do by now. ``stop``: the rest is left; what was tried is remembered.
    """
    patterns = patterns_for(question.kitchen, question.book)
    found: dict[CourseKey, Impossible] = {}
    reasons: Reasons = {}
    for each in answer.impossible:
        wanted = question.course(each.key)
        if each.remedies or wanted is None:
            continue
        try:
            found[each.key] = never(patterns, wanted, can_be_made, enough=enough, stop=stop)
        except Stopped:
            break
        key = tuple(sorted(wanted.portions))
        reasons[key] = patterns.reasons[key]
    if not found:
        return answer, {}
    return replace(answer, impossible=tuple(found.get(each.key, each) for each in answer.impossible)), reasons


def know_reasons(question: Question, reasons: Reasons) -> None:
    """Remember why courses of a kitchen and book can never be made, as :func:`with_remedies` found it elsewhere."""
    known = patterns_for(question.kitchen, question.book).reasons
    for portions, reason in reasons.items():
        known.setdefault(portions, reason)


def _lacking(patterns: Patterns, question: Question, wanted: Wanted) -> tuple[str, str, str] | None:
    if wanted.portions not in patterns.lacking:
        patterns.lacking[wanted.portions] = missing(question, wanted)
    return patterns.lacking[wanted.portions]


def _splits_of(patterns: Patterns, question: Question, wanted: Wanted, way: int) -> Splits:
    if wanted.begun or wanted.spent:
        return split_course(question.kitchen, question.book, wanted, way)
    known = patterns.splits.get((wanted.portions, way))
    if known is None:
        splits = split_course(question.kitchen, question.book, wanted, way)
        patterns.splits[wanted.portions, way] = tuple((*load.key[2:], load.portions) for load in splits)
        return splits
    table, course = wanted.key
    return tuple([Load(LoadKey(table, course, dish, name, n), portions) for dish, name, n, portions in known])


def _drop_what_follows_nothing(ready: Prepared) -> None:
    """A course after one that is held or impossible is impossible too; so are courses that wait for each other."""
    reachable = {
        key
        for key, job in ready.jobs.items()
        if job.follows is None or job.up_before is not None or job.landed is not None
    }
    while True:
        more = {k for k, job in ready.jobs.items() if k not in reachable and job.follows in reachable}
        if not more:
            break
        reachable |= more
    for key in [k for k in ready.jobs if k not in reachable]:
        drop_after(ready, ready.jobs[key].wanted)


def drop_after(ready: Prepared, wanted: Wanted) -> None:
    """Report a course that lands after one which is not planned."""
    job = ready.jobs.pop(wanted.key)
    follows = job.follows.course if job.follows else ""
    cannot = ready.impossible.get(job.follows) if job.follows else None
    why = f"it lands after {follows}, which {'cannot be made' if cannot else 'is not planned'}"
    remedies: tuple[Remedy, ...] = (Remedy((Change("landing", wanted.course),), "a landing of its own"),)
    if cannot is None and job.follows is not None and ready.question.course(job.follows) is None:
        remedies = (Remedy((Change("call", follows),), f"calling {follows} first"), *remedies)
    elif cannot is not None:
        whole = [r for r in cannot.remedies if all(change.kind in OF_THE_HOUSE for change in r.changes)]
        remedies = (*remedies, *(Remedy(r.changes, f"for {follows}: {r.words}") for r in whole[:1]))
    ready.impossible[wanted.key] = Impossible(wanted.table, wanted.course, why, in_words(remedies), 8, remedies)


def place_all(
    ready: Prepared, line: Line, keys: Iterable[CourseKey], *, leave: bool = False, most: int | None = None
) -> None:
    """Place courses, those with food on first, then those with announced cues, then by target.

    One that fits nowhere is reported and left out, and so is what lands after it. ``leave``: what lands after a course
    that is not on the line yet is left alone. ``most``: so are all, once the line's effort is beyond that.
    """
    left = set(keys) & set(ready.jobs)
    known: dict[CourseKey, tuple[int, int, int, CourseKey]] = {}
    while left and (most is None or line.effort <= most):
        open_now = [k for k in left if k in known or is_open(ready.jobs[k], line)]
        if not open_now:
            for key in () if leave else left:
                drop_after(ready, ready.jobs[key].wanted)
            return
        for key in open_now:
            if key not in known:
                known[key] = urgency(ready.jobs[key], line)
        key = min(open_now, key=known.__getitem__)
        left.discard(key)
        job = ready.jobs[key]
        in_haste = line.hasty and place(line, job, ready.templates.get(key)) is not None
        if not in_haste and place_well_split(ready, line, key) is None:
            ready.impossible[key] = _never(ready, job.wanted)
            del ready.jobs[key]


def is_open(job: CourseJob, line: Line) -> bool:
    """Whether a course can be placed: what it lands after is on the line."""
    return job.landed is not None or job.follows is None or job.up_before is not None or job.follows in line.up


def urgency(job: CourseJob, line: Line) -> tuple[int, int, int, CourseKey]:
    """The order in which courses are placed: what is on, what is announced, what is wanted first."""
    if job.landed is not None:
        return 0, job.landed, job.wanted.in_at, job.key
    told = [load.announced for load in job.loads if load.announced is not None]
    kind = 1 if job.has_begun else 2 if told else 3
    target = job.target_from(job.earliest(line.up))
    return kind, min(told) if kind == 2 else target, job.wanted.in_at, job.key


def answer_of(ready: Prepared, line: Line, bound: float | None = None) -> Answer:
    """The answer that a line stands for; loads of a component are numbered in the order of their starts.

    What has begun, or has been announced, keeps its number.
    """
    now = ready.question.now
    courses: list[PlannedCourse] = []
    steps: list[PlannedStep] = []
    cost = 0.0
    for course in line.placed.values():
        job = course.job
        late_s = max(0, course.landing - course.target)
        courses.append(
            PlannedCourse(*job.key, job.plates, now + course.target, now + course.landing, now + course.up, late_s)
        )
        cost += course.cost
        before = ready.as_before.get(job.key)
        if before is not None and before[0] is course:
            steps += before[1]
        else:
            for placed, key in _numbered(course):
                steps += _steps_of(ready, placed.job, placed.starts, key)
    courses.sort(key=lambda c: (c.landing_at, c.key))
    steps.sort(key=lambda s: s.key)
    impossible = tuple(ready.impossible[w.key] for w in ready.question.courses if w.key in ready.impossible)
    return Answer(now, tuple(courses), tuple(steps), impossible, round(cost, 6), bound)


def _numbered(course: PlacedCourse) -> list[tuple[PlacedLoad, LoadKey]]:
    """The loads of a course with the numbers they get."""
    free: dict[int, list[PlacedLoad]] = {}
    numbered = []
    for placed in course.loads:
        if placed.job.stays:
            numbered.append((placed, placed.job.key))
        else:
            free.setdefault(placed.job.part, []).append(placed)
    for new in free.values():
        if len(new) > 1:
            keys = sorted(placed.job.key for placed in new)
            new.sort(key=lambda placed: (placed.starts, placed.job.key))
            numbered += zip(new, keys, strict=True)
        else:
            numbered.append((new[0], new[0].job.key))
    return numbered


def in_order_of_start(answer: Answer, kept: Collection[LoadKey]) -> Answer:
    """The same answer with loads of a component numbered in the order of their starts, all but those ``kept``."""
    parts: dict[tuple[str, ...], list[LoadKey]] = {}
    for key in answer.by_load:
        if key not in kept:
            parts.setdefault(key[:4], []).append(key)
    renamed: dict[LoadKey, LoadKey] = {}
    for keys in parts.values():
        by_start = sorted(keys, key=lambda key: ([s.start_at for s in answer.by_load[key]], key))
        renamed.update(zip(by_start, sorted(keys), strict=True))
    steps = [replace(s, key=StepKey(*renamed.get(s.key.of_load, s.key.of_load), s.key.step)) for s in answer.steps]
    return replace(answer, steps=tuple(sorted(steps, key=lambda s: s.key)))


def _steps_of(ready: Prepared, load: LoadJob, starts: tuple[int, ...], key: LoadKey) -> list[PlannedStep]:
    now = ready.question.now
    component = ready.patterns.book[load.key.dish].components[load.key.component]
    portions = load.begun.portions if load.begun is not None else load.pattern.portions if load.pattern else 0
    times = [(s.start_at, s.end_at) for s in load.begun.steps] if load.begun is not None else []
    if load.pattern is not None:
        for piece, start in zip(load.pattern.pieces, starts, strict=True):
            times += [
                (now + start + offset, now + start + offset + length)
                for offset, length in zip(piece.offsets_s, piece.lengths_s, strict=True)
            ]
    return [
        PlannedStep(
            StepKey(*key, index), component.steps[index].do, component.station, component.steps[index].on,
            portions, start_at, end_at,
        )
        for index, (start_at, end_at) in enumerate(times)
    ]  # fmt: skip


def starts_in(answer: Answer, ready: Prepared, job: CourseJob) -> dict[LoadJob, tuple[int, ...]]:
    """Piece starts that an earlier answer gave to the loads of a course, from now; loads it lacks are left out."""
    now = ready.question.now
    found: dict[LoadJob, tuple[int, ...]] = {}
    planned = answer.by_load_of.get(job.key, {})
    begun = {load.key for load in job.loads if load.begun is not None}
    had: dict[tuple[str, ...], list[LoadKey]] = {}
    for key in planned:
        if key not in begun:
            had.setdefault(key[2:4], []).append(key)
    for load in job.loads:
        if load.pattern is None:
            continue
        if load.begun is None:
            part = had.get(load.key[2:4], [])
            alike = [key for key in part if planned[key][0].portions == load.pattern.portions]
            if not alike:
                continue
            same = load.key if load.key in alike else alike[0]
            part.remove(same)
        else:
            same = load.key
        steps = planned.get(same, ())
        index, starts = load.pattern.first, []
        for piece in load.pattern.pieces:
            if index >= len(steps):
                break
            starts.append(steps[index].start_at - now)
            index += len(piece.lengths_s)
        else:
            found[load] = tuple(starts)
    return found
