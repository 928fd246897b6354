"""Trying to place one course: which landings its loads allow, and whether they fit together at one of them.

The landings that are possible load by load come out of a few integer operations; whether the loads fit together is
then tried landing by landing. What has begun is respected as it stands (begun.py).
"""

from collections.abc import Mapping, Sequence

from kitchen_timer.plan.begun import soonest
from kitchen_timer.plan.cost import priced
from kitchen_timer.plan.jobs import CourseJob, LoadJob, Part
from kitchen_timer.plan.line import Line, PlacedCourse, PlacedLoad, before
from kitchen_timer.plan.profile import first_free, later, span, spread
from kitchen_timer.plan.put import put_alike, put_as
from kitchen_timer.plan.template import Template, matched

MOST_TRIES = 48
"""Landings tried before a course is placed as it would be with the kitchen to itself."""
MOST_TRIES_ALONE = 16
MOST_TRIES_HASTY = 16
LONGEST_STRIDE_S = 32
MOST_HALVINGS = 6
MOST_HALVINGS_HASTY = 2
MOST_ORDERS = 4
"""Orders of placing its loads that are tried at one landing."""
MOST_ORDERS_HASTY = 2


class Attempt:
    """Trying to place one course."""

    def __init__(
        self,
        line: Line,
        job: CourseJob,
        *,
        look: bool = True,
        settled: Mapping[LoadJob, PlacedLoad] | None = None,
        reserve: float = 0.0,
    ) -> None:
        """``look=False``: for :meth:`exactly` only. ``settled``: loads that are on the line and stay where they are.

        ``reserve``: the share of each part's reserve that is left unused.
        """
        self.reserve = reserve
        self.line = line
        self.job = job
        self.earliest = job.earliest(line.up)
        self.target = job.target_from(self.earliest)
        self.settled: dict[LoadJob, PlacedLoad] = dict(settled or {})
        for load in job.loads:
            if load.pattern is None:
                self.settled[load] = PlacedLoad(load, (load.begun_end,))
            elif load.key in line.fixed and load not in self.settled:
                self.settled[load] = line.fixed[load.key]
        self.out: dict[LoadJob, int] = {}
        """Of each load that is to be placed, starts that others of its course rule out."""
        self.last_start: dict[LoadJob, int] = {}
        """The last second at which what is left of a begun load may start."""
        self.allowed: dict[LoadJob, int] = {}
        """Landings that a load by itself blocks."""
        self.never: LoadJob | None = None
        """A load that fits nowhere, whatever the landing."""
        self.blocked = self._landings_blocked() if look else 0
        order = [load for p in job.order for load in job.parts[p].loads if load not in self.settled]
        if job.has_begun:
            # What has begun stands in its slots: it finds its place before anything that can still be moved.
            order.sort(key=lambda load: load.begun is None or self._is_needed(load))
        self.orders: list[list[LoadJob]] = [order]

    def keeps_s(self, part: Part) -> int:
        """Seconds that what is placed of a part may stand here."""
        return part.keeps_s - int(self.reserve * part.reserve_s)

    def _is_needed(self, load: LoadJob) -> bool:
        """Whether something that has not begun comes after it."""
        parts = self.job.parts
        return any(other.begun is None for p in parts[load.part].needed_by for other in parts[p].loads)

    # -- which landings each load allows --------------------------------------------------------------------------

    def _landings_blocked(self) -> int:
        line, job = self.line, self.job
        line.looks += len(job.loads)
        blocked = line.profile.starts_blocked(0, job.pass_hands, 0, job.plating_s) if job.plating_s else 0
        ends: dict[int, list[tuple[LoadJob, int]]] = {}
        for p in reversed(job.order):
            part = job.parts[p]
            ends[p] = []
            out = before(job.ready)
            for other in part.after:
                for load, end in ends[other]:
                    settled = load in self.settled
                    out |= end if settled or load.begun else spread(end, self.keeps_s(job.parts[other]))
            for load in part.loads:
                if load in self.settled:
                    end = before(max(0, self.settled[load].end))
                    blocked |= end
                else:
                    assert load.pattern is not None
                    first = out if load.begun is None else self._begun_window(load)
                    self.out[load] = first
                    reach = line.starts_blocked(load.pattern, first)
                    if reach[-1] < 0:
                        self.never = load
                        return -1
                    end = later(reach[-1], load.pattern.pieces[-1].length_s)
                    if load.begun is not None:
                        # What waits for started food may begin at any second from its end on, kept or not.
                        end = self.allowed[load] = before(first_free(end, 0))
                        blocked |= end
                    elif not part.needed_by:
                        self.allowed[load] = spread(end, self.keeps_s(part))
                        blocked |= self.allowed[load]
                ends[p].append((load, end))
        return blocked

    def _begun_window(self, load: LoadJob) -> int:
        """Starts that are out for what is left of a begun load: those its next step cannot wait for, if it can be."""
        assert load.pattern is not None
        low, high = max(0, load.begun_end), max(0, load.begun_end + load.may_wait_s)
        kept_to = self._kept_to(load)
        if kept_to is not None:
            high = min(high, kept_to)
        start = before(low)
        blocked = self.line.piece_blocked(load.pattern, 0) | start
        if blocked >= 0 and (found := first_free(blocked, low)) > high:
            high = found  # forced: wait as little as can be
        self.last_start[load] = high
        return start | span(high + 1, high + 1 + max(12 * 3600, blocked.bit_length()))

    def _kept_to(self, load: LoadJob) -> int | None:
        """The last second to which a begun load's slots can be kept for it; None where no other load has them."""
        if load.held is None:
            return None
        low = max(0, load.begun_end)
        taken = self.line.profile.full(*load.held) >> low
        return low + (taken & -taken).bit_length() - 1 if taken > 0 else None

    # -- one landing ----------------------------------------------------------------------------------------------

    def at(self, landing: int, *, pinned: bool = False) -> PlacedCourse | None:
        """Place everything for this landing; the line is as before where it does not fit.

        ``pinned``: announced loads stay where their stations were told.
        """
        tried = 0
        orders = list(self.orders)
        while orders and tried < (MOST_ORDERS_HASTY if self.line.hasty else MOST_ORDERS):
            order = orders.pop(0)
            tried += 1
            done, failed = self.in_order(order, landing, pinned)
            if failed is None:
                if tried > 1:
                    self.orders = [order, *(o for o in self.orders if o is not order)]
                return self.course_at(landing, done)
            moved = self._sooner(order, failed)
            if moved is not None and moved not in self.orders:
                self.orders.append(moved)
                orders.append(moved)
        return None

    def in_order(
        self, order: Sequence[LoadJob], landing: int, pinned: bool = False
    ) -> tuple[dict[LoadJob, PlacedLoad], LoadJob | None]:
        """Place loads one after another; with the first that does not fit nothing stays placed, and it is named."""
        done = dict(self.settled)
        put: list[PlacedLoad] = []
        for load in order:
            starts = self._fit(load, landing, done, pinned)
            if starts is None:
                for placed in reversed(put):
                    self.line.take(placed)
                return done, load
            placed = PlacedLoad(load, starts)
            self.line.put(placed)
            put.append(placed)
            done[load] = placed
        return done, None

    def window(self, load: LoadJob, landing: int, done: Mapping[LoadJob, PlacedLoad]) -> tuple[int, int]:
        """The first and the last second at which a load may be done for a landing; ``done``: what comes after it."""
        part = self.job.parts[load.part]
        keeps_s = self.keeps_s(part)
        if part.needed_by:
            needed = [
                done[other].start for p in part.needed_by for other in self.job.parts[p].loads if other.begun is None
            ]
            if needed:
                return max(needed) - keeps_s, min(min(needed), landing)
        return landing - keeps_s, landing

    def _fit(
        self, load: LoadJob, landing: int, done: dict[LoadJob, PlacedLoad], pinned: bool
    ) -> tuple[int, ...] | None:
        self.line.looks += 1
        pattern, part = load.pattern, self.job.parts[load.part]
        assert pattern is not None
        from_s, to_s = self.window(load, landing, done)
        if pinned and load.announced is not None:
            told = load.announced
            if len(pattern.pieces) == 1:
                fine = from_s <= told + pattern.length_s <= to_s
                return self.line.ending(pattern, self.out[load], told + pattern.length_s) if fine else None
            only = self.out[load] | before(told) | span(told + 1, told + 1 + 4 * 3600)
            return self.line.latest(pattern, self.line.starts_blocked(pattern, only), from_s, to_s)
        out, kept_to = self.out[load], self._kept_to(load)
        if kept_to is not None:
            # Another load of the course may have taken the slots since the window was worked out.
            out |= span(kept_to + 1, self.last_start[load] + 1)
        if load in self.last_start:
            # The window ends for good, however late the landing: started food is not kept waiting for it.
            to_s = min(to_s, self.last_start[load] + pattern.length_s + pattern.waits_s)
        by_s = self._best_by(part, pattern.length_s, to_s)
        early = self.job.in_waves and load.begun is None and len(pattern.pieces) > 1
        if not early and by_s >= from_s and (starts := self.line.ending(pattern, out, by_s)) is not None:
            return starts
        reach = self.line.starts_blocked(pattern, out)
        if by_s < to_s:
            starts = self.line.latest(pattern, reach, from_s, by_s, early=early)
            if starts is not None:
                return starts
        starts = self.line.latest(pattern, reach, from_s, to_s, early=early)
        if starts is None and load.begun is not None:
            starts = self.line.latest(pattern, reach, 0, to_s)
            soon = soonest(self.line, load) if starts is None else ()
            if soon and soon[-1] + pattern.pieces[-1].length_s <= to_s and (kept_to is None or soon[0] <= kept_to):
                return soon
        return starts

    def _best_by(self, part: Part, length_s: int, to_s: int) -> int:
        """When a load had better be done so that nothing settled which it waits for stands too long."""
        stands = [
            self.settled[other].end + self.keeps_s(self.job.parts[p]) + length_s
            for p in part.after
            for other in self.job.parts[p].loads
            if other in self.settled
        ]
        return min([to_s, *stands])

    def _sooner(self, order: list[LoadJob], failed: LoadJob) -> list[LoadJob] | None:
        """The same order with a load that found no room placed as soon as those that need it allow."""
        at = order.index(failed)
        later_parts = self._dependants(failed.part)
        front = [load for load in order[:at] if load.part in later_parts or (load.begun and not self._is_needed(load))]
        if len(front) == at:
            return None
        return [*front, failed, *(load for load in order if load is not failed and load not in front)]

    def _dependants(self, part: int) -> set[int]:
        """Parts that come after a part, and those after them."""
        direct = self.job.parts[part].needed_by
        return {*direct, *(further for each in direct for further in self._dependants(each))}

    def course_at(self, landing: int, done: dict[LoadJob, PlacedLoad]) -> PlacedCourse:
        """The course with all its loads placed, priced."""
        job = self.job
        loads = tuple(done[load] for load in job.loads)
        return priced(PlacedCourse(job, self.target, landing, landing + job.plating_s, loads, 0.0, 0.0))

    # -- the search over landings ---------------------------------------------------------------------------------

    def upwards(
        self, from_s: int, to_s: int | None = None, *, pinned: bool = False, alone: bool = False
    ) -> PlacedCourse | None:
        """The lowest landing found from ``from_s`` on; strides grow, and the last one is looked through again.

        ``alone``: with the kitchen to itself, where a few wide strides tell all.
        """
        if self.blocked < 0:
            return None
        stride, failed = 1, from_s - 1
        landing = first_free(self.blocked, from_s)
        for _ in range(MOST_TRIES_ALONE if alone else MOST_TRIES_HASTY if self.line.hasty else MOST_TRIES):
            if to_s is not None and landing > to_s:
                return None
            course = self.at(landing, pinned=pinned)
            if course is not None:
                return self._lower(course, failed, pinned)
            failed = landing
            stride = min(2 * stride, LONGEST_STRIDE_S * (8 if alone or self.line.hasty else 1))
            landing = first_free(self.blocked, landing + stride // 2)
        return None

    def _lower(self, course: PlacedCourse, failed: int, pinned: bool) -> PlacedCourse:
        """Halve the stretch between a landing that failed and one that was found."""
        low = failed
        for _ in range(MOST_HALVINGS_HASTY if self.line.hasty else MOST_HALVINGS):
            landing = first_free(self.blocked, (low + course.landing + 1) // 2)
            if landing >= course.landing:
                if course.landing - low <= 2:
                    return course
                landing = first_free(self.blocked, low + 1)
                if landing >= course.landing:
                    return course
            self.take(course)
            lower = self.at(landing, pinned=pinned)
            if lower is not None:
                course = lower
            else:
                self.put(course)
                low = landing
        return course

    def take(self, course: PlacedCourse) -> None:
        """Take a course found here off the line again."""
        for load in reversed(course.loads):
            if load.job not in self.settled:
                self.line.take(load)

    def put(self, course: PlacedCourse) -> None:
        """Put it back."""
        for load in course.loads:
            if load.job not in self.settled:
                self.line.put(load)

    def downwards(self, from_s: int, to_s: int) -> PlacedCourse | None:
        """The highest landing found at or below ``from_s``, not under ``to_s``."""
        if self.blocked < 0:
            return None
        landing = from_s
        for _ in range((MOST_TRIES_HASTY if self.line.hasty else MOST_TRIES) // 2):
            if landing < to_s:
                return None
            if not self.blocked >> landing & 1 and (course := self.at(landing)) is not None:
                return course
            landing -= 1 + (from_s - landing) // 4
        return None

    def exactly(self, landing: int, starts: dict[LoadJob, tuple[int, ...]]) -> PlacedCourse | None:
        """The course at exactly these instants if every rule allows it; the line is as before where one does not."""
        return put_as(self.line, self.job, landing, starts)

    def from_template(self, template: Template, from_s: int) -> PlacedCourse | None:
        """Place the course as it would be with the kitchen to itself, at the first landing where all of that fits."""
        loads = matched(self.job, template)
        if loads is None or self.settled:
            return None
        done = put_alike(self.line, self.job, loads, from_s)
        return self.course_at(done[0], done[1]) if done is not None else None
