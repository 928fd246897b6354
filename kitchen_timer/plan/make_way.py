"""Loads that make way: a late course lands sooner, or a load stands less, because loads of others are done otherwise.

Putting whole courses back in another order finds no plan in which a course stays as it is but for one load, done
sooner so that the fryer is free for the next table. Here one course or load is put where it is wanted, and what stands
in its way is taken off; then each load taken off finds another place, its course landing when it did, and what stands
in the way there makes way in turn. What has begun or was announced stays.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from random import Random

from kitchen_timer.plan.attempt import Attempt
from kitchen_timer.plan.cost import priced
from kitchen_timer.plan.jobs import LoadJob, lateness
from kitchen_timer.plan.line import Line, PlacedCourse, PlacedLoad, Starts, before
from kitchen_timer.plan.patterns import Pattern
from kitchen_timer.plan.profile import first_free, last_free, span
from kitchen_timer.plan.question import CourseKey

LEADS = 0.3
"""How often a course that is late because it follows another has that one land later: its target is then later too."""
TOGETHER = 0.7
"""How often what follows a course that lands sooner is landed sooner with it."""
OFTEN = 0.5
"""How often the change that would be best is tried, and not a part of it."""
MOST_OFF = 20
"""Loads taken off for one course, those taken off again counted again."""
WAITS = 0.5
"""How often a load that may wait in between does."""
LAST = 0.75
"""How often a load in whose way others stand is tried as late as can be first, and not at any instant."""
ENDS_TRIED = 6
"""Instants at which it is tried: each sooner by as much as what cannot go stands in the way."""

LATER = 0.2
"""How often not a load that stands is done later, but its course lands later: what waits for the pass may cost more."""
NONE = 1e-6
"""Plate-seconds that are no waiting."""

Held = tuple[int, int, PlacedLoad]
"""From, until, and what holds a slot or a hand for so long."""


class Way:
    """A line whose loads can make way for a course. The courses that it is given may land otherwise, and no others."""

    def __init__(self, line: Line, random: Random) -> None:
        self.line, self.random = line, random
        self._held: dict[CourseKey, tuple[PlacedCourse, int, int, dict[int, list[Held]]]] = {}
        self._off: dict[CourseKey, dict[LoadJob, PlacedLoad]] = {}
        """What was taken off and is not back yet."""
        self._count = 0
        self._keep: set[LoadJob] = set()
        """What it is done for: stays where it was just put."""

    def sooner(self, courses: Sequence[PlacedCourse]) -> set[CourseKey] | None:
        """Have one of these that is late land sooner; the courses placed anew, or None: the line is left anyhow."""
        late = [course for course in courses if course.landing > course.target]
        if not late:
            return None
        course = self.random.choices(late, [each.cost for each in late])[0]
        wanted = max(course.target, course.job.earliest(self.line.up))
        if wanted >= course.landing:
            return None
        if course.job.target is None and self._by(LEADS):
            late_s = course.landing - wanted
            for leads in courses:
                if leads.job.key == course.job.follows:
                    by_s = late_s if self._by(OFTEN) else self.random.randint(1, late_s)
                    return self._land([(leads, leads.landing + by_s)])
        landing = self._between(course, wanted, course.landing - 1)
        if landing is None:
            return None
        return self._land([(course, landing), *self._with(course, course.landing - landing, courses)])

    def less(self, courses: Sequence[PlacedCourse]) -> set[CourseKey] | None:
        """Have food of one of these that stands done later; the courses placed anew, or None, as :meth:`sooner`."""
        waiting = [each for each in courses if each.cost > lateness(each.job.weight, each.landing - each.target) + NONE]
        if not waiting:
            return None
        course = self.random.choice(waiting)
        if self._by(LATER):
            late = lateness(course.job.weight, course.landing - course.target)
            by_s = self.random.randint(1, 1 + int((course.cost - late) / course.job.weight))
            return self._land([(course, course.landing + by_s)])
        attempt, placed = Attempt(self.line, course.job, look=False), {load.job: load for load in course.loads}
        ends = {
            load: attempt.window(load.job, course.landing, placed)[1] for load in course.loads if not load.job.stays
        }
        standing = [(load, end) for load, end in ends.items() if end > load.end]
        if not standing:
            return None
        costs = [load.job.rate * (end - load.end) for load, end in standing]
        load, end = self.random.choices(standing, costs)[0]
        return self._end(course, load, end if self._by(OFTEN) else self.random.randint(load.end + 1, end))

    def _between(self, course: PlacedCourse, low: int, high: int) -> int | None:
        """An instant from ``low`` to ``high`` at which the pass has hands to plate a course; None: there is none."""
        job, profile = course.job, self.line.profile
        if not job.plating_s:
            return self.random.randint(low, high)
        profile.remove(0, job.pass_hands, course.landing, course.up)
        blocked = profile.starts_blocked(0, job.pass_hands, 0, job.plating_s)
        profile.add(0, job.pass_hands, course.landing, course.up)
        landing = first_free(blocked, self.random.randint(low, high))
        return landing if landing <= high else last_free(blocked, low, high)

    def _by(self, share: float) -> bool:
        return self.random.random() < share

    def _with(
        self, course: PlacedCourse, sooner_s: int, courses: Sequence[PlacedCourse]
    ) -> list[tuple[PlacedCourse, int]]:
        """What follows a course that lands sooner, sooner by as much: its target is, and else it is late."""
        for other in courses:
            job = other.job
            if job.follows == course.job.key and job.up_before is None and job.target is None and self._by(TOGETHER):
                wanted = max(job.ready + job.alone_s, other.target - sooner_s)
                landing = max(wanted, other.landing - sooner_s)
                if wanted < landing and self._by(OFTEN):
                    landing = self.random.randint(wanted, landing)
                if landing < other.landing:
                    return [(other, landing), *self._with(other, other.landing - landing, courses)]
        return []

    def _land(self, changes: Sequence[tuple[PlacedCourse, int]]) -> set[CourseKey] | None:
        """Land courses at other instants."""
        line, stays = self.line, []
        self._off, self._count, self._keep = {}, 0, set()
        for course, landing in changes:
            line.profile.remove(0, course.job.pass_hands, course.landing, course.up)
            stay = {load.job: load for load in course.loads if load.job.stays}
            if any(load.end > landing for load in stay.values()):
                return None
            stays.append(stay)
            self._keep.update(course.job.loads)
            for load in course.loads:
                if load.job not in stay:
                    line.take(load)
        for (course, landing), stay in zip(changes, stays, strict=True):
            job = course.job
            if not line.profile.is_free(0, job.pass_hands, landing, landing + job.plating_s):
                return None
            go = [load for load in job.loads if load not in stay]
            again = self._place(Attempt(line, job, look=False, settled=stay), landing, go)
            if again is None:
                return None
            line.put_course(again, loads=False)
        return self._put_back({course.job.key for course, _ in changes})

    def _end(self, course: PlacedCourse, load: PlacedLoad, end: int) -> set[CourseKey] | None:
        """Have a load done at another instant."""
        line, pattern = self.line, load.job.pattern
        assert pattern is not None
        line.take(load)
        self._off, self._count, self._keep = {}, 0, {load.job}
        starts = tuple([end - before_s for before_s in pattern.before_end_s])
        if self._clear(None, load.job, starts):
            return None
        again = PlacedLoad(load.job, starts)
        line.put(again)
        loads = tuple([again if each is load else each for each in course.loads])
        line.placed[course.job.key] = priced(replace(course, loads=loads))
        return self._put_back({course.job.key})

    def _put_back(self, moved: set[CourseKey]) -> set[CourseKey] | None:
        """Put back all that was taken off."""
        line = self.line
        while self._off:
            key, off = next(iter(self._off.items()))
            del self._off[key]
            other = line.placed[key]
            stay = {load.job: load for load in other.loads if load.job not in off}
            again = self._place(Attempt(line, other.job, look=False, settled=stay), other.landing, off)
            if again is None:
                return None
            line.placed[key] = again
            moved.add(key)
        return moved

    def _place(self, attempt: Attempt, landing: int, loads: Iterable[LoadJob]) -> PlacedCourse | None:
        """Put these loads of a course, the others where they are."""
        job, done, line = attempt.job, dict(attempt.settled), self.line
        todo = set(loads)
        for p in job.order:
            part = job.parts[p]
            for load in part.loads:
                if load not in todo:
                    continue
                ready = max([job.ready, *(done[o].end for f in part.after for o in job.parts[f].loads if o in done)])
                from_s, to_s = attempt.window(load, landing, done)
                starts = self._starts(job.key, load, before(ready), from_s, to_s)
                if starts is None:
                    return None
                done[load] = PlacedLoad(load, starts)
                line.put(done[load])
        return attempt.course_at(landing, done)

    def _starts(self, own: CourseKey, load: LoadJob, out: int, from_s: int, to_s: int) -> Starts | None:
        line, pattern = self.line, load.pattern
        assert pattern is not None
        if to_s < from_s:
            return None
        starts = line.ending(pattern, out, to_s)
        if starts is None:
            starts = line.latest(pattern, line.starts_blocked(pattern, out), from_s, to_s)
        if starts is not None:
            return starts
        end = to_s if self._by(LAST) else self.random.randint(from_s, to_s)
        if pattern.waits_s and self._by(WAITS):
            starts = self._waiting(pattern, end)
        else:
            starts = tuple([end - each_s for each_s in pattern.before_end_s])
        for _ in range(ENDS_TRIED):
            if starts[0] < 0 or out >> starts[0] & 1:
                return None
            sooner_s = self._clear(own, load, starts)
            if not sooner_s:
                return starts
            end -= sooner_s
            if end < from_s:
                return None
            starts = tuple([start - sooner_s for start in starts])
        return None

    def _waiting(self, pattern: Pattern, end: int) -> Starts:
        """Starts of the pieces of a load done at ``end`` that waits somewhere in between, as long as it happens."""
        pieces, starts = pattern.pieces, [end - pattern.pieces[-1].length_s]
        for index in range(len(pieces) - 1, 0, -1):
            starts.append(starts[-1] - self.random.randint(0, pieces[index].wait_s) - pieces[index - 1].length_s)
        return tuple(reversed(starts))

    def _clear(self, own: CourseKey | None, load: LoadJob, starts: Starts) -> int:
        """Take off what stands in the way of a load; seconds by which it must be sooner where something cannot go."""
        line, pattern = self.line, load.pattern
        assert pattern is not None
        taken: list[tuple[CourseKey, PlacedLoad]] = []
        sooner_s = 0
        for piece, start in zip(pattern.pieces, starts, strict=True):
            for run in piece.runs:
                for resource, amount, since_s, until_s in run.uses:
                    from_s, to_s = start + since_s, start + until_s
                    if line.profile.is_free(resource, amount, from_s, to_s):
                        continue
                    for key, other in self._holders(own, resource, from_s, to_s):
                        if self._count + len(taken) >= MOST_OFF:
                            break
                        line.take(other)
                        taken.append((key, other))
                        self._off.setdefault(key, {})[other.job] = other
                        if line.profile.is_free(resource, amount, from_s, to_s):
                            break
                    else:
                        full = line.profile.full(resource, amount) >> from_s & span(0, to_s - from_s)
                        sooner_s = max(sooner_s, to_s - from_s - ((full & -full).bit_length() - 1))
        if line.fits_at(pattern, starts):
            self._count += len(taken)
            return 0
        for key, other in reversed(taken):
            line.put(other)
            del self._off[key][other.job]
            if not self._off[key]:
                del self._off[key]
        return max(1, sooner_s)

    def _holders(
        self, own: CourseKey | None, resource: int, from_s: int, to_s: int
    ) -> list[tuple[CourseKey, PlacedLoad]]:
        """Loads of others that hold of a resource in a stretch and can make way, in no order."""
        found: dict[LoadJob, tuple[CourseKey, PlacedLoad]] = {}
        for key, course in self.line.placed.items():
            known = self._held.get(key)
            if known is None or known[0] is not course:
                known = self._held[key] = (course, *_held(course))
            if known[1] < to_s and known[2] > from_s and key != own and resource in known[3]:
                off = self._off.get(key, ())
                for since, until, load in known[3][resource]:
                    if since < to_s and until > from_s and load.job not in off and load.job not in self._keep:
                        found[load.job] = key, load
        several = list(found.values())
        self.random.shuffle(several)
        return several


def _held(course: PlacedCourse) -> tuple[int, int, dict[int, list[Held]]]:
    """From when until when a course holds anything that can make way, and of each resource what."""
    held: dict[int, list[Held]] = {}
    for load in course.loads if course.job.landed is None else ():
        if load.job.stays:
            continue
        assert load.job.pattern is not None
        for piece, start in zip(load.job.pattern.pieces, load.starts, strict=True):
            for run in piece.runs:
                for resource, _, from_s, to_s in run.uses:
                    held.setdefault(resource, []).append((start + from_s, start + to_s, load))
    every = [each for of in held.values() for each in of]
    return min([each[0] for each in every], default=0), max([each[1] for each in every], default=0), held
