"""The figures as pictures: SVG written by hand, readable on light and on dark ground."""

from collections.abc import Callable, Sequence
from html import escape
from math import log10

from tests.bench.measure import FIRE, OURS, PLANNERS
from tests.bench.summary import Line, gap
from tests.bench.tables import LONG

WIDTH = 1100
MARGIN = 32
PANEL = 300
LEGEND = 70
WORDS = 22
"""Size of most words; in a README eight hundred pixels wide they have sixteen."""

STYLE = """
  text { font: 22px system-ui, sans-serif; fill: #101216; }
  .small { font-size: 18px; }
  .title { font-size: 26px; font-weight: 600; }
  .quiet { fill: #4a4a4c; }
  .middle { text-anchor: middle; }
  .end { text-anchor: end; }
  .ground { fill: #f4f1ea; }
  .grid { stroke: #cfcbc1; stroke-width: 1.5; }
  .curve { fill: none; stroke-width: 4; stroke-linejoin: round; }
  .c0 { fill: #8b8b86; } .c1 { fill: #b98a2f; } .c2 { fill: #4d7ea8; } .c3 { fill: #c2410c; } .c4 { fill: #3f7d58; }
  .k0 { stroke: #8b8b86; } .k1 { stroke: #b98a2f; } .k2 { stroke: #4d7ea8; } .k3 { stroke: #c2410c; }
  .k4 { stroke: #3f7d58; }
  @media (prefers-color-scheme: dark) {
    text { fill: #f4f1ea; }
    .quiet { fill: #b9b6ae; }
    .ground { fill: #101216; }
    .grid { stroke: #3a3e47; }
    .c0 { fill: #9a9a94; } .c1 { fill: #d9a94a; } .c2 { fill: #6fa3cf; } .c3 { fill: #ff8a4c; } .c4 { fill: #6cb88b; }
    .k0 { stroke: #9a9a94; } .k1 { stroke: #d9a94a; } .k2 { stroke: #6fa3cf; } .k3 { stroke: #ff8a4c; }
    .k4 { stroke: #6cb88b; }
  }
"""


def against_today(lines: list[Line]) -> str:
    """Cost, lateness and what stood too long, beside what people do today and a solver alone; three rows of bars."""
    panels: list[tuple[str, Callable[[Line, str], float], Callable[[float], str]]] = [
        ("Cost, % of what firing on order costs", lambda line, name: 100 * _share(line, name), _whole),
        ("Late, seconds, average of all courses", lambda line, name: line.planned[name].late_mean_s, _whole),
        (
            "Stood longer than it keeps, % of all components",
            lambda line, name: 100 * line.planned[name].past_keeps,
            _whole,
        ),
    ]
    drawn = [_legend([LONG[name] for name in PLANNERS])]
    for place, (title, value, say) in enumerate(panels):
        drawn.append(_bars(lines, LEGEND + place * PANEL, title, value, say))
    return _picture(LEGEND + len(panels) * PANEL + MARGIN, drawn)


def nearer_with_time(lines: list[Line], curves: dict[int, list[tuple[float, float]]]) -> str:
    """How far above the best known, after so much time; a curve for each number of open courses."""
    top, bottom, left, right = 130.0, 430.0, 90.0, WIDTH - 130.0
    least, most, highest = 0.02, 10.0, 0.5

    def across(seconds: float) -> float:
        return left + (right - left) * log10(max(least, seconds) / least) / log10(most / least)

    def down(share: float) -> float:
        return bottom - (bottom - top) * min(share, highest) / highest

    drawn = [_text(MARGIN, 50, "Cost above the best known plan, %", "title")]
    drawn.append(_text(MARGIN, 84, "after so many seconds of search with one worker; average of all kitchens", "quiet"))
    for share in (0.0, 0.1, 0.2, 0.3, 0.4, 0.5):
        drawn.append(f'<line class="grid" x1="{left}" x2="{right}" y1="{down(share):.0f}" y2="{down(share):.0f}"/>')
        drawn.append(_text(left - 12, down(share) + 7, f"{100 * share:.0f}", "end quiet"))
    for seconds in (0.1, 1.0, 5.0, 10.0):
        drawn.append(
            f'<line class="grid" x1="{across(seconds):.0f}" x2="{across(seconds):.0f}" y1="{top}" y2="{bottom}"/>'
        )
        drawn.append(_text(across(seconds), bottom + 32, f"{seconds:g} s", "middle quiet"))
    ends: list[float] = []
    for place, line in enumerate(lines):
        points = curves[line.open]
        path = " ".join(f"{across(at):.1f},{down(share):.1f}" for at, share in points)
        drawn.append(f'<polyline class="curve k{place % 5}" points="{path}"/>')
        ends.append(down(points[-1][1]))
    for place, y in enumerate(_apart(ends, WORDS + 4)):
        last = across(curves[lines[place].open][-1][0])
        drawn.append(_text(max(last, right) + 12, y + 7, f"{lines[place].open} open", f"c{place % 5}"))
    return _picture(bottom + 60, drawn)


