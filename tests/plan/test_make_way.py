"""Loads that make way: a late course sooner because another's food is done a little earlier, and stands."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.prepare import place_all, prepare
from kitchen_timer.plan.question import CourseKey, Question
from kitchen_timer.plan.search import Search, score
from tests.builders import at, component, course, dish, kitchen, question, slots, step
from tests.plan.exact.posing import best
from tests.properties.strategies import questions

SQUID = dish("squid", rings=component("fry", step(90, on="fryer"), keeps=60))
KITCHEN = kitchen(fry=2, fryer=slots(1, recovery=30), pass_hands=2)


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
    # One basket. Table 1 fried 210 to 300: table 2, wanted at 310, lands at 420 and is 110 s late. Table 2 first: table
    # 1 is 130 s late. Between: table 1's stands its 60 s, fried 150 to 240 (60 * 0.2 = 12), the oil is back at 270 and
    # table 2 lands at 360, 50 s late.
    asked = question(KITCHEN, [SQUID], course("1", squid=1, land=at(300)), course("2", squid=1, land=at(310)))
    assert best(asked).cost == 62
    search = searched(asked, 300)
    assert search.lowest == pytest.approx(62)
    placed = search.line.placed
    assert {key.table: course.landing for key, course in placed.items()} == {"1": 300, "2": 360}
    assert placed[CourseKey("1", "mains")].loads[0].end == 240


def test_what_makes_way_passes_it_on() -> None:
    # Three tables one after another: the first makes way for the second, and both for the third. By turns they would
    # be on time, 120 s late and 240 s late, together 360 less what the targets lie apart.
    tables = [course(str(n), squid=1, land=at(300 + 60 * n)) for n in range(3)]
    asked = question(KITCHEN, [SQUID], *tables)
    assert searched(asked, 600).lowest == pytest.approx(best(asked).cost)


def test_food_that_a_station_was_told_of_makes_no_way() -> None:
    asked = question(
        KITCHEN,
        [SQUID],
        course("1", squid=1, land=at(300)),
        course("2", squid=1, land=at(310)),
        announced={"1/mains/squid/rings/1/0": 210},
    )
    placed = searched(asked, 300).line.placed
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
