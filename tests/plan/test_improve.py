"""The search after the quick plan: it only ever makes it better, tells of each improvement, and stops when told."""

from itertools import count
from time import perf_counter

from hypothesis import given, settings
from hypothesis import strategies as st

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.choose import improve, plan_fully, plan_quickly
from kitchen_timer.plan.cost import worth
from kitchen_timer.plan.question import Question
from tests.builders import component, course, dish, kitchen, question, slots, step
from tests.properties.strategies import questions

SQUID = dish("squid", rings=component("fry", step(90, on="fryer"), keeps=30))
STEW = dish(
    "stew",
    meat=component("stove", step(200, on="rings"), keeps=300),
    chips=component("fry", step(60, on="fryer"), keeps=60),
)
KITCHEN = kitchen(fry=1, stove=1, fryer=slots(2, recovery=30), rings=slots(2))


def busy(tables: int) -> Question:
    orders = [
        course(str(t), in_at=10 * t, **({"squid": 2} if t % 2 else {"stew": 1 + t % 2})) for t in range(1, tables + 1)
    ]
    return question(KITCHEN, [SQUID, STEW], *orders)


@given(questions(), st.integers(0, 3))
@settings(max_examples=15)
def test_every_improvement_obeys_the_rules_and_costs_less(asked: Question, seed: int) -> None:
    start, told, looks = plan_quickly(asked), [], count()
    best = improve(
        asked, start, seconds=3, elapsed=lambda: next(looks) * 0.1, stop=lambda: False, better=told.append, seed=seed
    )
    worths = [worth(asked, answer) for answer in [start, *told]]
    assert worths == sorted(worths, reverse=True)
    assert worth(asked, best) <= worths[-1] + 1e-6
    for answer in [*told, best]:
        assert [str(each) for each in breaks(asked, answer) if not each.excused] == []
    assert best.bound is None or best.bound <= best.cost + 1e-6


def test_few_courses_are_proven() -> None:
    # Four tables, two baskets of one: pairs of squid and a stew's chips share the fryer one after another.
    best = plan_fully(busy(3), 30, perf_counter)
    assert best.bound is not None
    assert abs(best.bound - best.cost) < 0.01


def test_many_courses_get_better_and_stay_valid() -> None:
    asked = busy(11)
    start = plan_quickly(asked)
    told: list[Answer] = []
    best = improve(asked, start, seconds=3, elapsed=perf_counter, stop=lambda: False, better=told.append)
    assert best.cost < start.cost
    assert told
    assert breaks(asked, best) == ()


def test_it_stops_when_told() -> None:
    asked = busy(11)
    start = plan_quickly(asked)
    assert improve(asked, start, seconds=60, elapsed=perf_counter, stop=lambda: True, better=lambda _: None) == start
