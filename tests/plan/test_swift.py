"""The compiled search: what it finds costs what it says and breaks no rule, and what has begun stays."""

import sys
from collections.abc import Callable
from random import Random

import numpy as np
import pytest
from hypothesis import event, given, settings
from hypothesis import strategies as st

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.check import breaks, cost_of
from kitchen_timer.plan.choose import improve, plan_quickly
from kitchen_timer.plan.line import Line
from kitchen_timer.plan.prepare import Prepared, answer_of, place_all, prepare
from kitchen_timer.plan.question import CourseKey, LoadKey, Question, Wanted
from kitchen_timer.plan.quick import keep
from kitchen_timer.plan.search import score
from kitchen_timer.plan.swift import ready
from kitchen_timer.plan.swift.bits import WORD
from kitchen_timer.plan.swift.changes import make_way
from kitchen_timer.plan.swift.rounds import forget, go_back, keep_best, roll_back, search, settle
from kitchen_timer.plan.swift.run import Swift
from kitchen_timer.plan.swift.tables import (
    ALL,
    AT,
    COST,
    COURSES,
    COURSES_END,
    LOWEST,
    MADE_WAY,
    PUSHING,
    SHARED,
    SINCE,
)
from kitchen_timer.plan.swift.writing import Written, have_so
from tests.builders import after, at, component, course, dish, kitchen, question, slots, step
from tests.plan.exact.posing import best
from tests.plan.squid import MAINS_BETWEEN, THREE_TABLES, TWO_TABLES, announced, squid_for
from tests.properties.evening import advance
from tests.properties.strategies import questions
from tests.properties.test_plans import unexcused


def laid_out(asked: Question, previous: Answer | None = None) -> tuple[Prepared, Line]:
    """Every course of a question on a line."""
    made = prepare(asked, remedies=False)
    line = made.line()
    if previous is not None:
        keep(made, line, previous)
    place_all(made, line, [key for key in made.jobs if key not in line.placed])
    return made, line


def searched(asked: Question, rounds: int, seed: int = 1) -> Answer:
    """What so many rounds make of it."""
    made, line = laid_out(asked)
    written = Written(line, seed)
    search(written.sheet, rounds)
    have_so(line, written.best())
    return answer_of(made, line)


@pytest.mark.parametrize("courses", [TWO_TABLES, THREE_TABLES, MAINS_BETWEEN])
def test_few_tables_cost_what_the_exact_planner_proves(courses: tuple[Wanted, ...]) -> None:
    asked = squid_for(*courses)
    found = searched(asked, 4000)
    assert breaks(asked, found) == ()
    assert found.cost == pytest.approx(best(asked).cost, abs=1)


def only_make_way(line: Line, rounds: int) -> None:
    """So many rounds in which loads make way, none of which may end worse."""
    written = Written(line, 1)
    s = written.sheet
    for _ in range(rounds):
        s.now[0, MADE_WAY], s.now[0, PUSHING] = 0, 1
        if not make_way(s, 0.0) or not settle(s, 0.0):
            roll_back(s)
        forget(s)
    keep_best(s)
    have_so(line, written.best())


@pytest.mark.parametrize("mains", [False, True])
def test_a_small_table_in_the_way_of_a_large_one_lands_later(mains: bool) -> None:
    # No squid may stand. Table 1's one plate is fried until 300: table 2's five land 120 s late (600), where table 1
    # would cost 120 in their place. Its mains, of another dish, come later with it.
    squid = dish("squid", rings=component("fry", step(90, on="fryer", fits=5), keeps=0))
    soup = dish("soup", bowl=component("stove", step(30), keeps=0))
    follows = [course("1", "mains", soup=1, land=after("starters", gap=60))] if mains else []
    asked = question(
        kitchen(fry=2, stove=1, fryer=slots(1, recovery=30), pass_hands=2),
        [squid, soup],
        course("1", "starters", squid=1, land=at(300)),
        *follows,
        course("2", squid=5, land=at(300)),
    )
    made = prepare(asked, remedies=False)
    line = made.line()
    place_all(made, line, [CourseKey("1", "starters")])
    place_all(made, line, [key for key in made.jobs if key not in line.placed])
    assert line.placed[CourseKey("1", "starters")].landing == 300
    only_make_way(line, 300)
    assert line.placed[CourseKey("2", "mains")].landing == 300
    answer = answer_of(made, line)
    assert breaks(asked, answer) == ()
    assert answer.cost == pytest.approx(best(asked).cost, abs=1)


