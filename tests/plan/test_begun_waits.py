"""Food that has started and may still wait a little holds its course back by that little, never longer."""

from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.choose import plan_quickly
from tests.builders import begun, component, course, dish, kitchen, question, slots, step


def test_what_follows_started_food_may_begin_any_time_after_it_is_done() -> None:
    """The pot is turned at 5 to 25 and done at 85 to 105; it keeps 240 s, so the leaves may start until 345.

    The roast takes 340 s from now on: the course lands at 340, the leaves start at 295.
    """
    plate = dish(
        "plate",
        pot=component(
            "stove", step(100, on="pan", hands="none"), step(80, on="pan", hands="none", may_wait=20), keeps=240
        ),
        roast=component("meat", step(340, hands="none"), keeps=240),
        leaves=component("cold", step(45), after=["pot"], keeps=120),
    )
    asked = question(
        kitchen(stove=1, meat=1, cold=1, pan=slots(1)),
        [plate],
        course("6", plate=1, target=340, begun=[begun("plate/pot/1", (-95, 5))]),
        now=0,
    )
    answer = plan_quickly(asked)
    assert breaks(asked, answer) == ()
    assert answer.courses[0].landing_at == 340
