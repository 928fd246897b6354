"""A whole evening in which nothing takes as long as the book says: cooks who tap a little late and are done when it is.

No I/O and no wall clock: the real engine under a turned clock, a planner that answers before ``ask`` returns, and an
invented brigade with as many hands and slots as the kitchen has. Every step gets one true length by a seeded dice, the
same whatever the plan: two ways of planning can be played against the same evening. Times are whole seconds.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import date
from random import Random

from kitchen_timer.kitchen.dish import Book, Component, Hands, Step
from kitchen_timer.kitchen.problems import KitchenProblem
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.kitchen.table import Course
from kitchen_timer.live.clock import TurnedClock
from kitchen_timer.live.engine import Engine
from kitchen_timer.live.planner import Planner
from kitchen_timer.plan.question import CourseKey, LoadKey, StepKey
from kitchen_timer.record.in_memory import InMemoryLog
from kitchen_timer.service.commands import Command, FinishSteps, FireCourse, SendCourse, StartSteps, TakeOrder
from kitchen_timer.service.events import CourseLanded, CourseSent, OrderTaken, Recorded, StepFinished, StepStarted
from kitchen_timer.service.going import finish_is_tapped, lifting_s
from kitchen_timer.service.views import ActionView

KITCHEN_ID = "noisy"
CALLS_AFTER_S = 9 * 60
"""From a table's course being sent to its held one being called."""
NOISE = 0.15

Noise = Callable[[Step, int, Random], int]
"""``(step, portions, dice)``: the seconds that it really takes."""


def fifteen(step: Step, portions: int, dice: Random) -> int:
    """As likely anything within 15 % of what the book says."""
    return max(1, round(step.length_s(portions) * dice.uniform(1 - NOISE, 1 + NOISE)))


def by_the_book(step: Step, portions: int, dice: Random) -> int:
    """Between the book's least and most, likeliest its usual; within 15 % where it gives no range."""
    takes = step.takes
    if takes.least_s == takes.most_s:
        return fifteen(step, portions, dice)
    more_s = step.each_s * (portions - 1)
    return max(1, round(dice.triangular(takes.least_s, takes.most_s, takes.usual_s)) + more_s)


def exactly(step: Step, portions: int, dice: Random) -> int:
    """As the book says."""
    return step.length_s(portions)


@dataclass
class Running:
    """One step as it really goes. ``end_at``: None while nobody has ended it."""

    key: StepKey
    portions: int
    start_at: int
    ready_at: int
    """When the food is really done with it."""
    end_at: int | None = None
    lifted_from: int | None = None
    """When hands began to lift it."""


