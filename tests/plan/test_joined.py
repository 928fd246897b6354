"""Which steps a station is told of as one."""

from kitchen_timer.plan.joined import joined_steps
from tests.builders import component, course, dish, kitchen, plan, question, slots, step


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
