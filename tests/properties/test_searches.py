"""A search on from a plan: everything it tells of obeys the rules, and it never makes a plan worse."""

from collections.abc import Callable
from itertools import count

from hypothesis import given, settings
from hypothesis import strategies as st

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.choose import improve, plan_quickly
from kitchen_timer.plan.question import LoadKey, Question
from tests.properties.evening import advance
from tests.properties.strategies import questions
from tests.properties.test_plans import unexcused


def ticking(step_s: float = 0.002) -> Callable[[], float]:
    """Seconds that pass each time somebody looks, so that a search takes as many turns on any machine."""
    turns = count()
    return lambda: next(turns) * step_s


def searched(question: Question, start: Answer) -> tuple[Answer, list[Answer]]:
    """A short search, with all that it told of."""
    told: list[Answer] = []
    best = improve(question, start, seconds=0.15, elapsed=ticking(), stop=lambda: False, better=told.append, seed=1)
    return best, told


@given(questions())
@settings(max_examples=40)
def test_a_search_only_ever_makes_a_plan_better_and_breaks_no_rule(question: Question) -> None:
    start = plan_quickly(question)
    best, told = searched(question, start)
    for answer in [*told, best]:
        assert [str(each) for each in breaks(question, answer)] == []
    costs = [start.cost, *(answer.cost for answer in told)]
    assert costs == sorted(costs, reverse=True)
    assert best.cost <= min(costs) + 0.01
    assert best.impossible == start.impossible


def turn(answer: Answer, now: int, part: int) -> int:
    """A second at which something happens in what is left of a plan, ``part`` thousandths on.

    Drawn by its place and not by itself: how far a search comes depends on the machine, what is drawn must not.
    """
    turns = {now} | {at for step in answer.steps for at in (step.start_at, step.end_at, step.end_at - 1) if at >= now}
    return sorted(turns)[part * len(turns) // 1000]


@given(questions(most_courses=4), st.data())
@settings(max_examples=40)
def test_a_search_in_the_middle_of_an_evening_breaks_nothing_that_started_food_does_not_force(
    question: Question, data: st.DataObject
) -> None:
    answer = plan_quickly(question)
    for _ in range(2):
        now = turn(answer, question.now, data.draw(st.integers(0, 999), label="how far on"))
        slow = data.draw(st.sampled_from([0, 0, 30]), label="slow")

        def slow_s(key: LoadKey, slow: int = slow) -> int:
            return slow if key.load % 2 else 0

        question = advance(question, answer, now, slow_s=slow_s)
        start = plan_quickly(question, answer)
        assert unexcused(question, start) == []
        answer, told = searched(question, start)
        for each in [*told, answer]:
            assert unexcused(question, each) == []
