"""A kitchen in which anything may be asked at any time: every command there is, by numbers drawn."""

import random
from collections.abc import Callable
from dataclasses import replace
from typing import get_args

from kitchen_timer.kitchen.problems import KitchenProblem
from kitchen_timer.kitchen.seconds import Seconds
from kitchen_timer.kitchen.station import Taps
from kitchen_timer.kitchen.table import After, Asap, AtTime, Hold, Land, Plate
from kitchen_timer.live.engine import Engine
from kitchen_timer.service import commands as c
from kitchen_timer.service.commands import Command, CourseAsked
from kitchen_timer.service.views import ActionView, PassBoard
from tests import builders as b
from tests.live.tonight import START, Tonight

DISHES = ("hake", "squid", "egg")


def boards(tonight: Tonight, engine: Engine) -> list[object]:
    """All boards; without what held courses would get, which is worked out anew after a restart."""
    board = engine.pass_board()
    held = tuple(replace(course, landing_if_fired=None) for course in board.held)
    return [replace(board, held=held), *(engine.station_board(station) for station in tonight.kitchen.stations)]


class Luck:
    """Asks for things by the numbers drawn, and remembers what was said and acknowledged."""

    def __init__(self, tonight: Tonight, seed: int) -> None:
        self.tonight = tonight
        self.dice = random.Random(seed)
        self.acks: list[int] = []
        self.said: list[tuple[Command, int]] = []
        self.refusals: list[str] = []

    def go_on(self, kind: str | None = None) -> None:
        """Ask for something: of this kind, or of any."""
        command = self.command(kind)
        number = len(self.said) + 1
        self.said.append((command, number))
        try:
            self.acks.append(self.tonight.do(command, "luck", number).seq)
        except KitchenProblem as refused:
            self.refusals.append(str(refused))

    def command(self, kind: str | None = None) -> Command:
        """A command that makes sense often enough, and now and then none at all."""
        self.board: PassBoard = self.tonight.board()
        self.actions: list[ActionView] = [
            action for station in self.tonight.kitchen.stations for action in self.tonight.actions(station)
        ]
        if kind is None:
            often = ["take_order"] * 2 + ["tap"] * 8 + ["undo"] * 2
            kind = self.dice.choice([*often, *KINDS]) if self.board.courses or self.board.held else "take_order"
        return MAKERS.get(kind, Luck.order)(self)

    # -- what there is to name ------------------------------------------------------------------------------------

    def course(self) -> str:
        ids = [course.id for course in (*self.board.courses, *self.board.held)]
        return self.dice.choice(ids or ["1/mains"])

    def table(self) -> str:
        return self.course().partition("/")[0]

    def load(self) -> str:
        begun = [n.load_id for course in self.board.courses for n in course.notes if n.state in ("started", "done")]
        spare = [each.load for each in self.board.spare]
        any_load = [note.load_id for course in self.board.courses for note in course.notes]
        pool = begun if begun and self.dice.random() < 0.8 else any_load
        return self.dice.choice(pool + spare or ["1/mains/hake/fish/1"])

    def steps(self) -> tuple[str, ...]:
        return self.dice.choice(self.actions[:3]).steps if self.actions else ("1/mains/hake/fish/1/0",)

    def at(self) -> int:
        return START + self.tonight.now + self.dice.randrange(-20, 600)

    def land(self) -> Land:
        lands: list[Land] = [
            Asap(),
            Hold(),
            AtTime(at=self.at()),
            b.after("starters", 120),
            After(after="starters", gap_s=Seconds(60), fired="sent"),
        ]
        return self.dice.choice(lands)

    def plate(self) -> Plate:
        dice = self.dice
        allergies = ("nut",) if dice.random() < 0.3 else ()
        seat = dice.choice(["", "1", "2"])
        return Plate(dish=dice.choice(DISHES), qty=dice.randint(1, 2), allergies=allergies, seat=seat)

    def plate_there(self, course_id: str) -> Plate:
        views = [course for course in (*self.board.courses, *self.board.held) if course.id == course_id]
        if not views or not views[0].dishes:
            return self.plate()
        dish = self.dice.choice(views[0].dishes)
        qty = self.dice.randint(1, dish.qty)
        return Plate(dish=dish.dish, qty=qty, note=dish.note, seat=dish.seat, allergies=dish.allergies)

    # -- commands -------------------------------------------------------------------------------------------------

    def order(self) -> Command:
        dice = self.dice
        land = self.land()
        plates = tuple(self.plate() for _ in range(dice.randint(1, 2)))
        starters = CourseAsked("starters", (Plate(dish="squid", qty=1),), dice.choice([Asap(), Hold()]))
        mains = CourseAsked("mains", plates, land)
        courses = (starters, mains) if isinstance(land, After) else (mains,)
        return c.TakeOrder(str(dice.randint(1, 5)), courses, allergies_asked=True)

    def tap(self) -> Command:
        if not self.actions:
            return self.order()
        action = self.dice.choice(self.actions[:3])
        at = START + self.tonight.now - self.dice.randrange(-5, 40) if self.dice.random() < 0.3 else None
        return c.StartSteps(action.steps, at) if action.kind == "start" else c.FinishSteps(action.steps, at)

    def read(self) -> Command:
        fish = [n.id for course in self.board.courses for n in course.notes if n.do == "Turn"]
        step = self.dice.choice(fish or ["1/mains/hake/fish/1/1"])
        return c.ReadCoreTemp(step, self.dice.choice([40, 57.5, 58, 70, 400]), self.dice.random() < 0.2)

    def cue(self) -> Command:
        starts = [action.steps[0] for action in self.actions if action.kind == "start"]
        return c.SetCue(self.dice.choice(starts or ["1/mains/hake/fish/1/0"]), self.at())

    def change(self) -> Command:
        course_id = self.course()
        was = self.plate_there(course_id)
        to = self.plate().model_copy(update={"qty": was.qty})
        return c.ChangePlate(course_id, was, to)

    def take_off(self) -> Command:
        course_id = self.course()
        return c.TakeOff(course_id, (self.plate_there(course_id),))

    def answer(self) -> Command:
        asked = self.board.questions
        loads = self.dice.choice(asked).loads if asked else (self.load(),)
        return c.AnswerAgain(loads, self.dice.random() < 0.5)

    def sent_or_open(self) -> str:
        ids = [sent.id for sent in self.board.sent]
        return self.dice.choice([*ids, self.course()])


