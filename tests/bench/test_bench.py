"""The command runs, counts rightly and writes what it measured where it should."""

from dataclasses import asdict
from pathlib import Path

import pytest

from tests.bench.__main__ import main
from tests.bench.aims import Aim
from tests.bench.best_known import Best, lower
from tests.bench.documents import BEGINS, ENDS, between_markers
from tests.bench.figures import figures_of, percentile
from tests.bench.summary import gap
from tests.builders import component, course, dish, kitchen, plan, question, step


def test_the_command_measures_prints_and_reads_back(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    kept = tmp_path / "measured.json"
    assert main(["--seconds", "0.4", "--kitchens", "1", "--open", "5", "--keep", str(kept)]) == 0
    told = capsys.readouterr().out
    for words in ("fire on order", "stagger each table", "plain CP-SAT", "| open courses | 5 |", "reached"):
        assert words in told
    assert main(["--replay", str(kept)]) == 0
    again = capsys.readouterr().out
    assert again.split("minutes.")[1] == told.split("minutes.")[1]


def test_a_plan_is_measured_by_its_lateness_its_spread_and_what_stood_too_long() -> None:
    soup = dish("soup", hot=component("stove", step(60), keeps=30), cold=component("larder", step(60), keeps=600))
    of = question(kitchen(stove=1, larder=1), [soup], course("6", soup=2, target=100))
    # Hot is done at 60 and stands 90 s, 60 more than it keeps; cold is done at 150, which is the landing, 50 s late.
    made = plan(of, {"6/mains": 150}, {"6/mains/soup/hot/1": [0], "6/mains/soup/cold/1": [90]})
    found = asdict(figures_of(of, made))
    # Late 2 plates * 50; waiting 2 * 90 * 0.2 * 1 (keeps less than a minute).
    assert found.pop("cost") == pytest.approx(100 + 36)
    assert found == {"late_s": (50,), "spread_s": (90,), "loads": 2, "past_keeps": 1, "broken": 0}


def test_percentiles_are_by_nearest_rank() -> None:
    assert [percentile(range(1, 101), share) for share in (0.5, 0.9, 0.99)] == [50, 90, 99]
    assert percentile([7.0], 0.99) == 7.0


def test_a_gap_is_a_share_of_the_best_known_or_of_a_plate_a_minute_late() -> None:
    assert gap(150, 100) == pytest.approx(0.5)
    assert gap(30, 0) == pytest.approx(0.5)
    assert gap(99, 100) == 0


def test_the_lowest_cost_and_the_highest_bound_are_kept() -> None:
    best = {"a": Best(100.0, 40.0, "long")}
    lower(best, "a", 120.0, 60.0, "ours")
    assert best["a"] == Best(100.0, 60.0, "long")
    lower(best, "a", 90.0, None, "ours")
    assert best["a"] == Best(90.0, 60.0, "ours")


def test_an_aim_says_by_how_much_it_is_missed() -> None:
    assert str(Aim("x", 0.7, 0.75, "%", at_least=True)).endswith("70.0 %, at least 75.0 %: falls short by 5.0 %")
    assert str(Aim("x", 20.0, 25.0, "ms")).endswith("at most 25.0 ms: reached")


def test_the_table_goes_between_its_markers_and_nothing_else_moves() -> None:
    text = f"before\n{BEGINS}\nold\n{ENDS}\nafter\n"
    assert between_markers(text, "| new |") == f"before\n{BEGINS}\n\n| new |\n\n{ENDS}\nafter\n"
    with pytest.raises(ValueError, match="no <!-- figures"):
        between_markers("none", "| new |")
