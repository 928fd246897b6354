"""What each course that is behind waits for: words beside a plan, whose failure must never cost the plan."""

import logging
from collections.abc import Callable
from dataclasses import replace

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.question import CourseKey, Question
from kitchen_timer.plan.why import why_behind
from kitchen_timer.service.state import Evening

_log = logging.getLogger(__name__)


def with_causes(question: Question, answer: Answer, enough: Callable[[], bool] = lambda: False) -> Answer:
    """A plan with the causes found before it was ``enough``; they never cost the plan either."""
    try:
        return replace(answer, causes=why_behind(question, answer, enough))
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
    return state.plan is not None and len(known) > len(state.causes) and answer.by_step == state.plan.by_step
