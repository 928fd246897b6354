"""An evening in which nothing takes as long as the book says: within 15 % of it, and cooks tap a moment late."""

import pytest

from kitchen_timer.plan.choose import plan_quickly
from tests.bench.noisy import InlinePlanner, made_up_orders, play
from tests.bench.noisy_figures import Figures


@pytest.fixture(scope="module")
def night() -> Figures:
    # Reading its log fails where a plan moved a step that had started.
    return play(1, made_up_orders(1, 0, 4, load=0.35), InlinePlanner(plan_quickly))[1]


def test_every_course_goes_out(night: Figures) -> None:
    assert night.open_at_the_end == 0
    assert len(night.lates_s) == 4


def test_no_announced_cue_moves_without_a_reason(night: Figures) -> None:
    assert night.announced > 30
    assert night.unreasoned == []


def test_nearly_everything_is_plated_while_it_is_good(night: Figures) -> None:
    # The aim is 99 of 100 over many evenings, and is not reached yet: python -m tests.bench.noisy says by how much.
    assert len(night.stood) > 20
    assert night.inside >= 0.95