def test_a_small_table_that_has_the_pass_is_turned_away_for_a_large_one() -> None:
    # Table 1's plate has a hand of the pass at 300, and table 2's four need both: landing after it, 60 s late, would
    # cost 240, where table 1 costs 120 landing after theirs.
    soup = dish("soup", plating=60, bowl=component("stove", step(30), keeps=0))
    asked = question(
        kitchen(stove=5, pass_hands=2),
        [soup],
        course("1", soup=1, land=at(300)),
        course("2", soup=4, land=at(300)),
    )
    made = prepare(asked, remedies=False)
    line = made.line()
    place_all(made, line, [CourseKey("1", "mains")])
    place_all(made, line, [CourseKey("2", "mains")])
    assert line.placed[CourseKey("2", "mains")].landing == 360
    only_make_way(line, 300)
    assert line.placed[CourseKey("2", "mains")].landing == 300
    answer = answer_of(made, line)
    assert breaks(asked, answer) == ()
    assert answer.cost == pytest.approx(best(asked).cost, abs=1)


def test_all_of_a_dish_is_done_later_together() -> None:
    # The fillet may not wait for its sauce, nor the sauce stand: either alone can only stay where it is.
    fish = dish(
        "fish",
        fillet=component("stove", step(60), keeps=0),
        sauce=component("cold", step(30), keeps=120, after=["fillet"]),
    )
    asked = question(kitchen(stove=1, cold=1), [fish], course("1", fish=1, land=at(400)))
    made, line = laid_out(asked)
    key = CourseKey("1", "mains")
    placed = line.placed[key]
    early = {load.job: tuple(start - 50 for start in load.starts) for load in placed.loads}
    have_so(line, [(placed, placed.landing, early)])
    assert line.placed[key].cost > 0
    written = Written(line, 1)
    search(written.sheet, 200)
    have_so(line, written.best())
    assert line.placed[key].cost == 0
    assert breaks(asked, answer_of(made, line)) == ()


def test_what_has_begun_or_was_announced_stays() -> None:
    found = searched(announced(), 2000)
    assert found.by_load[LoadKey("1", "mains", "squid", "rings", 1)][0].start_at == 210
    assert found.by_course[CourseKey("2", "mains")].landing_at == 420


@settings(max_examples=20)
@given(questions(tables=5, most_courses=7), st.integers(1, 5))
def test_what_it_finds_costs_what_it_says_and_breaks_no_rule(asked: Question, seed: int) -> None:
    made, line = laid_out(asked)
    if not line.placed:
        return
    before = sum(map(score, line.placed.values()))
    written = Written(line, seed)
    s = written.sheet
    assert s.money[0, ALL] == pytest.approx(before)
    better = search(s, 300)
    event("better" if better else "as before")
    have_so(line, written.best())
    after_it = sum(map(score, line.placed.values()))
    assert after_it == pytest.approx(s.money[0, LOWEST])
    assert after_it <= before + 1e-6
    answer = answer_of(made, line)
    assert breaks(asked, answer) == ()
    assert answer.cost == pytest.approx(cost_of(asked, answer).total, abs=1e-4)


@settings(max_examples=20)
@given(questions(tables=5, most_courses=7), st.integers(1, 5), st.integers(1, 250))
def test_its_room_is_what_its_courses_take_whatever_was_rolled_back(asked: Question, seed: int, rounds: int) -> None:
    _, line = laid_out(asked)
    if not line.placed:
        return
    s = (written := Written(line, seed)).sheet
    search(s, rounds)
    courses = slice(s.given[0, COURSES], s.given[0, COURSES_END])
    assert s.money[courses, COST].sum() == pytest.approx(s.money[0, ALL])
    s.money[0, ALL] += 1.0  # or it would not go back to what costs the same
    go_back(s)
    assert s.now[0, SINCE] == 0
    assert s.money[0, ALL] == pytest.approx(s.money[0, LOWEST])
    landings = dict(zip([course.job.key for course in written.courses], s.now[courses, AT].tolist(), strict=True))
    have_so(line, written.best())
    assert landings == {course.job.key: course.landing for course in line.placed.values()}
    again = Written(line, seed)
    words = min(s.bits.shape[1], again.sheet.bits.shape[1])
    levels = s.given[0, SHARED]
    assert np.array_equal(s.bits[:levels, :words], again.sheet.bits[:levels, :words])
    for row, other in _rows_of_joins(written, again).items():
        assert np.array_equal(s.bits[levels + row, :words], again.sheet.bits[levels + other, :words])
        assert np.array_equal(s.shared[row, : words * WORD], again.sheet.shared[other, : words * WORD])


