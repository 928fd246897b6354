"""Whether announced cues stay where stations were told, judged from the log alone: knows nothing of the reasons named.

A cue that a plan moves by more than ``QUIET_S`` is excused by what was written down since its station was told of it:
the chef or the house changed something; food of its own course, at its station or in its equipment was tapped otherwise
than the plan of that moment had it, was not tapped when it was due, or had started and runs over. What happened
elsewhere may have come to it over one course more (two meet at a station, in equipment, at the pass): that is counted
by itself. An order is no excuse.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from kitchen_timer.kitchen.dish import Book
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.question import CourseKey, StepKey
from kitchen_timer.service.events import (
    BookRead,
    CourseLanded,
    CourseSent,
    CueAnnounced,
    Event,
    OrderTaken,
    PlanAdopted,
    Recorded,
    ServiceOpened,
    StepFinished,
    StepStarted,
)

QUIET_S = 5
"""An announced cue that moves by no more than this has not moved for a cook."""
SAME_S = 0
"""What went so close to the plan of its moment went as planned: in a tight plan a second moves what follows."""

Place = tuple[str, str]


@dataclass(frozen=True)
class Cue:
    """An announced cue that a plan moved."""

    step: StepKey
    at: int
    by_s: int
    excuse: str
    """Empty: nothing was written down since that touches it."""
    near: bool
    """The excuse is of its own course, station or equipment, or the chef's."""


@dataclass
class Quiet:
    """Of one evening, or of several added together."""

    announced: int = 0
    moved: list[Cue] = field(default_factory=list)

    def __iadd__(self, other: "Quiet") -> "Quiet":
        self.announced += other.announced
        self.moved += other.moved
        return self

    @property
    def for_nothing(self) -> list[Cue]:
        return [cue for cue in self.moved if not cue.excuse]

    def line(self) -> str:
        """In one line."""
        near = sum(cue.near for cue in self.moved)
        far = len(self.moved) - near - len(self.for_nothing)
        return (
            f"cues {self.announced} moved {len(self.moved)}: {near} for food or taps of their own course, station or "
            f"equipment, {far} for what happened elsewhere, {len(self.for_nothing)} for nothing"
        )


@dataclass(frozen=True)
class _Happened:
    at: int
    course: CourseKey | None
    """None: the chef's, or the house's: it excuses everything."""
    places: frozenset[Place]
    words: str


def quiet_of(log: Sequence[Recorded], book: Book) -> Quiet:
    """Judge every plan of an evening."""
    return _Judge(book).read(log)


class _Judge:
    def __init__(self, book: Book) -> None:
        self.book = book
        self.quiet = Quiet()
        self.plan: Answer | None = None
        self.told: dict[StepKey, tuple[int, int]] = {}
        """When each cue is due, and the second since which it stands."""
        self.running: dict[StepKey, int] = {}
        """Steps that go on, and their end in the newest plan."""
        self.happened: list[_Happened] = []

    def read(self, log: Sequence[Recorded]) -> Quiet:
        for entry in log:
            self._one(entry.event, entry.at_ms // 1000)
        return self.quiet

    def _one(self, event: Event, now: int) -> None:
        match event:
            case PlanAdopted():
                self._planned(event, now)
            case CueAnnounced(cues):
                self.quiet.announced += sum(step not in self.told for step, _ in cues)
                self.told |= {step: (due, now) for step, due in cues if step not in self.told}
            case StepStarted(step, _, at, end_at):
                planned = self.plan.by_step.get(step) if self.plan else None
                if planned is not None and abs(at - planned.start_at) > SAME_S:
                    self._note(now, step, f"{step} started {at - planned.start_at:+} s")
                self.told.pop(step, None)
                self.running[step] = end_at
            case StepFinished(step, at):
                end_at = self.running.pop(step, at)
                if abs(at - end_at) > SAME_S:
                    self._note(now, step, f"{step} ended {at - end_at:+} s")
            case CourseLanded(course) | CourseSent(course):
                self.happened.append(_Happened(now, course, frozenset({("pass", "")}), f"{course} was plated"))
            case OrderTaken() | ServiceOpened() | BookRead():
                pass
            case _:
                self.happened.append(_Happened(now, None, frozenset(), type(event).__name__))

    def _planned(self, event: PlanAdopted, now: int) -> None:
        answer = event.answer
        for step, end_at in list(self.running.items()):
            planned = answer.by_step.get(step)
            if planned is None:
                continue
            if now > end_at and planned.end_at - end_at > SAME_S:
                self._note(now, step, f"{step} runs over by {now - end_at} s")
            self.running[step] = planned.end_at
        for step, (due, _) in self.told.items():
            if now - due > SAME_S:
                self._note(now, step, f"{step} has not been started for {now - due} s")
        for step, (due, since) in self.told.items():
            planned = answer.by_step.get(step)
            # An overdue one is not moved: its station counts up from when it was told.
            if planned is None or due <= now or goes_by_the_food(step, self.book):
                continue
            if abs(planned.start_at - due) > QUIET_S:
                self.quiet.moved.append(self._moved(step, now, planned.start_at - due, since))
        told = dict(event.told)
        self.told = {
            step: (due, self.told[step][1] if self.told.get(step, (due, 0))[0] == due and step in self.told else now)
            for step, due in told.items()
        }
        self.plan = answer

    def _moved(self, step: StepKey, now: int, by_s: int, since: int) -> Cue:
        found = [each for each in self.happened if each.at >= since]
        places = self._places(step)
        near = [e for e in found if e.course in (None, step.of_course) or e.places & places]
        excuse = next((each.words for each in (*reversed(near), *reversed(found))), "")
        return Cue(step, now, by_s, excuse, bool(near))

    def _note(self, now: int, step: StepKey, words: str) -> None:
        self.happened.append(_Happened(now, step.of_course, self._places(step), words))

    def _places(self, step: StepKey) -> frozenset[Place]:
        component = self.book[step.dish].components[step.component]
        on = component.steps[step.step].on
        return frozenset([("station", component.station), *([("equipment", on)] if on is not None else [])])


def named(cues: Iterable[Cue], most: int) -> list[str]:
    """The first so many, in words."""
    return [f"{cue.step} {cue.by_s:+} s: {cue.excuse or 'for nothing'}" for cue in list(cues)[:most]]


def goes_by_the_food(step: StepKey, book: Book) -> bool:
    """Whether it follows the step before it at once: its cook goes by that food, and no cue of it can move."""
    return step.step > 0 and book[step.dish].components[step.component].steps[step.step].may_wait_s == 0
