"""What the engine needs of whoever plans for it."""

from collections.abc import Callable
from typing import Protocol

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.question import Question

Adopt = Callable[[int, Answer, bool], bool]
"""``(token, answer, improving)``: hands over a plan; ``improving`` says that the search goes on."""


class Planner(Protocol):
    """Asked, it hands over a plan soon and better ones later."""

    def ask(self, token: int, question: Question, previous: Answer | None, adopt: Adopt) -> None:
        """Plan this and return at once; a newer token supersedes older ones."""
        ...

    def answer_now(self, question: Question, previous: Answer | None) -> Answer:
        """The quick plan, waited for."""
        ...

    def close(self) -> None:
        """End."""
        ...
