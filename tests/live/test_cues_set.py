"""The chef's own time for a cue: every plan keeps it, whatever else happens, until the load is started."""

from time import process_time

import pytest

from kitchen_timer.kitchen.problems import NotNow, UnknownStep
from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.choose import plan_fully
from kitchen_timer.service.ask_planner import question_of
from kitchen_timer.service.commands import FreeCue, SetCue, Undo
from tests.live.tonight import START, Tonight

FISH = "6/mains/hake/fish/1"
LEAVES = "6/mains/hake/leaves/1"
RINGS = "6/mains/squid/rings/1"


def test_a_cue_is_where_the_chef_wants_it_and_the_table_follows() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1, squid=1)
    ack = tonight.do(SetCue(f"{FISH}/0", START + 100))
    assert tonight.note(f"{FISH}/0").start_at == START + 100
    assert tonight.note(f"{FISH}/0").pinned
    assert tonight.course("6/mains").landing_at == START + 400
    tonight.do(Undo(ack.seq))
    assert tonight.course("6/mains").landing_at == START + 300
    assert not tonight.note(f"{FISH}/0").pinned


@pytest.mark.parametrize("second", [99, 100, 101])
def test_the_time_is_kept_until_its_second_and_tapped_then(second: int) -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.do(SetCue(f"{FISH}/0", START + 100))
    tonight.at(30)
    tonight.order("4", hake=4)  # all four places of the top
    tonight.order("9", squid=2)
    assert tonight.note(f"{FISH}/0").start_at == START + 100
    tonight.at(second).start(f"{FISH}/0")
    assert tonight.note(f"{FISH}/0").start_at == START + second
    assert not tonight.note(f"{FISH}/0").pinned


def test_an_overdue_cue_is_planned_anew_like_any_other() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.do(SetCue(f"{FISH}/0", START + 100))
    tonight.at(130)
    assert any("was to start at 19:01" in words for words in tonight.board().trouble)
    assert tonight.course("6/mains").landing_at >= START + 420
    tonight.start(f"{FISH}/0")
    assert tonight.course("6/mains").landing_at == START + 430


def test_the_exact_planner_keeps_it_and_the_rules_hold() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1, squid=1)
    tonight.order("4", hake=2, squid=2)
    tonight.do(SetCue(f"{RINGS}/0", START + 40))
    state = tonight.engine._evening()
    question = question_of(state, START)
    assert question.course(next(iter(state.courses))) is not None
    began = process_time()
    answer = plan_fully(question, 2, lambda: process_time() - began)
    started = [step for step in answer.steps if str(step.key) == f"{RINGS}/0"]
    assert [step.start_at for step in started] == [START + 40]
    assert [each for each in breaks(question, answer) if not each.excused] == []


def test_the_planner_has_it_again_when_it_is_freed() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.do(SetCue(f"{LEAVES}/0", START + 250))
    assert tonight.note(f"{LEAVES}/0").start_at == START + 250
    tonight.do(FreeCue(f"{LEAVES}/0"))
    assert tonight.note(f"{LEAVES}/0").start_at == START + 280
    with pytest.raises(NotNow, match="has no time of the chef's own"):
        tonight.do(FreeCue(f"{LEAVES}/0"))


@pytest.mark.parametrize(("at", "fine"), [(-1, False), (0, True), (6 * 3600, True), (6 * 3600 + 1, False)])
def test_a_cue_is_set_between_now_and_six_hours_from_now(at: int, fine: bool) -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    if fine:
        tonight.do(SetCue(f"{LEAVES}/0", START + at))
    else:
        with pytest.raises(NotNow, match="Set it between 19:00 and 01:00"):
            tonight.do(SetCue(f"{LEAVES}/0", START + at))


def test_only_a_first_start_that_has_not_been_tapped_has_a_time_of_its_own() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    with pytest.raises(NotNow, match=r"Turn follows the steps before it. Set the time of the first"):
        tonight.do(SetCue(f"{FISH}/1", START + 300))
    tonight.start(f"{FISH}/0")
    with pytest.raises(NotNow, match=r"has been started. Give it more time"):
        tonight.do(SetCue(f"{FISH}/0", START + 300))
    with pytest.raises(UnknownStep):
        tonight.do(SetCue("6/mains/hake", START + 300))


def test_a_restart_keeps_it() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1, squid=1)
    tonight.do(SetCue(f"{RINGS}/0", START + 150))
    board = tonight.board()
    assert tonight.restart().pass_board() == board
    tonight.at(20)
    assert tonight.note(f"{RINGS}/0").start_at == START + 150
