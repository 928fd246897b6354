"""Ways in which a course has landed before, each tried at every landing at once.

A *shape* is a course with the starts of its loads before its landing. On the profile of a line the landings at which a
whole shape fits come out of one shift and OR for each piece of its loads: a fraction of the time that it takes to place
the loads one after another, and what the search does thousands of times is to put back a course that it knows.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from kitchen_timer.plan.jobs import CourseJob, lateness
from kitchen_timer.plan.line import Line, PlacedCourse, PlacedLoad
from kitchen_timer.plan.patterns import Pattern, Run
from kitchen_timer.plan.profile import first_free

MOST_SHAPES = 12
"""Of one course; the one that has been of use least lately makes room."""

Use = tuple[int, int, int, int]
"""``(resource, amount, from_s, to_s)``, from the landing on."""


@dataclass(eq=False, slots=True)
class Shape:
    """One way to land a course."""

    starts: tuple[tuple[int, ...], ...]
    """Of the pieces of each load, before the landing (below 0)."""
    first: int
    """The first of them."""
    pieces: tuple[tuple[Pattern, int, int], ...]
    """Each piece of each load: pattern, number of the piece, seconds from its start to the landing."""
    extras: tuple[Use, ...]
    """What several loads of the course ask of one resource together, and slots kept through a wait."""
    waiting: float
    """Its cost when it lands on time, in plate-seconds."""
    steady: float
    """Reserve that it uses."""
    used: int = 0
    """When it was last of use."""

    @property
    def price(self) -> float:
        """Both together."""
        return self.waiting + self.steady


@dataclass(frozen=True, slots=True)
class Found:
    """Where a course fits in one of its shapes."""

    shape: Shape
    landing: int
    price: float
    late: bool
    """It lands later than it could."""


class Shapes:
    """The shapes of all courses of a question; courses of the same plates, split alike, have theirs in common."""

    def __init__(self) -> None:
        self._known: dict[object, list[Shape]] = {}
        self._of: dict[CourseJob, list[Shape]] = {}
        self._learned: dict[CourseJob, PlacedCourse] = {}
        self._clock = 0

    def of(self, job: CourseJob) -> list[Shape]:
        """The shapes of a course, the one that costs least when on time first; none where food of it is on."""
        known = self._of.get(job)
        if known is None:
            known = self._of[job] = self._known.setdefault(_kind(job), []) if has_shapes(job) else []
        return known

    def learn(self, line: Line, course: PlacedCourse) -> None:
        """Remember how a course is placed."""
        if self._learned.get(course.job) is course or not has_shapes(course.job):
            return
        self._learned[course.job] = course
        landing = course.landing
        starts = tuple([tuple([at - landing for at in load.starts]) for load in course.loads])
        known = self.of(course.job)
        self._clock += 1
        for shape in known:
            if shape.starts == starts:
                shape.used = self._clock
                return
        made = shape_of(line, course)
        if made is None:
            return
        made.used = self._clock
        if len(known) >= MOST_SHAPES:
            known.remove(min(known, key=lambda each: each.used))
        known.append(made)
        known.sort(key=lambda each: each.price)

    def find(self, line: Line, job: CourseJob, most: float) -> Found | None:
        """The cheapest shape and landing at which a course fits, for less than so many plate-seconds; None: none."""
        known = self.of(job)
        if not known:
            return None
        earliest = job.earliest(line.up)
        target = job.target_from(earliest)
        wanted, weight = max(target, earliest), job.weight
        line.looks += len(job.loads)
        profile = line.profile
        plating = profile.starts_blocked(0, job.pass_hands, 0, job.plating_s) if job.plating_s else 0
        masks: dict[tuple[Pattern, int], int] = {}
        best: Found | None = None
        for shape in known:
            if shape.price >= most:
                break
            low = max(wanted, job.ready - shape.first)
            if shape.price + lateness(weight, low - target) >= most:
                continue
            blocked = plating
            for pattern, index, before_s in shape.pieces:
                mask = masks.get((pattern, index))
                if mask is None:
                    mask = masks[pattern, index] = line.piece_blocked(pattern, index)
                blocked |= mask << before_s
            for resource, amount, from_s, to_s in shape.extras:
                mask = profile.starts_blocked(resource, amount, 0, to_s - from_s)
                blocked |= mask << -from_s if from_s < 0 else mask >> from_s
            if blocked < 0:
                continue
            landing = first_free(blocked, low)
            price = shape.price + lateness(weight, landing - target)
            if price < most:
                most, best = price, Found(shape, landing, price, landing > wanted)
        return best

    def put(self, line: Line, job: CourseJob, found: Found) -> PlacedCourse:
        """Put a course on the line as it was found to fit."""
        shape, landing = found.shape, found.landing
        self._clock += 1
        shape.used = self._clock
        loads: list[PlacedLoad] = []
        for load, starts in zip(job.loads, shape.starts, strict=True):
            placed = PlacedLoad(load, tuple([landing + start for start in starts]))
            line.put(placed)
            loads.append(placed)
        target = job.target_from(job.earliest(line.up))
        cost = lateness(job.weight, landing - target) + shape.waiting
        course = PlacedCourse(job, target, landing, landing + job.plating_s, tuple(loads), cost, shape.steady)
        line.put_course(course, loads=False)
        return course


def has_shapes(job: CourseJob) -> bool:
    """Whether all of a course can still be moved freely: nothing has begun, nothing was announced."""
    return not job.has_begun and job.landed is None and all(load.announced is None for load in job.loads)


def _kind(job: CourseJob) -> object:
    patterns = tuple([load.pattern for load in job.loads])
    reserves = any(part.reserve_s for part in job.parts)
    return (job.wanted.portions, patterns, job.key if reserves else None)


def shape_of(line: Line, course: PlacedCourse) -> Shape | None:
    """How a course is placed; None where its loads only fit beside each other because of others' loads."""
    landing, pieces, starts = course.landing, [], []
    for load in course.loads:
        pattern = load.job.pattern
        assert pattern is not None
        starts.append(tuple([at - landing for at in load.starts]))
        pieces += [(pattern, index, landing - at) for index, at in enumerate(load.starts)]
    extras = _extras(line, course)
    if extras is None:
        return None
    late = lateness(course.job.weight, landing - course.target)
    first = min(at for each in starts for at in each)
    return Shape(tuple(starts), first, tuple(pieces), extras, course.cost - late, course.steady)


