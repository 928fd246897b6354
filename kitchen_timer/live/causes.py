"""What each course that is behind waits for: words beside a plan, whose failure must never cost the plan."""

import logging
from collections.abc import Callable
from dataclasses import replace

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.question import CourseKey, Question
from kitchen_timer.plan.why import why_behind
from kitchen_timer.service.state import Evening

_log = logging.getLogger(__name__)


def with_causes(
    question: Question, answer: Answer, enough: Callable[[], bool] = lambda: False, before: Answer | None = None
) -> Answer:
    """A plan with the causes found before it was ``enough``; they never cost the plan either.

    Of courses that were not reached those of the plan ``before`` stand in, where they land as they did in that.
    """
    try:
        found = why_behind(question, answer, enough)
        had = before.causes or {} if before is not None else {}
        for course in answer.courses if before is not None else ():
            stood = before.by_course.get(course.key) if before is not None else None
            if course.key in had and stood is not None and stood.landing_at == course.landing_at and course.late_s > 0:
                found.setdefault(course.key, had[course.key])
        return replace(answer, causes=found)
    except Exception:
        _log.exception("why courses are behind could not be found out")
        return replace(answer, causes={})


def causes_of(question: Question, answer: Answer) -> dict[CourseKey, str]:
    """The one binding cause of each late course, in kitchen words; empty when none could be found.

    The planner's processes bring them with the plan: looking for them takes longer than a tap may wait.
    """
    if answer.causes is not None:
        return dict(answer.causes)
    try:
        return dict(why_behind(question, answer))
    except Exception:
        _log.exception("why courses are behind could not be found out")
        return {}


def says_more(state: Evening, answer: Answer) -> bool:
    """Whether this is the plan that stands, with causes that were not known when it was taken over."""
    known = answer.causes or {}
    more = len(known) >= len(state.causes) and dict(known) != dict(state.causes)
    return more and state.plan is not None and answer.by_step == state.plan.by_step
