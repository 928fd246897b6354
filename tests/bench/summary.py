"""From every run to one line for each number of open courses: costs, lateness, gaps, times."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean

from tests.bench.best_known import Best
from tests.bench.figures import percentile
from tests.bench.measure import OURS, PLANNERS, Data

SMALL_COST = 60.0
"""Plate-seconds: a plate a minute late. Gaps above a best known plan that costs less are shares of this."""
AFTER_S = (0.1, 1.0, 5.0, 10.0)
NEAR = 0.05
"""An improved plan is one that costs so much more than the best known, at most."""


@dataclass(frozen=True)
class Planned:
    """One planner at one number of open courses."""

    found: int
    """Snapshots that it found a plan for, of ``Line.snapshots``."""
    cost: float
    """Plate-seconds a snapshot, on average."""
    late_mean_s: float
    late_p90_s: float
    spread_mean_s: float
    past_keeps: float
    """Share of the loads."""
    broken: int


@dataclass(frozen=True)
class Line:
    """One number of open courses."""

    open: int
    snapshots: int
    steps: float
    """A snapshot, on average."""
    seconds: float
    planned: Mapping[str, Planned]
    gap: Mapping[float, float]
    """After so many CPU seconds: cost above the best known, on average; only where it was searched for so long."""
    worst_gap: Mapping[float, float]
    event_gap: Mapping[float, float]
    """After an event at the end of each evening: cost and moved cues above the best that a longer search found."""
    first_s: Sequence[float]
    """CPU seconds of the first plan after each event of an evening."""
    near_s: Sequence[float]
    """CPU seconds to a plan within 5 % of the best known; infinite where none was found in time."""
    proven: float
    """Share of snapshots proven optimal in the time of the search."""
    bound_gap: float
    """Cost above what is proven to be needed, on average; infinite where nothing is proven for one of them."""
    broken_in_evenings: int

    def below(self, other: str) -> float:
        """By which share the cost is below another planner's, all snapshots together."""
        return 1 - self.planned[OURS].cost / self.planned[other].cost if self.planned[other].cost else 0.0


def gap(cost: float, best: float) -> float:
    """How far a cost is above the best known, as a share."""
    return max(0.0, cost - best) / max(best, SMALL_COST)


def summed(data: Data, best: Mapping[str, Best]) -> list[Line]:
    """A line for each number of open courses."""
    opens = sorted({shot["open"] for shot in data["snapshots"]})
    return [
        _line(
            [shot for shot in data["snapshots"] if shot["open"] == number],
            [each for each in data["evenings"] if each["open"] == number],
            best,
        )
        for number in opens
    ]


def _line(shots: list[Data], evenings: list[Data], best: Mapping[str, Best]) -> Line:
    seconds = shots[0]["seconds"]
    gaps = {after: [_gap_after(shot, after, best) for shot in shots] for after in AFTER_S if after <= seconds}
    last = [each["last"] for each in evenings if each.get("last")]
    after_event = {after: [_event_gap(each, after) for each in last] for after in gaps if last}
    own = [shot["runs"][OURS] for shot in shots]
    bounds = [float("inf") if run["bound"] is None else gap(run["figures"]["cost"], run["bound"]) for run in own]
    return Line(
        open=shots[0]["open"],
        snapshots=len(shots),
        steps=fmean(shot["steps"] for shot in shots),
        seconds=seconds,
        planned={name: _planned([shot["runs"][name]["figures"] for shot in shots]) for name in PLANNERS},
        gap={after: fmean(each) for after, each in gaps.items()},
        worst_gap={after: max(each) for after, each in gaps.items()},
        event_gap={after: fmean(each) for after, each in after_event.items()},
        first_s=[s for evening in evenings for s in evening["first_s"]],
        near_s=[_near_s(shot, best) for shot in shots],
        proven=fmean(run["proven"] for run in own),
        bound_gap=fmean(bounds),
        broken_in_evenings=sum(evening["broken"] for evening in evenings),
    )


def _planned(figures: list[Data | None]) -> Planned:
    found = [each for each in figures if each is not None]
    late = [s for each in found for s in each["late_s"]]
    spread = [s for each in found for s in each["spread_s"]]
    loads = sum(each["loads"] for each in found)
    return Planned(
        found=len(found),
        cost=fmean(each["cost"] for each in found) if found else 0.0,
        late_mean_s=fmean(late) if late else 0.0,
        late_p90_s=percentile(late, 0.9),
        spread_mean_s=fmean(spread) if spread else 0.0,
        past_keeps=sum(each["past_keeps"] for each in found) / loads if loads else 0.0,
        broken=sum(each["broken"] for each in found),
    )


def _gap_after(shot: Data, after: float, best: Mapping[str, Best]) -> float:
    costs = [cost for at, cost in shot["runs"][OURS]["better"] if at <= after]
    return gap(min(costs), best[shot["name"]].cost) if costs else float("inf")


def _event_gap(followed: Data, after: float) -> float:
    found = [worth for at, worth in followed["better"] if at <= after]
    return gap(min(found), followed["best"]) if found else float("inf")


def _near_s(shot: Data, best: Mapping[str, Best]) -> float:
    known = best[shot["name"]].cost
    return min((at for at, cost in shot["runs"][OURS]["better"] if gap(cost, known) <= NEAR), default=float("inf"))
