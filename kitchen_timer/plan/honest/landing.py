"""When a course really lands: a range, and the instant to promise to the dining room.

Lengths are drawn for every step that is still to end (lengths.py) and played through the plan as service plays it: a
first step and one that may wait start at their planned second or when what they wait for is done, everything else as
soon as the food is ready; slots, cooks and the hands at the pass go to whoever is first in the plan. Nobody plans anew
in between, so the range is what this plan leads to, with every cue answered a moment late (``TAP_S``).

The promise is the instant by which 80 of 100 of these evenings have the course at the pass. Percentiles are nearest
ranks of the sorted samples. The same plan gets the same range: the dice are seeded.
"""

from collections.abc import Iterable
from math import ceil
from typing import Any

from kitchen_timer.kitchen.dish import Component, Hands
from kitchen_timer.kitchen.table import AtTime
from kitchen_timer.plan.answer import Answer, LandingRange, PlannedStep
from kitchen_timer.plan.honest.lengths import length_of
from kitchen_timer.plan.question import BegunStep, CourseKey, LoadKey, Question, StepKey

SAMPLES = 100
TAP_S = 2
"""Seconds from a cue to hands on the food (common practice, no source)."""
PROMISED = 80
"""Of 100 evenings."""


Samples = Any
"""A row of one number for each sampled evening."""


def landing_ranges(
    question: Question, answer: Answer, samples: int = SAMPLES, seed: int = 0
) -> dict[CourseKey, LandingRange]:
    """The range of every planned course that has not landed. About 10 ms for 350 steps."""
    import numpy  # comes with the solver; loaded only where plans are made

    found = _Played(question, answer, numpy, samples, seed).landings()
    ranges = {}
    for key, landings in found.items():
        ordered = sorted(landings.tolist())
        at = [ceil(ordered[max(0, ceil(p * samples / 100) - 1)]) for p in (10, 50, PROMISED, 90)]
        ranges[key] = LandingRange(*at)
    return ranges


