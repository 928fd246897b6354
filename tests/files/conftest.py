"""A small kitchen in files, to be broken one line at a time."""

from collections.abc import Callable
from pathlib import Path

import pytest

from kitchen_timer.files import read_kitchen
from kitchen_timer.kitchen.problems import Fault, UnreadableFiles
from tests.small_kitchen import KITCHEN

HAKE = """\
dish: hake
name: Roast hake
course: mains
plating: 40s
components:
  skin:
    name: Hake
    station: plancha
    keeps: 2m
    allergens: [fish]
    steps:
      - {do: Skin side down, takes: {usual: 3m, least: 2m30s, most: 3m40s}, on: plancha-top}
      - {do: Turn, takes: 1m, on: plancha-top}
      - {do: Rest, takes: 1m, hands: none}
  dressing:
    name: Dressing
    station: cold
    keeps: 60s
    after: [skin]
    steps:
      - {do: Dress, takes: 20s, each: 5s}
  crumb:
    name: Crumb
    station: cold
    keeps: 4m
    steps:
      - {do: Fry, takes: 1m, on: fryer}
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A kitchen's folder without a fault."""
    (tmp_path / "book").mkdir()
    (tmp_path / "kitchen.yaml").write_text(KITCHEN, encoding="utf-8")
    (tmp_path / "book" / "hake.yaml").write_text(HAKE, encoding="utf-8")
    return tmp_path


@pytest.fixture
def change(folder: Path) -> Callable[[str, str, str], None]:
    """Changes one text in one file of the kitchen; the text must be there once."""

    def do(file: str, old: str, new: str) -> None:
        path = folder / file
        text = path.read_text(encoding="utf-8")
        assert text.count(old) == 1, f"{old!r} is {text.count(old)} times in {file}"
        path.write_text(text.replace(old, new), encoding="utf-8")

    return do


@pytest.fixture
def faults(folder: Path) -> Callable[[], list[Fault]]:
    """Reads the kitchen, which must be refused, and gives every fault."""

    def read() -> list[Fault]:
        with pytest.raises(UnreadableFiles) as caught:
            read_kitchen(folder)
        for fault in caught.value.faults:
            assert fault.cure, f"no cure: {fault}"
            assert str(fault) in str(caught.value)
        return caught.value.faults

    return read
