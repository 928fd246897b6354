"""A line of placed courses written on a sheet for the compiled search, and read back."""

from collections.abc import Mapping, Sequence

import numpy as np
import numpy.typing as npt

from kitchen_timer.plan.cost import priced
from kitchen_timer.plan.greedy import retargeted
from kitchen_timer.plan.jobs import CourseJob, LoadJob
from kitchen_timer.plan.line import Line, PlacedCourse, PlacedLoad
from kitchen_timer.plan.patterns import JoinKey, Pattern
from kitchen_timer.plan.swift.bits import WORD
from kitchen_timer.plan.swift.money import cost_of
from kitchen_timer.plan.swift.rounds import begin_cycle, keep_best
from kitchen_timer.plan.swift.tables import (
    ALL,
    AT,
    BEST,
    CHANCE,
    COLUMNS,
    COST,
    COURSE_LOAD,
    END,
    FAR,
    FIRST,
    LOAD_PIECE,
    NONE,
    Sheet,
)

MORE_S = 3600
"""Seconds beyond the last of the line at which courses may land."""

Row = tuple[int, ...]
Found = tuple[PlacedCourse, int, dict[LoadJob, tuple[int, ...]]]
"""A course as it was, the landing that was found, and the starts of its loads."""


class Rows:
    """The rows of one kind: those of others are named as if theirs began at 0 until all are known."""

    def __init__(self, *points_to: str) -> None:
        self.points_to = points_to
        """Which kind each column names; an empty word where it is a number."""
        self.rows: list[Row] = []

    def __len__(self) -> int:
        return len(self.rows)


