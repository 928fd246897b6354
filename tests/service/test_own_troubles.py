"""What the pass is told when something of the tool itself is wrong: when it begins, what to do, when it is over."""

import pytest

from kitchen_timer.service.own_troubles import (
    CLOCK_SET_S,
    CUE_LATE_S,
    DISK_LOW_MB,
    OUT_OF_TOUCH_S,
    PLAN_WAITED_S,
    Seen,
    own_troubles,
)
from kitchen_timer.service.views import StationInTouch


def fry(devices: int = 0, out_s: int | None = None) -> StationInTouch:
    return StationInTouch(id="fry", name="Fry", devices=devices, out_of_touch_s=out_s)


def words(seen: Seen) -> list[str]:
    return [trouble.words for trouble in own_troubles(seen)]


def test_all_is_well() -> None:
    assert words(Seen(stations=(fry(1),), wanted=frozenset({"fry"}), disk_left_mb=DISK_LOW_MB)) == []


@pytest.mark.parametrize(
    ("out_s", "said"),
    [
        (OUT_OF_TOUCH_S - 1, []),
        (OUT_OF_TOUCH_S, ["Fry's phone out of touch for 1 min: call it."]),
        (2 * OUT_OF_TOUCH_S, ["Fry's phone out of touch for 2 min: call it."]),
    ],
)
def test_a_phone_out_of_touch_is_said_after_a_minute(out_s: int, said: list[str]) -> None:
    assert words(Seen(stations=(fry(0, out_s),))) == said
    assert words(Seen(stations=(fry(1, None),))) == [], "over when it is back"


def test_a_station_with_cues_and_nobody_there_is_said_until_a_phone_joins() -> None:
    grill = StationInTouch(id="grill", name="Grill", devices=0, out_of_touch_s=None)
    assert words(Seen(stations=(fry(), grill))) == [], "it has nothing to do"
    assert words(Seen(stations=(fry(), grill), wanted=frozenset({"fry"}))) == [
        "No phone at Fry: open its page there, or call the cues by voice."
    ]
    assert words(Seen(stations=(fry(), grill), wanted=frozenset({"fry", "grill"}))) == [
        "No phone at Fry and Grill: open their pages there, or call the cues by voice."
    ]
    assert words(Seen(stations=(fry(1), grill), wanted=frozenset({"fry"}))) == []


@pytest.mark.parametrize(
    ("seen", "begins"),
    [
        (Seen(written=False), "Nothing can be written down: see that the disk has room."),
        (Seen(planner_answers=False), "The planner does not answer: cook by the plan that stands"),
        (Seen(plan_waited_s=PLAN_WAITED_S), "There is no new plan yet: cook by the one that stands"),
        (Seen(disk_left_mb=DISK_LOW_MB - 1), "The disk has 199 MB left: make room"),
        (Seen(clock_set_s=30), "The machine's clock was set forward by 30 s: the kitchen goes on by its own"),
        (Seen(clock_set_s=-30), "The machine's clock was set back by 30 s"),
        (Seen(stations=(fry(1),), late_cues=(("fry", 8.4),)), "A cue reached Fry 8 s late: ask what they have on"),
    ],
)
def test_each_trouble_says_what_is_wrong_and_what_to_do(seen: Seen, begins: str) -> None:
    (said,) = words(seen)
    assert said.startswith(begins)
    assert said.endswith(".")


def test_one_trouble_less_than_its_bound_is_none() -> None:
    assert words(Seen(plan_waited_s=PLAN_WAITED_S - 0.1, clock_set_s=CLOCK_SET_S - 0.1)) == []
    assert CUE_LATE_S < PLAN_WAITED_S


def test_a_planner_that_does_not_answer_is_not_also_said_to_be_late() -> None:
    assert len(words(Seen(planner_answers=False, plan_waited_s=60))) == 1
