"""What the solver chooses: when each step starts and when each course lands, in whole seconds after ``now``.

Steps that follow one another at once share one variable (a *block*). What has begun, what has landed and the courses
outside ``free`` are constants.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from kitchen_timer.kitchen.dish import Component, Hands
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.exact.moment import Model, Moment
from kitchen_timer.plan.exact.windows import Left, Window, Windows, windows_of
from kitchen_timer.plan.loads import Load
from kitchen_timer.plan.question import BegunLoad, BegunStep, CourseKey, LoadKey, Question, StepKey, Wanted


@dataclass(frozen=True, eq=False)
class LoadTimes:
    """One load: when each of its steps starts and ends."""

    key: LoadKey
    component: Component
    portions: int
    starts: tuple[Moment, ...]
    ends: tuple[Moment, ...]
    blocks: tuple[int, ...]
    """For each step the first step of its block: within a block the steps follow one another at once."""
    begun: int
    """How many of its steps have begun: what has started may overrun its next wait and its keeps (rules 1 and 4)."""
    moves: bool
    """Whether any step of it can still be chosen."""

    @property
    def end(self) -> Moment:
        """When it is done."""
        return self.ends[-1]

    def step_key(self, step: int) -> StepKey:
        """The key of one of its steps."""
        return StepKey(*self.key, step)

    def length(self, step: int) -> int:
        """Seconds that a step takes; of a begun one, as it went or is expected to go."""
        return self.ends[step].plus - self.starts[step].plus

    def stays_until(self, step: int) -> Moment | None:
        """When the slots of a step pass to the next one, where that is on the same equipment (rule 5)."""
        more = step + 1 < len(self.starts)
        return self.starts[step + 1] if more and self.component.stays_on(step) else None

    def busy(self, step: int, kitchen: Kitchen) -> tuple[tuple[int, int], ...]:
        """When a cook is busy with a step, in seconds after its start.

        Of a begun one the hands at its ends go where those really are, and one that ends sooner than those need is
        busy throughout.
        """
        length_s, what = self.length(step), self.component.steps[step]
        if length_s == what.length_s(self.portions):
            return self.component.busy_s(step, self.portions, kitchen)
        hands = self.component.hands_of(step)
        handling_s = kitchen.handling_s if what.handling_s is None else what.handling_s
        at_start = handling_s if hands in (Hands.START, Hands.ENDS) else 0
        at_end = handling_s if hands in (Hands.END, Hands.ENDS) else 0
        if hands is Hands.ALL or 0 < length_s <= at_start + at_end:
            return ((0, length_s),)
        return tuple(part for part in ((0, at_start), (length_s - at_end, length_s)) if part[1] > part[0])


@dataclass(frozen=True, eq=False)
class CourseTimes:
    """One table's course: when it lands, when it is up, when it was wanted."""

    wanted: Wanted
    landing: Moment
    plating_s: int
    hands: int
    """Pairs of hands that its plating takes (rule 7)."""
    loads: tuple[LoadTimes, ...]
    free: bool
    """Whether anything of it may be chosen."""

    @property
    def up(self) -> Moment:
        """When its plates can go."""
        return self.landing.later(self.plating_s)


@dataclass(frozen=True, eq=False)
class Times:
    """Everything chosen or given."""

    model: Model
    question: Question
    courses: Mapping[CourseKey, CourseTimes]
    fixed: tuple[LoadTimes, ...]
    """Loads of courses that are not planned here and take slots and hands all the same."""
    horizon: int
    """No plan worth having goes on longer than this, in seconds after ``now``."""

    @property
    def loads(self) -> list[LoadTimes]:
        """Every load there is."""
        return [*(load for course in self.courses.values() for load in course.loads), *self.fixed]

    def moving(self) -> list[LoadTimes]:
        """The loads of which something can be chosen."""
        return [load for load in self.loads if load.moves]


