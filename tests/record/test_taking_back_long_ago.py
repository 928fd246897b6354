"""A tap taken back late in a long night leaves the same evening as if it had never been made, and is soon done."""

import random
from datetime import timedelta

import pytest

from kitchen_timer.live import history
from kitchen_timer.service.commands import FireCourse, HoldCourse, Undo
from kitchen_timer.service.events import Recorded, Struck
from kitchen_timer.service.fold import replay
from kitchen_timer.service.state import Evening
from tests.live.luck import Luck
from tests.live.tonight import SERVICE, Tonight


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("every", [1, 20])
def test_what_is_struck_out_anywhere_leaves_the_evening_of_a_whole_replay(
    monkeypatch: pytest.MonkeyPatch, seed: int, every: int
) -> None:
    monkeypatch.setattr(history, "MARK_EVERY", every)
    tonight = Tonight()
    luck, dice = Luck(tonight, seed), random.Random(seed)
    kept = tonight.engine._history
    for turn in range(60):
        busy = len(tonight.board().courses) > 6
        luck.go_on("take_off_course" if busy else "undo" if turn % 5 == 4 else None)
        tonight.at(tonight.now + dice.choice([0, 2, 8, 20]))
        assert kept.state == replay(kept._fresh, kept._entries)
    assert any(isinstance(entry.event, Struck) for entry in kept._entries)


def test_a_tap_taken_back_folds_no_more_than_what_came_since_the_last_mark(monkeypatch: pytest.MonkeyPatch) -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    entries = tonight.engine._history._entries
    while len(entries) < 4 * history.MARK_EVERY:
        tonight.do(HoldCourse("6/mains"))
        tapped = tonight.do(FireCourse("6/mains"))
    folded: list[int] = []

    def counting(before: Evening, since: list[Recorded]) -> Evening:
        folded.append(len(since))
        return replay(before, since)

    monkeypatch.setattr(history, "replay", counting)
    tonight.do(Undo(tapped.seq))
    assert len(folded) == 1
    assert folded[0] <= history.MARK_EVERY + 10  # a mark is set after whole commands, of a few events each


def test_a_start_reads_the_newest_service_only_and_still_knows_every_tap() -> None:
    tonight = Tonight()
    first = tonight.order("6", hake=1)
    tonight.engine.open_service(SERVICE + timedelta(days=1))
    tonight.order("9", hake=1)
    shown = tonight.board()
    again = tonight.restart()
    assert again.pass_board() == shown
    assert min(entry.seq for entry in again._history._entries) > first.seq
    assert tonight.do(HoldCourse("9/mains"), number=1).seq == first.seq  # the first tap of all, sent once more