def _rows_of_joins(one: Written, other: Written) -> dict[int, int]:
    """The same kinds of shared runs are numbered in the order in which courses come."""
    assert one.joins.keys() == other.joins.keys()
    return {row: other.joins[join] for join, row in one.joins.items()}


@settings(max_examples=20)
@given(questions(tables=4, most_courses=6), st.integers(0, 600), st.integers(1, 5))
def test_it_moves_nothing_that_has_begun_nor_has_food_suffer_more(asked: Question, now: int, seed: int) -> None:
    first = plan_quickly(asked, remedies=False)
    chance = Random(seed)
    slow = {key: chance.choice([0, 0, 0, 20, 60]) for key in first.by_load}
    going_on = advance(asked, first, now, slow_s=slow.__getitem__)
    previous = plan_quickly(going_on, first, remedies=False)
    made, line = laid_out(going_on, previous)
    if not any(course.job.landed is None for course in line.placed.values()):
        return
    before = answer_of(made, line)
    worth = sum(map(score, line.placed.values()))
    written = Written(line, seed)
    search(written.sheet, 200)
    have_so(line, written.best())
    assert sum(map(score, line.placed.values())) <= worth + 1e-6
    found = answer_of(made, line)
    assert unexcused(going_on, found) == []
    for wanted in going_on.courses:
        for each in wanted.begun:
            key = LoadKey(*wanted.key, each.dish, each.component, each.load)
            assert found.by_load[key] == before.by_load[key]


def test_the_same_seed_finds_the_same_plan() -> None:
    asked = squid_for(*(course(str(n), squid=1, land=at(300 + 20 * n)) for n in range(6)))
    assert searched(asked, 500, seed=3) == searched(asked, 500, seed=3)


def test_it_goes_on_from_what_it_has_found_and_ends_when_all_is_in_vain() -> None:
    asked = squid_for(*(course(str(n), squid=1, land=at(300 + 20 * n)) for n in range(4)))
    _, line = laid_out(asked)
    swift = Swift(line, 1)
    clock = iter(range(1_000_000))
    costs = []
    while swift.go(lambda: next(clock) * 0.01, float("inf"), lambda: False):
        swift.have_best()
        costs.append(sum(map(score, line.placed.values())))
    assert swift.in_vain
    assert costs == sorted(costs, reverse=True)
    assert costs[-1] == pytest.approx(best(asked).cost)


@pytest.mark.parametrize("without_a_compiler", [False, True])
def test_the_search_in_python_does_the_work_until_all_is_compiled(
    monkeypatch: pytest.MonkeyPatch, without_a_compiler: bool
) -> None:
    monkeypatch.setattr(ready._READY, "is_set", lambda: False)
    if without_a_compiler:
        monkeypatch.setitem(sys.modules, "kitchen_timer.plan.swift.run", None)
        ready.get_ready()
        assert not ready.is_ready()
    asked = squid_for(*TWO_TABLES)
    ticks = iter(range(1_000_000))
    answer = improve(
        asked,
        plan_quickly(asked),
        seconds=0.3,
        elapsed=lambda: next(ticks) * 0.001,
        stop=lambda: False,
        better=lambda _: None,
    )
    assert answer.cost == pytest.approx(62)


@pytest.mark.parametrize(("told", "order"), [(210, ["swiftly", "greedily"]), (150, ["greedily", "swiftly"])])
def test_what_it_leaves_as_it_is_is_looked_after_first_where_that_suffers(
    monkeypatch: pytest.MonkeyPatch, told: int, order: list[str]
) -> None:
    # The plan to start from fries table 1's squid from 210 on, whatever its station was told.
    start = plan_quickly(squid_for(*TWO_TABLES))
    calls: list[str] = []

    def note(name: str) -> Callable[[object, float], None]:
        return lambda _run, _seconds: calls.append(name)

    for name in ("swiftly", "greedily"):
        monkeypatch.setattr(f"kitchen_timer.plan.choose._Run.{name}", note(name))
    ticks = iter(range(1_000_000))
    improve(
        announced(told),
        start,
        seconds=1.0,
        elapsed=lambda: next(ticks) * 0.01,
        stop=lambda: False,
        better=lambda _: None,
    )
    assert calls[:2] == order
