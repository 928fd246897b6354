"""Loads that make way: a late course sooner because another's food is done a little earlier, and stands."""

from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.greedy import place_as
from kitchen_timer.plan.make_way import Way
from kitchen_timer.plan.prepare import place_all, prepare
from kitchen_timer.plan.question import CourseKey, Question
from kitchen_timer.plan.search import Search, score
from tests.builders import after, at, component, course, dish, kitchen, question, slots, step
from tests.plan.exact.posing import best
from tests.plan.squid import MAINS_BETWEEN, THREE_TABLES, TWO_TABLES, announced, squid_for
from tests.properties.strategies import questions


def searched(asked: Question, rounds: int, seed: int = 0) -> Search:
    ready = prepare(asked)
    line = ready.line()
    place_all(ready, line, ready.jobs)
    search = Search(ready, line, seed)
    for _ in range(rounds):
        search.once()
    search.answer()  # goes back to the best
    return search


def test_a_table_s_squid_is_fried_early_so_that_the_next_table_s_is_less_late() -> None:
    asked = squid_for(*TWO_TABLES)
    assert best(asked).cost == 62
    search = searched(asked, 300)
    assert search.lowest == pytest.approx(62)
    placed = search.line.placed
    assert {key.table: course.landing for key, course in placed.items()} == {"1": 300, "2": 360}
    assert placed[CourseKey("1", "mains")].loads[0].end == 240


def test_what_makes_way_passes_it_on() -> None:
    asked = squid_for(*THREE_TABLES)
    assert searched(asked, 600).lowest == pytest.approx(best(asked).cost)


def led() -> Question:
    """Starters of which it pays that they land later: the mains they lead are late otherwise."""
    # Table 2's five plates of squid are fried until 600 and the oil is back at 630, so table 1's mains, wanted from 600
    # on, land at 720: 120 s late with three plates. One plate of soup 120 s late costs a third of that; as much as soup
    # 60 s late, and five plates of squid that stand their 60 s (5 * 0.2 * 60).
    squid = dish("squid", rings=component("fry", step(90, on="fryer", fits=6), keeps=60))
    soup = dish("soup", bowl=component("stove", step(30), keeps=60))
    return question(
        kitchen(fry=2, stove=1, fryer=slots(1, recovery=30), pass_hands=2),
        [squid, soup],
        course("1", "starters", soup=1, land=at(300)),
        course("1", "mains", squid=3, land=after("starters", gap=300)),
        course("2", squid=5, land=at(600)),
    )


def test_starters_land_later_so_that_the_mains_they_lead_are_not_late() -> None:
    asked = led()
    assert best(asked).cost == 120
    search = searched(asked, 300)
    assert search.lowest == pytest.approx(120)
    assert search.line.placed[CourseKey("1", "starters")].landing in (360, 420)
    assert search.line.placed[CourseKey("1", "mains")].cost == 0


def test_what_follows_a_course_lands_sooner_with_it() -> None:
    asked = squid_for(*MAINS_BETWEEN)
    # Landings are tried by chance: a second of one may be left.
    assert searched(asked, 1000).lowest == pytest.approx(best(asked).cost, abs=1)


def test_a_load_that_stands_is_done_later() -> None:
    ready = prepare(squid_for(TWO_TABLES[0]))
    line = ready.line()
    job = ready.jobs[CourseKey("1", "mains")]
    early = place_as(line, job, 300, {job.loads[0]: (150,)})
    assert early is not None
    assert early.cost == pytest.approx(60 * 0.2)
    way = Way(line, Random(1))
    while line.placed[job.key].loads[0].end < 300:
        assert way.less([line.placed[job.key]]) == {job.key}
    assert line.placed[job.key].cost == 0


def test_courses_that_are_not_to_be_taken_out_land_when_they_did() -> None:
    # As in the first test, with table 1 held where it is at 300.
    ready = prepare(squid_for(*TWO_TABLES))
    line = ready.line()
    place_all(ready, line, ready.jobs)
    held = frozenset([CourseKey("1", "mains")])
    search = Search(ready, line, 0, stays=held)
    for _ in range(200):
        search.once()
        assert line.placed[CourseKey("1", "mains")].landing == 300


def test_starters_that_are_not_to_be_taken_out_lead_no_later() -> None:
    ready = prepare(led())
    line = ready.line()
    place_all(ready, line, ready.jobs)
    starters = CourseKey("1", "starters")
    search = Search(ready, line, 0, stays=frozenset([starters]))
    for _ in range(300):
        search.once()
        assert line.placed[starters].landing == 300
    assert search.lowest > 120


def test_food_that_a_station_was_told_of_makes_no_way() -> None:
    placed = searched(announced(), 300).line.placed
    assert placed[CourseKey("1", "mains")].loads[0].start == 210
    assert placed[CourseKey("2", "mains")].landing == 420


@settings(max_examples=40)
@given(questions(tables=4, most_courses=6), st.integers(0, 3))
def test_the_line_is_what_its_courses_say_however_much_made_way(asked: Question, seed: int) -> None:
    search = searched(asked, 60, seed)
    assert abs(search.total - sum(map(score, search.line.placed.values()))) < 1e-6
    answer = search.answer()
    again = prepare(asked).line()
    for placed in search.line.placed.values():
        again.put_course(placed)
    assert again.profile._levels == search.line.profile._levels
    assert breaks(asked, answer) == ()
