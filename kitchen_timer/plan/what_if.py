"""What if: the plan as it would be with something otherwise, and what that does to every course.

A pure question: nothing is changed by asking. The plan that stands is kept where it still holds, what must be
otherwise is put first, and the local search goes over the rest for a while; the targets stay those of the plan that
stands, so that both are measured by the same wishes, and both are searched for as long.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace

from kitchen_timer.kitchen.table import After, AtTime
from kitchen_timer.plan.answer import Answer, Impossible
from kitchen_timer.plan.attempt import Attempt
from kitchen_timer.plan.cost import cost_of, worth
from kitchen_timer.plan.greedy import place_as
from kitchen_timer.plan.jobs import job_of
from kitchen_timer.plan.line import Line
from kitchen_timer.plan.loads import split_course
from kitchen_timer.plan.patterns import patterns_for
from kitchen_timer.plan.prepare import Prepared, answer_of, place_all, prepare, starts_in
from kitchen_timer.plan.question import CourseKey, Question, Wanted
from kitchen_timer.plan.quick import keep
from kitchen_timer.plan.remedy import Change, with_change
from kitchen_timer.plan.resplit import as_planned, place_well_split
from kitchen_timer.plan.search import Search
from kitchen_timer.plan.targets import Alone, Portions, question_of
from kitchen_timer.plan.why import why_behind
from kitchen_timer.plan.why_words import listed

NOTICED_S = 5
"""A landing that moves by no more than this has not moved for a guest."""
WORTH = 0.5
"""Plate-seconds by which a plan must be better to count as another: less is nothing anybody would notice."""
POLISH_WORK = 6000
"""The other plan is polished until so many loads have been put and taken: about 0.2 s."""
IN_VAIN, WAY = 15, 0.5
"""Polishing ends after so many rounds for each course that find nothing better; how often loads make way in one."""
MOST_SAID = 4
"""Groups of courses named in the sentence, those that move most; the others are counted."""


@dataclass(frozen=True)
class Supposed:
    """What is supposed to be otherwise."""

    first: tuple[CourseKey, ...] = ()
    """These go before all others, in this order."""
    changes: tuple[Change, ...] = ()
    """Slots and cooks: so many more, or fewer where ``by`` is below 0."""
    without: tuple[CourseKey, ...] = ()
    """Not taken, or held; what lands after them is held with them."""
    landings: tuple[tuple[CourseKey, int], ...] = ()
    """The chef's own landing times: instants; no sooner, and as little later as can be."""


@dataclass(frozen=True)
class Moved:
    """One course, as it stands and as it would be. Instants; None: not in that plan."""

    table: str
    course: str
    plates: int
    stands_at: int | None
    """As planned, or as it could be planned anyway by the time this was worked out."""
    would_land_at: int | None
    by_s: int
    """Seconds later, below 0 sooner; 0 where it is not in both plans."""
    late_s: int
    """Behind its target then."""
    cause: str
    """What it would wait for, in kitchen words; empty where it would be on time."""

    @property
    def key(self) -> CourseKey:
        """Names the course."""
        return CourseKey(self.table, self.course)


@dataclass(frozen=True)
class WhatIf:
    """What would be otherwise."""

    words: str
    """``table 9 lands 1:40 sooner, tables 4 and 6 wait 0:30 longer``."""
    courses: tuple[Moved, ...]
    """All courses, those that move most first."""
    impossible: tuple[Impossible, ...]
    """What could no longer be made."""
    cost_stands: float
    """Of the plan that stands, in plate-seconds, of courses in both."""
    cost_would: float
    answer: Answer
    """The whole other plan."""


def what_if(question: Question, stands: Answer, supposed: Supposed, work: int = POLISH_WORK) -> WhatIf:
    """What ``supposed`` would do to the plan that stands for the question.

    KeyError for equipment or a station that the kitchen has not; courses that the question has not are ignored.
    """
    stands = _searched(question, stands, work)
    asked = _asked(question, stands, supposed)
    with _templates_known(question, asked):
        would = _plan(asked, stands, supposed, work)
        if supposed == Supposed(changes=supposed.changes) and all(change.by < 0 for change in supposed.changes):
            # With less a plan is sound with more as well: found here and better, it was there to be found without.
            plain = _asked(question, stands, Supposed())
            if not would.impossible and worth(plain, would) < worth(plain, stands) - WORTH:
                stands = would
                would = _plan(asked, stands, supposed, work)
    causes = why_behind(asked, would)
    gone = {wanted.key for wanted in question.courses} - {wanted.key for wanted in asked.courses}
    moved = [_moved(wanted, stands, would, causes, wanted.key in gone) for wanted in question.courses]
    moved.sort(key=lambda each: (-abs(each.by_s), each.table, each.course))
    before = {each.key for each in stands.impossible}
    impossible = tuple(each for each in would.impossible if each.key not in before)
    both = set(stands.by_course) & set(would.by_course)
    return WhatIf(
        words=_words(moved, impossible),
        courses=tuple(moved),
        impossible=impossible,
        cost_stands=round(_cost(asked, stands, both), 1),
        cost_would=round(_cost(asked, would, both), 1),
        answer=would,
    )


