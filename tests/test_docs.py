"""README and DEVELOPERS match the code: every file, room, option and example that they name is there and works."""

import re
import shlex
from pathlib import Path

import pytest

from kitchen_timer.cli import main
from kitchen_timer.files.written import read_text
from kitchen_timer.kitchen.dish import Component, Dish, Step
from kitchen_timer.kitchen.station import Equipment, Kitchen, Station
from kitchen_timer.kitchen.table import Plate

ROOT = Path(__file__).parent.parent
DOCUMENTS = ("README.md", "DEVELOPERS.md")
TEXT = {name: (ROOT / name).read_text(encoding="utf-8") for name in DOCUMENTS}


def blocks(document: str, language: str) -> list[str]:
    return re.findall(rf"^```{language}\n(.*?)^```", TEXT[document], flags=re.MULTILINE | re.DOTALL)


def commands(document: str) -> list[list[str]]:
    """Every command of the document's shell blocks, words apart; ``a && b`` is two."""
    lines = [line for block in blocks(document, "sh") for line in block.splitlines() if line.strip()]
    return [shlex.split(part) for line in lines for part in line.split(" && ")]


def test_the_first_two_commands_are_one_line_each():
    first, second, *_ = blocks("README.md", "sh")
    assert first.count("\n") == 1
    assert second.count("\n") == 1
    assert "serve --demo" in first
    assert second.strip() == "bash tests/run.sh"


@pytest.mark.parametrize("document", DOCUMENTS)
def test_scripts_folders_and_files_of_commands_exist(document):
    named = {
        word
        for command in commands(document)
        for word in command[1:]
        if "/" in word and not word.startswith(("/tmp", "-", ".["))
    }
    assert named
    assert [word for word in sorted(named) if not (ROOT / word).exists()] == []


@pytest.mark.parametrize("document", DOCUMENTS)
def test_verbs_and_options_of_commands_exist(document, capsys):
    ours = [command[1:] for command in commands(document) if command[0].endswith("kitchen-timer")]
    ours += [shlex.split(text)[1:] for text in re.findall(r"`(kitchen-timer [^`]+)`", TEXT[document])]
    assert ours
    for verb, *words in ours:
        with pytest.raises(SystemExit) as caught:
            main([verb, "--help"])
        assert caught.value.code == 0
        told = capsys.readouterr().out
        for option in (word for word in words if word.startswith("--")):
            assert option in told, f"{verb} has no {option}"


@pytest.mark.parametrize("document", DOCUMENTS)
def test_links_lead_somewhere(document):
    links = re.findall(r"\]\(([^)#:]+)\)", TEXT[document])
    assert [link for link in links if not (ROOT / link).exists()] == []


def test_every_room_is_described_and_every_described_room_is_there():
    table = re.findall(r"^\| `([a-z_]+)(/|\.py)` \|", TEXT["DEVELOPERS.md"], flags=re.MULTILINE)
    rooms = {path.name for path in (ROOT / "kitchen_timer").iterdir() if (path / "__init__.py").exists()}
    assert {name for name, mark in table if mark == "/"} == rooms
    assert {name + mark for name, mark in table if mark == ".py"} == {"assemble.py"}


@pytest.mark.parametrize("document", DOCUMENTS)
def test_source_files_that_are_named_exist(document):
    named = set(re.findall(r"`([a-z_/-]+\.(?:py|sh|ts|tsx))`", TEXT[document]))
    missing = [
        name
        for name in sorted(named)
        if not any((ROOT / place / name).exists() for place in ("", "kitchen_timer", "web/src"))
        and not list((ROOT / "kitchen_timer").rglob(name))
    ]
    assert missing == []


def test_the_example_dish_is_a_dish():
    (text,) = blocks("README.md", "yaml")
    written = read_text(text, "README.md")
    assert written.faults == []
    assert Dish.model_validate(written.data).components["brill"].steps[0].fits == 3


def test_every_key_of_a_step_and_a_component_is_explained():
    fields = [*Step.model_fields.items(), *Component.model_fields.items()]
    keys = {info.alias or name for name, info in fields}
    assert [key for key in sorted(keys) if not re.search(rf"(`{key}`|\b{key}:)", TEXT["README.md"])] == []


def test_the_script_that_runs_all_tests_runs_every_check():
    script = (ROOT / "tests" / "run.sh").read_text(encoding="utf-8")
    for tool in ("ruff check", "ruff format", "mypy", "lint-imports", "pytest", "run types", "run lint", "run test"):
        assert tool in script
    assert "tests/run.sh" in (ROOT / ".ci" / "run").read_text(encoding="utf-8")


def test_every_key_of_a_kitchen_and_a_plate_is_explained():
    fields = [item for model in (Kitchen, Station, Equipment, Plate) for item in model.model_fields.items()]
    keys = {info.alias or name for name, info in fields}
    assert [key for key in sorted(keys) if not re.search(rf"`{key}[`:]", TEXT["README.md"])] == []
