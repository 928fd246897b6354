"""The line: everything placed so far, and where the next load could go.

Holds the profile of all resources, the groups of loads that share slots, and the courses placed. All instants are
seconds from the question's ``now``; "blocked" integers are sets of seconds as in profile.py.
"""

from dataclasses import dataclass

from kitchen_timer.plan.jobs import CourseJob, LoadJob
from kitchen_timer.plan.patterns import JoinKey, Pattern, Patterns, Run
from kitchen_timer.plan.profile import Profile, first_free, last_free, later, span, spread, spread_holding
from kitchen_timer.plan.question import CourseKey, LoadKey


@dataclass(frozen=True, slots=True)
class PlacedLoad:
    """Starts of the pieces of a load."""

    job: LoadJob
    starts: tuple[int, ...]

    @property
    def start(self) -> int:
        """Of its first piece; of a load that has begun, of what was left to start."""
        return self.starts[0]

    @property
    def end(self) -> int:
        """When it is done."""
        pattern = self.job.pattern
        return self.starts[-1] + pattern.pieces[-1].length_s if pattern else self.job.begun_end


@dataclass(frozen=True, slots=True)
class PlacedCourse:
    """A course with its landing and all its loads; cost in plate-seconds."""

    job: CourseJob
    target: int
    landing: int
    up: int
    loads: tuple[PlacedLoad, ...]
    cost: float
    steady: float
    """Cost of announced cues that it moves; in no Answer's cost."""
    broken_s: int = 0
    """Seconds that begun food of it waits or stands longer than it should."""


Groups = dict[JoinKey, dict[int, tuple[int, int]]]
"""Of each kind of shared run, by its start: portions in it, and how many loads."""

Starts = tuple[int, ...]


