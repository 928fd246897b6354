"""Starting from a plan, moving only part of it, stopping early, and what is proven without a full search."""

import random
import threading

import pytest
from hypothesis import given, settings

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.choose import plan_quickly
from kitchen_timer.plan.exact import solve
from kitchen_timer.plan.exact.raising import Raising
from kitchen_timer.plan.exact.solve import new_solver, pose
from kitchen_timer.plan.loads import Load, split
from kitchen_timer.plan.question import CourseKey, Question
from tests.builders import component, course, dish, kitchen, question, slots, step
from tests.plan.exact.posing import best, solved, targets_of
from tests.properties.strategies import questions


def busy_night() -> Question:
    """Three tables that want the same basket and the same cook."""
    squid = dish("squid", plating=20, rings=component("fry", step(90, on="fryer", fits=2), keeps=60))
    egg = dish(
        "egg",
        plating=20,
        egg=component("stove", step(100, on="rings"), step(20), keeps=60),
        toast=component("stove", step(40, on="grill"), keeps=120),
    )
    return question(
        kitchen(fry=1, stove=1, fryer=slots(2, recovery=60), rings=slots(2), grill=slots(1)),
        [squid, egg],
        course("2", squid=2, egg=1),
        course("4", squid=1, egg=2),
        course("9", egg=1),
    )


def follows_the_hint(asked: Question, hint: Answer, free: frozenset[CourseKey] | None = None) -> bool:
    """Whether every variable can have the value that the hint gives it, all at once."""
    new = {load.key for load in split(asked)}
    splits = [Load(key, steps[0].portions) for key, steps in hint.by_load.items() if key in new]
    targets = {each.key: each.target_at for each in hint.courses}
    posed = pose(asked, splits, targets, hint=hint, free=free)
    posed.terms.minimise(posed.times.model.cp)
    assert len(posed.times.model.hints) == len(posed.times.model.cp.proto.variables)
    solver = new_solver(10, workers=1, seed=0)
    solver.parameters.fix_variables_to_their_hinted_value = True
    return solver.status_name(solver.solve(posed.times.model.cp)) == "OPTIMAL"


@given(questions())
@settings(max_examples=25)
def test_whatever_the_quick_planner_plans_the_exact_one_can_start_from(asked: Question) -> None:
    quick = plan_quickly(asked)
    if quick.courses:
        assert follows_the_hint(asked, quick)
        half = random.Random(len(quick.steps)).sample([each.key for each in quick.courses], len(quick.courses) // 2)
        assert follows_the_hint(asked, quick, frozenset(half))


def test_a_plan_that_is_best_already_can_be_started_from_and_stays_as_dear() -> None:
    asked = busy_night()
    answer = best(asked)
    assert follows_the_hint(asked, answer)
    again = solved(asked, hint=answer).answer
    assert again is not None
    assert again.cost == pytest.approx(answer.cost)


def test_courses_that_are_not_free_stay_where_they_are() -> None:
    asked = busy_night()
    quick = plan_quickly(asked)
    free = frozenset(each.key for each in asked.courses[:2])
    found = solved(asked, targets_of(asked), hint=quick, free=free)
    assert found.answer is not None
    assert breaks(asked, found.answer) == ()
    assert found.answer.cost <= quick.cost + 1e-6
    assert found.bound is None
    for step_ in quick.steps:
        if step_.key.of_course not in free:
            assert found.answer.by_step[step_.key] == step_
    for planned in quick.courses:
        if planned.key not in free:
            assert found.answer.by_course[planned.key] == planned


def test_the_price_of_the_scarce_pair_of_hands_proves_what_three_tables_cost() -> None:
    # One cook, three tables with 60 s each of something else (the same would be cooked together), wanted at 60: they
    # land at 60, 120 and 180: 60 + 120 = 180 plate-seconds.
    each = component("stove", step(60, on="rings", hands="all"), keeps=60)
    dishes = [dish(name, part=each) for name in ("egg", "leeks", "beans")]
    tables = [course(str(number), **{name: 1}) for number, name in enumerate(("egg", "leeks", "beans"))]
    asked = question(kitchen(stove=1, rings=slots(9)), dishes, *tables)
    raising = Raising(asked, split(asked), targets_of(asked), plan_quickly(asked))
    raising.go(lambda: raising.rounds >= 300)
    assert raising.bound == pytest.approx(180, rel=0.01)
    assert best(asked).cost == 180


def test_a_busy_night_costs_no_less_than_its_bound() -> None:
    asked = busy_night()
    raising = Raising(asked, split(asked), targets_of(asked), plan_quickly(asked))
    raising.go(lambda: raising.rounds >= 100)
    answer = best(asked)
    assert 0 < raising.bound <= answer.cost + 1e-6
    assert answer.bound == pytest.approx(answer.cost)
    assert breaks(asked, answer) == ()


def test_a_search_that_is_told_to_stop_gives_what_it_has() -> None:
    asked = question(
        kitchen(stove=1, rings=slots(3), pass_hands=3),
        [
            dish(f"dish{n}", part=component("stove", step(20 + 7 * n, on="rings"), step(11 + n), keeps=40 + n))
            for n in range(12)
        ],
        *(course(str(n), target=30, **{f"dish{n}": 1 + n % 3}) for n in range(12)),
    )
    quick = plan_quickly(asked)
    stop = threading.Event()
    told: list[Answer] = []

    def better(answer: Answer) -> None:
        told.append(answer)
        stop.set()

    found = solve(
        asked, splits=split(asked), targets=targets_of(asked), seconds=60, hint=quick, stop=stop, better=better
    )
    assert told
    assert found.answer is not None
    assert not found.proven
    assert found.answer.cost <= told[-1].cost + 1e-6
    assert all(breaks(asked, answer) == () for answer in [*told, found.answer])


def test_the_same_seed_and_effort_give_the_same_plan() -> None:
    asked = busy_night()
    assert solved(asked) == solved(asked)
