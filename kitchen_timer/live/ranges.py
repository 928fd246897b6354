"""When each course really lands: a range beside a plan, whose failure must never cost the plan."""

import logging
from dataclasses import replace

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.honest.landing import landing_ranges
from kitchen_timer.plan.question import Question

_log = logging.getLogger(__name__)


def with_ranges(question: Question, answer: Answer) -> Answer:
    """The plan with the range of every landing; without where none could be found."""
    try:
        return replace(answer, ranges=landing_ranges(question, answer))
    except Exception:
        _log.exception("the ranges of landings could not be found out")
        return answer
