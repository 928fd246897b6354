"""The kitchen's clock goes on after a restart, at its speed, and never back."""

import time

import pytest

from kitchen_timer.live.clock import Anchor, SystemClock, TurnedClock


def test_the_kitchens_time_is_the_walls_where_nothing_else_is_said() -> None:
    assert SystemClock().now() == pytest.approx(time.time(), abs=0.5)


def test_a_clock_made_from_an_anchor_goes_on_as_if_it_had_never_stopped() -> None:
    # 30 real seconds ago it was 1000 in the kitchen, ten times as fast: 1300 now.
    clock = SystemClock(kitchen_at=1000, wall_at=time.time() - 30, speed=10)
    assert clock.now() == pytest.approx(1300, abs=5)
    anchor = clock.anchor
    again = SystemClock(anchor.kitchen_at, anchor.wall_at, anchor.speed)
    assert again.now() == pytest.approx(clock.now(), abs=5)


def test_the_clock_does_not_follow_a_wall_clock_that_is_set(monkeypatch: pytest.MonkeyPatch) -> None:
    clock = SystemClock()
    before = clock.now()
    wall = time.time()
    monkeypatch.setattr(time, "time", lambda: wall - 3600)
    assert before <= clock.now() < before + 5
    assert clock.apart_s() == pytest.approx(-3600, abs=5)


@pytest.mark.parametrize("speed", [0, -1])
def test_a_clock_that_stands_still_or_goes_back_is_refused(speed: float) -> None:
    with pytest.raises(ValueError, match="above 0"):
        SystemClock(speed=speed)


def test_a_turned_clock_stands_until_it_is_turned() -> None:
    clock = TurnedClock(100)
    assert clock.now() == clock.now() == 100
    clock.turn(0.5)
    clock.turn_to(200)
    assert (clock.now(), clock.anchor) == (200, Anchor(200, 200))
