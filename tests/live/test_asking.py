"""Taps do not wait for each other's question to the planner, and the newest evening is asked about in the end."""

import threading
from collections.abc import Callable

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.question import Question
from tests.live.tonight import InlinePlanner, Tonight


class SlowToAsk(InlinePlanner):
    """Its first question is not taken until it is let go."""

    def __init__(self) -> None:
        super().__init__()
        self.taken_up, self.go_on = threading.Event(), threading.Event()

    def ask(
        self, token: int, question: Question, previous: Answer | None, adopt: Callable[[int, Answer, bool], bool]
    ) -> None:
        if not self.taken_up.is_set():
            self.taken_up.set()
            assert self.go_on.wait(10)
        super().ask(token, question, previous, adopt)


def test_a_tap_is_answered_while_another_one_asks_the_planner_and_both_are_planned() -> None:
    tonight = Tonight()
    tonight.planner = SlowToAsk()
    tonight.restart()
    first = threading.Thread(target=tonight.order, args=("6",), kwargs={"hake": 1})
    first.start()
    assert tonight.planner.taken_up.wait(10)
    tonight.order("9", hake=1)  # returns, or the test hangs
    assert [course.table for course in tonight.board().courses if course.notes] == []
    tonight.planner.go_on.set()
    first.join(10)
    assert sorted(course.table for course in tonight.board().courses if course.notes) == ["6", "9"]
    assert [len(question.courses) for _, question in tonight.planner.asked] == [1, 2]
