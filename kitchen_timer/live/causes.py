"""What each course that is behind waits for: words beside a plan, whose failure must never cost the plan.

A plan at once does not wait for its words, causes and ranges: they follow as a message of their own for the same plan.
"""

import logging
from collections.abc import Callable
from dataclasses import replace

from kitchen_timer.plan.answer import Answer, PlannedCourse
from kitchen_timer.plan.question import CourseKey, Question
from kitchen_timer.plan.why import why_behind
from kitchen_timer.service.quoting import NOTICED_S
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
            if course.key in had and course.late_s > 0 and before is not None and _lands_as_in(before, course):
                found.setdefault(course.key, had[course.key])
        return replace(answer, causes=found)
    except Exception:
        _log.exception("why courses are behind could not be found out")
        return replace(answer, causes={})


def still_said(answer: Answer, before: Answer | None) -> Answer:
    """A plan with what was said of the plan ``before``, of courses that land as they did in that, until it has its own.

    Of a course that has moved nothing is said: what held it, and its range, were those of another landing.
    """
    stays = {course.key: course for course in answer.courses if before is not None and _lands_as_in(before, course)}
    had, causes = (before.ranges, before.causes) if before is not None else (None, None)
    return replace(
        answer,
        ranges={key: each for key, each in (had or {}).items() if key in stays},
        causes={key: words for key, words in (causes or {}).items() if key in stays and stays[key].late_s > 0},
    )


def _lands_as_in(before: Answer, course: PlannedCourse) -> bool:
    stood = before.by_course.get(course.key)
    return stood is not None and stood.landing_at == course.landing_at


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
    """Whether this is the plan that stands, with causes, ranges or remedies not known when it was taken over."""
    if state.plan is None or answer.by_step != state.plan.by_step:
        return False
    known = answer.causes or {}
    if len(known) >= len(state.causes) and dict(known) != dict(state.causes):
        return True
    if any(each.remedies and each not in state.plan.impossible for each in answer.impossible):
        return True
    had = state.plan.ranges or {}
    return any(
        key not in had or abs(each.p80_at - had[key].p80_at) > NOTICED_S for key, each in (answer.ranges or {}).items()
    )