class Written:
    """A line on a sheet, and which course is in which row."""

    def __init__(self, line: Line, seed: int) -> None:
        self.line = line
        self.courses = [course for course in line.placed.values() if course.job.landed is None]
        self._number = {course.job.key: index for index, course in enumerate(self.courses)}
        self.joins: dict[JoinKey, int] = {}
        """The row of ``shared`` for each kind of shared run."""
        self._kinds = {
            "resource": Rows(),
            "course": Rows("part", "load", *[""] * 7, "course"),
            "part": Rows("load", "", "", "after", "needed", "", "part"),
            "load": Rows("piece", "part", "course"),
            "piece": Rows("run"),
            "run": Rows("use", "slot"),
            "use": Rows(),
            "slot": Rows(),
            "after": Rows("part"),
            "needed": Rows("part"),
        }
        self._rates: list[float] = []
        level = 0
        for resource, capacity in enumerate(line.profile.capacities):
            # What has begun may take more than there is.
            levels = max(capacity, len(line.profile.levels(resource)))
            self._kinds["resource"].rows.append((capacity, level, levels))
            level += levels
        self._levels = level
        for course in self.courses:
            self._write(course.job)
        self.sheet = self._sheet(seed)

    def _write(self, job: CourseJob) -> None:
        kinds = self._kinds
        parts, loads = kinds["part"], kinds["load"]
        number, first = len(kinds["course"]), len(parts)
        floor, follows = self._follows(job)
        target = -FAR if job.target is None else job.target
        held = job.has_begun or any(load.stays for load in job.loads)
        times = (job.plating_s, job.ready, floor, target, job.alone_s)
        kinds["course"].rows.append(
            (first, len(loads), job.weight, job.pass_hands, *times, follows, job.gap_s, int(held))
        )
        dishes: dict[str, int] = {}
        for index, part in enumerate(job.parts):
            dish = dishes.setdefault(part.loads[0].key.dish if part.loads else "", len(dishes))
            after, needed = len(kinds["after"]), len(kinds["needed"])
            kinds["after"].rows += [(first + other,) for other in part.after]
            kinds["needed"].rows += [(first + other,) for other in part.needed_by]
            order = first + job.order[index]
            parts.rows.append((len(loads), part.keeps_s, part.reserve_s, after, needed, dish, order))
            for load in part.loads:
                self._rates.append(load.rate)
                pattern = None if load.stays else load.pattern
                used = sum(1 << resource for resource in pattern.resources) if pattern else 0
                flags = (int(load.stays), int(load.begun is not None), used, _holds_on_s(pattern))
                loads.rows.append((len(kinds["piece"]), first + index, number, load.portions, *flags))
                if pattern is not None:
                    self._write_pattern(pattern)

    def _follows(self, job: CourseJob) -> tuple[int, int]:
        """The earliest landing as far as it stays the same, and the course of these that it follows."""
        if job.follows is not None and job.up_before is None and job.follows in self._number:
            return job.floor, self._number[job.follows]
        return job.earliest(self.line.up), NONE

    def _write_pattern(self, pattern: Pattern) -> None:
        kinds = self._kinds
        for piece in pattern.pieces:
            kinds["piece"].rows.append((len(kinds["run"]), piece.length_s, piece.wait_s, *(piece.held or (NONE, 0))))
            for run in piece.runs:
                join = NONE if run.join is None else self.joins.setdefault(run.join, len(self.joins))
                kinds["run"].rows.append((len(kinds["use"]), len(kinds["slot"]), run.offset_s, join))
                kinds["use"].rows += [use for use in run.uses if use[1] > 0 and use[3] > use[2]]
                if run.join is not None:
                    kinds["slot"].rows += [(slot.resource, slot.fits, slot.from_s, slot.to_s) for slot in run.slots]

    def _sheet(self, seed: int) -> Sheet:
        first, row = {}, 1
        for name, kind in self._kinds.items():
            first[name] = row
            row += len(kind) + 1
        self.first = first
        given = np.zeros((row, 12), dtype=np.int64)
        courses, loads = len(self.courses), len(self._kinds["load"])
        seconds = max(self.line.profile.quiet_from(), *(course.up for course in self.courses)) + MORE_S
        words = -(-seconds // WORD)
        rows = (first["course"], first["course"] + courses, first["load"], first["load"] + loads)
        given[0, :6] = *rows, words * WORD, self._levels
        for name, kind in self._kinds.items():
            end = [len(self._kinds[to]) if to else 0 for to in kind.points_to]
            block = _block([*kind.rows, tuple(end)], kind.points_to, first)
            given[first[name] : first[name] + len(kind) + 1, : block.shape[1]] = block
        money = np.zeros((first["load"] + loads, 3), dtype=np.float64)
        money[first["load"] :, 0] = self._rates
        now = np.zeros((first["run"], COLUMNS), dtype=np.int64)
        s = Sheet(given, now, self._bits(words), self._shared(words * WORD), money)
        s.now[0, CHANCE] = (seed * 2654435769 + 88172645463325252) % (1 << 63)
        self._write_starts(s)
        return s

    def _bits(self, words: int) -> npt.NDArray[np.int64]:
        """The rows of bits: what is taken of each resource, and when shared runs start."""
        bits = np.zeros((self._levels + len(self.joins), words), dtype=np.int64)
        for resource, (_, first, _) in enumerate(self._kinds["resource"].rows):
            for above, level in enumerate(self.line.profile.levels(resource)):
                bits[first + above] = _words(level, words)
        for key, row in self.joins.items():
            starts = [at for at, (portions, _) in self.line.groups.get(key, {}).items() if at >= 0 and portions > 0]
            bits[self._levels + row] = _words(sum(1 << at for at in starts), words)
        return bits

    def _shared(self, seconds: int) -> npt.NDArray[np.int16]:
        shared = np.zeros((max(1, len(self.joins)), seconds), dtype=np.int16)
        for key, row in self.joins.items():
            for at, (portions, _) in self.line.groups.get(key, {}).items():
                if 0 <= at < seconds:
                    shared[row, at] = portions
        return shared

    def _write_starts(self, s: Sheet) -> None:
        load, first = self.first["load"], self.first["course"]
        for number, course in enumerate(self.courses):
            s.now[first + number, AT] = course.landing
            for placed in course.loads:
                s.now[load, FIRST], s.now[load, END] = placed.job.first_start(placed.start), placed.end
                if not placed.job.stays:
                    s.now[s.given[load, LOAD_PIECE] : s.given[load + 1, LOAD_PIECE], AT] = placed.starts
                load += 1
        for number in range(first, first + len(self.courses)):
            s.money[number, COST] = cost_of(s, number)
        s.money[0, ALL] = s.money[first : first + len(self.courses), COST].sum()
        keep_best(s)
        begin_cycle(s, 0)

    def best(self) -> list[Found]:
        """What the best has otherwise than the line."""
        s, found = self.sheet, list[Found]()
        for number, course in enumerate(self.courses, start=self.first["course"]):
            load, starts = int(s.given[number, COURSE_LOAD]), dict[LoadJob, tuple[int, ...]]()
            for placed in course.loads:
                starts[placed.job] = placed.starts
                if not placed.job.stays:
                    pieces = s.now[s.given[load, LOAD_PIECE] : s.given[load + 1, LOAD_PIECE], BEST]
                    starts[placed.job] = tuple(pieces.tolist())
                load += 1
            landing = int(s.now[number, BEST])
            if landing != course.landing or any(placed.starts != starts[placed.job] for placed in course.loads):
                found.append((course, landing, starts))
        return found


def _holds_on_s(pattern: Pattern | None) -> int:
    """For how long after its end a load holds of anything at the most: what recovers does."""
    pieces = pattern.pieces if pattern else ()
    ends = [to_s - piece.length_s for piece in pieces for run in piece.runs for _, _, _, to_s in run.uses]
    return max(0, *ends, 0)


def _block(rows: Sequence[Row], points_to: Sequence[str], first: Mapping[str, int]) -> npt.NDArray[np.int64]:
    """Rows as an array, those that they name by their rows on the sheet."""
    width = max(len(row) for row in rows)
    block = np.array([[*row, *[0] * (width - len(row))] for row in rows], dtype=np.int64).reshape(len(rows), width)
    for column, to in enumerate(points_to):
        if to:
            named = block[:, column]
            block[:, column] = np.where(named == NONE, NONE, named + first[to])
    return block


def _words(level: int, words: int) -> npt.NDArray[np.int64]:
    """A long integer's bits in so many words; what is beyond them is left out."""
    raw = (level & (1 << words * WORD) - 1).to_bytes(words * WORD // 8, "little")
    return np.frombuffer(raw, dtype="<i8").astype(np.int64)


def have_so(line: Line, found: Sequence[Found]) -> None:
    """Have courses of the line as a search found them."""
    for course, _, _ in found:
        line.take_course(course.job.key)
    for course, landing, starts in sorted(found, key=lambda each: each[1]):
        job = course.job
        line.lift(job)
        loads = tuple([PlacedLoad(load.job, starts[load.job]) for load in course.loads])
        for load in loads:
            if load.job.key not in line.fixed:
                line.put(load)
        target = job.target_from(job.earliest(line.up))
        again = PlacedCourse(job, target, landing, landing + job.plating_s, loads, 0.0, 0.0)
        line.put_course(priced(again), loads=False)
    moved = {course.job.key for course, _, _ in found}
    for key, course in list(line.placed.items()):
        if course.job.follows in moved and key not in moved:
            retargeted(line, course)
