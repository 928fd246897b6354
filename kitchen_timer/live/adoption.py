"""Whether a plan that a planner brings is taken over: is it sound for this moment, and worth moving anything for?"""

import logging
from dataclasses import dataclass, replace

from kitchen_timer.live.causes import causes_of, says_more
from kitchen_timer.plan.answer import Answer, PlannedStep
from kitchen_timer.plan.check import Break, breaks
from kitchen_timer.plan.cost import cost_of, worth
from kitchen_timer.plan.question import BegunStep, CourseKey, LoadKey, Question, StepKey
from kitchen_timer.service.going import OVERDUE_S
from kitchen_timer.service.moves import moves_of
from kitchen_timer.service.state import Evening

_log = logging.getLogger(__name__)

PAST_S = 3
"""A better plan may put a start so many seconds before now; the first plan after a change up to ``OVERDUE_S``, which is
how late a start may be tapped before it is planned anew."""

Went = dict[StepKey, tuple[BegunStep, int]]

_ROOM = (5, 6)
"""The rules of slots and of hands."""

WORTH = 0.5
"""Plate-seconds that a plan must be better by: less is nothing a guest or a cook would notice."""


@dataclass(frozen=True)
class Verdict:
    """What is to happen with a plan."""

    take: bool
    """It is taken over."""
    stands: bool
    """The plan of the moment is as good: nothing is wrong, nothing is to be moved."""
    why_not: str = ""
    broken: tuple[Break, ...] = ()
    moved: tuple[tuple[StepKey, str], ...] = ()
    """Announced cues that it moves, with how far and why."""


def judged(
    state: Evening, question: Question, answer: Answer, now: int, *, first: bool
) -> tuple[Verdict, dict[CourseKey, str]]:
    """As :func:`judge`, with the causes of what is taken; a plan that stands is taken too if it says more about itself.

    Never fails: what cannot be checked is not taken.
    """
    try:
        verdict = judge(state, question, answer, now, first=first)
        if verdict.stands and says_more(state, answer):
            verdict = Verdict(take=True, stands=False)
        return verdict, causes_of(question, answer) if verdict.take else {}
    except Exception:
        _log.exception("a plan could not be checked")
        return Verdict(take=False, stands=False, why_not="it could not be checked"), {}


def judge(state: Evening, question: Question, answer: Answer, now: int, *, first: bool) -> Verdict:
    """``question``: of this moment's evening, as of the second the plan was asked for (``answer.now``).

    So time that went by while planning makes no plan unsound by itself, and what a cook did meanwhile does.
    """
    own = of_planned(state, answer)
    if past := _starts_in_the_past(state, own, now - (OVERDUE_S if first else PAST_S)):
        return Verdict(False, False, f"{past[0]} would have started already")
    old = rebased(state.plan, question) if state.plan else None
    called = first and old is not None and _called_since(state, old, own)
    if old is not None and not called and _same(old, own):
        return Verdict(False, True)
    broken = broken_by(question, answer)
    if broken:
        return Verdict(False, False, f"{broken[0].where} {broken[0].what}", broken)
    moves = moves_of(state, question, own, now)
    moved = tuple((move.step, move.words) for move in moves)
    if called:
        return Verdict(True, False, moved=moved)
    if not first and old is not None and any(not move.reason for move in moves):
        # The search found something better for which a station would have to be told otherwise: not for that.
        return Verdict(False, True, "it would move an announced cue for no reason")
    if old is not None:
        gain = worth(question, old) - worth(question, answer)
        if gain < WORTH and (not first or not broken_by(question, old)):
            return Verdict(False, True)
    return Verdict(True, False, moved=moved)


def of_planned(state: Evening, answer: Answer) -> Answer:
    """The answer without courses on hold, which were in the question for what of them goes on."""
    return replace(
        answer,
        courses=tuple(course for course in answer.courses if state.is_planned(course.key)),
        steps=tuple(sorted((s for s in answer.steps if state.is_planned(s.key.of_course)), key=lambda s: s.key)),
        impossible=tuple(course for course in answer.impossible if state.is_planned(course.key)),
    )