def _searched(question: Question, stands: Answer, work: int) -> Answer:
    """The plan that stands, or what the same search makes of it with nothing otherwise, where that is better.

    What would be better anyway is not to be told as an effect of what is supposed.
    """
    plain = _asked(question, stands, Supposed())
    found = _plan(plain, stands, Supposed(), work)
    return found if worth(plain, found) < worth(plain, stands) - WORTH else stands


def _asked(question: Question, stands: Answer, supposed: Supposed) -> Question:
    kitchen, book = question.kitchen, question.book
    for change in supposed.changes:
        kitchen, book = with_change(kitchen, book, change)
    without = set(supposed.without)
    while True:
        after = {
            wanted.key
            for wanted in question.courses
            if isinstance(wanted.land, After) and CourseKey(wanted.table, wanted.land.after) in without
        }
        if after <= without:
            break
        without |= after
    landings = dict(supposed.landings)
    courses: list[Wanted] = []
    for wanted in question.courses:
        if wanted.key in without and not wanted.begun:
            continue
        target = stands.by_course[wanted.key].target_at if wanted.key in stands.by_course else wanted.target_at
        if wanted.key in landings and wanted.landed_at is None:
            at = max(landings[wanted.key], question.now)
            courses.append(replace(wanted, land=AtTime(at=at), target_at=at))
        else:
            courses.append(replace(wanted, target_at=target))
    return replace(question, kitchen=kitchen, book=book, courses=tuple(courses))


@contextmanager
def _templates_known(question: Question, asked: Question) -> Iterator[None]:
    """Lend the other kitchen what is known of this one's courses alone, wherever that would go there too.

    Every target is fixed, so only how a course can be made matters, not whether it could be sooner: to find that out
    anew takes up to half a second for each course.
    """
    ours, theirs = patterns_for(question.kitchen, question.book), patterns_for(asked.kitchen, asked.book)
    lent: list[Portions] = []
    for wanted in asked.courses if theirs is not ours else ():
        key: Portions = tuple(sorted(wanted.portions))
        alone = ours.alone.get(key)
        if key in theirs.alone or not isinstance(alone, Alone):
            continue
        question_alone = question_of(theirs, key)
        splits = split_course(asked.kitchen, asked.book, question_alone.courses[0], alone.way)
        job = job_of(question_alone, theirs, question_alone.courses[0], 0, splits)
        if Attempt(Line(theirs), job).from_template(alone.template, 0) is not None:
            theirs.alone[key] = alone
            lent.append(key)
    try:
        yield
    finally:
        for key in lent:
            theirs.alone.pop(key, None)


def _plan(asked: Question, stands: Answer, supposed: Supposed, work: int) -> Answer:
    """The best of three ways to begin: of those that cost the same the one in which nobody overtakes."""
    first = [key for key, _ in supposed.landings] + list(supposed.first)
    best: tuple[float, Prepared, Line] | None = None
    for way in (_in_their_order, _where_they_stand_in_order, _where_they_stand):
        ready = prepare(asked)
        as_planned(ready, stands)
        line = ready.line()
        held = frozenset(_put_first(ready, line, first))
        way(ready, line, stands)
        place_all(ready, line, [key for key in ready.jobs if key not in line.placed])
        search = Search(ready, line, seed=0, stays=held, way=WAY)
        done = line.work + work // 3
        vain = 0 if search.movable > 1 else IN_VAIN
        while line.work < done and vain < IN_VAIN * search.movable:
            vain = 0 if search.once(sideways=False) else vain + 1
        if best is None or search.total < best[0] - 1e-6:
            best = search.total, ready, line
    assert best is not None
    return answer_of(best[1], best[2])


