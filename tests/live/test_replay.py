"""Whatever a kitchen does, a restart shows what was shown before it, and a repeated tap changes nothing."""

from contextlib import suppress
from typing import get_args

import hypothesis.strategies as st
from hypothesis import given, settings
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule

from kitchen_timer.kitchen.problems import KitchenProblem
from kitchen_timer.service.commands import Command
from tests.live.luck import KINDS, MAKERS, Luck, accounted_for, boards
from tests.live.tonight import Tonight


def test_every_command_there_is_is_tried() -> None:
    assert set(KINDS) == {shape.kind for shape in get_args(Command)}


class AnEvening(RuleBasedStateMachine):
    """Commands of every kind and time that goes on, in any order; now and then the server is started again."""

    def __init__(self) -> None:
        super().__init__()
        self.tonight = Tonight()
        self.luck = Luck(self.tonight, 0)
        self.luck.go_on("take_order")

    @rule(kind=st.sampled_from(sorted(MAKERS)), seed=st.integers(0, 999))
    def ask(self, kind: str, seed: int) -> None:
        self.luck.dice.seed(seed)
        self.luck.go_on(kind)

    @rule(seconds=st.integers(0, 120))
    def go_on(self, seconds: int) -> None:
        self.tonight.at(self.tonight.now + seconds)

    @rule(seconds=st.integers(1, 60))
    def cook(self, seconds: int) -> None:
        with suppress(KitchenProblem):  # a core temperature that was read too low: the cook waits
            self.tonight.cook_until(self.tonight.now + seconds)

    @rule()
    def restart(self) -> None:
        shown = boards(self.tonight, self.tonight.engine)
        assert boards(self.tonight, self.tonight.restart()) == shown

    @invariant()
    def no_food_is_lost(self) -> None:
        accounted_for(self.tonight)

    def teardown(self) -> None:
        self.restart()
        assert all(words.rstrip().endswith(".") for words in self.luck.refusals), "a refusal is a sentence"


TestAnEvening = AnEvening.TestCase
TestAnEvening.settings = settings(max_examples=6, stateful_step_count=20, deadline=None)


@settings(max_examples=10)
@given(seed=st.integers(0, 2**32), jumps=st.lists(st.integers(0, 45), min_size=5, max_size=40))
def test_replay_equals_live(seed: int, jumps: list[int]) -> None:
    tonight = Tonight()
    luck = Luck(tonight, seed)
    for jump in jumps:
        tonight.at(tonight.now + jump)
        luck.go_on()
    shown = boards(tonight, tonight.engine)
    assert boards(tonight, tonight.restart()) == shown
    accounted_for(tonight)


@settings(max_examples=5)
@given(seed=st.integers(0, 2**32), data=st.data())
def test_repeated_taps_in_any_order_change_nothing(seed: int, data: st.DataObject) -> None:
    tonight = Tonight()
    luck = Luck(tonight, seed)
    for _ in range(12):
        tonight.at(tonight.now + 20)
        luck.go_on()
    shown, acks = boards(tonight, tonight.engine), set(luck.acks)
    known = [(command, number) for command, number in luck.said]
    for command, number in data.draw(st.permutations(known)):
        try:
            ack = tonight.do(command, "luck", number)
        except KitchenProblem:
            continue  # refused the first time too, or refused now for what came since: nothing has changed
        if ack.repeated:
            assert ack.seq in acks
        else:
            return  # one that was refused then is accepted now: a command of its own, not a repetition
        assert boards(tonight, tonight.engine) == shown