def rebased(plan: Answer, question: Question) -> Answer:
    """The plan that stands as an answer to a later question: what has begun since as it began, what has gone left out.

    Whether it is still sound is for the checker to say.
    """
    went: Went = {
        StepKey(course.table, course.course, load.dish, load.component, load.load, index): (step, load.portions)
        for course in question.courses
        for load in course.begun
        for index, step in enumerate(load.steps)
    }
    wanted = {course.key: course for course in question.courses}
    lost = {
        (course.key, dish, component): number
        for course in question.courses
        for (dish, component), number in course.spent.items()
    }
    steps = [
        _as_it_went(step, went)
        for step in plan.steps
        if step.key.of_course in wanted and (step.key in went or not _is_lost(step.key.of_load, lost, went))
    ]
    courses = tuple(course for course in plan.courses if course.key in wanted)
    impossible = tuple(course for course in plan.impossible if course.key in wanted)
    standing = replace(plan, now=question.now, courses=courses, impossible=impossible, steps=tuple(steps), bound=None)
    return replace(standing, cost=cost_of(question, standing))


def _as_it_went(planned: PlannedStep, went: Went) -> PlannedStep:
    if planned.key not in went:
        return planned
    step, portions = went[planned.key]
    return replace(planned, start_at=step.start_at, end_at=step.end_at, portions=portions)


def _is_lost(load: LoadKey, lost: dict[tuple[CourseKey, str, str], int], went: Went) -> bool:
    number = lost.get((load.of_course, load.dish, load.component), 0)
    return load.load <= number and StepKey(*load, 0) not in went


def _same(old: Answer, new: Answer) -> bool:
    return (
        old.by_step == new.by_step
        and {c.key: (c.landing_at, c.target_at) for c in old.courses}
        == {c.key: (c.landing_at, c.target_at) for c in new.courses}
        and set(old.impossible) == set(new.impossible)
    )


def _called_since(state: Evening, old: Answer, new: Answer) -> bool:
    """Whether the old plan looks better than it is: a course has no target yet, or could not be made and now can."""
    if any(state.courses[course.key].target_at is None or state.courses[course.key].rushed for course in new.courses):
        return True
    if {course.key for course in old.impossible} != {course.key for course in new.impossible}:
        return True
    # Plates were taken off a load that is taken for begun: laid over what went, the two plans look the same.
    stood = state.plan.by_step if state.plan else {}
    return any(step.key in stood and stood[step.key].portions != step.portions for step in new.steps)


def broken_by(question: Question, plan: Answer) -> tuple[Break, ...]:
    """What is wrong with a plan that the planner could have done otherwise.

    A cook may start a load where there is no room for it. The rest of such loads has to go on, so where these alone
    are too many for a station or for equipment, a plan with no more than that is as good as any.
    """
    broken = tuple(each for each in breaks(question, plan) if not each.excused)
    if not any(each.rule in _ROOM for each in broken):
        return broken
    begun = {
        LoadKey(*course.key, load.dish, load.component, load.load)
        for course in question.courses
        for load in course.begun
    }
    only_begun = replace(plan, steps=tuple(step for step in plan.steps if step.key.of_load in begun))
    forced: dict[tuple[int, str], int] = {}
    for each in breaks(question, only_begun):
        if each.rule in _ROOM:
            forced[each.rule, each.where] = max(each.by, forced.get((each.rule, each.where), 0))
    return tuple(each for each in broken if each.by > forced.get((each.rule, each.where), 0) or each.rule not in _ROOM)


def _starts_in_the_past(state: Evening, answer: Answer, earliest: int) -> list[StepKey]:
    """Starts a cook would be told of too late. One that stands there in the plan of the moment is overdue, not new."""
    stood = state.plan.by_step if state.plan else {}
    begun = {
        StepKey(*load.key, index)
        for run in state.courses.values()
        for load in run.loads.values()
        for index in range(len(load.steps))
    }
    return [
        step.key
        for step in answer.steps
        if step.start_at < earliest
        and step.key not in begun
        and (step.key not in stood or stood[step.key].start_at != step.start_at)
    ]
