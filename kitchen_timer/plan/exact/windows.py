"""How early and how late each load can start in a plan that is no dearer than one in hand.

The rules alone say how early: what a load waits for, how long it keeps. How late follows from the price: a course that
is later than the dearest plan worth having could pay for, all others at their cheapest, is in no such plan.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import floor

from kitchen_timer.kitchen.dish import Component
from kitchen_timer.kitchen.table import After, AtTime
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.cost import worth_by_course
from kitchen_timer.plan.jobs import LATE_STEEP_S, LATE_STEEPER, lateness
from kitchen_timer.plan.question import BegunStep, CourseKey, LoadKey, Question, Wanted


@dataclass(frozen=True)
class Left:
    """What is left to do of a load."""

    key: LoadKey
    component: Component
    portions: int
    begun: tuple[BegunStep, ...]

    @property
    def length_s(self) -> int:
        """Seconds of the steps that are left."""
        return sum(step.length_s(self.portions) for step in self.component.steps[len(self.begun) :])

    @property
    def waits_s(self) -> int:
        """Seconds that they may wait, the first of them apart."""
        return sum(step.may_wait_s for step in self.component.steps[len(self.begun) + 1 :])


@dataclass
class Window:
    """When a course can land, and when what is left of each load can start: ``[least, most]``, seconds after now."""

    least: int
    most: int
    starts: dict[LoadKey, tuple[int, int]]


def latest_for(weight: int, budget: float) -> int:
    """The most seconds late that a course can be that weighs so much, for so many plate-seconds."""
    late_s = floor(budget / weight + 1e-6)
    return late_s if late_s <= LATE_STEEP_S else LATE_STEEP_S + (late_s - LATE_STEEP_S) // (1 + LATE_STEEPER)


class Windows:
    """The windows of the free courses; ``landings`` are of all courses of the plan in hand."""

    def __init__(
        self,
        question: Question,
        loads: Mapping[CourseKey, list[Left]],
        plating_s: Mapping[CourseKey, int],
        landings: Mapping[CourseKey, int],
        horizon: int,
    ) -> None:
        self.question, self.loads, self.plating_s = question, loads, plating_s
        self.wanted = {course.key: course for course in question.courses if course.key in loads}
        self.of: dict[CourseKey, Window] = {}
        self._landings = landings
        for key in self._in_order():
            self._earliest(self.wanted[key], horizon)

    def _in_order(self) -> list[CourseKey]:
        """Courses such that each comes after the one it follows."""
        done: list[CourseKey] = []
        left = list(self.wanted)
        while left:
            ready = [key for key in left if self._follows(self.wanted[key]) not in left] or left
            done += ready
            left = [key for key in left if key not in ready]
        return done

    def _follows(self, wanted: Wanted) -> CourseKey | None:
        return CourseKey(wanted.table, wanted.land.after) if isinstance(wanted.land, After) else None

    def _earliest(self, wanted: Wanted, horizon: int) -> None:
        least, _ = self._not_before(wanted)
        loads, starts = self.loads[wanted.key], {}
        done: dict[tuple[str, str], int] = {}
        for load in in_order(self.question, loads):
            first = max(0, wanted.in_at - self.question.now, *(s.end_at - self.question.now for s in load.begun))
            if not load.begun:
                first = max(first, *(done.get((load.key.dish, name), 0) for name in load.component.after), 0)
            starts[load.key] = (first, horizon - load.length_s)
            part = (load.key.dish, load.key.component)
            done[part] = max(done.get(part, 0), first + load.length_s)
        self.of[wanted.key] = Window(max([least, *done.values()]), horizon, starts)

    def _not_before(self, wanted: Wanted) -> tuple[int, int]:
        """``(least, most)`` of the earliest landing by rule 8."""
        now, before = self.question.now, self._follows(wanted)
        if isinstance(wanted.land, AtTime):
            return wanted.land.at - now, wanted.land.at - now
        if before is None or not isinstance(wanted.land, After):
            return 0, 0
        if before in self.question.up:
            up = self.question.up[before] - now + wanted.land.gap_s
            return up, up
        gap_s = self.plating_s.get(before, 0) + wanted.land.gap_s
        if before in self.of:
            return self.of[before].least + gap_s, self.of[before].most + gap_s
        if before in self._landings:
            return self._landings[before] + gap_s, self._landings[before] + gap_s
        return 0, 0

    def no_dearer(self, targets: Mapping[CourseKey, int], most: float) -> None:
        """Only plans in which these courses cost no more than ``most`` all together; ``targets`` are instants."""
        due: dict[CourseKey, tuple[int, int]] = {}
        for key, wanted in self.wanted.items():
            given = (wanted.target_at if wanted.target_at is not None else targets[key]) - self.question.now
            moves = wanted.target_at is None and isinstance(wanted.land, After)
            due[key] = (given, max(given, self._not_before(wanted)[1])) if moves else (given, given)
        least = {key: lateness(w.weight, self.of[key].least - due[key][1]) for key, w in self.wanted.items()}
        spare = most - sum(least.values())
        if spare < -1e-6:
            return
        for key in self._in_order():
            wanted, window = self.wanted[key], self.of[key]
            given, latest = due[key]
            if latest > given:
                latest = max(given, self._not_before(wanted)[1])
            window.most = min(window.most, latest + latest_for(wanted.weight, spare + least[key] + 1e-3))

    def stay_near(self, plan: Answer, within_s: int) -> None:
        """Only plans in which no first start and no landing is further than so many seconds from where it is."""
        now = self.question.now
        for key, window in self.of.items():
            if (course := plan.by_course.get(key)) is not None:
                at = course.landing_at - now
                window.least, window.most = max(window.least, at - within_s), min(window.most, at + within_s)
            for load in self.loads[key]:
                steps = plan.by_load.get(load.key, ())
                if len(steps) > len(load.begun):
                    at = steps[len(load.begun)].start_at - now
                    first, last = window.starts[load.key]
                    window.starts[load.key] = (max(first, at - within_s), min(last, at + within_s))

    def close(self) -> None:
        """Work out from the landings how late, and by their keeps how early, each load can start."""
        for key, window in self.of.items():
            starts: dict[tuple[str, str], tuple[int, int]] = {}
            for load in reversed(in_order(self.question, self.loads[key])):
                part = (load.key.dish, load.key.component)
                names = self.question.book[load.key.dish].dependants_of(load.key.component)
                after = [starts[load.key.dish, name] for name in names if (load.key.dish, name) in starts]
                end_least, end_most = window.least, window.most
                if after:
                    end_most = min(end_most, *(most for _, most in after))
                    end_least = max(least for least, _ in after)
                elif names:
                    end_least = 0
                first, last = window.starts[load.key]
                last = min(last, end_most - load.length_s)
                if not load.begun:
                    first = max(first, end_least - load.component.keeps_s - load.length_s - load.waits_s)
                    least, most = starts.get(part, (first, last))
                    starts[part] = (max(least, first), min(most, last))
                window.starts[load.key] = (first, last)


def in_order(question: Question, loads: list[Left]) -> list[Left]:
    """Loads such that each comes after those of the components it waits for."""
    done: list[Left] = []
    left = list(loads)
    while left:
        names = {(load.key.dish, load.key.component) for load in left}
        ready = [x for x in left if not any((x.key.dish, name) in names for name in x.component.after)] or left
        done += ready
        left = [load for load in left if load not in ready]
    return done


def windows_of(
    question: Question,
    loads: Mapping[CourseKey, list[Left]],
    targets: Mapping[CourseKey, int],
    hint: Answer | None,
    horizon: int,
    *,
    no_dearer: bool,
) -> Windows:
    """The windows of the courses in ``loads``; with ``no_dearer``, of plans that cost no more than ``hint``."""
    plating_s, landings = {}, {}
    for planned in hint.courses if hint is not None else ():
        plating_s[planned.key] = planned.up_at - planned.landing_at
        landings[planned.key] = planned.landing_at - question.now
    windows = Windows(question, loads, plating_s, landings, horizon)
    if no_dearer and hint is not None and all(key in hint.by_course for key in loads):
        windows.no_dearer(targets, price_in_hand(question, loads, targets, hint))
    windows.close()
    return windows


def price_in_hand(
    question: Question, keys: Iterable[CourseKey], targets: Mapping[CourseKey, int], plan: Answer
) -> float:
    """What some courses cost in a plan in hand, moved cues and what begun food suffers counted in."""
    worths = worth_by_course(question, plan)
    weights = {wanted.key: wanted.weight for wanted in question.courses}
    most = 0.0
    for key in keys:
        course = plan.by_course[key]
        target_at = max(targets[key], _moved_target_at(question, key, plan))
        earlier = min(course.target_at, target_at)  # where a target is given twice, by the earlier
        sooner = lateness(weights[key], course.landing_at - earlier)
        most += worths[key] + sooner - lateness(weights[key], course.landing_at - course.target_at)
    return most


def _moved_target_at(question: Question, key: CourseKey, plan: Answer) -> int:
    """Before when the target of a course after another cannot be, as the plan has the one before; else 0."""
    wanted = question.course(key)
    if wanted is None or wanted.target_at is not None or not isinstance(wanted.land, After):
        return 0
    before = CourseKey(wanted.table, wanted.land.after)
    planned = plan.by_course.get(before)
    up_at = question.up.get(before, None if planned is None else planned.up_at)
    return 0 if up_at is None else up_at + wanted.land.gap_s
