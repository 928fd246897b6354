"""What kitchens do today, made real: fire everything at once, or stagger each table as if it were alone.

Nobody looks ahead. A course is called when it would have to be, had it the kitchen to itself: as soon as its order is
in, or so long before its wanted landing. From then on food stands in front of its station, first come first served,
and starts when there is room for it; who finds the same food going in puts his own beside it. The course lands when all
of it is done. So rules 1 to 3 and 5 to 8 hold, and food may stand past its ``keeps``: that is what is measured.
"""

from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from heapq import heappop, heappush
from itertools import count, pairwise
from math import ceil

from kitchen_timer.kitchen.dish import Component
from kitchen_timer.kitchen.table import After, AtTime
from kitchen_timer.plan.answer import Answer, PlannedCourse, PlannedStep
from kitchen_timer.plan.check import cost_of
from kitchen_timer.plan.choose import plan_quickly
from kitchen_timer.plan.loads import Load, split_course
from kitchen_timer.plan.question import CourseKey, LoadKey, Question, StepKey, Wanted
from kitchen_timer.plan.targets import alone_s
from tests.builders import ASAP

Staggering = Callable[[Question, Wanted], dict[LoadKey, tuple[int, ...]]]
"""When each step of a course is meant to start, in seconds after the course is called."""


def fire_on_order(question: Question) -> Answer:
    """Everything of a course is fired when the course is called."""
    return Evening(question, at_once).played()


def stagger_each_table(question: Question) -> Answer:
    """Each course is fired so that it would end together, had it the kitchen to itself."""
    return Evening(question, by_its_own_durations).played()


def at_once(question: Question, wanted: Wanted) -> dict[LoadKey, tuple[int, ...]]:
    """Every step as soon as the one before it is done."""
    return {
        load.key: (0,) * len(question.book[load.key.dish].components[load.key.component].steps)
        for load in split_course(question.kitchen, question.book, wanted)
    }


def by_its_own_durations(question: Question, wanted: Wanted) -> dict[LoadKey, tuple[int, ...]]:
    """The course as it would be planned alone, which is better than sums in anybody's head."""
    alone = replace(wanted, in_at=0, land=ASAP, target_at=None)
    plan = plan_quickly(Question(question.kitchen, question.book, 0, (alone,)))
    return {key: tuple(step.start_at for step in steps) for key, steps in plan.by_load.items()}


@dataclass
class Room:
    """How much of something is taken, second by second."""

    most: int
    taken: list[int] = field(default_factory=list)

    def too_early_s(self, start: int, profile: list[int]) -> int:
        """By how many seconds at least a profile has to start later; 0 where it fits."""
        self._reach(start + len(profile))
        for at in range(len(profile) - 1, -1, -1):
            free = self.most - self.taken[start + at]
            if profile[at] > free:
                later = at
                while later >= 0 and profile[later] > free:
                    later -= 1
                return at - later
        return 0

    def take(self, start: int, profile: list[int], sign: int = 1) -> None:
        """Take it, or with -1 give it back."""
        self._reach(start + len(profile))
        for at, amount in enumerate(profile):
            self.taken[start + at] += sign * amount

    def _reach(self, to: int) -> None:
        self.taken.extend([0] * (to - len(self.taken)))


Profile = dict[str, list[int]]
"""Of each resource: how much of it is taken in each second from a start on."""