def plating_of(question: Question, wanted: Wanted) -> tuple[int, int]:
    """``(seconds, hands)`` that plating a course takes (rule 7)."""
    hands = min(question.kitchen.pass_board.hands, wanted.plates)
    longest = max(question.book[dish].plating_s for dish, _ in wanted.portions)
    return -(-wanted.plates // hands) * longest, hands


def make_times(
    model: Model,
    question: Question,
    splits: Iterable[Load],
    targets: Mapping[CourseKey, int],
    free: frozenset[CourseKey] | None,
    hint: Answer | None,
    *,
    no_dearer: bool = True,
    within_s: int | None = None,
    narrow: Callable[[Windows], None] = lambda windows: None,
) -> Times:
    """The variables of a question.

    ``targets`` are of the courses to be in the plan. Those outside ``free`` (None: all are free), and whatever else
    stands in ``hint``, are taken from it as they are. ``no_dearer``: plans that cost more than ``hint`` are left out.
    ``within_s``: nothing moves by more seconds than that. ``narrow`` may make windows narrower still.
    """
    now = question.now
    to_cook: dict[CourseKey, list[Load]] = {}
    for load in splits:
        to_cook.setdefault(load.key.of_course, []).append(load)
    planned = frozenset(targets)
    horizon = horizon_of(question, to_cook, planned, hint)
    moving = {
        wanted.key: [
            *(left_of(question, begun_key(wanted, load), load.portions, load.steps) for load in wanted.begun),
            *(left_of(question, load.key, load.portions, ()) for load in to_cook.get(wanted.key, ())),
        ]
        for wanted in question.courses
        if wanted.landed_at is None and wanted.key in planned and (free is None or wanted.key in free)
    }
    windows = windows_of(question, moving, targets, hint, horizon, no_dearer=no_dearer)
    if within_s is not None and hint is not None:
        windows.stay_near(hint, within_s)
    narrow(windows)
    courses: dict[CourseKey, CourseTimes] = {}
    fixed: list[LoadTimes] = []
    for wanted in question.courses:
        key, placed = wanted.key, hint.by_course.get(wanted.key) if hint is not None else None
        begun = [begun_load(question, wanted, load) for load in wanted.begun]
        if wanted.landed_at is not None:
            landing, loads, moves = Moment.fixed(wanted.landed_at - now), begun, False
        elif key in planned and (free is None or key in free):
            hinted = None if placed is None else placed.landing_at - now
            window = windows.of[key]
            landing = model.moment(window.least, window.most, f"landing {key}", hinted)
            loads, moves = [free_load(model, question, wanted, left, window, hint) for left in moving[key]], True
        elif placed is not None and hint is not None:
            landing, loads, moves = Moment.fixed(placed.landing_at - now), placed_loads(question, hint, key), False
        else:
            fixed += begun
            continue
        plating_s, hands = plating_of(question, wanted)
        courses[key] = CourseTimes(wanted, landing, plating_s, hands, tuple(loads), moves)
    return Times(model, question, courses, tuple(fixed), horizon)


def begun_key(wanted: Wanted, load: BegunLoad) -> LoadKey:
    """The key of a load that has begun."""
    return LoadKey(*wanted.key, load.dish, load.component, load.load)


def left_of(question: Question, key: LoadKey, portions: int, begun: tuple[BegunStep, ...]) -> Left:
    """What is left of a load after the steps that have begun."""
    return Left(key, question.book[key.dish].components[key.component], portions, begun)


def free_load(
    model: Model, question: Question, wanted: Wanted, load: Left, window: Window, hint: Answer | None
) -> LoadTimes:
    """A load with its begun steps as they are and a variable for each block of the others."""
    key, component = load.key, load.component
    hinted = hint.by_step if hint is not None else {}
    starts = [Moment.fixed(step.start_at - question.now) for step in load.begun]
    ends = [Moment.fixed(step.end_at - question.now) for step in load.begun]
    blocks = list(range(len(load.begun)))
    least, most = window.starts[key]
    for index in range(len(load.begun), len(component.steps)):
        step = component.steps[index]
        # What has started may have to wait before its next step, whatever the rules say.
        if index > len(load.begun) and step.may_wait_s == 0:
            start = ends[-1]
            blocks.append(blocks[-1])
        else:
            there = hinted.get(StepKey(*key, index))
            start = model.moment(
                least, most, f"start {key}/{index}", None if there is None else there.start_at - question.now
            )
            blocks.append(index)
        starts.append(start)
        ends.append(start.later(step.length_s(load.portions)))
        least += step.length_s(load.portions)
        most += step.length_s(load.portions)
    moves = len(load.begun) < len(component.steps)
    return LoadTimes(key, component, load.portions, tuple(starts), tuple(ends), tuple(blocks), len(load.begun), moves)


def begun_load(question: Question, wanted: Wanted, load: BegunLoad) -> LoadTimes:
    """The begun steps of a load of which nothing more is planned here."""
    component = question.book[load.dish].components[load.component]
    starts = tuple(Moment.fixed(step.start_at - question.now) for step in load.steps)
    ends = tuple(Moment.fixed(step.end_at - question.now) for step in load.steps)
    key = LoadKey(*wanted.key, load.dish, load.component, load.load)
    count = len(load.steps)
    return LoadTimes(key, component, load.portions, starts, ends, tuple(range(count)), count, False)


def placed_loads(question: Question, hint: Answer, key: CourseKey) -> list[LoadTimes]:
    """The loads of a course as the hinted plan has them, none of it to be moved."""
    loads = []
    for load, steps in hint.by_load.items():
        if load.of_course != key:
            continue
        component = question.book[load.dish].components[load.component]
        starts = tuple(Moment.fixed(step.start_at - question.now) for step in steps)
        ends = tuple(Moment.fixed(step.end_at - question.now) for step in steps)
        loads.append(
            LoadTimes(load, component, steps[0].portions, starts, ends, tuple(range(len(steps))), len(steps), False)
        )
    return loads


def horizon_of(
    question: Question,
    to_cook: Mapping[CourseKey, list[Load]],
    planned: frozenset[CourseKey],
    hint: Answer | None,
) -> int:
    """Seconds after ``now`` by which everything could be done one thing after another.

    A plan that waits for nothing but an earlier step, a slot, a hand or the time of an order ends no later: every
    second of it is covered by a wait for a given instant, a step, a recovery, a plating or a gap, each used once.
    """
    now, kitchen = question.now, question.kitchen
    given = [0, *(up - now for up in question.up.values()), *(at - now for at in question.announced.values())]
    if hint is not None:
        given += [step.end_at - now for step in hint.steps] + [course.up_at - now for course in hint.courses]
    total = max((equipment.recovery_s for equipment in kitchen.equipment.values()), default=0)
    for wanted in question.courses:
        given.append(wanted.in_at - now)
        given += [step.end_at - now for load in wanted.begun for step in load.steps]
        if wanted.land.kind == "time":
            given.append(wanted.land.at - now)
        total += wanted.land.gap_s if wanted.land.kind == "after" else 0
        total += plating_of(question, wanted)[0]
        if wanted.key not in planned:
            continue
        rest = [(part.dish, part.component, part.portions, len(part.steps)) for part in wanted.begun]
        rest += [(load.key.dish, load.key.component, load.portions, 0) for load in to_cook.get(wanted.key, ())]
        for dish, name, portions, begun in rest:
            for step in question.book[dish].components[name].steps[begun:]:
                total += step.length_s(portions)
                total += kitchen.equipment[step.on].recovery_s if step.on is not None else 0
    return max(given) + total
