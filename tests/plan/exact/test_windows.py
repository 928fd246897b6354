"""What the exact planner leaves out for a plan in hand is in no plan worth having."""

import pytest

from kitchen_timer.plan.choose import plan_quickly
from kitchen_timer.plan.exact.windows import latest_for
from kitchen_timer.plan.jobs import lateness
from tests.plan.exact.posing import solved, targets_of
from tests.plan.exact.test_enumerated import tiny


def test_the_latest_for_a_price_is_the_last_that_costs_no_more() -> None:
    # Five minutes late cost 300 a plate, each second after it three: 306 a plate is 302 seconds.
    assert latest_for(1, 306) == 302
    for plates in (1, 2, 5):
        for budget in (0, 1, 299, 300, 301, 600, 1501, 4000):
            late_s = latest_for(plates, budget)
            assert lateness(plates, late_s) <= budget < lateness(plates, late_s + 1)


@pytest.mark.parametrize("seed", range(12))
def test_with_a_plan_in_hand_the_optimum_is_the_same(seed: int) -> None:
    asked = tiny(seed)
    quick = plan_quickly(asked)
    if quick.impossible:
        return
    targets = targets_of(asked)
    without, with_hint = solved(asked, targets), solved(asked, targets, hint=quick)
    assert without.answer is not None
    assert with_hint.answer is not None
    assert without.proven
    assert with_hint.proven
    assert with_hint.answer.cost == pytest.approx(without.answer.cost)
