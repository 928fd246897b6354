"""Rooms keep to themselves: who may import whom, no clock and no chance in the core, no file too long."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from importlinter.cli import lint_imports

ROOT = Path(__file__).parent.parent
PACKAGE = ROOT / "kitchen_timer"
CORE = ("kitchen", "plan", "service")
MOST_LINES = 420

CLOCKS = {
    "time": {"time", "time_ns", "monotonic", "monotonic_ns", "perf_counter", "perf_counter_ns", "sleep", "localtime"},
    "datetime": {"now", "today", "utcnow"},
    "date": {"today"},
}


def sources(*rooms: str) -> list[Path]:
    """Python files of the rooms, or of the whole package."""
    places = [PACKAGE / room for room in rooms] if rooms else [PACKAGE]
    return sorted(path for place in places for path in place.rglob("*.py") if "node_modules" not in path.parts)


def name_of(path: Path) -> str:
    return str(path.relative_to(ROOT))


def test_rooms_import_only_rooms_below_them(capsys: pytest.CaptureFixture[str]) -> None:
    status = lint_imports(config_filename=str(ROOT / "pyproject.toml"), no_cache=True)
    assert status == 0, capsys.readouterr().out


def imported(path: Path) -> Iterator[str]:
    """Every module that a file imports, wherever in it."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{name_of(path)} imports relatively"
            yield node.module or ""


def test_the_checker_knows_the_nouns_the_question_and_the_answer_and_no_planner() -> None:
    allowed = (
        "kitchen_timer.kitchen.",
        "kitchen_timer.plan.check",
        "kitchen_timer.plan.question",
        "kitchen_timer.plan.answer",
    )
    for path in sources("plan/check"):
        ours = [module for module in imported(path) if module.startswith("kitchen_timer")]
        assert [module for module in ours if not module.startswith(allowed)] == [], name_of(path)


@pytest.mark.parametrize("method", ["busy_s", "hands_of", "length_s", "most_at_once", "stays_on", "dependants_of"])
def test_the_checker_works_out_lengths_hands_and_slots_for_itself(method: str) -> None:
    for path in sources("plan/check"):
        assert f".{method}(" not in path.read_text(encoding="utf-8"), name_of(path)


def called(path: Path) -> Iterator[tuple[str, str, int]]:
    """``(object, attribute, line)`` of every ``object.attribute`` in a file, for plain objects."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Attribute):
            value = node.value
            owner = value.id if isinstance(value, ast.Name) else value.attr if isinstance(value, ast.Attribute) else ""
            yield owner, node.attr, node.lineno


@pytest.mark.parametrize("path", sources(*CORE), ids=name_of)
def test_the_core_reads_no_clock_and_leaves_nothing_to_chance(path: Path) -> None:
    for owner, attribute, line in called(path):
        assert attribute not in CLOCKS.get(owner, set()), f"{name_of(path)}:{line} reads the clock: {owner}.{attribute}"
    text = path.read_text(encoding="utf-8")
    for module in imported(path):
        assert module.split(".")[0] not in {"time", "secrets", "uuid", "socket", "subprocess", "sqlite3", "logging"}
    # A generator of one's own with a seed is no chance; the module's functions are.
    assert not re.search(r"^\s*import random\b|from random import (?!Random$)", text, re.MULTILINE), name_of(path)
    for call in ast.walk(ast.parse(text)):
        if isinstance(call, ast.Call) and isinstance(call.func, ast.Name):
            assert call.func.id not in {"open", "print", "input"}, f"{name_of(path)}:{call.lineno} does I/O"
            assert not (call.func.id == "Random" and not call.args), (
                f"{name_of(path)}:{call.lineno}: give Random a seed"
            )


def test_only_the_clock_reads_the_time() -> None:
    # The alarm compares the machine's clock with its steady one, to notice that somebody has set it.
    allowed = {"kitchen_timer/live/clock.py", "kitchen_timer/live/alarm.py"}
    readers = {
        f"{name_of(path)}:{line}"
        for path in sources("live", "record", "files")
        if name_of(path) not in allowed
        for owner, attribute, line in called(path)
        if (owner == "time" and attribute in {"time", "time_ns"})
        or (owner in {"datetime", "date"} and attribute in {"now", "today", "utcnow"})
    }
    assert readers == set()


@pytest.mark.parametrize("path", sources(), ids=name_of)
def test_no_file_grows_too_long_to_read(path: Path) -> None:
    lines = path.read_text(encoding="utf-8").count("\n")
    assert lines <= MOST_LINES, f"{name_of(path)} has {lines} lines: split it by noun"


def test_no_file_is_a_drawer_for_anything() -> None:
    drawers = {"utils.py", "util.py", "helpers.py", "misc.py", "common.py"}
    assert [name_of(path) for path in sources() if path.name in drawers] == []


# Papers that stand outside the repository are not cited in it: what a reader needs must be here.
OUTSIDE = re.compile(
    r"\b(FORMATS|SCREENS|VOCABULARY|ENGINEERING|TRADE|CHECKS|BRIEF)(\.md)?\b|\.\./shared|/work/shared|issue #?\d"
)
WORDS_OF_NO_COOK = re.compile(r"\b(agent|subagent|chatbot|language model|prompt engineering)s?\b", re.IGNORECASE)


def written() -> list[Path]:
    """What people read in the repository: code, tests, pages and documents."""
    kinds = {".py", ".ts", ".tsx", ".css", ".html", ".md", ".yaml", ".yml", ".toml"}
    places = [PACKAGE, ROOT / "tests", ROOT / "web", ROOT / "config", ROOT / ".ci"]
    found = [path for place in places if place.exists() for path in place.rglob("*") if path.suffix in kinds]
    found += [path for path in ROOT.glob("*") if path.suffix in kinds]
    built = {"node_modules", "dist", ".venv", "__pycache__"}
    return [path for path in found if not built & set(path.parts) and path != Path(__file__)]


def test_nothing_refers_to_papers_that_are_not_here() -> None:
    hits = [
        f"{name_of(path)}:{number}: {line.strip()}"
        for path in written()
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1)
        if OUTSIDE.search(line) or WORDS_OF_NO_COOK.search(line)
    ]
    assert hits == []
