"""Announced cues that a plan moves, each with its reason in kitchen words.

A reason is something that happened since the plan before: food that ran long or was done early, a tap that came late or
early, a start that nobody answered, a load that is cooked again, a change in the house or a call of the chef. It counts
for what it touches: its own course, its station and its equipment, and the pass where its landing moved; and from there
whatever moved with those. An order that came in is no reason.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from kitchen_timer.kitchen.dish import Book
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.question import CourseKey, LoadKey, Question, StepKey
from kitchen_timer.service.state import Evening
from kitchen_timer.service.words import load_words, span_words

QUIET_S = 5
"""A cue that moves by no more than this has not moved for a cook."""

_SAME_S = 2
"""What went so close to the plan went as planned."""

_PASS = ("pass", "")
"""Where courses meet that have no station and no equipment in common."""

_FARTHEST = 3
"""Courses that a reason reaches over one another's stations and equipment."""


@dataclass(frozen=True, slots=True)
class Moved:
    """One announced cue that moved."""

    step: StepKey
    by_s: int
    """Positive: later."""
    reason: str
    """``table 4's duck runs 0:20 long``; empty where there is none."""

    @property
    def words(self) -> str:
        """``moved 0:20 later: table 4's duck runs 0:20 long``."""
        way = "later" if self.by_s > 0 else "earlier"
        return f"moved {span_words(abs(self.by_s))} {way}" + (f": {self.reason}" if self.reason else "")


def moves_of(state: Evening, question: Question, answer: Answer, now: int) -> tuple[Moved, ...]:
    """The cues announced in ``state`` that ``answer`` moves by more than ``QUIET_S``, but for overdue ones.

    ``question``: of this moment's evening; what it has begun is held against the plan that stands.
    """
    moved = [
        (step, answer.by_step[step].start_at - due)
        for step, due in state.announced.items()
        if due > now
        and step in answer.by_step
        and abs(answer.by_step[step].start_at - due) > QUIET_S
        # What follows at once goes by the food: its cook is told when that is ready, whatever a plan says.
        and not (step.step and state.component(step).steps[step.step].may_wait_s == 0)
    ]
    if not moved or state.plan is None:
        return ()
    reasons = _reach(state, question, state.plan, answer, now)
    return tuple(Moved(step, by_s, _reason_for(step, reasons, state.book)) for step, by_s in sorted(moved))


def _reason_for(step: StepKey, reasons: Mapping[object, str], book: Book) -> str:
    return reasons.get(step.of_course) or next((reasons[each] for each in _places(step, book) if each in reasons), "")


def _places(step: StepKey, book: Book) -> tuple[tuple[str, str], ...]:
    component = book[step.dish].components[step.component]
    on = component.steps[step.step].on
    station = ("station", component.station)
    return (station,) if on is None else (station, ("equipment", on))


def _reach(state: Evening, question: Question, old: Answer, new: Answer, now: int) -> dict[object, str]:
    """The first reason that reaches each course, station and equipment."""
    found: dict[object, str] = {}
    clearly = (*_happened(state, question, old, _SAME_S), *_untapped(state, question, now))
    # In a tight plan a second is enough to move what follows; it is named where nothing else is.
    for step, words in (*clearly, *_happened(state, question, old, 0)):
        found.setdefault(step.of_course, words)
        for place in _places(step, state.book):
            found.setdefault(place, words)
    for key, run in state.courses.items():
        if run.target_at is None and key in old.by_course:
            found.setdefault(key, f"table {key.table}'s {key.course} was called")
    at: dict[CourseKey, set[tuple[str, str]]] = {}
    for lands in new.courses:
        landed = old.by_course.get(lands.key)
        if landed is not None and abs(lands.landing_at - landed.landing_at) > QUIET_S:
            at[lands.key] = {_PASS}
    for load, steps in new.by_load.items():
        stood = old.by_load.get(load)
        pairs = zip(stood, steps, strict=False) if stood is not None else ()
        if stood is None or any(abs(was.start_at - will.start_at) > QUIET_S for was, will in pairs):
            places = at.setdefault(load.of_course, set())
            for each in steps:
                places.update(_places(each.key, state.book))
    for _ in range(_FARTHEST):
        more: dict[object, str] = {}
        for course, places in at.items():
            if course in found:
                more |= {place: found[course] for place in places if place not in found}
            elif reached := next((found[place] for place in sorted(places) if place in found), None):
                more[course] = reached
        if not more:
            break
        found |= more
    return found


def _happened(state: Evening, question: Question, old: Answer, same_s: int) -> Iterator[tuple[StepKey, str]]:
    """What went otherwise than the plan before had it, by more than ``same_s``."""
    for course in question.courses:
        for load in course.begun:
            key = LoadKey(*course.key, load.dish, load.component, load.load)
            if load.dish not in state.book or load.component not in state.book[load.dish].components:
                continue
            for index, step in enumerate(load.steps):
                stood = old.by_step.get(StepKey(*key, index))
                if stood is None:
                    continue
                late_s, long_s = step.start_at - stood.start_at, step.end_at - stood.end_at
                name = load_words(state, key)
                if abs(late_s) > same_s:
                    way = "late" if late_s > 0 else "early"
                    yield StepKey(*key, index), f"{name} was started {span_words(abs(late_s))} {way}"
                elif abs(long_s) > same_s:
                    says = "runs" if long_s > 0 and not step.done else "ran" if long_s > 0 else "was done"
                    way = "long" if long_s > 0 else "early"
                    yield StepKey(*key, index), f"{name} {says} {span_words(abs(long_s))} {way}"
    for run in state.courses.values():
        for lost in run.lost:
            if lost in old.by_load:
                yield StepKey(*lost, 0), f"{load_words(state, lost)} is cooked again"


def _untapped(state: Evening, question: Question, now: int) -> Iterator[tuple[StepKey, str]]:
    """Announced starts that nobody has answered: whatever was to follow them at their station is late too."""
    begun = {
        StepKey(*course.key, load.dish, load.component, load.load, index)
        for course in question.courses
        for load in course.begun
        for index in range(len(load.steps))
    }
    for step, due in sorted(state.announced.items()):
        if now - due > _SAME_S and step not in begun and step.dish in state.book:
            yield step, f"{load_words(state, step.of_load)} is {span_words(now - due)} late to start"
