"""What an order would get if it were taken now: the evening imagined with it, and planned at once."""

from dataclasses import replace

from kitchen_timer.live.causes import causes_of
from kitchen_timer.live.history import History
from kitchen_timer.live.planner import Planner
from kitchen_timer.service.ask_planner import question_of
from kitchen_timer.service.commands import CourseAsked, TakeOrder
from kitchen_timer.service.decide import decide
from kitchen_timer.service.quoting import quote_view
from kitchen_timer.service.views import Quote


def quoted(planner: Planner, history: History, now: int, table: str, courses: tuple[CourseAsked, ...]) -> Quote:
    """The quote for an order at ``now`` (seconds since 1970 UTC). Changes nothing; waits for the planner."""
    before = history.state
    events = decide(TakeOrder(table=table, courses=courses, allergies_asked=True), before, now)
    taken = history.imagine(before, events, at_ms=now * 1000)
    asked = [key for key in taken.courses if key not in before.courses]
    question = question_of(taken, now)
    if question.courses:
        answer = planner.answer_now(question, before.plan)
        taken = replace(taken, plan=answer, causes=causes_of(question, answer))
    return quote_view(before, taken, asked, now)