def _extras(line: Line, course: PlacedCourse) -> tuple[Use, ...] | None:
    """What must be looked for beyond each piece by itself; None where it is more than there is.

    As if nothing were shared with other courses: what fits so fits with shared slots too.
    """
    uses: list[tuple[Use, bool]] = []
    groups: dict[object, list[tuple[Run, int, int]]] = {}
    for load in course.loads:
        pattern = load.job.pattern
        assert pattern is not None
        for index, (piece, at) in enumerate(zip(pattern.pieces, load.starts, strict=True)):
            start = at - course.landing
            for run in piece.runs:
                if run.join is None:
                    uses += [((r, amount, start + a, start + b), False) for r, amount, a, b in run.uses]
                else:
                    groups.setdefault((run.join, start + run.offset_s), []).append((run, start, pattern.portions))
            if piece.held is not None:
                held_from, held_to = start + piece.length_s, load.starts[index + 1] - course.landing
                if held_to > held_from:
                    uses.append(((*piece.held, held_from, held_to), True))
    for members in groups.values():
        shared, start, _ = members[0]
        total, several = sum(portions for _, _, portions in members), len(members) > 1
        for slot in shared.slots:
            uses.append(((slot.resource, -(-total // slot.fits), start + slot.from_s, start + slot.to_s), several))
        uses += [((r, 1, start + a, start + b), several) for r, a, b in shared.hands]
    return _together(uses, line.profile.capacities)


def _together(uses: Iterable[tuple[Use, bool]], capacities: tuple[int, ...]) -> tuple[Use, ...] | None:
    """Stretches in which several uses meet, or one that is to be looked for anyhow; None where they are too much."""
    of: dict[int, list[tuple[Use, bool]]] = {}
    for use in uses:
        of.setdefault(use[0][0], []).append(use)
    found: list[Use] = []
    for resource, mine in of.items():
        if len(mine) == 1 and not mine[0][1]:
            continue
        cuts = sorted({at for (_, _, a, b), _ in mine for at in (a, b)})
        for i in range(len(cuts) - 1):
            here = [(use[1], looked) for use, looked in mine if use[2] <= cuts[i] and cuts[i + 1] <= use[3]]
            amount = sum(each for each, _ in here)
            if amount > capacities[resource]:
                return None
            if len(here) < 2 and not any(looked for _, looked in here):
                continue
            if found and found[-1][0] == resource and found[-1][1] == amount and found[-1][3] == cuts[i]:
                found[-1] = (resource, amount, found[-1][2], cuts[i + 1])
            else:
                found.append((resource, amount, cuts[i], cuts[i + 1]))
    return tuple(found)
