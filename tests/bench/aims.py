"""What the planner is meant to reach, and whether it does."""

from collections.abc import Iterator
from dataclasses import dataclass

from tests.bench.figures import percentile
from tests.bench.measure import FIRE, OURS, STAGGER, TODAY
from tests.bench.summary import Line

MILLI = 1000
WITHIN_S = 5
"""Seconds of search in which optimality is to be proven."""


@dataclass(frozen=True)
class Aim:
    """One aim: what was measured against what it should be at least or at most."""

    what: str
    measured: float
    wanted: float
    unit: str
    at_least: bool = False

    @property
    def reached(self) -> bool:
        """Whether it is."""
        return self.measured >= self.wanted if self.at_least else self.measured <= self.wanted

    def __str__(self) -> str:
        least = "at least" if self.at_least else "at most"
        wanted = f"{least} {_number(self.wanted, self.unit)}"
        if self.measured == float("inf"):
            return f"{self.what}: nothing to measure, {wanted}: falls short"
        said = "reached" if self.reached else f"falls short by {_number(abs(self.measured - self.wanted), self.unit)}"
        return f"{self.what}: {_number(self.measured, self.unit)}, {wanted}: {said}"


def _number(value: float, unit: str) -> str:
    if unit == "%":
        return f"{100 * value:.1f} %"
    return f"{value:.1f} {unit}" if unit in ("s", "ms") else f"{value:.0f}{unit and ' ' + unit}"


def aims_of(lines: list[Line]) -> list[Aim]:
    """Every aim that was measured."""
    return [aim for line in lines for aim in (*_today(line), *_fast(line), *_near(line), *_proven(line))]


def _today(line: Line) -> Iterator[Aim]:
    many, own = f"{line.open} open", line.planned[OURS]
    wanted = 0.75 if line.open <= 20 else 0.60
    for other in TODAY:
        yield Aim(f"{many}: cost below {other}", line.below(other), wanted, "%", at_least=True)
    least_s = min(line.planned[FIRE].late_mean_s, line.planned[STAGGER].late_mean_s)
    yield Aim(f"{many}: mean lateness, both are later", own.late_mean_s, least_s, "s")
    yield Aim(f"{many}: loads past their keeps", own.past_keeps, 0.0, "%")
    yield Aim(f"{many}: other rules broken, courses given up", own.broken, 0, "")


def _fast(line: Line) -> Iterator[Aim]:
    wanted_ms = {20: 25.0, 40: 50.0}.get(line.open)
    if wanted_ms and line.first_s:
        p99_ms = MILLI * percentile(line.first_s, 0.99)
        yield Aim(f"{line.open} open: first plan after an event, p99", p99_ms, wanted_ms, "ms")
        yield Aim(f"{line.open} open: breaks in evenings that nothing started forces", line.broken_in_evenings, 0, "")


def _near(line: Line) -> Iterator[Aim]:
    wanted = {0.1: 0.25, 1.0: 0.05, 5.0: 0.02}
    if line.open > 10:
        wanted = {1.0: 0.10, 10.0: 0.03} if line.open <= 20 else {1.0: 0.15, 10.0: 0.05}
    many = f"{line.open} open"
    for after, most in wanted.items():
        if after in line.gap:
            yield Aim(f"{many}, from nothing: above the best known after {after:g} s", line.gap[after], most, "%")
        if after in line.event_gap:
            yield Aim(f"{many}: above the best found {after:g} s after an event", line.event_gap[after], most, "%")


def _proven(line: Line) -> Iterator[Aim]:
    if line.seconds < WITHIN_S:
        return
    if line.open <= 8:
        yield Aim(f"{line.open} open: proven optimal within {WITHIN_S} s", line.proven, 1.0, "%", at_least=True)
    elif line.open == 10:
        yield Aim(f"{line.open} open: above the proven bound, on average", line.bound_gap, 0.25, "%")