MAKERS: dict[str, Callable[[Luck], Command]] = {
    "take_order": Luck.order,
    "tap": Luck.tap,
    "start_steps": lambda luck: c.StartSteps(luck.steps()),
    "finish_steps": lambda luck: c.FinishSteps(luck.steps()),
    "give_more_time": lambda luck: c.GiveMoreTime(luck.steps(), luck.dice.choice([30, 60, 120])),
    "fire_course": lambda luck: c.FireCourse(luck.course()),
    "hold_course": lambda luck: c.HoldCourse(luck.course()),
    "land_course": lambda luck: c.LandCourse(luck.course(), luck.land()),
    "move_course": lambda luck: c.MoveCourse(luck.course(), luck.dice.choice([-300, -60, 60, 120, 600])),
    "on_the_fly": lambda luck: c.OnTheFly(luck.course()),
    "guest_away": lambda luck: c.GuestAway(luck.table()),
    "guest_back": lambda luck: c.GuestBack(luck.table()),
    "set_cue": Luck.cue,
    "free_cue": lambda luck: c.FreeCue(luck.steps()[0]),
    "read_core_temp": Luck.read,
    "cook_again": lambda luck: c.CookAgain(luck.load(), luck.dice.choice([None, None, 1, 2])),
    "cook_plates_again": lambda luck: c.CookPlatesAgain(luck.sent_or_open(), luck.dice.choice(DISHES), 1),
    "answer_again": Luck.answer,
    "give_load": lambda luck: c.GiveLoad(luck.load(), luck.course(), luck.dice.choice([None, 1])),
    "add_plates": lambda luck: c.AddPlates(luck.course(), (luck.plate(),), allergies_asked=True),
    "change_plate": Luck.change,
    "take_off": Luck.take_off,
    "take_off_course": lambda luck: c.TakeOffCourse(luck.course()),
    "tell_allergy": lambda luck: c.TellAllergy(luck.table(), (luck.dice.choice(["nut", "milk"]),)),
    "move_table": lambda luck: c.MoveTable(luck.table(), str(luck.dice.randint(1, 7)), luck.dice.random() < 0.5),
    "eighty_six": lambda luck: c.EightySix(dish=luck.dice.choice(DISHES)),
    "back_on": lambda luck: c.BackOn(dish=luck.dice.choice(DISHES)),
    "set_cooks": lambda luck: c.SetCooks(luck.dice.choice(["fry", "plancha", "cold"]), luck.dice.choice([0, 1, 1, 2])),
    "set_slots": lambda luck: c.SetSlots(luck.dice.choice(["fryer", "top"]), luck.dice.choice([0, 1, 2, 4])),
    "set_taps": lambda luck: c.SetTaps(
        luck.dice.choice(["fry", "plancha", "cold"]), luck.dice.choice(list(get_args(Taps)))
    ),
    "send_course": lambda luck: c.SendCourse(luck.course()),
    "undo": lambda luck: c.Undo(luck.dice.choice(luck.acks[-4:]) if luck.acks else 1),
}

KINDS = tuple(kind for kind in MAKERS if kind != "tap")
"""Every command there is."""


def accounted_for(tonight: Tonight) -> None:
    """No food is lost: begun loads and planned ones together make up what is ordered, the spare apart."""
    for course in tonight.board().courses:
        for dish in {plate.dish for plate in course.dishes}:
            ordered = sum(plate.qty for plate in course.dishes if plate.dish == dish)
            for component in tonight.engine._evening().book[dish].components:
                portions = sum(
                    note.portions - note.spare
                    for note in course.notes
                    if note.last and (note.dish, note.component) == (dish, component)
                )
                assert portions == ordered, (course.id, dish, component, tonight.board().trouble)
