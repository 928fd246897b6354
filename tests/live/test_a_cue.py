"""The second before, on and after every due time of one table's hake.

Alone in the kitchen the hake takes 180 s, 60 s turned and 60 s of rest: it lands at 300. Its leaves are dressed for
20 s from 280. Heads-up is 15 s before a cue; a start is overdue after 10 s.
"""

import pytest

from kitchen_timer.kitchen.problems import NotNow
from kitchen_timer.service.commands import StartSteps
from kitchen_timer.service.views import ActionView
from tests.live.tonight import START, Tonight

FISH = "6/mains/hake/fish/1"
LEAVES = "6/mains/hake/leaves/1"


@pytest.fixture
def tonight() -> Tonight:
    tonight = Tonight()
    tonight.order("6", hake=1)
    return tonight


def test_an_order_is_planned_at_once_and_lands_as_soon_as_its_longest_component_can(tonight: Tonight) -> None:
    course = tonight.course("6/mains")
    assert (course.target_at, course.landing_at, course.up_at) == (START + 300, START + 300, START + 320)
    assert (course.late_s, course.at_pass, course.spread_s) == (0, False, 0)


def is_dress(action: ActionView) -> bool:
    return action.do == "Dress"


@pytest.mark.parametrize(("second", "state"), [(264, "planned"), (265, "announced"), (266, "announced")])
def test_a_start_is_announced_fifteen_seconds_before_it(tonight: Tonight, second: int, state: str) -> None:
    tonight.cook_until(second)
    assert tonight.note(f"{LEAVES}/0").state == state


def test_an_action_knows_its_second_before_and_after_it(tonight: Tonight) -> None:
    for second in (270, 279, 280, 281, 290):
        tonight.cook_until(second, skip=is_dress)
        dress = tonight.actions("cold")[0]
        assert (dress.kind, dress.do, dress.due_at, dress.heads_up_at) == ("start", "Dress", START + 280, START + 265)


@pytest.mark.parametrize(("second", "asked_again"), [(289, False), (290, False), (291, True)])
def test_a_start_untapped_for_more_than_ten_seconds_is_planned_anew(
    tonight: Tonight, second: int, asked_again: bool
) -> None:
    tonight.cook_until(250, skip=is_dress)
    asked = len(tonight.planner.asked)
    tonight.cook_until(second, skip=is_dress)
    assert (len(tonight.planner.asked) > asked) == asked_again


def test_an_overdue_start_keeps_the_second_it_was_announced_with_and_the_course_moves(tonight: Tonight) -> None:
    tonight.cook_until(291, skip=is_dress)
    dress = tonight.actions("cold")[0]
    assert dress.due_at == START + 280
    assert tonight.note(f"{LEAVES}/0").start_at == START + 291
    # Dressed for 20 s from now at the earliest: 291 + 20.
    assert (tonight.course("6/mains").landing_at, tonight.course("6/mains").late_s) == (START + 311, 11)


def test_a_start_that_nobody_taps_is_said_on_the_pass_and_gone_when_it_is_tapped(tonight: Tonight) -> None:
    tonight.cook_until(291, skip=is_dress)
    words = "Cold: table 6's Leaves was to start at 19:04 and nobody has tapped it. Ask them."
    assert words in tonight.board().trouble
    theirs = "Table 6's Leaves was to start at 19:04. Start it now; if it is on already, tap it."
    assert tonight.engine.station_board("cold").trouble == (theirs,), "said to the cook, not about the cook"
    assert tonight.engine.station_board("fry").trouble == ()
    tonight.tap_what_is_due()
    assert tonight.board().trouble == ()
    assert tonight.note(f"{LEAVES}/0").late


