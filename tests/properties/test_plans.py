"""Whatever the kitchen, the dishes and the orders: a plan obeys every rule, also when the evening goes on under it."""

from dataclasses import replace

from hypothesis import event, given, settings
from hypothesis import strategies as st

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.check import breaks, cost_of
from kitchen_timer.plan.choose import plan_quickly
from kitchen_timer.plan.question import LoadKey, Question
from tests.properties.evening import advance
from tests.properties.strategies import questions


def unexcused(question: Question, answer: Answer) -> list[str]:
    """Breaks that nothing which has started forces."""
    return [str(each) for each in breaks(question, answer) if not each.excused]


def moments(answer: Answer) -> st.SearchStrategy[int]:
    """Any second of a plan, those where something happens more often."""
    turns = sorted({s.start_at for s in answer.steps} | {s.end_at for s in answer.steps} | {answer.now})
    last = max([*turns, *(course.up_at for course in answer.courses)])
    return st.sampled_from(turns) | st.integers(answer.now, last)


@given(questions())
@settings(max_examples=80)
def test_a_plan_obeys_every_rule(question: Question) -> None:
    answer = plan_quickly(question)
    event(f"{len(answer.impossible)} impossible of {len(question.courses)}")
    assert [str(each) for each in breaks(question, answer)] == []
    assert answer.bound is None or answer.bound <= answer.cost + 0.01


@given(questions(), st.data())
@settings(max_examples=60)
def test_an_evening_that_goes_as_planned_breaks_nothing_and_gets_no_worse(
    question: Question, data: st.DataObject
) -> None:
    answer = plan_quickly(question)
    for _ in range(3):
        now = data.draw(moments(answer).filter(lambda at, now=question.now: at >= now), label="now")
        question = advance(question, answer, now)
        # The plan of before, told again with what has begun, still holds: so a new one has no excuse.
        kept = replace(
            answer,
            now=now,
            courses=tuple(c for c in answer.courses if question.course(c.key)),
            steps=tuple(s for s in answer.steps if question.course(s.key.of_course)),
        )
        kept = replace(kept, cost=cost_of(question, kept).total)
        assert [str(each) for each in breaks(question, kept)] == []
        again = plan_quickly(question, kept)
        assert [str(each) for each in breaks(question, again)] == []
        assert again.cost <= kept.cost + 0.01
        answer = again


@given(questions(), st.data())
@settings(max_examples=60)
def test_an_evening_that_goes_wrong_breaks_nothing_that_started_food_does_not_force(
    question: Question, data: st.DataObject
) -> None:
    answer = plan_quickly(question)
    for _ in range(3):
        later = data.draw(moments(answer).filter(lambda at, now=question.now: at >= now), label="now")
        slow = data.draw(st.lists(st.sampled_from([0, 0, 0, 30, 90]), min_size=7, max_size=7), label="slow")
        late = data.draw(st.lists(st.sampled_from([False, False, False, True]), min_size=7, max_size=7), label="late")

        def slow_s(key: LoadKey, slow: list[int] = slow) -> int:
            return slow[_pick(key)]

        def forgotten(key: LoadKey, late: list[bool] = late) -> bool:
            return late[_pick(key)]

        question = advance(question, answer, later, slow_s=slow_s, forgotten=forgotten)
        with_previous = data.draw(st.booleans(), label="with the plan of before")
        answer = plan_quickly(question, answer if with_previous else None)
        assert unexcused(question, answer) == []
        started = {course.key for course in question.courses if course.begun}
        assert not started & {given_up.key for given_up in answer.impossible}


def _pick(key: LoadKey) -> int:
    """One of seven, the same for a load whenever it is asked."""
    return (int(key.table) * 3 + sum(map(ord, key.course + key.dish + key.component)) + key.load) % 7
