"""Evenings without an engine: commands decided and folded at seconds the test names, planned at once."""

from dataclasses import replace

from kitchen_timer.kitchen.dish import Book
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.kitchen.table import Asap, Land, Plate
from kitchen_timer.plan.choose import plan_quickly
from kitchen_timer.record.event_log import ClientMark, recorded
from kitchen_timer.service.ask_planner import question_of
from kitchen_timer.service.commands import Command, CourseAsked, TakeOrder
from kitchen_timer.service.decide import decide
from kitchen_timer.service.events import Event, PlanAdopted, Recorded
from kitchen_timer.service.fold import fold, replay
from kitchen_timer.service.state import Evening
from tests.live.tonight import small_book, small_kitchen


def asked(course: str = "mains", land: Land | None = None, *plates: Plate, **dishes: int) -> CourseAsked:
    """A course of an order; keywords are dishes with their plates."""
    return CourseAsked(course, (*plates, *(Plate(dish=d, qty=n) for d, n in dishes.items())), land or Asap())


def order(table: str, *courses: CourseAsked, allergies_asked: bool = True) -> TakeOrder:
    """An order of a table."""
    return TakeOrder(table, courses, allergies_asked)


class Story:
    """An evening told command by command."""

    def __init__(self, kitchen: Kitchen | None = None, book: Book | None = None) -> None:
        self.fresh = Evening(kitchen or small_kitchen(), book or small_book())
        self.state = self.fresh
        self.history: list[Recorded] = []
        self._commands = 0

    def do(self, command: Command, now: int = 0) -> tuple[Event, ...]:
        """Decide and fold; then plan."""
        self._commands += 1
        events = decide(command, self.state, now)
        self.happens(*events, client=ClientMark("story", self._commands))
        self.plan(now)
        return events

    def happens(self, *events: Event, client: ClientMark | None = None) -> None:
        """Fold events as they are."""
        for entry in recorded(self.state.seq, 0, events, client):
            self.history.append(entry)
            self.state = fold(self.state, entry)
        self.state = replay(self.fresh, self.history)

    def plan(self, now: int) -> None:
        """Take over a quick plan, if there is anything to plan."""
        question = question_of(self.state, now)
        if question.courses:
            told = tuple((step, due) for step, due in self.state.announced.items())
            self.happens(PlanAdopted(plan_quickly(question, self.state.plan), told=told))

    def with_plan(self, **changes: object) -> Evening:
        """The evening with its plan changed."""
        assert self.state.plan is not None
        return replace(self.state, plan=replace(self.state.plan, **changes))  # type: ignore[arg-type]
