"""The search after the quick plan: it only ever makes it better, tells of each improvement, and stops when told."""

from dataclasses import replace
from itertools import count
from time import perf_counter, process_time

from hypothesis import given, settings
from hypothesis import strategies as st

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.choose import improve, plan_fully, plan_quickly
from kitchen_timer.plan.cost import cost_of, worth
from kitchen_timer.plan.question import BegunLoad, BegunStep, Question, StepKey
from tests.builders import at, component, course, dish, kitchen, question, slots, step
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


ONE_BASKET = kitchen(fry=1, fryer=slots(1, recovery=30), pass_hands=4)
FOUR_FIT = dish("squid", rings=component("fry", step(90, on="fryer", fits=4), keeps=30))
TOLD = StepKey("1", "mains", "squid", "rings", 1, 0)


def small_table_first(told: dict[StepKey, int]) -> tuple[Question, Answer]:
    """One basket, two tables at 400: table 1 (one plate) fries 310 to 400, so table 2 (four) lands 120 s late: 480."""
    tables = course("1", squid=1, land=at(400)), course("2", squid=4, land=at(400))
    asked = question(ONE_BASKET, [FOUR_FIT], *tables)
    start = plan_quickly(replace(asked, announced={TOLD: 310}))
    assert start.by_step[TOLD].start_at == 310
    assert start.cost == 480
    return replace(asked, announced=told), start


def test_a_better_plan_that_moves_nothing_announced_is_told_of() -> None:
    # Table 2 fries 280 to 370 and stands 30 s (4 * 0.2 * 30 = 24), table 1 fries 400 to 490: 90 s late, one plate.
    asked, start = small_table_first({})
    best = improve(asked, start, seconds=2, elapsed=process_time, stop=lambda: False, better=lambda _: None)
    assert best.cost == 24 + 90


def test_a_plan_better_by_less_than_it_disturbs_is_never_told_of() -> None:
    # The 366 plate-seconds that could be saved are less than what a moved cue is worth.
    asked, start = small_table_first({TOLD: 310})
    told: list[Answer] = []
    best = improve(asked, start, seconds=2, elapsed=process_time, stop=lambda: False, better=told.append)
    assert told == []
    assert best.by_step[TOLD].start_at == 310
    assert best.cost == 480


@given(questions(most_courses=3), st.integers(0, 999))
@settings(max_examples=8)
def test_what_is_told_of_saves_more_than_it_disturbs(asked: Question, part: int) -> None:
    plan = plan_quickly(asked)
    starts = sorted({step.start_at for step in plan.steps})
    if not starts:
        return
    now = starts[part * len(starts) // 1000]
    announced = {
        step.key: step.start_at for step in plan.steps if now <= step.start_at <= now + 60 and not step.key.step
    }
    asked = replace(asked, announced=announced)
    told: list[Answer] = []
    looks = count()
    improve(asked, plan, seconds=1, elapsed=lambda: next(looks) * 0.1, stop=lambda: False, better=told.append)
    for answer in told:
        moved_s = [abs(answer.by_step[key].start_at - told_at) for key, told_at in announced.items()]
        # A moved cue is worth 3000 plate-seconds at least: plan/cost.py.
        assert plan.cost - answer.cost > 3000 * sum(by_s > 0 for by_s in moved_s)


def test_food_that_is_on_and_goes_on_a_second_sooner_than_planned_is_charged_as_it_really_stands() -> None:
    # On until 40, then finished at once: 40 to 90, and stands 210 s until 300. Two portions that keep 600 s cost
    # 2 * 0.2 * 60 / 600 = 0.04 a second. The plan before had it go on a second later, which would be 209 s.
    soup = dish("soup", warmed=component("stove", step(100, on="rings"), step(50), keeps=600))
    on = BegunLoad("soup", "warmed", 1, 2, (BegunStep(-60, 40),))
    asked = question(
        kitchen(stove=2, rings=slots(2)), [soup], course("1", soup=2, in_at=-60, land=at(300), begun=(on,))
    )
    plan = plan_quickly(asked)
    assert abs(plan.cost - 210 * 0.04) < 1e-6
    later = [replace(s, start_at=s.start_at + 1, end_at=s.end_at + 1) if s.key.step else s for s in plan.steps]
    for answer in (plan_quickly(asked, replace(plan, steps=tuple(later))), plan_quickly(asked, plan)):
        assert abs(answer.cost - cost_of(asked, answer)) < 1e-6
