"""What each course that is behind waits for."""

from importlib import import_module
from importlib.util import find_spec

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.question import CourseKey, Question


def why_behind(question: Question, answer: Answer) -> dict[CourseKey, str]:
    """The one binding cause of each late course, in kitchen words."""
    if find_spec("kitchen_timer.plan.why") is None:
        return {}
    found: dict[CourseKey, str] = import_module("kitchen_timer.plan.why").why_behind(question, answer)
    return found
