"""The cheapest plan that anybody has found for each snapshot, kept in ``best_known.json`` beside this file."""

import json
from collections.abc import Callable
from dataclasses import asdict, dataclass, replace
from hashlib import sha256
from pathlib import Path

from kitchen_timer.plan.question import Question
from kitchen_timer.plan.swift.ready import get_ready
from kitchen_timer.plan.targets import alone_s
from tests.bench.evenings import snapshot
from tests.bench.planners import PROVEN_WITHIN, ours

KEPT = Path(__file__).with_suffix(".json")
RESTARTS = 3
"""A long run is so many searches from different seeds, each from the best before it."""


@dataclass(frozen=True)
class Best:
    """The lowest cost of one snapshot."""

    cost: float
    bound: float
    by: str
    searched_min: float = 0.0
    """Minutes of the longest search that there was for it."""


def name_of(kitchen_seed: int, open_courses: int, seed: int, question: Question) -> str:
    """Names a snapshot and what is wanted in it, so that another one made by other code is not taken for it."""
    wanted = [
        (*w.key, w.in_at, w.land.model_dump_json(), w.portions, alone_s(question.kitchen, question.book, w.portions))
        for w in question.courses
    ]
    return f"kitchen {kitchen_seed}, {open_courses} open, seed {seed}: {sha256(repr(wanted).encode()).hexdigest()[:8]}"


def read(path: Path = KEPT) -> dict[str, Best]:
    """What is kept; nothing where there is no file yet."""
    if not path.exists():
        return {}
    return {name: Best(**each) for name, each in json.loads(path.read_text(encoding="utf-8")).items()}


def keep(best: dict[str, Best], path: Path = KEPT) -> None:
    """Write it down, in order of name."""
    rows = {name: asdict(best[name]) for name in sorted(best)}
    path.write_text(json.dumps(rows, indent=1) + "\n", encoding="utf-8")


def lower(best: dict[str, Best], name: str, cost: float, bound: float | None, by: str) -> None:
    """Take a plan or a bound that is better than what is known."""
    known = best.get(name)
    if known is None:
        best[name] = Best(round(cost, 2), round(bound or 0.0, 2), by)
        return
    proved = max(known.bound, round(min(bound or 0.0, cost), 2))
    if cost < known.cost - PROVEN_WITHIN:
        best[name] = replace(known, cost=round(cost, 2), bound=proved, by=by)
    else:
        best[name] = replace(known, bound=proved)


def search_long(snapshots: list[tuple[int, int, int]], minutes: float, say: Callable[[str], None]) -> None:
    """So many minutes of search for every snapshot that has not had them and is not proven; kept after each."""
    get_ready()
    for kitchen_seed, open_courses, seed in snapshots:
        question = snapshot(kitchen_seed, open_courses, seed)
        name = name_of(kitchen_seed, open_courses, seed, question)
        known = read().get(name)
        if known is not None and (known.searched_min >= minutes or known.cost - known.bound <= PROVEN_WITHIN):
            continue
        start = None
        for restart in range(RESTARTS):
            run = ours(question, 60 * minutes / RESTARTS, seed=restart, start=start)
            assert run.answer is not None
            start = run.answer
            best = read()
            lower(best, name, start.cost, run.bound, f"{minutes:g} minutes")
            keep(best)
            if run.proven:
                break
        best = read()
        best[name] = replace(best[name], searched_min=minutes)
        keep(best)
        say(f"{name}: {read()[name].cost:.0f}, bound {read()[name].bound:.0f}")