def _standing(ready: Prepared, line: Line, stands: Answer) -> list[CourseKey]:
    """Courses of the plan that stands that are still to be placed: what is on first, then as they land."""
    keys = [key for key in ready.jobs if key in stands.by_course and key not in line.placed]
    return sorted(keys, key=lambda key: (not ready.jobs[key].has_begun, stands.by_course[key].landing_at, key))


def _in_their_order(ready: Prepared, line: Line, stands: Answer) -> None:
    """Each anew, the next landing first."""
    for key in _standing(ready, line, stands):
        if _may_be_placed(ready, line, key):
            place_all(ready, line, [key])


def _where_they_stand_in_order(ready: Prepared, line: Line, stands: Answer) -> None:
    """Each where it stands if it still goes there, otherwise anew before those that land after it."""
    for key in _standing(ready, line, stands):
        if not _may_be_placed(ready, line, key):
            continue
        job = ready.jobs[key]
        landing = stands.by_course[key].landing_at - ready.question.now
        if job.landed is not None or place_as(line, job, landing, starts_in(stands, ready, job)) is None:
            place_all(ready, line, [key])


def _where_they_stand(ready: Prepared, line: Line, stands: Answer) -> None:
    """All that still go where they stand there, the others after them."""
    keys = set(_standing(ready, line, stands))
    keep(ready, line, replace(stands, courses=tuple(c for c in stands.courses if c.key in keys)))


def _may_be_placed(ready: Prepared, line: Line, key: CourseKey) -> bool:
    job = ready.jobs.get(key)
    return job is not None and (
        job.landed is not None or job.follows is None or job.up_before is not None or job.follows in line.up
    )


def _put_first(ready: Prepared, line: Line, keys: list[CourseKey]) -> list[CourseKey]:
    """Place these before anything else, each after the courses that it lands after."""
    placed: list[CourseKey] = []

    def put(key: CourseKey) -> None:
        job = ready.jobs.get(key)
        if job is None or key in line.placed:
            return
        if job.follows is not None and job.up_before is None:
            put(job.follows)
            if job.follows not in line.up:
                return
        if place_well_split(ready, line, key) is not None:
            placed.append(key)

    for key in keys:
        put(key)
    return placed


def _moved(wanted: Wanted, stands: Answer, would: Answer, causes: dict[CourseKey, str], gone: bool) -> Moved:
    was, will = stands.by_course.get(wanted.key), None if gone else would.by_course.get(wanted.key)
    return Moved(
        table=wanted.table,
        course=wanted.course,
        plates=wanted.plates,
        stands_at=was.landing_at if was else None,
        would_land_at=will.landing_at if will else None,
        by_s=will.landing_at - was.landing_at if was and will else 0,
        late_s=will.late_s if will else 0,
        cause=causes.get(wanted.key, ""),
    )


def _cost(asked: Question, answer: Answer, keys: set[CourseKey]) -> float:
    """Cost of some courses, all measured by the targets of the question."""
    targets = {wanted.key: wanted.target_at for wanted in asked.courses}
    courses = tuple(
        replace(course, target_at=target) if (target := targets.get(course.key)) is not None else course
        for course in answer.courses
        if course.key in keys
    )
    steps = tuple(step for step in answer.steps if step.key.of_course in keys)
    return cost_of(asked, replace(answer, courses=courses, steps=steps))


def _words(moved: list[Moved], impossible: tuple[Impossible, ...]) -> str:
    several = {m.table for m in moved if sum(other.table == m.table for other in moved) > 1}
    said: list[str] = []
    for sooner in (True, False):
        groups: dict[int, list[str]] = {}
        for each in moved:
            if each.by_s < -NOTICED_S if sooner else each.by_s > NOTICED_S:
                name = f"{each.table}'s {each.course}" if each.table in several else each.table
                groups.setdefault(abs(each.by_s), []).append(name)
        for by_s, names in list(groups.items())[:MOST_SAID]:
            one = len(names) == 1
            verb = ("lands" if one else "land") if sooner else ("waits" if one else "wait")
            how = "sooner" if sooner else "longer"
            said.append(f"{'table' if one else 'tables'} {listed(names)} {verb} {by_s // 60}:{by_s % 60:02d} {how}")
        more = sum(len(names) for names in list(groups.values())[MOST_SAID:])
        if more:
            said.append(f"{more} more {'land sooner' if sooner else 'wait longer'}")
    said += [f"table {each.table}'s {each.course} could not be made" for each in impossible]
    return ", ".join(said) or "every course lands as it stands"