def test_turning_ends_the_first_side_at_the_same_second(tonight: Tonight) -> None:
    tonight.start(f"{FISH}/0")
    tonight.at(183).start(f"{FISH}/1")
    assert tonight.note(f"{FISH}/0").end_at == START + 183
    assert tonight.note(f"{FISH}/0").state == "done"
    assert (tonight.note(f"{FISH}/1").start_at, tonight.note(f"{FISH}/1").end_at) == (START + 183, START + 243)


def test_the_first_side_goes_on_until_it_is_turned(tonight: Tonight) -> None:
    tonight.start(f"{FISH}/0")
    tonight.at(188)
    note = tonight.note(f"{FISH}/0")
    assert (note.state, note.late, note.end_at) == ("started", True, START + 188)
    turn = tonight.actions("plancha")[0]
    assert (turn.do, turn.due_at) == ("Turn", START + 180)


def test_a_rest_begins_when_the_fish_is_lifted_and_ends_by_itself(tonight: Tonight) -> None:
    tonight.start(f"{FISH}/0")
    tonight.at(180).start(f"{FISH}/1")
    lift = tonight.at(230).actions("plancha")[0]
    # Ten seconds of handling: lifting begins at 230 and the fish is off at 240.
    assert (lift.kind, lift.do, lift.due_at, lift.core_temp) == ("finish", "Lift", START + 230, 58)
    tonight.finish(f"{FISH}/1")
    assert tonight.at(239).note(f"{FISH}/2").state == "planned"
    assert tonight.at(240).note(f"{FISH}/2").state == "started"
    assert tonight.at(299).note(f"{FISH}/2").state == "started"
    assert tonight.at(300).note(f"{FISH}/2").state == "done"


def test_a_rest_that_nobody_waits_for_shows_no_action(tonight: Tonight) -> None:
    assert {(action.kind, action.do) for action in tonight.actions("plancha")} == {
        ("start", "Skin side down"),
        ("start", "Turn"),
        ("finish", "Lift"),
    }


@pytest.mark.parametrize(("second", "at_pass"), [(299, False), (300, True), (301, True)])
def test_a_course_lands_when_all_is_done_and_its_second_has_come(tonight: Tonight, second: int, at_pass: bool) -> None:
    tonight.cook_until(second)
    course = tonight.course("6/mains")
    assert course.at_pass == at_pass
    assert course.landing_at == START + 300


def test_a_tap_while_out_of_touch_counts_from_when_it_was_made(tonight: Tonight) -> None:
    tonight.at(40)
    tonight.do(StartSteps((f"{FISH}/0",), at=START + 5))
    assert tonight.note(f"{FISH}/0").start_at == START + 5


@pytest.mark.parametrize(("said", "counts"), [(-3600, 700 - 600), (700 + 50, 700)])
def test_a_tap_counts_from_at_most_ten_minutes_ago_and_never_from_the_future(said: int, counts: int) -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.at(700)
    tonight.do(StartSteps((f"{FISH}/0",), at=START + said))
    assert tonight.note(f"{FISH}/0").start_at == START + counts


def test_a_wake_up_twice_changes_nothing(tonight: Tonight) -> None:
    tonight.start(f"{FISH}/0")
    tonight.at(265)
    seq = tonight.board().seq
    tonight.engine.wake()
    tonight.engine.wake()
    assert tonight.board().seq == seq


def test_a_missed_wake_up_misses_nothing(tonight: Tonight) -> None:
    tonight.start(f"{FISH}/0")
    tonight.at(180).start(f"{FISH}/1")
    tonight.at(230).finish(f"{FISH}/1")
    tonight.clock.turn_to(START + 1000)
    tonight.engine.wake()
    rest = tonight.note(f"{FISH}/2")
    assert (rest.state, rest.start_at, rest.end_at) == ("done", START + 240, START + 300)


def test_a_step_is_started_once(tonight: Tonight) -> None:
    tonight.start(f"{FISH}/0")
    with pytest.raises(NotNow, match=r"Table 6's Hake was started at 19:00 already"):
        tonight.start(f"{FISH}/0")
