"""``python -m tests.bench``: the planner against what people do today and against a solver alone, in one run."""

import argparse
import json
import sys
from pathlib import Path
from time import perf_counter

from tests.bench.aims import aims_of
from tests.bench.best_known import KEPT, Best, keep, lower, read, search_long
from tests.bench.documents import write
from tests.bench.kitchens import GENERATED, SKERRYMOOT
from tests.bench.measure import PLANNERS, Data, everything
from tests.bench.pictures import against_today, curves_of, nearer_with_time
from tests.bench.summary import summed
from tests.bench.tables import as_markdown, as_text

OPEN = (5, 8, 10, 20, 40)
EVENING_OPEN = (10, 20, 40)
EVENTS = 40
QUICK_S = 1.0


def main(words: list[str] | None = None) -> int:
    """Plays, prints, and writes where it is asked to; 0 also when aims are missed."""
    asked = _asked(words)
    snapshots = [(k, n, s) for n in asked.open for k in asked.kitchens for s in range(1, asked.seeds + 1)]
    if asked.best_known is not None:
        search_long(snapshots, asked.best_known, _tell)
        return 0
    since = perf_counter()
    if asked.replay is not None:
        parts = [json.loads(file.read_text(encoding="utf-8")) for file in asked.replay]
        data: Data = {what: [each for part in parts for each in part[what]] for what in ("snapshots", "evenings")}
        data["took_s"] = sum(part["took_s"] for part in parts)
        data["runs"] = sum(part.get("runs", 1) for part in parts)
    else:
        evenings = [(k, n, 1) for n in asked.open if n in EVENING_OPEN for k in asked.kitchens if asked.events]
        data = everything(snapshots, evenings, asked.events, _tell, asked.seconds)
        data["took_s"] = perf_counter() - since
    if asked.keep is not None:
        asked.keep.write_text(json.dumps(data), encoding="utf-8")
    best = _best(data, asked.note_lower)
    lines, how = summed(data, best), _how(data, best)
    aims = aims_of(lines)
    for part in (how, as_text(lines), as_markdown(lines), "Aims:", "\n".join(map(str, aims))):
        _say(part + "\n")
    if asked.write:
        curves = curves_of(data["snapshots"], lambda name: best[name].cost)
        pictures = {"against-today.svg": against_today(lines), "nearer-with-time.svg": nearer_with_time(lines, curves)}
        write(lines, aims, pictures, how)
    return 0


def _asked(words: list[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    parser.add_argument(
        "--kitchens", type=_numbers, default=(SKERRYMOOT, *GENERATED), metavar="N,N", help="0 is the demo kitchen"
    )
    parser.add_argument("--open", type=_numbers, default=OPEN, metavar="N,N", help="open courses")
    parser.add_argument("--seeds", type=int, default=1, help="snapshots of each kitchen and number of open courses")
    parser.add_argument("--events", type=int, default=EVENTS, help="events of each evening")
    parser.add_argument("--seconds", type=float, help="search so long on each snapshot; default, what the aims name")
    parser.add_argument("--quick", action="store_true", help="one second a snapshot, two kitchens, few events")
    parser.add_argument("--best-known", type=float, metavar="MINUTES", help="only search so long for each snapshot")
    parser.add_argument("--note-lower", action="store_true", help="keep what was found lower than the best known")
    parser.add_argument("--keep", type=Path, metavar="FILE", help="write all that was measured, as JSON")
    parser.add_argument(
        "--replay", type=Path, nargs="+", metavar="FILE", help="print what runs with --keep wrote; measure nothing"
    )
    parser.add_argument("--write", action="store_true", help="rewrite the README's table, the whole one and pictures")
    asked = parser.parse_args(words)
    if asked.quick:
        asked.kitchens, asked.open, asked.events = asked.kitchens[:2], asked.open[:4], min(asked.events, 5)
        asked.seconds = QUICK_S if asked.seconds is None else asked.seconds
    return asked


def _numbers(text: str) -> tuple[int, ...]:
    return tuple(int(word) for word in text.split(","))


def _best(data: Data, note: bool) -> dict[str, Best]:
    """The best known with what this run found; says where that is lower."""
    best = read()
    for shot in data["snapshots"]:
        name, known = shot["name"], best.get(shot["name"])
        for planner in PLANNERS:
            run = shot["runs"][planner]
            # A plan that lets food stand too long is none.
            if run["figures"] and not run["figures"]["past_keeps"] and not run["figures"]["broken"]:
                lower(best, name, run["figures"]["cost"], run["bound"], planner)
        if known is None:
            _tell(f"{name}: no long search yet; the best of this run is taken for the best known")
        elif best[name].cost < known.cost:
            _tell(f"{name}: {best[name].by} found {best[name].cost:.0f}, below the best known {known.cost:.0f}")
    if note:
        keep(best, KEPT)
    return best


def _how(data: Data, best: dict[str, Best]) -> str:
    shots, evenings = data["snapshots"], data["evenings"]
    kitchens = len({shot["kitchen"] for shot in shots})
    events = sum(len(evening["first_s"]) for evening in evenings)
    return (
        f"{len(shots)} snapshots of {kitchens} invented kitchens, busiest resource at 70 %, up to "
        f"{max(shot['seconds'] for shot in shots):g} s of search each, one worker; {events} events of "
        f"{len(evenings)} evenings. Costs in plate-seconds, times in CPU seconds. "
        f"It took {data['took_s'] / 60:.0f} minutes{_runs(data.get('runs', 1))}. "
        f"{_known([best[shot['name']] for shot in shots])}"
    )


def _runs(count: int) -> str:
    return "" if count == 1 else f" in {count} runs"


def _known(best: list[Best]) -> str:
    searched = [each.searched_min for each in best if each.searched_min]
    if not searched:
        return "Best known is the lowest of this run alone: nothing has been searched for longer yet."
    return (
        f"Best known is the lowest of all planners and, for {len(searched)} of {len(best)} snapshots, "
        f"of a search of {min(searched):g} minutes or more."
    )


def _say(text: str) -> None:
    sys.stdout.write(text + "\n")


def _tell(text: str) -> None:
    sys.stderr.write(text + "\n")
    sys.stderr.flush()


if __name__ == "__main__":
    sys.exit(main())
