"""Puts the figures where they are read: a short table in the README, the whole one and the pictures beside it."""

from pathlib import Path

from tests.bench.aims import Aim
from tests.bench.measure import CP_SAT, FIRE, OURS, STAGGER
from tests.bench.summary import Line
from tests.bench.tables import LONG, as_markdown, rows_of

ROOT = Path(__file__).parents[2]
MEASURED = Path(__file__).parent / "measured"
BEGINS, ENDS = "<!-- figures: python -m tests.bench --write -->", "<!-- end of figures -->"
SHORT = (
    *(f"cost: {LONG[name]}" for name in (FIRE, STAGGER, CP_SAT, OURS)),
    "first plan after an event in ms, p50 and p99",
    "above the best known after 1 s, mean and worst",
    "above the best known after 5 s, mean and worst",
    "above the best known after 10 s, mean and worst",
    "above the best found 1 s after an event, mean",
    "proven optimal",
)
"""Rows for the README; its picture shows lateness and what stood too long."""


def short_table(lines: list[Line]) -> str:
    """The rows that a reader of the README wants."""
    return as_markdown(lines, [row for row in rows_of(lines) if row[0] in SHORT])


def between_markers(text: str, table: str) -> str:
    """The document with the table between its two markers; ValueError where it has none."""
    before, begins, rest = text.partition(BEGINS)
    _, ends, after = rest.partition(ENDS)
    if not begins or not ends:
        raise ValueError(f"no {BEGINS} and {ENDS} to write between")
    return f"{before}{BEGINS}\n\n{table}\n\n{ENDS}{after}"


def write(lines: list[Line], aims: list[Aim], pictures: dict[str, str], how: str) -> None:
    """Rewrite the README's table, the whole table and the pictures."""
    readme = ROOT / "README.md"
    readme.write_text(
        between_markers(readme.read_text(encoding="utf-8"), f"{short_table(lines)}\n\n{how}"), encoding="utf-8"
    )
    MEASURED.mkdir(exist_ok=True)
    told = "\n".join(f"- {aim}" for aim in aims)
    whole = f"# The planner, measured\n\n{how}\n\n{as_markdown(lines)}\n\nAims:\n\n{told}\n"
    (MEASURED / "figures.md").write_text(whole, encoding="utf-8")
    for name, picture in pictures.items():
        (MEASURED / name).write_text(picture, encoding="utf-8")
