"""What pass and stations see: joined cues, all day, what cannot be made, lateness and its cause, order of courses."""

from dataclasses import replace

from kitchen_timer.kitchen.table import Plate
from kitchen_timer.plan.answer import Impossible
from kitchen_timer.plan.question import CourseKey
from kitchen_timer.service.boards import all_day, pass_board, station_board
from kitchen_timer.service.commands import CookAgain, FinishSteps, StartSteps
from kitchen_timer.service.going import ends_by_itself, finish_is_tapped, follows_at_once, start_is_tapped
from tests import builders as b
from tests.service.evenings import Story, asked, order


def test_loads_that_go_in_together_are_one_cue() -> None:
    story = Story()
    story.do(order("6", asked(squid=3)))
    story.do(order("4", asked(squid=1)))
    drop, lift = station_board(story.state, "fry", 0).actions
    # Three and one fit the two baskets of two.
    assert (drop.do, drop.portions, dict(drop.per_table)) == ("Drop", 4, {"6": 3, "4": 1})
    assert set(drop.steps) == {"6/mains/squid/rings/1/0", "4/mains/squid/rings/1/0"}
    assert (lift.kind, lift.do, lift.portions, lift.running) == ("finish", "Lift", 4, False)
    note = pass_board(story.state, 0).courses[0].notes[0]
    assert set(note.joined) == {"6", "4"} - {note.table}


def test_a_joined_cue_is_tapped_and_lifted_as_one() -> None:
    story = Story()
    story.do(order("6", asked(squid=3)))
    story.do(order("4", asked(squid=1)))
    drop = station_board(story.state, "fry", 0).actions[0]
    story.do(StartSteps(drop.steps), now=2)
    (lift,) = station_board(story.state, "fry", 2).actions
    assert (lift.due_at, lift.portions, lift.running) == (82, 4, True)


def test_work_on_a_board_is_never_joined() -> None:
    dish = b.dish("salad", leaves=b.component("cold", b.step(20, do="Dress"), name="Leaves"))
    story = Story(b.kitchen(cold=2), b.book([dish]))
    story.do(order("6", asked(salad=1)))
    story.do(order("4", asked(salad=1)))
    starts = [action for action in station_board(story.state, "cold", 0).actions if action.kind == "start"]
    assert [(action.due_at, action.tables) for action in starts] == [(0, ("4",)), (0, ("6",))]


def test_what_an_order_said_is_on_its_cues_with_the_table() -> None:
    story = Story()
    story.do(order("6", asked("mains", None, Plate(dish="hake", note="no jus"))))
    assert all(action.notes == ("no jus · table 6",) for action in station_board(story.state, "plancha", 0).actions)


def test_hot_oil_has_a_caution_and_leaves_have_none() -> None:
    story = Story()
    story.do(order("6", asked(squid=1, hake=1)))
    assert station_board(story.state, "fry", 0).actions[0].caution.startswith("Hot oil")
    assert station_board(story.state, "cold", 200).actions[0].caution == ""


def test_a_torch_has_a_caution() -> None:
    dish = b.dish("mackerel", fish=b.component("cold", b.step(40, do="Torch"), name="Mackerel"))
    story = Story(b.kitchen(cold=1), b.book([dish]))
    story.do(order("6", asked(mackerel=1)))
    assert station_board(story.state, "cold", 0).actions[0].caution.startswith("Torch")


def test_a_station_sees_ten_minutes_ahead_and_no_further() -> None:
    story = Story()
    story.do(order("6", asked("mains", b.at(1000), squid=1)))
    # Dropped at 910: seen from 310 on.
    assert station_board(story.state, "fry", 309).actions == ()
    assert station_board(story.state, "fry", 310).actions[0].due_at == 910


def test_all_day_counts_what_is_still_to_be_cooked_over_all_tables() -> None:
    story = Story()
    story.do(order("6", asked(squid=3, hake=1)))
    story.do(order("4", asked("mains", b.at(2000), squid=2)))
    assert all_day(story.state) == (("Squid", 5), ("Hake", 1), ("Leaves", 1))
    story.do(StartSteps(("6/mains/hake/fish/1/0",)))
    assert all_day(story.state) == (("Squid", 5), ("Leaves", 1))


