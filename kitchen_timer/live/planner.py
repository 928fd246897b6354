"""What the engine needs of whoever plans for it."""

from collections.abc import Callable, Mapping
from typing import Protocol, runtime_checkable

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.question import CourseKey, Question
from kitchen_timer.plan.what_if import Supposed, WhatIf
from kitchen_timer.plan.why_link import Chain

Adopt = Callable[[int, Answer, bool], bool]
"""``(token, answer, improving)``: hands over a plan; ``improving`` says that the search goes on."""


class Planner(Protocol):
    """Asked, it hands over a plan soon and better ones later."""

    def ask(self, token: int, question: Question, previous: Answer | None, adopt: Adopt) -> None:
        """Plan this and return at once; a newer token supersedes older ones."""
        ...

    def answer_now(self, question: Question, previous: Answer | None) -> Answer:
        """The quick plan with its causes and ranges, waited for."""
        ...

    def close(self) -> None:
        """End."""
        ...


@runtime_checkable
class SaysWhy(Protocol):
    """Whoever answers questions aside, which change nothing."""

    def why(self, question: Question, stands: Answer, keys: tuple[CourseKey, ...]) -> Mapping[CourseKey, Chain]:
        """What holds those of these courses that are behind, link by link; waited for."""
        ...

    def what_if(self, question: Question, stands: Answer, supposed: Supposed) -> WhatIf:
        """What would be if something were otherwise; waited for."""
        ...
