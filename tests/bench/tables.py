"""The figures as a table, in plain text for a terminal and in Markdown for the README."""

from collections.abc import Callable

from tests.bench.figures import percentile
from tests.bench.measure import CP_SAT, FIRE, OURS, PLANNERS, STAGGER
from tests.bench.summary import AFTER_S, Line, Planned

Cell = Callable[[Line], str]
LONG = {OURS: "Kitchen Timer", FIRE: "fire on order", STAGGER: "stagger each table", CP_SAT: "plain CP-SAT"}


def rows_of(lines: list[Line]) -> list[tuple[str, list[str]]]:
    """Title and cells of each row; a column for each number of open courses."""
    told = [(title, [cell(line) for line in lines]) for title, cell in _cells()]
    return [row for row in told if any(cell != "-" for cell in row[1])]


def _cells() -> list[tuple[str, Cell]]:
    cells: list[tuple[str, Cell]] = [("steps", lambda line: f"{line.steps:.0f}")]
    told: list[tuple[str, Callable[[Planned], str]]] = [
        ("cost", lambda each: f"{each.cost:.0f}"),
        ("late in s, mean and p90", lambda each: f"{each.late_mean_s:.0f}, {each.late_p90_s:.0f}"),
        ("spread in s", lambda each: f"{each.spread_mean_s:.0f}"),
        ("past their keeps", lambda each: _share(each.past_keeps)),
    ]
    cells += [(f"{what}: {LONG[name]}", _of(name, say)) for what, say in told for name in PLANNERS]
    cells.append(("first plan after an event in ms, p50 and p99", _first))
    cells.append(("to within 5 % of the best known in s, p50 and p99", _close))
    cells += [(f"above the best known after {after:g} s, mean and worst", _above(after)) for after in AFTER_S]
    cells += [(f"above the best found {after:g} s after an event, mean", _after_event(after)) for after in AFTER_S]
    cells.append(("above the proven bound", lambda line: _share(line.bound_gap)))
    cells.append(("proven optimal", lambda line: _share(line.proven)))
    return cells


def _of(name: str, say: Callable[[Planned], str]) -> Cell:
    def cell(line: Line) -> str:
        planned = line.planned[name]
        if not planned.found:
            return "no plan"
        missing = f" ({planned.found} of {line.snapshots})" if planned.found < line.snapshots else ""
        return say(planned) + missing

    return cell


def _above(after: float) -> Cell:
    return lambda line: f"{_share(line.gap[after])}, {_share(line.worst_gap[after])}" if after in line.gap else "-"


def _after_event(after: float) -> Cell:
    return lambda line: _share(line.event_gap[after]) if after in line.event_gap else "-"


def _first(line: Line) -> str:
    if not line.first_s:
        return "-"
    return f"{1000 * percentile(line.first_s, 0.5):.0f}, {1000 * percentile(line.first_s, 0.99):.0f}"


def _close(line: Line) -> str:
    return ", ".join(_seconds(percentile(line.near_s, share)) for share in (0.5, 0.99))


def _seconds(seconds: float) -> str:
    return "over 10" if seconds == float("inf") else f"{seconds:.2f}"


def _share(share: float) -> str:
    if share == float("inf"):
        return "none"
    return f"{100 * share:.0f} %" if share >= 0.1 or share < 0.0005 else f"{100 * share:.1f} %"


def as_text(lines: list[Line]) -> str:
    """Columns one under the other."""
    head = ("open courses", [str(line.open) for line in lines])
    rows = [head, *rows_of(lines)]
    first = max(len(title) for title, _ in rows)
    widths = [max(len(cells[i]) for _, cells in rows) for i in range(len(lines))]
    return "\n".join(
        f"{title:<{first}}  " + "  ".join(f"{cell:>{width}}" for cell, width in zip(cells, widths, strict=True))
        for title, cells in rows
    )


def as_markdown(lines: list[Line], rows: list[tuple[str, list[str]]] | None = None) -> str:
    """The same as a Markdown table."""
    head = ["open courses", *(str(line.open) for line in lines)]
    body = [[title, *cells] for title, cells in (rows_of(lines) if rows is None else rows)]
    rule = ["---", *("---:" for _ in lines)]
    return "\n".join(f"| {' | '.join(row)} |" for row in (head, rule, *body))
