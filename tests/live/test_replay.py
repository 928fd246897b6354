"""Whatever a kitchen does, a restart shows what was shown before it, and a repeated tap changes nothing."""

import random
from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from kitchen_timer.kitchen.problems import KitchenProblem
from kitchen_timer.kitchen.table import After, Asap, AtTime, Hold, Land, Plate
from kitchen_timer.live.engine import Engine
from kitchen_timer.service.commands import (
    Command,
    CookAgain,
    CourseAsked,
    FinishSteps,
    FireCourse,
    GiveMoreTime,
    HoldCourse,
    SendCourse,
    StartSteps,
    TakeOrder,
    Undo,
)
from tests import builders as b
from tests.live.tonight import START, Tonight


def boards(tonight: Tonight, engine: Engine) -> list[object]:
    """All boards; without what held courses would get, which is worked out anew after a restart."""
    board = engine.pass_board()
    held = tuple(replace(course, landing_if_fired=None) for course in board.held)
    return [replace(board, held=held), *(engine.station_board(station) for station in tonight.kitchen.stations)]


class Luck:
    """A kitchen in which anything may be tapped at any time, by the numbers drawn."""

    def __init__(self, tonight: Tonight, seed: int) -> None:
        self.tonight = tonight
        self.dice = random.Random(seed)
        self.acks: list[int] = []
        self.said: list[tuple[Command, int]] = []
        self.refusals: list[str] = []

    def command(self) -> Command:
        dice, tonight = self.dice, self.tonight
        board = tonight.board()
        open_ids = [course.id for course in (*board.courses, *board.held)] or ["1/mains"]
        actions = [action for station in tonight.kitchen.stations for action in tonight.actions(station)]
        loads = [note.load_id for course in board.courses for note in course.notes] or ["1/mains/hake/fish/1"]
        kinds = ["order", "tap", "tap", "tap", "tap", "more", "again", "fire", "hold", "send", "undo"]
        match dice.choice(kinds) if board.courses or board.held else "order":
            case "order":
                return self.order()
            case "tap" if actions:
                action = dice.choice(actions[:3])
                at = START + tonight.now - dice.randrange(-5, 40) if dice.random() < 0.3 else None
                return StartSteps(action.steps, at) if action.kind == "start" else FinishSteps(action.steps, at)
            case "more" if actions:
                return GiveMoreTime(dice.choice(actions).steps, dice.choice([30, 60]))
            case "again":
                return CookAgain(dice.choice(loads))
            case "fire":
                return FireCourse(dice.choice(open_ids))
            case "hold":
                return HoldCourse(dice.choice(open_ids))
            case "send":
                return SendCourse(dice.choice(open_ids))
            case _:
                return Undo(dice.choice(self.acks[-4:]) if self.acks else 1)

    def order(self) -> TakeOrder:
        dice = self.dice
        lands: list[Land] = [Asap(), Hold(), AtTime(at=START + self.tonight.now + 600), b.after("starters", 120)]
        land = dice.choice(lands)
        plates = tuple(
            Plate(dish=dish, qty=dice.randint(1, 3), allergies=("nut",) if dice.random() < 0.3 else ())
            for dish in dice.sample(["hake", "squid", "egg"], dice.randint(1, 2))
        )
        starters = CourseAsked("starters", (Plate(dish="squid", qty=1),), dice.choice(lands[:2]))
        mains = CourseAsked("mains", plates, land)
        courses = (starters, mains) if isinstance(land, After) else (mains,)
        return TakeOrder(str(dice.randint(1, 5)), courses, allergies_asked=True)

    def go_on(self) -> None:
        command = self.command()
        number = len(self.said) + 1
        self.said.append((command, number))
        try:
            self.acks.append(self.tonight.do(command, "luck", number).seq)
        except KitchenProblem as refused:
            self.refusals.append(str(refused))


@settings(max_examples=25)
@given(seed=st.integers(0, 2**32), jumps=st.lists(st.integers(0, 45), min_size=5, max_size=40))
def test_replay_equals_live(seed: int, jumps: list[int]) -> None:
    tonight = Tonight()
    luck = Luck(tonight, seed)
    for jump in jumps:
        tonight.at(tonight.now + jump)
        luck.go_on()
    live = tonight.engine
    shown = boards(tonight, live)
    again = tonight.restart()
    assert boards(tonight, again) == shown
    assert all(words.endswith(".") for words in luck.refusals), "a refusal is a sentence"


@settings(max_examples=10)
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


@settings(max_examples=15)
@given(seed=st.integers(0, 2**32), jumps=st.lists(st.integers(0, 45), min_size=5, max_size=30))
def test_every_open_courses_every_portion_is_somewhere(seed: int, jumps: list[int]) -> None:
    """No tap may lose food: begun loads and planned ones together make up what was ordered."""
    tonight = Tonight()
    luck = Luck(tonight, seed)
    for jump in jumps:
        tonight.at(tonight.now + jump)
        luck.go_on()
    for course in tonight.board().courses:
        for dish in {plate.dish for plate in course.dishes}:
            ordered = sum(plate.qty for plate in course.dishes if plate.dish == dish)
            for component in tonight.book[dish].components:
                portions = sum(
                    note.portions
                    for note in course.notes
                    if note.last and (note.dish, note.component) == (dish, component)
                )
                assert portions == ordered, (course.id, dish, component, tonight.board().trouble)