def curves_of(shots: Sequence[dict[str, object]], best: Callable[[str], float]) -> dict[int, list[tuple[float, float]]]:
    """Of each number of open courses: seconds, and how far above the best known on average by then."""
    moments = [0.02 * 1.15**step for step in range(46)]
    by_open: dict[int, list[dict[str, object]]] = {}
    for shot in shots:
        by_open.setdefault(int(str(shot["open"])), []).append(shot)
    curves: dict[int, list[tuple[float, float]]] = {}
    for number, of in by_open.items():
        points = []
        for at in moments:
            shares = [_gap_by(shot, at, best) for shot in of]
            if at <= float(str(of[0]["seconds"])) and None not in shares:
                points.append((at, sum(share for share in shares if share is not None) / len(shares)))
        curves[number] = points or [(moments[-1], 1.0)]
    return curves


def _gap_by(shot: dict[str, object], at: float, best: Callable[[str], float]) -> float | None:
    better = shot["runs"][OURS]["better"]  # type: ignore[index]
    costs = [cost for since, cost in better if since <= at]
    return gap(min(costs), best(str(shot["name"]))) if costs else None


def _bars(
    lines: list[Line],
    top: float,
    title: str,
    value: Callable[[Line, str], float],
    say: Callable[[float], str],
) -> str:
    base, high = top + PANEL - 50, PANEL - 130
    shown = {(i, name): value(line, name) for i, line in enumerate(lines) for name in PLANNERS}
    # CP-SAT alone may be far worse than all the rest: the scale is what people do today, and its bar is cut off.
    most = max(amount for (_, name), amount in shown.items() if name in (*PLANNERS[:2], OURS)) or 1.0
    group = (WIDTH - 2 * MARGIN) / len(lines)
    wide = (group - 28) / len(PLANNERS)
    drawn = [_text(MARGIN, top + 36, title, "title")]
    drawn.append(f'<line class="grid" x1="{MARGIN}" x2="{WIDTH - MARGIN}" y1="{base}" y2="{base}"/>')
    for i, line in enumerate(lines):
        left = MARGIN + i * group + 14
        for k, name in enumerate(PLANNERS):
            x = left + k * wide
            if not line.planned[name].found:
                drawn.append(_text(x + wide / 2, base - 8, "none", "middle quiet small"))
                continue
            amount = shown[i, name]
            tall = max(2.0, high * min(1.0, amount / most))
            drawn.append(
                f'<rect class="c{k}" x="{x + 2:.1f}" y="{base - tall:.1f}" width="{wide - 4:.1f}" height="{tall:.1f}"/>'
            )
            drawn.append(_text(x + wide / 2, base - tall - 7, say(amount), "middle small"))
        drawn.append(_text(left + group / 2 - 14, base + 30, f"{line.open} open", "middle quiet"))
    return "\n".join(drawn)


def _legend(names: list[str]) -> str:
    drawn, x = [], float(MARGIN)
    for place, name in enumerate(names):
        drawn.append(f'<rect class="c{place}" x="{x:.0f}" y="26" width="20" height="20"/>')
        drawn.append(_text(x + 28, 43, name))
        x += 28 + 12 * len(name) + 30
    return "\n".join(drawn)


def _text(x: float, y: float, words: str, style: str = "") -> str:
    named = f' class="{style}"' if style else ""
    return f'<text{named} x="{x:.1f}" y="{y:.1f}">{escape(words)}</text>'


def _apart(places: list[float], least: float) -> list[float]:
    """Heights of labels, each near its own, none on another."""
    order = sorted(range(len(places)), key=lambda i: places[i], reverse=True)
    at, placed = float("inf"), list(places)
    for i in order:
        placed[i] = at = min(places[i], at - least)
    return placed


def _share(line: Line, name: str) -> float:
    return line.planned[name].cost / max(1.0, line.planned[FIRE].cost)


def _whole(value: float) -> str:
    return f"{value:.0f}" if value < 1000 else f"{value / 1000:.1f}k"


def _picture(height: float, drawn: list[str]) -> str:
    body = "\n".join(drawn)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height:.0f}" role="img">\n'
        f"<style>{STYLE}</style>\n"
        f'<rect class="ground" width="{WIDTH}" height="{height:.0f}" rx="12"/>\n{body}\n</svg>\n'
    )