@dataclass
class Room:
    """The hands and slots there really are, by what goes on in them."""

    kitchen: Kitchen
    book: Book
    noise: Noise
    seed: int
    now: int = 0
    steps: dict[StepKey, Running] = field(default_factory=dict)
    near: dict[str, list[Running]] = field(default_factory=lambda: defaultdict(list))
    """Of each station, what goes on there or did not long ago."""

    def component(self, key: StepKey | LoadKey) -> Component:
        return self.book[key.dish].components[key.component]

    def started(self, event: StepStarted) -> None:
        key, component = event.step, self.component(event.step)
        step = component.steps[key.step]
        # One pan, one truth: what shares slots is done at the same second.
        alike = (key.dish, key.component, key.step, event.at) if step.on is not None else key
        dice = Random(f"{self.seed} {alike}")
        length_s = self.noise(step, event.portions, dice)
        if component.hands_of(key.step) is Hands.NONE:
            length_s = step.length_s(event.portions)  # resting is minded by the clock
        running = Running(key, event.portions, event.at, event.at + length_s)
        self.steps[key] = running
        near = self.near[component.station]
        near[:] = [each for each in near if each.end_at is None or each.end_at > self.now - 600]
        near.append(running)

    def finished(self, event: StepFinished) -> None:
        running = self.steps[event.step]
        running.end_at = event.at
        running.lifted_from = min(self.now, event.at)

    def hands_free(self, station: str, but: Iterable[LoadKey] = ()) -> int:
        """Cooks of a station with nothing in their hands now; ``but``: loads they are about to go on with."""
        own = set(but)
        busy: set[object] = set()
        for running in self.near[station]:
            key, component = running.key, self.component(running.key)
            hands = component.hands_of(key.step)
            if hands is Hands.NONE or (key.of_load in own and running.end_at is None):
                continue
            on = component.steps[key.step].on
            group = (key.dish, key.component, key.step, running.start_at) if on is not None else key
            spans = component.busy_s(key.step, running.portions, self.kitchen)
            if hands is Hands.ALL or spans == ((0, component.steps[key.step].length_s(running.portions)),):
                at_work = running.end_at is None or self.now < running.end_at
            else:
                begins = hands in (Hands.START, Hands.ENDS) and self.now < running.start_at + spans[0][1]
                lifting = running.end_at is not None and running.lifted_from is not None
                ends = lifting and running.lifted_from <= self.now < running.end_at  # type: ignore[operator]
                at_work = begins or ends
            if at_work:
                busy.add(group)
        return self.kitchen.stations[station].cooks - len(busy)

    def slots_free(self, on: str) -> int:
        """Slots of equipment with nothing in them and, where it recovers, recovered."""
        equipment = self.kitchen.equipment[on]
        portions: dict[object, tuple[int, int]] = {}
        for near in self.near.values():
            for running in near:
                key, component = running.key, self.component(running.key)
                step = component.steps[key.step]
                if step.on != on:
                    continue
                gone = running.end_at
                if component.stays_on(key.step):
                    following = self.steps.get(StepKey(*key.of_load, key.step + 1))
                    held = following is None or gone is None
                    if not held and following is not None and self.now >= following.start_at:
                        continue  # it goes on in the same slots, and is counted there
                elif gone is not None and self.now >= gone + equipment.recovery_s:
                    continue
                group = (key.dish, key.component, key.step, running.start_at)
                before, _ = portions.get(group, (0, 0))
                portions[group] = (before + running.portions, step.fits)
        return equipment.slots - sum(-(-total // fits) for total, fits in portions.values())


@dataclass(frozen=True)
class Played:
    """What is left of an evening: its log."""

    kitchen: Kitchen
    book: Book
    log: tuple[Recorded, ...]


class NoisyEvening:
    """One evening of one kitchen. ``orders``: seconds since 1970 UTC and what is ordered then."""

    def __init__(
        self,
        kitchen: Kitchen,
        book: Book,
        service: date,
        orders: Iterable[tuple[int, TakeOrder]],
        planner: Planner,
        noise: Noise = fifteen,
        seed: int = 0,
        before_order: Callable[[Engine, TakeOrder], None] = lambda engine, order: None,
    ) -> None:
        self.orders = sorted(orders, key=lambda each: each[0])
        begins = self.orders[0][0]
        self.room = Room(kitchen, book, noise, seed, now=begins)
        self.clock = TurnedClock(begins)
        self.log = InMemoryLog()
        self.engine = Engine(
            kitchen, book, self.log, self.clock, planner, KITCHEN_ID, in_background=lambda _estimate: None
        )
        self.engine.open_service(service)
        self.engine.subscribe(self._changed)
        self._seed = seed
        self._before_order = before_order
        self._stale: set[str] = {f"station:{station}" for station in kitchen.stations}
        self._boards: dict[str, tuple[ActionView, ...]] = {}
        self._read = 0
        self._taps = 0
        self._tap_at: dict[str, int] = {}
        self._chef: list[tuple[int, Command]] = []
        self._courses: dict[CourseKey, Course] = {}
        self._held = [
            CourseKey(order.table, course.course)
            for _, order in self.orders
            for course in order.courses
            if type(course.land).__name__ == "Hold"
        ]

    def play(self, until: int | None = None) -> Played:
        """Play to the last plate, or to an instant."""
        ends = until if until is not None else self.orders[-1][0] + 3 * 3600
        while self.room.now < ends:
            self.engine.wake()
            self._go_on()
            nexts = [self._next_tap(), self.engine.next_wake_at(), *(at for at, _ in self._chef[:1])]
            if self.orders:
                nexts.append(self.orders[0][0])
            at = min((at for at in nexts if at is not None), default=None)
            if at is None or (not self.orders and not self._chef and not self._open()):
                break
            self.room.now = max(self.room.now + 1, int(-(-at // 1)))
            self.clock.turn_to(self.room.now)
        return Played(self.room.kitchen, self.room.book, tuple(self.log.read(KITCHEN_ID)))

    # -- what is done at one second ----------------------------------------------------------------------------------

    def _go_on(self) -> None:
        for _ in range(200):
            self._watch()
            done = self._guests() or self._chefs() or self._cooks()
            if not done:
                return

    def _guests(self) -> bool:
        if not self.orders or self.orders[0][0] > self.room.now:
            return False
        _, order = self.orders.pop(0)
        self._before_order(self.engine, order)
        return self._do(order)

    def _chefs(self) -> bool:
        if not self._chef or self._chef[0][0] > self.room.now:
            return False
        _, command = self._chef.pop(0)
        return self._do(command)

    def _cooks(self) -> bool:
        for action, station in sorted(self._actions(), key=lambda each: (each[0].kind, each[0].due_at, each[0].id)):
            if self._taps_at(action) <= self.room.now and self._can(action, station):
                command = StartSteps(action.steps) if action.kind == "start" else FinishSteps(action.steps)
                if self._do(command):
                    return True
        return False

    def _actions(self) -> list[tuple[ActionView, str]]:
        for station in self.room.kitchen.stations:
            if f"station:{station}" in self._stale:
                self._boards[station] = self.engine.station_board(station).actions
        self._stale.clear()
        return [(action, station) for station, board in self._boards.items() for action in board]

    def _taps_at(self, action: ActionView) -> int:
        """As :meth:`_ready_at`; a cue whose second has come is being answered, though a plan puts it off meanwhile."""
        known = self._tap_at.get(action.id)
        if known is None or action.due_at > self.room.now + 1:
            known = self._tap_at[action.id] = self._ready_at(action)
        elif known > self.room.now:
            known = self._tap_at[action.id] = min(known, self._ready_at(action))
        return known

    def _ready_at(self, action: ActionView) -> int:
        """When a cook who has a hand free does it."""
        first = StepKey.read(action.steps[0])
        late_s = self._late_s(min(action.steps), action.kind)
        if action.kind == "finish":
            running = [self.room.steps.get(StepKey.read(step)) for step in action.steps]
            if any(each is None for each in running):
                return 1 << 40
            component = self.room.component(first)
            lift_s = lifting_s(component, first.step, action.portions, self.room.kitchen)
            return max(each.ready_at for each in running if each is not None) - lift_s + late_s
        before = [self.room.steps.get(StepKey(*StepKey.read(s).of_load, first.step - 1)) for s in action.steps]
        if first.step and any(each is None for each in before):
            return 1 << 40
        going_on = [each for each in before if each is not None and each.end_at is None]
        if going_on:
            return max(each.ready_at for each in going_on) + late_s
        return max([action.due_at, *(each.end_at or 0 for each in before if each is not None)]) + late_s

    def _can(self, action: ActionView, station: str) -> bool:
        keys = [StepKey.read(step) for step in action.steps]
        component, index = self.room.component(keys[0]), keys[0].step
        hands = component.hands_of(index)
        if action.kind == "finish":
            return hands is Hands.ALL or self.room.hands_free(station, [k.of_load for k in keys]) > 0
        if hands in (Hands.ALL, Hands.ENDS, Hands.START) and (
            self.room.hands_free(station, [k.of_load for k in keys]) < 1
        ):
            return False
        step = component.steps[index]
        if step.on is None or (index and component.stays_on(index - 1)):
            return True
        return self.room.slots_free(step.on) >= -(-action.portions // step.fits)

    def _late_s(self, what: str, kind: str) -> int:
        """Mostly one to three seconds, now and then a cook looks elsewhere."""
        dice = Random(f"{self._seed} {kind} {what}")
        if kind == "finish":
            return round(dice.triangular(0, 3, 0))
        return round(dice.uniform(8, 14) if dice.random() < 0.04 else dice.triangular(0, 5, 1.5))

    def _next_tap(self) -> float | None:
        now = self.room.now
        at = [max(now + 1, self._taps_at(action)) for action, _ in self._actions()]
        return min((each for each in at if each < 1 << 40), default=None)

    # -- the log -----------------------------------------------------------------------------------------------------

    def _watch(self) -> None:
        """Let the room know what has been written down since."""
        for entry in self.log.read(KITCHEN_ID, self._read):
            self._read = entry.seq
            match entry.event:
                case StepStarted():
                    self.room.started(entry.event)
                    running = self.room.steps[entry.event.step]
                    component = self.room.component(running.key)
                    if not finish_is_tapped(component, running.key.step):
                        running.ready_at = max(running.ready_at, running.start_at)
                case StepFinished():
                    self.room.finished(entry.event)
                case OrderTaken(courses):
                    self._courses |= {CourseKey(each.table, each.course): each for each in courses}
                case CourseLanded(course, at):
                    self._plan_sending(course, at)
                case CourseSent(course, at):
                    self._plan_calling(course, at)

    def _plan_sending(self, course: CourseKey, landed_at: int) -> None:
        order = self._courses[course]
        plates, kitchen = order.plate_count, self.room.kitchen
        plating_s = max(self.room.book[dish].plating_s for dish in order.portions())
        up_at = landed_at + -(-plates // min(kitchen.pass_board.hands, plates)) * plating_s
        late_s = round(Random(f"{self._seed} send {course}").uniform(2, 20))
        self._chef_will(max(self.room.now, up_at + late_s), SendCourse(str(course)))

    def _plan_calling(self, course: CourseKey, at: int) -> None:
        for held in self._held:
            if held.table == course.table and held != course:
                self._held.remove(held)
                self._chef_will(at + CALLS_AFTER_S, FireCourse(str(held)))
                return

    def _chef_will(self, at: int, command: Command) -> None:
        self._chef.append((at, command))
        self._chef.sort(key=lambda each: each[0])

    def _open(self) -> bool:
        return bool(self.engine.pass_board().courses)

    def _changed(self, boards: frozenset[str]) -> None:
        self._stale |= boards

    def _do(self, command: Command) -> bool:
        self._taps += 1
        try:
            self.engine.do(command, "noisy", self._taps)
        except KitchenProblem:
            return False
        return True
