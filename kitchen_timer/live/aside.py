"""Questions aside: why a course lands when it does, and what if. They change nothing, and no tap waits for them."""

from collections.abc import Callable, Mapping
from dataclasses import replace

from kitchen_timer.live.adoption import rebased
from kitchen_timer.live.planner import Planner, SaysWhy
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.question import CourseKey, Question
from kitchen_timer.plan.what_if import Supposed, WhatIf, what_if
from kitchen_timer.plan.why import why_chains
from kitchen_timer.plan.why_link import Chain
from kitchen_timer.service.alone import evening_alone
from kitchen_timer.service.ask_planner import question_of
from kitchen_timer.service.quoting import quote_view
from kitchen_timer.service.state import Evening
from kitchen_timer.service.supposing import WhatIfAsked, planned_course, supposed_of, what_if_view, why_view
from kitchen_timer.service.views import Quote, WhatIfView, WhyView


class Aside:
    """Asks whoever plans, about the evening of this moment and the plan that stands."""

    def __init__(self, planner: Planner, evening: Callable[[], Evening], now: Callable[[], int]) -> None:
        self._planner = planner
        self._asked: SaysWhy = planner if isinstance(planner, SaysWhy) else _Here()
        self._evening, self._now = evening, now

    def why(self, course_id: str) -> WhyView:
        """What holds a course that is behind, link by link; UnknownTable where no such course is being cooked."""
        state = self._evening()
        key = planned_course(course_id, state)
        question, stands = self._standing(state, self._now())
        return why_view(key, state, self._asked.why(question, stands, (key,)).get(key, ()))

    def what_if(self, asked: WhatIfAsked) -> WhatIfView:
        """What would be if something were otherwise; BadMessage with every field at fault."""
        state, now = self._evening(), self._now()
        supposed = supposed_of(asked, state)
        question, stands = self._standing(state, now)
        return what_if_view(self._asked.what_if(question, stands, supposed), state, now)

    def alone(self, dish: str, plates: int) -> Quote:
        """The score of one dish with the whole kitchen to itself; UnknownDish where the book has it not."""
        now = self._now()
        wanted = evening_alone(dish, plates, self._evening(), now)
        planned = replace(wanted, plan=self._planner.answer_now(question_of(wanted, now), None))
        return quote_view(wanted, planned, wanted.courses, now)

    def _standing(self, state: Evening, now: int) -> tuple[Question, Answer]:
        question = question_of(state, now)
        return question, rebased(state.plan, question) if state.plan else Answer(now, (), ())


class _Here:
    """For a planner that has no process of its own: where nobody taps meanwhile."""

    def why(self, question: Question, stands: Answer, keys: tuple[CourseKey, ...]) -> Mapping[CourseKey, Chain]:
        return why_chains(question, stands, keys)

    def what_if(self, question: Question, stands: Answer, supposed: Supposed) -> WhatIf:
        return what_if(question, stands, supposed)
