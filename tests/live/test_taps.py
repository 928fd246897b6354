"""Taps of cooks: started late, done early, more time, and what follows of them for the table."""

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