def test_the_next_landing_comes_first() -> None:
    story = Story()
    story.do(order("6", asked(hake=1)))
    story.do(order("4", asked(squid=1)))
    assert [course.id for course in pass_board(story.state, 0).courses] == ["4/mains", "6/mains"]


def test_a_course_that_is_behind_says_by_how_much_and_why_and_one_on_time_says_nothing() -> None:
    story = Story()
    story.do(order("6", asked(hake=1)))
    cause = {CourseKey("6", "mains"): "Plancha: both hands are on table 4"}
    on_time = replace(story.state, causes=cause)
    assert (pass_board(on_time, 0).courses[0].late_s, pass_board(on_time, 0).courses[0].cause) == (0, "")
    story.plan(now=50)
    behind = pass_board(replace(story.state, causes=cause), 50).courses[0]
    assert behind.late_s >= 50
    assert behind.cause == "Plancha: both hands are on table 4"


def test_a_course_that_cannot_be_made_is_listed_with_what_would_help_and_nowhere_else() -> None:
    story = Story()
    story.do(order("6", asked(hake=1)))
    assert story.state.plan is not None
    cannot = Impossible("6", "mains", "More than the kitchen holds", "Split the table")
    board = pass_board(story.with_plan(courses=(), steps=(), impossible=(cannot,)), 0)
    assert [(each.id, each.why, each.would_help) for each in board.cannot] == [
        ("6/mains", "More than the kitchen holds", "Split the table")
    ]
    assert board.courses == ()


def test_food_that_stands_longer_than_it_keeps_is_in_trouble_until_it_is_cooked_again() -> None:
    story = Story()
    story.do(order("6", asked(squid=1, hake=1)))
    story.do(StartSteps(("6/mains/squid/rings/1/0",)), now=0)
    story.do(FinishSteps(("6/mains/squid/rings/1/0",)), now=90)
    assert not any("has stood" in words for words in pass_board(story.state, 180).trouble)
    assert any(words.startswith("Table 6's Squid has stood 1:31") for words in pass_board(story.state, 181).trouble)
    story.do(CookAgain("6/mains/squid/rings/1"), now=181)
    assert not any("has stood" in words for words in pass_board(story.state, 181).trouble)


def test_a_tail_ends_where_the_component_stops_standing() -> None:
    salad = b.dish(
        "salad",
        leeks=b.component("stove", b.step(60), keeps=240, name="Leeks"),
        dressing=b.component("cold", b.step(20), keeps=60, after=["leeks"], name="Dressing"),
    )
    story = Story(b.kitchen(stove=1, cold=1), b.book([salad]))
    story.do(order("6", asked(salad=1)))
    notes = {note.component: note for note in pass_board(story.state, 0).courses[0].notes}
    # Leeks 0-60 stand until the dressing starts; dressing 60-80 until the landing.
    assert (notes["leeks"].end_at, notes["leeks"].stands_until, notes["leeks"].keeps_until) == (60, 60, 300)
    assert (notes["dressing"].end_at, notes["dressing"].stands_until, notes["dressing"].keeps_until) == (80, 80, 140)


def test_which_ends_of_a_step_are_tapped() -> None:
    """Common practice, no source: hands at an end means a tap there; turning ends the side before it."""
    fish = b.component(
        "plancha",
        b.step(180, on="top"),  # start: hands at its start
        b.step(60, on="top"),  # ends: its last step there
        b.step(60, hands="none"),
        b.step(20),  # all
    )
    indexes = range(4)
    assert [start_is_tapped(fish, i) for i in indexes] == [True, True, False, True]
    assert [finish_is_tapped(fish, i) for i in indexes] == [False, True, False, True]
    assert [follows_at_once(fish, i) for i in indexes] == [True, False, True, False]
    assert [ends_by_itself(fish, i) for i in indexes] == [False, False, False, False]
    waits = b.component("plancha", b.step(60, hands="none"), b.step(20, may_wait=120))
    assert [ends_by_itself(waits, i) for i in range(2)] == [True, False]
