"""Loads of several tables in the same slots: one cue, one tap, counted once. Arithmetic beside each test."""

from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.question import StepKey
from kitchen_timer.service.ask_planner import question_of
from kitchen_timer.service.boards import station_board
from kitchen_timer.service.commands import StartSteps
from kitchen_timer.service.events import CueAnnounced
from tests import builders as b
from tests.service.evenings import Story, asked, order

FOUR = StepKey.read("4/mains/squid/rings/1/0")
SIX = StepKey.read("6/mains/squid/rings/1/0")


def a_fryer_of_one() -> Story:
    """One cook, one basket of eight; squid takes 90 s, the oil recovers 60 s."""
    squid = b.dish("squid", rings=b.component("fry", b.step(90, on="fryer", fits=8, do="Drop"), keeps=90))
    return Story(b.kitchen(fry=1, fryer=b.slots(1, recovery=60)), b.book([squid]))


def test_an_order_that_comes_after_the_heads_up_goes_in_with_what_was_announced() -> None:
    # Table 4 is wanted at 200, so its three go in at 110, and Fry has been told. Table 6 orders two at 20: alone it
    # could land at 110, and has to be out of the oil at 110 - 60 = 50 or go in when table 4 is out and the oil is back,
    # at 260. With table 4 it lands at 200.
    story = a_fryer_of_one()
    story.do(order("4", asked("mains", b.at(200), squid=3)))
    story.happens(CueAnnounced(((FOUR, 110),)))
    story.do(order("6", asked(squid=2)), now=20)
    (drop,) = [action for action in station_board(story.state, "fry", 20).actions if action.kind == "start"]
    assert (drop.do, drop.portions, drop.tables, drop.due_at) == ("Drop", 5, ("4", "6"), 110)


def test_one_tap_starts_all_that_share_and_they_are_counted_once() -> None:
    story = a_fryer_of_one()
    story.do(order("4", asked("mains", b.at(200), squid=3)))
    story.do(order("6", asked("mains", b.at(200), squid=2)))
    drop = next(action for action in station_board(story.state, "fry", 0).actions if action.kind == "start")
    story.do(StartSteps(drop.steps), now=112)
    started = {key: load.steps[0].start_at for run in story.state.courses.values() for key, load in run.loads.items()}
    assert started == {FOUR.of_load: 112, SIX.of_load: 112}
    (lift,) = station_board(story.state, "fry", 112).actions
    assert (lift.do, lift.portions, lift.due_at) == ("Lift", 5, 192)
    # One basket and one cook: were the two counted apart, rules 5 and 6 would break.
    question = question_of(story.state, 112)
    assert story.state.plan is not None
    assert breaks(question, story.state.plan) == ()


def test_the_next_load_goes_in_when_the_oil_is_back_from_what_was_shared() -> None:
    # In from 112 to 202, the oil back at 262. Table 9's squid, ordered at 120, is in then and out at 352.
    story = a_fryer_of_one()
    story.do(order("4", asked("mains", b.at(200), squid=3)))
    story.do(order("6", asked("mains", b.at(200), squid=2)))
    story.do(StartSteps((str(FOUR), str(SIX))), now=112)
    story.do(order("9", asked(squid=2)), now=120)
    assert story.state.plan is not None
    (steps,) = [steps for key, steps in story.state.plan.by_load.items() if key.table == "9"]
    assert (steps[0].start_at, steps[0].end_at) == (262, 352)