class Line:
    """What is placed, and what is still free."""

    def __init__(self, patterns: Patterns) -> None:
        self.patterns = patterns
        self.profile = Profile(patterns.capacities)
        self.groups: Groups = {}
        self.placed: dict[CourseKey, PlacedCourse] = {}
        self.up: dict[CourseKey, int] = {}
        self.fixed: dict[LoadKey, PlacedLoad] = {}
        """Loads that stay on the line when their course is taken out: what has begun and cannot wait."""
        self.tentative: dict[LoadKey, PlacedLoad] = {}
        """The rest of other begun loads, as soon as it can be: on the line as long as their course is not placed."""
        self.work = 0
        """Loads put and taken so far: what the time goes with, and the same on every machine."""
        self.looks = 0
        """Places looked for so far."""
        self.patience = 1 << 60
        """After so much effort places are looked for less closely."""
        self._blocked: dict[tuple[Pattern, int], tuple[tuple[int, ...], int]] = {}

    @property
    def effort(self) -> int:
        """Work and looks together."""
        return self.work + self.looks

    @property
    def hasty(self) -> bool:
        """Whether the first place that will do must do."""
        return self.work + self.looks > self.patience

    # -- looking -----------------------------------------------------------------------------------------------

    def piece_blocked(self, pattern: Pattern, index: int) -> int:
        """Starts at which piece ``index`` of a pattern does not fit; -1 where it never does."""
        stamps = tuple([self.profile._stamps[r] for r in pattern.resources])
        seen = self._blocked.get((pattern, index))
        if seen is not None and seen[0] == stamps:
            return seen[1]
        blocked = 0
        for run in pattern.pieces[index].runs:
            blocked |= self._run_blocked(run, pattern.portions)
        self._blocked[pattern, index] = (stamps, blocked)
        return blocked

    def _run_blocked(self, run: Run, portions: int) -> int:
        starts_blocked = self.profile.starts_blocked
        blocked = 0
        for resource, amount, from_s, to_s in run.uses:
            blocked |= starts_blocked(resource, amount, from_s, to_s)
        groups = self.groups.get(run.join) if run.join is not None else None
        if groups:
            for start, (total, _) in groups.items():
                at = start - run.offset_s
                if at >= 0 and blocked >> at & 1 and self._joins(run, at, total, portions):
                    # -1 (never) has no top bit to clear: a load that fits nowhere alone joins nothing either.
                    blocked &= ~(1 << at)
        return blocked

    def _joins(self, run: Run, at: int, total: int, portions: int) -> bool:
        for use in run.slots:
            extra = -(-(total + portions) // use.fits) + -total // use.fits
            if extra and not self.profile.is_free(use.resource, extra, at + use.from_s, at + use.to_s):
                return False
        return True

    def starts_blocked(self, pattern: Pattern, first_blocked: int) -> Starts:
        """For each piece, the starts that cannot be reached from the load's own start on.

        ``first_blocked`` are starts of the first piece that are out for other reasons.
        """
        blocked = self.piece_blocked(pattern, 0) | first_blocked
        reach = [blocked]
        for index in range(1, len(pattern.pieces)):
            before, piece = pattern.pieces[index - 1], pattern.pieces[index]
            ends = later(blocked, before.length_s) if blocked >= 0 else -1
            if blocked < 0:
                blocked = -1
            elif before.held is None:
                blocked = spread(ends, piece.wait_s)
            else:
                taken = self.profile.full(*before.held)
                blocked = spread_holding(ends, piece.wait_s, taken) if taken >= 0 else -1
            blocked |= self.piece_blocked(pattern, index)
            reach.append(blocked)
        return tuple(reach)

    def latest(
        self, pattern: Pattern, reach: Starts, end_from: int, end_to: int, *, early: bool = False
    ) -> Starts | None:
        """Starts of the pieces that end as late as can be in ``end_from .. end_to``; None where nothing fits.

        ``early``: what is before a wait is done as soon as the wait allows, not as late.
        """
        last = len(pattern.pieces) - 1
        length_s = pattern.pieces[last].length_s
        start = last_free(reach[last], end_from - length_s, end_to - length_s)
        if start is None:
            return None
        starts = [start]
        for index in range(last, 0, -1):
            before, piece = pattern.pieces[index - 1], pattern.pieces[index]
            earlier = last_free(reach[index - 1], start - piece.wait_s - before.length_s, start - before.length_s)
            if earlier is None:  # cannot be: `start` was reached from there
                return None
            if early:
                since = start - piece.wait_s
                if before.held is not None:
                    taken = self.profile.full(*before.held)
                    since = max(since, (taken & span(0, start)).bit_length() if taken >= 0 else start)
                earlier = min(earlier, first_free(reach[index - 1], max(0, since - before.length_s)))
            start = earlier
            starts.append(start)
        return tuple(reversed(starts))

    def fits_at(self, pattern: Pattern, starts: Starts) -> bool:
        """Whether a load fits at exactly these starts (the waits between its pieces are not looked at)."""
        levels, portions = self.profile._levels, pattern.portions
        for piece, start in zip(pattern.pieces, starts, strict=True):
            if start < 0:
                return False
            for run in piece.runs:
                if run.join is not None and (groups := self.groups.get(run.join)):
                    group = groups.get(start + run.offset_s)
                    if group is not None and self._joins(run, start, group[0], portions):
                        continue
                for resource, level, from_s, seconds in run.looks:
                    if level < 0:
                        return False
                    of = levels[resource]
                    if level < len(of) and of[level] >> start + from_s & seconds:
                        return False
        for index in range(1, len(starts)):
            before = pattern.pieces[index - 1]
            end = starts[index - 1] + before.length_s
            if (
                before.held is not None
                and end < starts[index]
                and not self.profile.is_free(*before.held, end, starts[index])
            ):
                return False
        return True

    def ending(self, pattern: Pattern, out: int, end: int) -> Starts | None:
        """Starts of the pieces that end then without a wait, if that fits and the first is not ``out``."""
        start = end - pattern.before_end_s[0]
        if start < 0 or out >> start & 1:
            return None
        starts = tuple([end - before_s for before_s in pattern.before_end_s])
        return starts if self.fits_at(pattern, starts) else None

    # -- placing -----------------------------------------------------------------------------------------------

    def put(self, load: PlacedLoad) -> None:
        """Take what a load needs."""
        self._apply(load, putting=True)

    def take(self, load: PlacedLoad) -> None:
        """Give back what a load took."""
        self._apply(load, putting=False)

    def _apply(self, load: PlacedLoad, *, putting: bool) -> None:
        job, starts = load.job, load.starts
        pattern = job.pattern
        if pattern is None:
            return
        self.work += 1
        profile = self.profile
        change = profile.take if putting else profile.give
        if job.held is not None and (bits := span(job.begun_end, starts[0])):
            change(*job.held, bits)
        index = 0
        for piece in pattern.pieces:
            start = starts[index]
            index += 1
            for run in piece.runs:
                if run.join is not None and (others := self._regroup(run, run.join, start, pattern.portions, putting)):
                    self._apply_shared(run, start, others, pattern.portions, putting)
                    continue
                for resource, amount, from_s, bits in run.takes:
                    change(resource, amount, bits << start + from_s)
            if piece.held is not None and (bits := span(start + piece.length_s, starts[index])):
                change(*piece.held, bits)

    def _regroup(self, run: Run, join: JoinKey, start: int, portions: int, putting: bool) -> int:
        """Count a load among those that share a run, or no longer; the portions of the others."""
        groups = self.groups.get(join)
        if groups is None:
            groups = self.groups[join] = {}
        at = start + run.offset_s
        if putting:
            others, loads = groups.get(at, (0, 0))
            groups[at] = (others + portions, loads + 1)
            return others
        total, loads = groups[at]
        if total == portions:
            del groups[at]
        else:
            groups[at] = (total - portions, loads - 1)
        return total - portions

    def _apply_shared(self, run: Run, start: int, others: int, portions: int, putting: bool) -> None:
        """Slots that a load takes beyond those of others with which it shares the run; the hands are theirs."""
        for use in run.slots:
            extra = -(-(others + portions) // use.fits) + -others // use.fits
            if extra:
                change = self.profile.add if putting else self.profile.remove
                change(use.resource, extra, start + use.from_s, start + use.to_s)
            else:
                self.profile.touch(use.resource)

    def put_course(self, course: PlacedCourse, *, loads: bool = True) -> None:
        """Take what a course needs; ``loads=False`` where its loads are placed already."""
        if loads:
            for load in course.loads:
                if load.job.key not in self.fixed:
                    self.put(load)
        self.profile.add(0, course.job.pass_hands, course.landing, course.up)
        self.placed[course.job.key] = course
        self.up[course.job.key] = course.up

    def take_course(self, key: CourseKey) -> PlacedCourse:
        """Take a course out again, all but what has begun and cannot wait (``fixed``)."""
        course = self.placed.pop(key)
        del self.up[key]
        self.profile.remove(0, course.job.pass_hands, course.landing, course.up)
        for load in course.loads:
            if load.job.key not in self.fixed:
                self.take(load)
        self.set_down(course.job)
        return course

    def lift(self, job: CourseJob) -> None:
        """Take off what is on the line for a course only until it is placed."""
        for load in job.loads if self.tentative else ():
            if load.key in self.tentative:
                self.take(self.tentative[load.key])

    def set_down(self, job: CourseJob) -> None:
        """Put back what :meth:`lift` took off."""
        for load in job.loads if self.tentative else ():
            if load.key in self.tentative:
                self.put(self.tentative[load.key])

    def snapshot(self) -> tuple[object, ...]:
        """The present state, for :meth:`restore`."""
        return (
            self.profile.snapshot(),
            {join: groups.copy() for join, groups in self.groups.items()},
            self.placed.copy(),
            self.up.copy(),
        )

    def restore(self, kept: tuple[object, ...]) -> None:
        """Go back to a state kept before; the same snapshot may be restored again."""
        profile, groups, placed, up = kept
        self.profile.restore(profile)  # type: ignore[arg-type]
        self.groups = {join: group.copy() for join, group in groups.items()}  # type: ignore[attr-defined]
        self.placed = placed.copy()  # type: ignore[attr-defined]
        self.up = up.copy()  # type: ignore[attr-defined]


def before(second: int) -> int:
    """All seconds before ``second`` as blocked bits."""
    return span(0, second)
