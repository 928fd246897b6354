"""The demo's invented people come in by the ordinary door, at human speed, and leave visitors' tables alone."""

from collections.abc import Callable
from datetime import date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from kitchen_timer.demo.brigade import SENDS_AFTER_S, Brigade
from kitchen_timer.demo.evening import DemoEvening, demo_evening
from kitchen_timer.files import read_kitchen, read_orders
from kitchen_timer.kitchen.problems import NotNow
from kitchen_timer.kitchen.table import Asap, Plate
from kitchen_timer.live.clock import TurnedClock
from kitchen_timer.live.engine import Engine
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.choose import plan_quickly
from kitchen_timer.plan.question import Question
from kitchen_timer.record.in_memory import InMemoryLog
from kitchen_timer.service.commands import Command, CourseAsked, StartSteps, TakeOrder
from kitchen_timer.service.events import OrderTaken, StepFinished, StepStarted

DEMO = Path(__file__).parent.parent.parent / "config" / "skerrymoot"


class AtOnce:
    """Plans before ``ask`` returns."""

    def ask(
        self, token: int, question: Question, previous: Answer | None, adopt: Callable[[int, Answer, bool], bool]
    ) -> None:
        adopt(token, plan_quickly(question, previous), False)

    def answer_now(self, question: Question, previous: Answer | None) -> Answer:
        return plan_quickly(question, previous)

    def close(self) -> None:
        pass


class Evening:
    """The demo under a turned clock, its first orders only, so that a test stays quick."""

    def __init__(self, orders: int = 2, has_phone: Callable[[str], bool] = lambda _station: False) -> None:
        self.kitchen, self.book, _ = read_kitchen(DEMO)
        whole = demo_evening(read_orders(DEMO / "evening.yaml", self.kitchen, self.book), self.kitchen.zone)
        self.evening = DemoEvening(whole.service, whole.begins_at, whole.opens_at, whole.ends_at, whole.orders[:orders])
        self.clock = TurnedClock(float(whole.begins_at))
        self.log = InMemoryLog()
        self.engine = Engine(
            self.kitchen, self.book, self.log, self.clock, AtOnce(), "demo", in_background=lambda _job: None
        )
        self.engine.open_service(whole.service)
        self.brigade = Brigade(self.engine, self.evening, self.kitchen.stations, has_phone, "test")
        self.engine.subscribe(self.brigade.changed)

    def play(self, seconds: int) -> None:
        """Let so much of the evening pass."""
        until = self.clock.now() + seconds
        while (now := self.clock.now()) < until:
            self.engine.wake()
            at = [self.brigade.act(now), self.engine.next_wake_at() or until, until]
            self.clock.turn_to(min(until, max(now + 0.5, min(at))))

    def events(self) -> list[object]:
        return [entry.event for entry in self.log.read("demo")]


def test_what_guests_order_is_cooked_and_sent_some_time_after_it_is_up() -> None:
    evening = Evening(orders=1)
    evening.play(40 * 60)
    board = evening.engine.pass_board()
    first = evening.evening.orders[0].course_ids[0]
    sent = {each.id: each for each in board.sent}
    assert first in sent
    assert sent[first].sent_at >= sent[first].landed_at + SENDS_AFTER_S
    assert sent[first].past_keeps == 0


def test_cooks_tap_a_human_moment_after_the_cue_and_not_all_at_the_same() -> None:
    evening = Evening(orders=2)
    evening.play(12 * 60)
    delays = [e.at - e.due_at for e in evening.events() if isinstance(e, StepStarted)]
    assert len(delays) >= 6
    assert min(delays) >= 0
    assert max(delays) <= 15
    assert len(set(delays)) > 1


def test_the_same_seed_plays_the_same_evening() -> None:
    evenings = [Evening(orders=1), Evening(orders=1)]
    for each in evenings:
        each.play(6 * 60)
    assert evenings[0].events() == evenings[1].events()


def test_a_station_with_a_phone_is_left_to_its_cook() -> None:
    evening = Evening(orders=1, has_phone=lambda station: station == "larder")
    evening.play(8 * 60)
    began = {e.step for e in evening.events() if isinstance(e, (StepStarted, StepFinished))}
    stations = {evening.book[step.dish].components[step.component].station for step in began}
    assert "larder" not in stations
    assert stations


def test_a_visitors_table_is_cooked_for_but_never_sent() -> None:
    evening = Evening(orders=0)
    asked = CourseAsked("desserts", (Plate(dish="lemon-cream", qty=2),), Asap())
    evening.engine.do(TakeOrder("6", (asked,), allergies_asked=True), "visitor", 1)
    evening.play(30 * 60)
    board = evening.engine.pass_board()
    assert [course.id for course in board.courses if course.at_pass] == ["6/desserts"]
    assert board.sent == ()


def test_guests_who_ordered_before_a_restart_do_not_order_again() -> None:
    evening = Evening(orders=2)
    evening.play(12 * 60)
    again = Brigade(evening.engine, evening.evening, evening.kitchen.stations, lambda _s: False, "after the restart")
    again.act(evening.clock.now())
    taken = [e for e in evening.events() if isinstance(e, OrderTaken)]
    assert len(taken) == 2


def test_a_refused_tap_is_tried_again_later_and_not_at_once() -> None:
    evening = Evening(orders=1)
    evening.play(180)
    asked: list[Command] = []

    class Refusing:
        pass_board = evening.engine.pass_board
        station_board = evening.engine.station_board

        def do(self, command: Command, client_id: str, client_seq: int) -> object:
            asked.append(command)
            raise NotNow("Not now.", "Later.")

    brigade = Brigade(Refusing(), evening.evening, evening.kitchen.stations, lambda _s: False, "refused")
    due = max(action.due_at for s in evening.kitchen.stations for action in evening.engine.station_board(s).actions)
    now = float(due + 20)
    brigade.act(now)
    tried = len([c for c in asked if isinstance(c, StartSteps)])
    assert tried >= 1
    brigade.act(now + 1)
    assert len([c for c in asked if isinstance(c, StartSteps)]) == tried
    brigade.act(now + 6)
    assert len([c for c in asked if isinstance(c, StartSteps)]) > tried


@pytest.mark.parametrize(
    "day",
    [date(2026, 11, 28), date(2026, 3, 29), date(2026, 10, 25)],
    ids=["the day after", "clocks go forward", "clocks go back"],
)
def test_another_evening_keeps_its_times_of_day(day: date) -> None:
    kitchen, book, _ = read_kitchen(DEMO)
    orders = read_orders(DEMO / "evening.yaml", kitchen, book)
    zone = ZoneInfo(kitchen.timezone)
    first, other = demo_evening(orders, zone), demo_evening(orders, zone, day)

    def times(evening: DemoEvening) -> list[str]:
        return [datetime.fromtimestamp(guest.at, zone).strftime("%H:%M") for guest in evening.orders]

    assert times(first) == times(other)
    assert other.service == day
    assert abs((other.opens_at - first.opens_at) - (day - first.service) / timedelta(seconds=1)) <= 3600