class _Played:
    def __init__(self, question: Question, answer: Answer, numpy: Any, samples: int, seed: int) -> None:
        self.question, self.answer, self.numpy, self.samples = question, answer, numpy, samples
        self.dice = numpy.random.default_rng(seed)
        kitchen, zeros = question.kitchen, numpy.zeros
        self.slots = {name: zeros((max(1, each.slots), samples)) for name, each in kitchen.equipment.items()}
        self.cooks = {name: zeros((max(1, each.cooks), samples)) for name, each in kitchen.stations.items()}
        self.hands = zeros((max(1, kitchen.pass_board.hands), samples))
        self.ends: dict[StepKey, Samples] = {}
        self.starts: dict[LoadKey, Samples] = {}
        self.lengths: dict[tuple[object, ...], Samples] = {}
        self.of_course: dict[CourseKey, list[tuple[LoadKey, tuple[PlannedStep, ...]]]] = {}
        for key, steps in answer.by_load.items():
            self.of_course.setdefault(key.of_course, []).append((key, steps))
        self.begun: dict[StepKey, BegunStep] = {
            StepKey(*course.key, load.dish, load.component, load.load, index): step
            for course in question.courses
            for load in course.begun
            for index, step in enumerate(load.steps)
        }

    def landings(self) -> dict[CourseKey, Samples]:
        groups: dict[tuple[object, ...], list[PlannedStep]] = {}
        for step in self.answer.steps:
            alone = () if step.on is not None else (step.key,)
            together = (step.key.dish, step.key.component, step.key.step, step.start_at, step.end_at, *alone)
            groups.setdefault(together, []).append(step)
        # What goes on has its place; then everything by its planned start, what ends first first.
        in_turn = sorted(
            groups.values(), key=lambda g: (g[0].key not in self.begun, g[0].start_at, g[0].end_at, g[0].key)
        )
        for group in in_turn:
            self._play(group)
        return self._landed()

    def _play(self, group: list[PlannedStep]) -> None:
        first = group[0]
        component = self.question.book[first.key.dish].components[first.key.component]
        portions, index = sum(step.portions for step in group), first.key.step
        begun = self.begun.get(first.key)
        if begun is not None:
            start, end = self._going_on(component, first, begun)
        else:
            start = self._ready(group, component)
            if self._needs_hand(component, index):
                start = self.numpy.maximum(start, self.cooks[component.station][0])
            if first.on is not None and not (index and component.stays_on(index - 1)):
                start = self.numpy.maximum(start, self._slots(first.on, component, index, portions)[-1])
            end = start + self._length(component, index, first.portions)
        self._take(first, component, portions, start, end, fresh=begun is None)
        for step in group:
            self.ends[step.key] = end
            if not index:
                self.starts[step.key.of_load] = start

    def _going_on(self, component: Component, step: PlannedStep, begun: BegunStep) -> tuple[Samples, Samples]:
        start = self.numpy.full(self.samples, float(begun.start_at))
        if begun.done:
            return start, self.numpy.full(self.samples, float(begun.end_at))
        length = length_of(component, step.key.step, step.portions)
        gone_s = self.question.now - begun.start_at
        shares = self.dice.random(self.samples)
        return start, start + self.numpy.array([length.after(gone_s, share) for share in shares.tolist()])

    def _ready(self, group: list[PlannedStep], component: Component) -> Samples:
        """When the food is, and the cue: rule 1's wait, and rule 3."""
        numpy, index = self.numpy, group[0].key.step
        told = index == 0 or component.steps[index].may_wait_s > 0
        ready = numpy.full(self.samples, float(group[0].start_at + TAP_S) if told else 0.0)
        for step in group:
            if index:
                ready = numpy.maximum(ready, self.ends[StepKey(*step.key.of_load, index - 1)])
            for other, steps in self._after(step.key, component):
                ready = numpy.maximum(ready, self.ends.get(StepKey(*other, len(steps) - 1), 0.0))
        return ready

    def _after(self, key: StepKey, component: Component) -> Iterable[tuple[LoadKey, tuple[PlannedStep, ...]]]:
        if key.step or not component.after:
            return ()
        return (
            (other, steps)
            for other, steps in self.of_course[key.of_course]
            if other.dish == key.dish and other.component in component.after
        )

    def _length(self, component: Component, index: int, portions: int) -> Samples:
        length = length_of(component, index, portions)
        if length.least_s == length.most_s:
            return length.usual_s
        if length.flat:
            return self.dice.uniform(length.least_s, length.most_s, self.samples)
        return self.dice.triangular(length.least_s, length.usual_s, length.most_s, self.samples)

    @staticmethod
    def _needs_hand(component: Component, index: int) -> bool:
        return component.hands_of(index) in (Hands.ALL, Hands.START, Hands.ENDS)

    def _slots(self, on: str, component: Component, index: int, portions: int) -> Samples:
        free = self.slots[on]
        return free[: min(len(free), -(-portions // component.steps[index].fits))]

    def _take(
        self, step: PlannedStep, component: Component, portions: int, start: Samples, end: Samples, *, fresh: bool
    ) -> None:
        index = step.key.step
        if self._needs_hand(component, index):
            spans = component.busy_s(index, portions, self.question.kitchen)
            whole = component.hands_of(index) is Hands.ALL or spans == ((0, component.steps[index].length_s(portions)),)
            cooks = self.cooks[component.station]
            cooks[0] = end if whole else self.numpy.maximum(cooks[0], start + (spans[0][1] if spans else 0))
            cooks.sort(axis=0)
        if step.on is None or (index and component.stays_on(index - 1) and fresh):
            return
        until, last = end, index
        while component.stays_on(last):  # it goes on in the same slots, as long as planned
            last += 1
        planned = self.answer.by_step.get(StepKey(*step.key.of_load, last), step)
        recovery_s = self.question.kitchen.equipment[step.on].recovery_s
        self._slots(step.on, component, index, portions)[:] = until + (planned.end_at - step.end_at) + recovery_s
        self.slots[step.on].sort(axis=0)

    def _landed(self) -> dict[CourseKey, Samples]:
        numpy = self.numpy
        found: dict[CourseKey, Samples] = {}
        up: dict[CourseKey, Samples] = {}
        wanted = {course.key: course for course in self.question.courses}
        for course in sorted(self.answer.courses, key=lambda each: (each.landing_at, each.key)):
            asked = wanted[course.key]
            if asked.landed_at is not None:
                continue
            at = numpy.full(self.samples, float(asked.land.at if isinstance(asked.land, AtTime) else self.question.now))
            for _, steps in self.of_course.get(course.key, ()):
                at = numpy.maximum(at, self.ends[steps[-1].key])
            follows = getattr(asked.land, "after", None)
            before = up.get(CourseKey(course.table, follows)) if follows else None
            if before is not None:
                at = numpy.maximum(at, before + asked.land.gap_s)  # type: ignore[union-attr]
            pairs = min(len(self.hands), course.plates)
            if course.up_at > course.landing_at:
                at = numpy.maximum(at, self.hands[pairs - 1])
            up[course.key] = self.hands[:pairs] = at + (course.up_at - course.landing_at)
            self.hands.sort(axis=0)
            found[course.key] = at
        return found
