"""``kitchen-timer check``: every fault and warning before service."""

from pathlib import Path

import pytest

from kitchen_timer.cli import main

SKERRYMOOT = Path(__file__).parents[2] / "config" / "skerrymoot"

KITCHEN = """\
name: Harbour Row
timezone: Europe/London
stations:
  fry: {name: Fry, cooks: 1}
pass: {hands: 2}
equipment:
  fryer: {slots: 2, recovery: 60s}
"""


def fried(*components: str, keeps: str = "90s") -> str:
    lines = ["dish: fritti", "name: Three things fried", "course: starters", "plating: 20s", "components:"]
    for component in components:
        lines.append(f"  {component}: {{name: {component}, station: fry, keeps: {keeps}, steps: [")
        lines.append("    {do: Fry, takes: 2m, on: fryer, fits: 3}]}")
    return "\n".join(lines) + "\n"


@pytest.fixture
def check(tmp_path, capsys):
    def do(dish: str, kitchen: str = KITCHEN):
        (tmp_path / "book").mkdir(exist_ok=True)
        (tmp_path / "kitchen.yaml").write_text(kitchen, encoding="utf-8")
        (tmp_path / "book" / "fritti.yaml").write_text(dish, encoding="utf-8")
        status = main(["check", "--kitchen", str(tmp_path)])
        return status, capsys.readouterr().out

    return do


def test_the_demo_kitchen_has_neither_faults_nor_warnings(capsys):
    assert main(["check", "--kitchen", str(SKERRYMOOT)]) == 0
    assert capsys.readouterr().out == "Skerrymoot: 6 stations, 12 dishes, no faults, no warnings.\n"


def test_two_fried_things_for_a_table_of_three_are_no_trouble(check):
    status, out = check(fried("squid", "chips"))
    assert status == 0
    # Three portions fill a basket each; a fourth needs a second one of both, a round later: 3:00 is longer than 1:30.
    assert "warning  fritti: 4 plates for one table can never land" in out
    assert out.endswith("no faults, 1 warning.\n")


def test_a_dish_that_can_never_land_is_told_when_it_is_written(check):
    # Three things fried, two baskets: the third starts 2:00 + 0:60 after the first two and they keep 1:30.
    status, out = check(fried("squid", "chips", "onions"))
    assert status == 0
    assert "warning  fritti: one plate can never land with everything inside its keeps" in out


def test_the_warning_says_why_and_what_would_help(check):
    # The third goes in 2:00 + 0:60 after the first two, so one of them has to keep 3:00, or a third basket be there.
    _, out = check(fried("squid", "chips", "onions"))
    assert "even in an empty kitchen: the fryer has 2 places and recovers 60 s, 3 are needed: squid (keeps 90 s)" in out
    assert "; 3 places in the fryer instead of 2 or squid that keeps 3 min instead of 90 s" in out
    assert out.count("would help") == 1


def test_two_dishes_that_can_never_land_together_are_told(check, tmp_path):
    # One basket: squid and chips take 2:00 each with 60 s between; whichever is first keeps 90 s and stands 3:00.
    (tmp_path / "book").mkdir()
    chips = fried("chips").replace("dish: fritti", "dish: chips").replace("Three things fried", "Chips")
    (tmp_path / "book" / "chips.yaml").write_text(chips, encoding="utf-8")
    status, out = check(fried("squid"), KITCHEN.replace("slots: 2", "slots: 1"))
    assert status == 0
    warned = [line for line in out.splitlines() if "one plate of it with one of" in line]
    assert len(warned) == 1
    assert warned[0].startswith(
        "warning  chips: one plate of it with one of fritti can never land with everything inside"
    )
    assert "; 2 places in the fryer instead of 1, chips that keeps 3 min instead of 90 s or " in warned[0]
    assert warned[0].endswith("as a course of its own would help")


def test_what_keeps_long_enough_can_wait_for_the_next_basket(check):
    _, out = check(fried("squid", "chips", "onions", keeps="4m"))
    assert "one plate can never land" not in out


def test_warnings_name_file_and_line(check, tmp_path):
    _, out = check(fried("squid", keeps="10s"))
    place = f"warning  {tmp_path / 'book' / 'fritti.yaml'}:6: fritti.components.squid.keeps: it keeps 10s"
    assert out.startswith(place)


def test_every_fault_is_printed_and_the_status_is_two(check, tmp_path):
    status, out = check(fried("squid", keeps="10"), KITCHEN.replace("slots: 2", "slots: none"))
    lines = out.splitlines()
    assert status == 2
    assert lines[0].startswith(f"fault    {tmp_path / 'kitchen.yaml'}:7: equipment.fryer.slots: 'none' is not a number")
    assert lines[1].startswith(f"fault    {tmp_path / 'book' / 'fritti.yaml'}:6: fritti.components.squid.keeps: 10 is")
    assert lines[2] == "2 faults: these files cannot be used yet."


def test_without_a_kitchen_the_command_says_what_it_needs(capsys):
    with pytest.raises(SystemExit) as caught:
        main(["check"])
    assert caught.value.code == 2
    assert "--kitchen" in capsys.readouterr().err