class Evening:
    """A service as it goes when nobody looks ahead."""

    def __init__(self, question: Question, meant: Staggering) -> None:
        self.question, self._meant = question, meant
        kitchen = question.kitchen
        self._rooms = {f"at {name}": Room(station.cooks) for name, station in kitchen.stations.items()}
        self._rooms |= {f"on {name}": Room(equipment.slots) for name, equipment in kitchen.equipment.items()}
        self._pass = Room(kitchen.pass_board.hands)
        self._queue: list[tuple[int, int, Callable[[int], None]]] = []
        self._places = count()
        """Places in the queue: first come, first served."""
        self._starts: dict[LoadKey, list[int]] = {}
        self._portions: dict[LoadKey, int] = {}
        self._together: dict[tuple[str, str, int], dict[tuple[int, int], int]] = defaultdict(dict)
        """Of dish, component and step: portions that start and end at the same seconds."""
        self._landed: list[PlannedCourse] = []
        self._followers: dict[CourseKey, list[Wanted]] = defaultdict(list)

    def played(self) -> Answer:
        """The whole evening, as a plan that somebody might have made."""
        now = self.question.now
        for wanted in self.question.courses:
            alone = self._alone_s(wanted)
            if isinstance(wanted.land, After) and wanted.land.after in {
                other.course for other in self.question.courses if other.table == wanted.table
            }:
                self._followers[CourseKey(wanted.table, wanted.land.after)].append(wanted)
                continue
            target = max(0, wanted.in_at - now) + alone
            earliest = 0
            if isinstance(wanted.land, AtTime):
                target = earliest = max(0, wanted.land.at - now)
            self._call(wanted, max(0, wanted.in_at - now, target - alone), earliest, target)
        while self._queue:
            at, _, what = heappop(self._queue)
            what(at)
        courses = tuple(sorted(self._landed, key=lambda course: (course.landing_at, course.key)))
        answer = Answer(now, courses, tuple(self._steps()))
        return replace(answer, cost=cost_of(self.question, answer).total)

    def _alone_s(self, wanted: Wanted) -> int:
        alone = alone_s(self.question.kitchen, self.question.book, wanted.portions)
        assert alone is not None, f"{wanted.key} can never land"
        return alone

    def _at(self, at: int, what: Callable[[int], None]) -> None:
        heappush(self._queue, (at, next(self._places), what))

    def _call(self, wanted: Wanted, at: int, earliest: int, target: int) -> None:
        """A course is called: its loads queue up, each when it is meant to, those that come ``after`` when they can."""
        meant = self._meant(self.question, wanted)
        loads = split_course(self.question.kitchen, self.question.book, wanted)
        done: dict[LoadKey, int] = {}

        def start(load: Load) -> Callable[[int], None]:
            def begin(since: int) -> None:
                done[load.key] = self._cook(load, since, [at + offset for offset in meant[load.key]])
                for other in loads:
                    before = self._before(other, loads)
                    if load.key in before and other.key not in done and all(key in done for key in before):
                        self._at(max(at + meant[other.key][0], *(done[key] for key in before)), start(other))
                if len(done) == len(loads):
                    self._at(max(earliest, *done.values()), land)

            return begin

        def land(since: int) -> None:
            self._plate(wanted, since, target)

        for load in loads:
            if not self._before(load, loads):
                self._at(at + meant[load.key][0], start(load))

    def _before(self, load: Load, loads: tuple[Load, ...]) -> list[LoadKey]:
        after = self.question.book[load.key.dish].components[load.key.component].after
        return [other.key for other in loads if other.key.dish == load.key.dish and other.key.component in after]

    def _cook(self, load: Load, since: int, meant: list[int]) -> int:
        """Start a load as soon as there is room for it; when it will be done."""
        part = self.question.book[load.key.dish].components[load.key.component]
        waits = [i for i in range(1, len(part.steps)) if part.steps[i].may_wait_s and not part.stays_on(i - 1)]
        cuts = [0, *waits, len(part.steps)]
        pieces = list(pairwise(cuts))
        lengths = [step.length_s(load.portions) for step in part.steps]
        start = since
        while True:
            starts, missed = self._pieces_from(load, part, pieces, lengths, start, meant)
            if missed is None:
                break
            start = missed
        self._starts[load.key], self._portions[load.key] = starts, load.portions
        for index, begun in enumerate(starts):
            together = self._together[load.key.dish, load.key.component, index]
            span = (begun, begun + lengths[index])
            together[span] = together.get(span, 0) + load.portions
        return starts[-1] + lengths[-1]

    def _pieces_from(
        self,
        load: Load,
        part: Component,
        pieces: list[tuple[int, int]],
        lengths: list[int],
        first: int,
        meant: list[int],
    ) -> tuple[list[int], int | None]:
        """Starts of all steps, taken; or where the wait between two pieces would be too long, when to begin instead."""
        starts: list[int] = []
        taken: list[tuple[int, Profile]] = []
        for a, b in pieces:
            since = first if a == 0 else max(starts[-1] + lengths[a - 1], meant[a])
            latest = starts[-1] + lengths[a - 1] + part.steps[a].may_wait_s if a else None
            since = since if latest is None else min(since, latest)
            at, profile = self._earliest(load, part, a, b, lengths, since)
            if latest is not None and at > latest:
                for begun, of in taken:
                    self._take(begun, of, -1)
                return [], starts[0] + at - latest
            self._take(at, profile)
            taken.append((at, profile))
            starts += [at + sum(lengths[a:i]) for i in range(a, b)]
        return starts, None

    def _earliest(
        self, load: Load, part: Component, a: int, b: int, lengths: list[int], since: int
    ) -> tuple[int, Profile]:
        """The first second from ``since`` on at which steps ``a`` to ``b`` find room, alone or beside the same food."""
        alone = self._profile(load, part, a, b, lengths, None)
        at = since
        while late_s := self._too_early_s(at, alone):
            at += late_s
        best = (at, alone)
        if part.steps[a].on is not None and not any(step.may_wait_s for step in part.steps):
            for start, end in self._together[load.key.dish, load.key.component, a]:
                if since <= start < best[0] and end - start == lengths[a]:
                    beside = self._profile(load, part, a, b, lengths, start)
                    if not self._too_early_s(start, beside):
                        best = (start, beside)
        return best

    def _too_early_s(self, at: int, profile: Profile) -> int:
        return max((self._rooms[name].too_early_s(at, of) for name, of in profile.items()), default=0)

    def _profile(self, load: Load, part: Component, a: int, b: int, lengths: list[int], beside: int | None) -> Profile:
        """What steps ``a`` to ``b`` take from their start on; ``beside``: what they take more than is taken already."""
        profile: Profile = defaultdict(list)

        def add(name: str, start: int, end: int, amount: int) -> None:
            of = profile[name]
            of.extend([0] * (end - len(of)))
            for second in range(start, end):
                of[second] += amount

        for index in range(a, b):
            step, start = part.steps[index], sum(lengths[a:index])
            end = start + lengths[index]
            there = 0
            if beside is not None and step.on is not None:
                spans = self._together[load.key.dish, load.key.component, index]
                there = spans.get((beside + start, beside + end), 0)
            if not there:
                for since, until in part.busy_s(index, load.portions, self.question.kitchen):
                    add(f"at {part.station}", start + since, start + until, 1)
            if step.on is not None:
                recovery_s = 0 if part.stays_on(index) else self.question.kitchen.equipment[step.on].recovery_s
                slots = ceil((there + load.portions) / step.fits) - ceil(there / step.fits)
                add(f"on {step.on}", start, end + recovery_s, slots)
        return profile

    def _take(self, at: int, profile: Profile, sign: int = 1) -> None:
        for name, of in profile.items():
            self._rooms[name].take(at, of, sign)

    def _plate(self, wanted: Wanted, since: int, target: int) -> None:
        """All of a course is done: it lands when the pass has hands for it, and what comes after it is called."""
        hands = min(self._pass.most, wanted.plates)
        plating_s = ceil(wanted.plates / hands) * max(self.question.book[dish].plating_s for dish, _ in wanted.portions)
        at = since
        while late_s := self._pass.too_early_s(at, [hands] * plating_s):
            at += late_s
        self._pass.take(at, [hands] * plating_s)
        now, up = self.question.now, at + plating_s
        self._landed.append(
            PlannedCourse(*wanted.key, wanted.plates, now + target, now + at, now + up, max(0, at - target))
        )
        for other in self._followers.pop(wanted.key, ()):
            assert isinstance(other.land, After)
            earliest, ready, alone = up + other.land.gap_s, max(0, other.in_at - now), self._alone_s(other)
            self._call(other, max(at, ready, earliest - alone), earliest, max(earliest, ready + alone))

    def _steps(self) -> list[PlannedStep]:
        now, steps = self.question.now, []
        for key, starts in self._starts.items():
            part = self.question.book[key.dish].components[key.component]
            for index, (start, step) in enumerate(zip(starts, part.steps, strict=True)):
                length_s = step.length_s(self._portions[key])
                span = (now + start, now + start + length_s)
                steps.append(
                    PlannedStep(StepKey(*key, index), step.do, part.station, step.on, self._portions[key], *span)
                )
        return sorted(steps, key=lambda step: (step.start_at, step.key))
