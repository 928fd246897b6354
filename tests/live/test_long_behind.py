"""A table that has waited long is not passed over again; the kitchen and its guests are invented."""

import pytest

from kitchen_timer.service.commands import OnTheFly, SetSlots
from tests.live.tonight import START, Tonight


def after_a_broken_fryer(back_at: int) -> Tonight:
    """Table 6 wanted its squid at 90; the fryer is back only then, and table 4 comes at that moment."""
    tonight = Tonight()
    tonight.order("6", "starters", squid=1)
    tonight.at(5).do(SetSlots("fryer", 0))
    tonight.at(back_at).order("4", "starters", squid=4)
    tonight.do(SetSlots("fryer", 2))
    return tonight


@pytest.mark.parametrize(("back_at", "presses", "first"), [(600, 1, "4"), (989, 1, "4"), (990, 2, "6"), (1100, 2, "6")])
def test_a_quarter_of_an_hour_behind_counts_twice(back_at: int, presses: int, first: str) -> None:
    # Both want the fryer. If 6 goes first, the four plates of 4 wait 150 s, the oil included: 600 plate-seconds. If 4
    # does, the one plate of 6 waits them, and more than five minutes late each counts three times: 450, or twice that.
    tonight = after_a_broken_fryer(back_at)
    asked = tonight.planner.asked[-1][1]
    assert {wanted.table: wanted.presses for wanted in asked.courses} == {"6": presses, "4": 1}
    landings = {table: tonight.course(f"{table}/starters").landing_at - START - back_at for table in ("4", "6")}
    assert landings == {first: 90, "6" if first == "4" else "4": 240}


def test_on_the_fly_counts_three_times_and_nothing_more_than_twenty_four_times() -> None:
    tonight = after_a_broken_fryer(600)
    tonight.do(OnTheFly("6/starters"))
    assert {wanted.table: wanted.presses for wanted in tonight.planner.asked[-1][1].courses} == {"6": 3, "4": 1}
    assert tonight.course("6/starters").landing_at == START + 690
    tonight.do(SetSlots("fryer", 0))
    tonight.at(4 * 3600).do(SetSlots("fryer", 2))
    assert {wanted.presses for wanted in tonight.planner.asked[-1][1].courses} == {24, 8}
