"""Taps of cooks: started late, done early, more time, and what follows of them for the table."""

import pytest

from kitchen_timer.kitchen.problems import NotNow
from kitchen_timer.service.commands import GiveMoreTime
from tests.live.tonight import START, Tonight

FISH = "6/mains/hake/fish/1"
RINGS = "6/mains/squid/rings/1"


def test_a_late_start_moves_the_rest_of_the_table_and_nothing_that_has_started() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1, squid=1)
    before = tonight.course("6/mains").landing_at
    # The hake leads (300 s); the squid (90 s) is to follow it. The fish is started 9 s late.
    tonight.at(9).start(f"{FISH}/0")
    assert tonight.note(f"{FISH}/0").start_at == START + 9
    assert tonight.course("6/mains").landing_at == before + 9
    assert tonight.note(f"{RINGS}/0").end_at in range(before + 9 - 90, before + 10)


def test_done_early_makes_up_for_a_late_start() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(9, skip=lambda action: True)
    tonight.cook_until(229)
    assert tonight.course("6/mains").landing_at == START + 309
    # Turned at 189, lifted from 229 instead of 239: ten seconds of lifting, then 60 s of rest.
    tonight.finish(f"{FISH}/1")
    assert tonight.note(f"{FISH}/1").end_at == START + 239
    assert tonight.course("6/mains").landing_at == START + 300


def test_thirty_seconds_more_move_the_rest_of_the_table() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(200)
    tonight.do(GiveMoreTime((f"{FISH}/1",), 30))
    assert tonight.note(f"{FISH}/1").end_at == START + 270
    assert tonight.course("6/mains").landing_at == START + 330
    lift = tonight.actions("plancha")[0]
    assert (lift.do, lift.due_at, lift.running) == ("Lift", START + 260, True)


def test_more_time_after_its_end_counts_from_now() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(260, skip=lambda action: action.do == "Lift")
    tonight.do(GiveMoreTime((f"{FISH}/1",), 30))
    assert tonight.note(f"{FISH}/1").end_at == START + 290


@pytest.mark.parametrize(
    ("tapped_at", "ends_at"),
    [(100, 110), (229, 239), (230, 240), (231, 240), (240, 240), (241, 241), (300, 300)],
)
def test_done_early_or_late_the_step_ended_when_it_was_lifted(tapped_at: int, ends_at: int) -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    # Turned at 180 for 60 s; lifting takes the last 10 s, and goes on after a tap until then.
    if tapped_at <= 180:
        tonight.cook_until(50)
        tonight.at(90).start(f"{FISH}/1")
    else:
        tonight.cook_until(180)
    tonight.at(tapped_at).finish(f"{FISH}/1")
    assert tonight.note(f"{FISH}/1").end_at == START + ends_at
    tonight.at(max(tonight.now, ends_at))
    assert tonight.note(f"{FISH}/2").start_at == START + ends_at


def test_two_minutes_more_and_any_other_time_up_to_an_hour() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(200)
    tonight.do(GiveMoreTime((f"{FISH}/1",), 120))
    assert tonight.note(f"{FISH}/1").end_at == START + 360
    tonight.do(GiveMoreTime((f"{FISH}/1",), 3600))
    for seconds in (0, -30, 3601):
        with pytest.raises(NotNow, match="Give between 1 and 3600"):
            tonight.do(GiveMoreTime((f"{FISH}/1",), seconds))
