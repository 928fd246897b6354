"""Which steps a station is told of as one."""

import pytest

from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.joined import joined_steps
from kitchen_timer.plan.quick import plan_quickly
from tests.builders import at, component, course, dish, kitchen, plan, question, slots, step


def test_steps_that_start_and_end_together_share_slots_and_those_on_a_board_do_not() -> None:
    squid = dish(
        "squid",
        rings=component("fry", step(90, on="fryer", fits=4), keeps=60),
        leaves=component("cold", step(20), keeps=60),
    )
    asked = question(
        kitchen(fry=1, cold=3, fryer=slots(2)),
        [squid],
        course("9", squid=2),
        course("6", squid=1),
        course("4", squid=1),
    )
    answer = plan(
        asked,
        {"9/mains": 100, "6/mains": 90, "4/mains": 91},
        {
            "9/mains/squid/rings/1": [0],
            "6/mains/squid/rings/1": [0],
            "4/mains/squid/rings/1": [1],
            "9/mains/squid/leaves/1": [70],
            "6/mains/squid/leaves/1": [70],
            "4/mains/squid/leaves/1": [70],
        },
    )
    groups = [tuple(map(str, group)) for group in joined_steps(answer, asked.book)]
    assert groups == [("6/mains/squid/rings/1/0", "9/mains/squid/rings/1/0")]


def test_three_tables_share_a_basket_where_they_cannot_each_have_their_own() -> None:
    # Squid at tables 4, 6 and 9, two each, all wanted at 300; six to a basket, one basket, 90 s and 60 s for the oil.
    # One after another they would land at 300, 450 and 600: 2 x 150 + 2 x 300 = 900 plate-seconds. Together: 0.
    squid = dish("squid", rings=component("fry", step(90, on="fryer", fits=6), keeps=60))
    courses = [course(table, land=at(300), squid=2) for table in ("4", "6", "9")]
    asked = question(kitchen(fry=1, fryer=slots(1, recovery=60)), [squid], *courses)
    answer = plan_quickly(asked)
    assert [(step.start_at, step.end_at) for step in answer.steps] == [(210, 300)] * 3
    assert (answer.cost, breaks(asked, answer)) == (0.0, ())


def test_a_table_is_not_kept_waiting_for_others_it_could_share_with() -> None:
    # Two baskets of four: table 9, wanted 40 s after table 6, has a basket of its own and stands for nobody.
    squid = dish("squid", rings=component("fry", step(90, on="fryer", fits=4), keeps=60))
    courses = [course("6", land=at(300), squid=2), course("9", land=at(340), squid=2)]
    asked = question(kitchen(fry=1, fryer=slots(2, recovery=60)), [squid], *courses)
    assert [step.start_at for step in plan_quickly(asked).steps] == [210, 250]
    # With one basket it goes in with table 6 and stands 40 s: 2 x 40 x 0.2 = 16 plate-seconds. Not 110 s late.
    asked = question(kitchen(fry=1, fryer=slots(1, recovery=60)), [squid], *courses)
    answer = plan_quickly(asked)
    assert [step.start_at for step in answer.steps] == [210, 210]
    assert answer.cost == pytest.approx(16)
