"""How long things may really take, what is kept in reserve for it, and what is promised."""

import pytest

from kitchen_timer.kitchen.dish import Step, Takes
from kitchen_timer.kitchen.seconds import Seconds
from kitchen_timer.plan.choose import plan_quickly
from kitchen_timer.plan.honest.landing import landing_ranges
from kitchen_timer.plan.honest.lengths import Length, length_of
from kitchen_timer.plan.honest.reserve import reserve_of
from kitchen_timer.plan.question import CourseKey
from tests.builders import begun, component, course, dish, kitchen, question, slots, step

MAINS = CourseKey("6", "mains")


def ranged(least: int, usual: int, most: int) -> Step:
    takes = Takes(usual_s=Seconds(usual), least_s=Seconds(least), most_s=Seconds(most))
    return step(usual).model_copy(update={"takes": takes})


def test_a_triangle_has_the_mean_and_the_quartiles_of_its_textbook() -> None:
    # Triangular distribution (NIST/SEMATECH e-Handbook and any textbook, from memory): mean (a + b + c) / 3; F at the
    # mode (c - a) / (b - a). Least 60, usual 90, most 180: mean 110, F(90) = 30 / 120 = 0.25.
    length = Length(60, 90, 180, flat=False)
    assert length.mean_s == pytest.approx(110)
    assert length.share_by(90) == pytest.approx(0.25)
    assert length.at(0.25) == pytest.approx(90)
    assert [length.share_by(length.at(share)) for share in (0.1, 0.5, 0.9)] == pytest.approx([0.1, 0.5, 0.9])


def test_a_step_that_runs_over_is_expected_at_the_mean_of_the_ends_still_possible() -> None:
    # Without a range 240 s take 204 to 276, all as likely: 10 s over, half way from 250 to 276.
    flat = length_of(component("fish", step(240)), 0, 1)
    assert (flat.least_s, flat.most_s) == pytest.approx((204, 276))
    assert flat.expected_s(100) == 240
    assert flat.expected_s(250) == pytest.approx(263)
    # Down the right side of a triangle the mean of the rest is a third of the way: 120 of 60/90/180 is 140.
    assert Length(60, 90, 180, flat=False).expected_s(120) == pytest.approx(140)


def test_a_rest_is_minded_by_the_clock() -> None:
    rest = length_of(component("fish", step(300, hands="none")), 0, 1)
    assert (rest.least_s, rest.most_s) == (300, 300)


def _duck_and_fritter() -> list:  # type: ignore[type-arg]
    duck = dish(
        "duck",
        breast=component("meat", ranged(180, 240, 300), keeps=300),
        fritter=component("fry", step(60, on="fryer"), keeps=90),
    )
    return [duck]


def test_what_waits_for_a_slow_sear_keeps_its_slip_in_reserve() -> None:
    of = kitchen(meat=1, fry=1, fryer=slots(2))
    reserve = reserve_of(question(of, _duck_and_fritter(), course("6", duck=1)))
    # The sear may slip 60 s, the fritter be done 9 s early, a tap come 5 s late: 74, but no more than 0.7 of 90.
    assert reserve[MAINS, "duck", "fritter"] == 63
    # The breast waits for a fritter that may slip 9 s; it may be done 60 s early itself: 74 of 300.
    assert reserve[MAINS, "duck", "breast"] == 74


def test_a_sear_that_is_done_slips_no_more() -> None:
    of = kitchen(meat=1, fry=1, fryer=slots(2))
    done = begun("duck/breast/1", (0, 240), now=240)
    reserve = reserve_of(question(of, _duck_and_fritter(), course("6", duck=1, begun=[done]), now=240))
    assert reserve[MAINS, "duck", "fritter"] == 5 + 9


def test_the_promise_is_the_eightieth_of_a_hundred_landings() -> None:
    of = kitchen(meat=1)
    asked = question(
        of, [dish("duck", breast=component("meat", ranged(180, 240, 300), keeps=300))], course("6", duck=1)
    )
    lands = landing_ranges(asked, plan_quickly(asked), samples=2000)[MAINS]
    # A triangle over 180, 240, 300 is symmetric: 80 % by 300 - sqrt(0.2 * 120 * 60) = 262, half by 240; the tap 2 s.
    assert lands.p50_at == pytest.approx(242, abs=3)
    assert lands.p80_at == pytest.approx(264, abs=3)
    assert lands.p10_at < lands.p50_at < lands.p80_at < lands.p90_at
    assert landing_ranges(asked, plan_quickly(asked), samples=2000)[MAINS] == lands
