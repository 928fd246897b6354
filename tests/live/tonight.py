"""An engine under a turned clock with a planner that answers before ``ask`` returns. The kitchen is invented.

The clock begins at ``START``; tests speak of seconds since then.
"""

from collections.abc import Callable
from datetime import UTC, date, datetime

from kitchen_timer.kitchen.dish import Book
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.kitchen.table import Asap, Land, Plate
from kitchen_timer.live.clock import TurnedClock
from kitchen_timer.live.engine import Ack, Engine
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.choose import plan_quickly
from kitchen_timer.plan.cost import worth
from kitchen_timer.plan.question import Question
from kitchen_timer.record.event_log import EventLog
from kitchen_timer.record.in_memory import InMemoryLog
from kitchen_timer.service.commands import Command, CourseAsked, FinishSteps, StartSteps, TakeOrder
from kitchen_timer.service.views import ActionView, CourseView, NoteView, PassBoard
from tests import builders as b

START = int(datetime(2026, 11, 27, 19, 0, tzinfo=UTC).timestamp())
SERVICE = date(2026, 11, 27)


def small_kitchen() -> Kitchen:
    """Fry with one shared fryer, plancha with a top of four places, cold without equipment; one cook each."""
    return b.kitchen(
        pass_hands=2, fry=1, plancha=1, cold=1, fryer=b.slots(2, recovery=60, cross_contact=True), top=b.slots(4)
    )


def small_book() -> Book:
    """Squid: 90 s in oil. Hake: 180 s, turned for 60 s, rests 60 s, then leaves dressed for 20 s."""
    squid = b.dish("squid", plating=10, course="starters", rings=b.component(
        "fry", b.step(90, on="fryer", fits=2, do="Drop"), keeps=90, name="Squid"
    ))  # fmt: skip
    hake = b.dish(
        "hake",
        plating=20,
        fish=b.component(
            "plancha",
            b.step(180, on="top", do="Skin side down"),
            b.step(60, on="top", do="Turn", core_temp=58),
            b.step(60, hands="none", do="Rest"),
            keeps=120,
            name="Hake",
        ),
        leaves=b.component("cold", b.step(20, do="Dress"), keeps=60, name="Leaves"),
    )
    egg = b.dish("egg", plating=10, course="starters", egg=b.component(
        "plancha", b.step(100, hands="all", on="top", do="Fry egg"), keeps=60, name="Egg"
    ))  # fmt: skip
    return b.book([squid, hake, egg])


class InlinePlanner:
    """Plans at once. ``quiet``: brings nothing. ``broken``: raises. ``tamper``: changes what is brought."""

    def __init__(self) -> None:
        self.asked: list[tuple[int, Question]] = []
        self.quiet = False
        self.broken = False
        self.tamper: Callable[[Answer], Answer] = lambda answer: answer
        self.taken: list[bool] = []

    def ask(
        self, token: int, question: Question, previous: Answer | None, adopt: Callable[[int, Answer, bool], bool]
    ) -> None:
        self.asked.append((token, question))
        if self.broken:
            raise RuntimeError("the planner crashed")
        if not self.quiet:
            self.taken.append(adopt(token, self.tamper(self.answer_now(question, previous)), False))

    def answer_now(self, question: Question, previous: Answer | None) -> Answer:
        # The better of going on and beginning anew stands in for the search that follows a quick plan.
        plans = [plan_quickly(question, previous), plan_quickly(question)]
        return min(plans, key=lambda plan: worth(question, plan))

    def close(self) -> None:
        pass


class Tonight:
    """A service under way."""

    def __init__(
        self, kitchen: Kitchen | None = None, book: Book | None = None, log: EventLog | None = None, at: int = 0
    ) -> None:
        self.kitchen, self.book = kitchen or small_kitchen(), book or small_book()
        self.log = log if log is not None else InMemoryLog()
        self.clock = TurnedClock(START + at)
        self.planner = InlinePlanner()
        self.engine = self._engine()
        self.engine.open_service(SERVICE)
        self._taps = 0

    def _engine(self) -> Engine:
        return Engine(
            self.kitchen, self.book, self.log, self.clock, self.planner, "skerrymoot", in_background=lambda work: work()
        )

    def restart(self) -> Engine:
        """Another engine over the same log, as after a crash; this one goes on with it."""
        self.engine = self._engine()
        return self.engine

    @property
    def now(self) -> int:
        """Seconds since the start."""
        return int(self.clock.now()) - START

    def at(self, second: float) -> "Tonight":
        """Turn the clock to a second since the start, waking the engine whenever it asks to be and at the end."""
        while (due := self.engine.next_wake_at()) is not None and due < START + second:
            self.clock.turn_to(max(due, self.clock.now()))
            self.engine.wake()
        self.clock.turn_to(START + second)
        self.engine.wake()
        return self

    def do(self, command: Command, client: str = "tests", number: int | None = None) -> Ack:
        """Do a command under the next number."""
        self._taps += 1
        return self.engine.do(command, client, self._taps if number is None else number)

    def order(self, table: str, course: str = "mains", land: Land | None = None, **plates: int) -> Ack:
        """Take one course; each further keyword is a dish with its plates."""
        asked = CourseAsked(course, tuple(Plate(dish=d, qty=n) for d, n in plates.items()), land or Asap())
        return self.do(TakeOrder(table, (asked,), allergies_asked=True))

    def board(self) -> PassBoard:
        """The pass board of this moment."""
        return self.engine.pass_board()

    def course(self, course_id: str) -> CourseView:
        """One course of the pass board."""
        return next(course for course in self.board().courses if course.id == course_id)

    def note(self, step: str) -> NoteView:
        """One note of the pass board, ``6/mains/hake/fish/1/0``."""
        course_id = "/".join(step.split("/")[:2])
        return next(note for note in self.course(course_id).notes if note.id == step)

    def actions(self, station: str) -> tuple[ActionView, ...]:
        """What a station's phone shows."""
        return self.engine.station_board(station).actions

    def start(self, *steps: str) -> Ack:
        """Tap Started."""
        return self.do(StartSteps(steps))

    def finish(self, *steps: str) -> Ack:
        """Tap Done."""
        return self.do(FinishSteps(steps))

    def cook_until(self, second: int, skip: Callable[[ActionView], bool] = lambda _: False) -> None:
        """Every cook taps every cue at its very second (but for what ``skip`` says).

        Between two seconds at which something is due or the engine wants to wake, nothing changes.
        """
        while self.now < second:
            self.tap_what_is_due(skip)
            wake_at = self.engine.next_wake_at()
            dues = [action.due_at for station in self.kitchen.stations for action in self.actions(station)]
            coming = [int(at) - START for at in (*dues, *([] if wake_at is None else [wake_at]))]
            self.at(min([second, *(at for at in coming if at > self.now)]))
        self.tap_what_is_due(skip)

    def tap_what_is_due(self, skip: Callable[[ActionView], bool] = lambda _: False) -> None:
        """Tap what is due now, until nothing is."""
        for _ in range(20):
            due = [
                action
                for station in self.kitchen.stations
                for action in self.actions(station)
                if action.due_at <= self.clock.now() and (action.kind == "start" or action.running) and not skip(action)
            ]
            if not due:
                return
            for action in due:
                self.do(StartSteps(action.steps) if action.kind == "start" else FinishSteps(action.steps))
