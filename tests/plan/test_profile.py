"""The big-integer profile against counting second by second."""

from hypothesis import given
from hypothesis import strategies as st

from kitchen_timer.plan.profile import Profile, first_free, last_free, spread, spread_holding, touching

SPAN_S = 40
uses = st.lists(
    st.tuples(st.integers(1, 3), st.integers(0, SPAN_S - 1), st.integers(1, 12)).map(
        lambda u: (u[0], u[1], u[1] + u[2])
    ),
    max_size=8,
)


def bits(blocked: int) -> set[int]:
    return {t for t in range(3 * SPAN_S) if blocked >> t & 1}


@given(st.integers(1, 6), uses, st.integers(1, 6))
def test_full_is_where_counting_says_so(capacity: int, taken: list[tuple[int, int, int]], amount: int) -> None:
    profile, counted, kept = Profile([capacity]), [0] * 3 * SPAN_S, []
    for q, a, b in taken:
        if all(counted[t] + q <= capacity for t in range(a, b)):
            profile.add(0, q, a, b)
            kept.append((q, a, b))
            for t in range(a, b):
                counted[t] += q
    expected = {t for t in range(3 * SPAN_S) if counted[t] + amount > capacity}
    assert bits(profile.full(0, amount)) == expected
    for q, a, b in kept:
        profile.remove(0, q, a, b)
    assert profile.full(0, capacity) == 0


@given(st.sets(st.integers(0, SPAN_S)), st.integers(1, 15))
def test_a_start_is_blocked_when_its_stretch_meets_a_taken_second(taken: set[int], width_s: int) -> None:
    found = touching(sum(1 << t for t in taken), width_s)
    assert bits(found) == {t for t in range(SPAN_S + 1) if any(t <= other < t + width_s for other in taken)}


@given(st.sets(st.integers(0, SPAN_S)), st.integers(0, 15))
def test_waiting_spreads_what_is_allowed(blocked: set[int], wait_s: int) -> None:
    found = spread(sum(1 << t for t in blocked), wait_s)
    allowed = {t + w for t in range(3 * SPAN_S) if t not in blocked for w in range(wait_s + 1)}
    assert bits(found) == {t for t in range(3 * SPAN_S) if t not in allowed}


@given(st.sets(st.integers(0, SPAN_S)), st.sets(st.integers(0, SPAN_S)), st.integers(0, 15))
def test_waiting_in_a_slot_ends_where_the_slot_is_taken(blocked: set[int], taken: set[int], wait_s: int) -> None:
    found = spread_holding(sum(1 << t for t in blocked), wait_s, sum(1 << t for t in taken))
    allowed = {
        t + w
        for t in range(3 * SPAN_S)
        if t not in blocked
        for w in range(wait_s + 1)
        if not any(u in taken for u in range(t, t + w))
    }
    assert bits(found) == {t for t in range(3 * SPAN_S) if t not in allowed}


def test_the_first_and_last_free_second() -> None:
    blocked = 0b0111_0110  # 1, 2, 4, 5, 6
    assert first_free(blocked, 0) == 0
    assert first_free(blocked, 1) == 3
    assert first_free(blocked, 4) == 7
    assert first_free(blocked, 100) == 100
    assert last_free(blocked, 0, 6) == 3
    assert last_free(blocked, 4, 6) is None
    assert last_free(blocked, -5, 2) == 0


def test_a_snapshot_goes_back_and_may_be_used_twice() -> None:
    profile = Profile([2, 1])
    profile.add(0, 1, 10, 20)
    kept, stamp = profile.snapshot(), profile.stamp(0)
    for _ in range(2):
        profile.add(0, 1, 15, 30)
        assert bits(profile.full(0, 1)) == set(range(15, 20))
        profile.restore(kept)
        assert profile.full(0, 1) == 0
        assert profile.stamp(0) == stamp


def test_more_than_there_is_can_be_taken_and_given_back() -> None:
    profile = Profile([1])
    profile.add(0, 1, 0, 10)
    profile.add(0, 1, 5, 15)
    profile.remove(0, 1, 0, 10)
    assert bits(profile.full(0, 1)) == set(range(5, 15))
