"""What an evening shows when it is over, read from its log alone."""

from collections.abc import Iterator
from dataclasses import dataclass, field

from kitchen_timer.kitchen.dish import Book
from kitchen_timer.plan.honest.promise import promised_at
from kitchen_timer.plan.question import CourseKey, LoadKey, StepKey
from kitchen_timer.service.events import (
    CourseLanded,
    CourseSent,
    CueAnnounced,
    LoadLost,
    OrderTaken,
    PlanAdopted,
    StepFinished,
    StepStarted,
)
from kitchen_timer.service.fold import fold
from kitchen_timer.service.state import Evening
from tests.bench.noisy_kitchen import Played
from tests.bench.noisy_quiet import Quiet, goes_by_the_food, quiet_of

QUIET_S = 5
"""An announced cue that moves by no more than this has not moved for a cook."""


@dataclass(frozen=True)
class Stood:
    """One load that was done: how long it stood at its real landing, and how long it keeps."""

    key: LoadKey
    stood_s: int
    keeps_s: int

    @property
    def over_s(self) -> int:
        return max(0, self.stood_s - self.keeps_s)


@dataclass(frozen=True)
class Moved:
    """An announced cue that a plan moved."""

    step: StepKey
    at: int
    due_at: int
    start_at: int
    words: str
    """``moved 0:20 later: table 4's duck runs 0:20 long``; nothing after the colon where the plan names no reason."""

    @property
    def reason(self) -> str:
        return self.words.partition(": ")[2]


@dataclass
class Figures:
    """Of one evening, or of several added together."""

    stood: list[Stood] = field(default_factory=list)
    spreads_s: list[int] = field(default_factory=list)
    lates_s: list[int] = field(default_factory=list)
    announced: int = 0
    moved: list[Moved] = field(default_factory=list)
    late_taps: int = 0
    plans: int = 0
    open_at_the_end: int = 0
    quiet: Quiet = field(default_factory=Quiet)
    promises: list[tuple[int, int, int]] = field(default_factory=list)
    """Of each promised course: the planned landing, the promise, the real landing."""

    def __iadd__(self, other: "Figures") -> "Figures":
        self.stood += other.stood
        self.spreads_s += other.spreads_s
        self.lates_s += other.lates_s
        self.announced += other.announced
        self.moved += other.moved
        self.plans += other.plans
        self.open_at_the_end += other.open_at_the_end
        self.promises += other.promises
        self.quiet += other.quiet
        return self

    @property
    def past_keeps(self) -> list[Stood]:
        return [each for each in self.stood if each.over_s > 0]

    @property
    def inside(self) -> float:
        """Share of components inside their ``keeps`` at the real landing."""
        return 1 - len(self.past_keeps) / max(1, len(self.stood))

    @property
    def unreasoned(self) -> list[Moved]:
        return [each for each in self.moved if not each.reason]


def figures_of(played: Played) -> Figures:
    """Read an evening. AssertionError where a plan moved a step that had started."""
    figures = Figures()
    starts: dict[StepKey, int] = {}
    ends: dict[StepKey, int] = {}
    told: dict[StepKey, int] = {}
    landed: dict[CourseKey, int] = {}
    open_courses: set[CourseKey] = set()
    promised: dict[CourseKey, tuple[int, int]] = {}
    lost: set[LoadKey] = set()
    state = Evening(kitchen=played.kitchen, book=played.book)
    for entry in played.log:
        state = fold(state, entry)
        match entry.event:
            case OrderTaken(courses):
                open_courses |= {CourseKey(c.table, c.course) for c in courses}
            case StepStarted(step, _, at):
                starts[step] = at
                told.pop(step, None)
            case StepFinished(step, at):
                ends[step] = at
            case LoadLost(load):
                lost.add(load)
            case CourseLanded(course, at):
                landed[course] = at
            case CourseSent(course, _, _, spread_s, late_s):
                figures.spreads_s.append(spread_s)
                figures.lates_s.append(late_s)
                open_courses.discard(course)
            case CueAnnounced(cues):
                figures.announced += len([step for step, _ in cues if step not in told])
                told |= dict(cues)
            case PlanAdopted():
                figures.plans += 1
                _no_started_step_moves(entry.event, starts)
                now = entry.at_ms // 1000
                figures.moved += _moves(entry.event, told, now, played.book)
                told = dict(entry.event.told)
                for course, lands in (entry.event.answer.ranges or {}).items():
                    planned_at = entry.event.answer.by_course[course].landing_at
                    promise = promised_at(planned_at, lands.p80_at, state.scores)
                    promised.setdefault(course, (planned_at, promise))
    figures.promises = [(*promised[course], landed[course]) for course in promised if course in landed]
    figures.open_at_the_end = len(open_courses)
    figures.quiet = quiet_of(played.log, played.book)
    figures.stood = list(_stood(played, starts, ends, landed, lost))
    return figures


def _no_started_step_moves(adopted: PlanAdopted, starts: dict[StepKey, int]) -> None:
    for step in adopted.answer.steps:
        if step.key in starts:
            assert step.start_at == starts[step.key], f"a plan moved {step.key}, which had started"


def _moves(adopted: PlanAdopted, told: dict[StepKey, int], now: int, book: Book) -> Iterator[Moved]:
    why = dict(getattr(adopted, "moved", ()))
    planned = adopted.answer.by_step
    for step, due in told.items():
        if step not in planned or due <= now or goes_by_the_food(step, book):
            continue  # an overdue one is counted up from when its station was told
        start = planned[step].start_at
        if abs(start - due) > QUIET_S:
            yield Moved(step, now, due, start, why.get(step, ""))


def _stood(
    played: Played,
    starts: dict[StepKey, int],
    ends: dict[StepKey, int],
    landed: dict[CourseKey, int],
    lost: set[LoadKey],
) -> Iterator[Stood]:
    firsts: dict[tuple[CourseKey, str, str], int] = {}
    for step, at in starts.items():
        if step.step == 0:
            part = (step.of_course, step.dish, step.component)
            firsts[part] = max(at, firsts.get(part, at))
    for step, end in ends.items():
        dish = played.book[step.dish]
        component = dish.components[step.component]
        if step.step != len(component.steps) - 1 or step.of_load in lost or step.of_course not in landed:
            continue
        waiting = [
            firsts[step.of_course, step.dish, other]
            for other in dish.dependants_of(step.component)
            if (step.of_course, step.dish, other) in firsts
        ]
        until = max(waiting) if waiting else landed[step.of_course]
        yield Stood(step.of_load, until - end, component.keeps_s)
