"""What each course that is behind waits for: words beside a plan, whose failure must never cost the plan."""

import logging

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.question import CourseKey, Question
from kitchen_timer.plan.why import why_behind

_log = logging.getLogger(__name__)


def causes_of(question: Question, answer: Answer) -> dict[CourseKey, str]:
    """The one binding cause of each late course, in kitchen words; empty when none could be found."""
    try:
        return dict(why_behind(question, answer))
    except Exception:
        _log.exception("why courses are behind could not be found out")
        return {}
