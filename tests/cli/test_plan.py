"""``kitchen-timer plan``: worked examples, the arithmetic beside them."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from kitchen_timer.cli import main
from tests.small_kitchen import KITCHEN

SKERRYMOOT = Path(__file__).parents[2] / "config" / "skerrymoot"

HAKE = """\
dish: hake
name: Roast hake
course: mains
plating: 40s
components:
  fish:
    name: Hake
    station: plancha
    keeps: 2m
    steps:
      - {do: Skin side down, takes: 3m, on: plancha-top}
      - {do: Turn, takes: 1m, on: plancha-top}
      - {do: Rest, takes: 1m, hands: none}
  dressing:
    name: Dressing
    station: cold
    keeps: 60s
    after: [fish]
    steps: [{do: Dress, takes: 20s, each: 5s}]
"""

SQUID = """\
dish: squid
name: Fried squid
course: starters
plating: 30s
components:
  squid:
    name: Squid
    station: cold
    keeps: 90s
    steps: [{do: Fry, takes: 2m, on: fryer, fits: 2, hands: ends}]
"""

ORDERS = 'service: 2026-07-03\nnow: "19:30"\norders:\n'


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "book").mkdir()
    (tmp_path / "kitchen.yaml").write_text(KITCHEN, encoding="utf-8")
    (tmp_path / "book" / "hake.yaml").write_text(HAKE, encoding="utf-8")
    (tmp_path / "book" / "squid.yaml").write_text(SQUID, encoding="utf-8")
    return tmp_path


@pytest.fixture
def plan(folder, capsys):
    """Plans orders given as text; the exit status and what was printed."""

    def do(*courses, options=()):
        path = folder / "orders.yaml"
        orders = [f'  - {{table: "{table}", in: "{in_at}", courses: [{asked}]}}\n' for table, in_at, asked in courses]
        path.write_text(ORDERS + "".join(orders), encoding="utf-8")
        status = main(["plan", str(path), "--kitchen", str(folder), "--seconds", "1", *options])
        return status, capsys.readouterr()

    return do


def test_two_hake_land_as_soon_as_fish_and_dressing_allow(plan):
    # Fish 3:00 + 1:00 + 1:00 from 19:30:00: done at 19:35:00. The dressing starts then: 20 s + 5 s for the second
    # portion. Landing 19:35:25. Two pairs of hands plate two plates in 40 s: up at 19:36:05. It could not land earlier
    # alone either, and nothing stands: cost 0. In July London is at +01:00.
    status, printed = plan(("6", "19:02", "{course: mains, plates: [{dish: hake, qty: 2}]}"), options=["--json"])

    def step(component, number, do, station, on, start, end):
        return {
            "table": "6", "course": "mains", "dish": "hake", "component": component, "load": 1, "step": number,
            "do": do, "station": station, "on": on, "portions": 2,
            "start_at": f"2026-07-03T{start}+01:00", "end_at": f"2026-07-03T{end}+01:00",
        }  # fmt: skip

    found = json.loads(printed.out)
    steps = sorted(found.pop("steps"), key=lambda s: s["start_at"])
    bound = found.pop("bound")
    assert status == 0
    assert found == {
        "kitchen": "Harbour Row",
        "now": "2026-07-03T19:30:00+01:00",
        "cost": 0.0,
        "courses": [
            {
                "table": "6",
                "course": "mains",
                "plates": 2,
                "target_at": "2026-07-03T19:35:25+01:00",
                "landing_at": "2026-07-03T19:35:25+01:00",
                "up_at": "2026-07-03T19:36:05+01:00",
                "late_s": 0,
            }
        ],
        "impossible": [],
    }
    assert bound is None or bound == 0
    assert steps == [
        step("fish", 0, "Skin side down", "plancha", "plancha-top", "19:30:00", "19:33:00"),
        step("fish", 1, "Turn", "plancha", "plancha-top", "19:33:00", "19:34:00"),
        step("fish", 2, "Rest", "plancha", None, "19:34:00", "19:35:00"),
        step("dressing", 0, "Dress", "cold", None, "19:35:00", "19:35:25"),
    ]


def test_for_people_steps_are_listed_by_station_with_minutes_to_landing(plan):
    asked = "{course: mains, plates: [{dish: hake}, {dish: hake, seat: 2, note: no salt, allergies: [milk]}]}"
    status, printed = plan(("6", "19:02", asked))
    assert status == 0
    assert printed.out.splitlines() == [
        "Harbour Row · Friday 3 July 2026 · planned from 19:30:00",
        "",
        "Table 6 · mains · 2 plates · lands 19:35:25 · up 19:36:05",
        "  ALLERGY MILK · seat 2 · Roast hake ×1 · no salt",
        "    -5:25 Plancha · Skin side down ×2 · Hake · 19:30:00-19:33:00 · plancha top · ALLERGY MILK",
        "    -2:25 Plancha · Turn ×2 · Hake · 19:33:00-19:34:00 · plancha top · ALLERGY MILK",
        "    -1:25 Plancha · Rest ×2 · Hake · 19:34:00-19:35:00 · ALLERGY MILK",
        "    -0:25 Cold · Dress ×2 · Dressing · 19:35:00-19:35:25 · ALLERGY MILK",
        "",
        printed.out.splitlines()[-1],
    ]
    assert printed.out.splitlines()[-1].startswith("Cost 0.0 plate-seconds")


def test_an_allergy_names_the_equipment_that_is_shared(plan):
    _, printed = plan(("6", "19:02", "{course: starters, plates: [{dish: squid, allergies: [gluten]}]}"))
    assert "  ALLERGY GLUTEN · Fried squid ×1 · fryer is shared: ask the chef" in printed.out.splitlines()


def test_the_oil_recovers_before_the_third_basket(plan):
    # Three tables, two squid each, two baskets of two; alone each could land at 19:32 (its target). The first is in
    # from 19:30 to 19:32. The pass has two hands, which plate its two plates until 19:32:30: the second lands then, in
    # from 19:30:30. The third waits for the first one's oil: 19:32 + 60 s = 19:33, out at 19:35. Nothing stands.
    # Lateness: 2 plates x 30 s + 2 plates x 180 s = 420 plate-seconds.
    course = "{course: starters, plates: [{dish: squid, qty: 2}]}"
    status, printed = plan(("1", "19:02", course), ("2", "19:02", course), ("3", "19:02", course), options=["--json"])
    found = json.loads(printed.out)
    assert status == 0
    assert sorted(course["late_s"] for course in found["courses"]) == [0, 30, 180]
    assert found["cost"] == 420


def test_behind_says_by_how_much_and_why(plan):
    course = "{course: starters, plates: [{dish: squid, qty: 4}]}"
    _, printed = plan(("1", "19:02", course), ("2", "19:02", course))
    behind = [line for line in printed.out.splitlines() if "behind" in line]
    assert len(behind) == 1
    minutes, _, why = behind[0].strip().partition(" behind: ")
    assert minutes == "3:00"
    assert "ryer" in why or "Fry" in why


def test_held_courses_are_listed_and_not_planned(plan):
    _, printed = plan(("6", "19:02", "{course: mains, land: hold, plates: [{dish: hake, qty: 2}]}"))
    assert "Table 6 · mains · 2 plates · held until it is called" in printed.out
    assert "lands" not in printed.out


def test_an_impossible_course_is_told_with_its_remedy_and_the_others_are_planned(plan):
    # Nine squid at two a basket are five loads: two, then a minute's recovery and two minutes of frying for two more,
    # 3:00 later. Squid keeps 1:30.
    status, printed = plan(
        ("9", "19:02", "{course: starters, plates: [{dish: squid, qty: 9}]}"),
        ("6", "19:02", "{course: mains, plates: [{dish: hake, qty: 2}]}"),
    )
    assert status == 0
    assert "Table 9 · starters · cannot be made: " in printed.out
    assert "  what would help: " in printed.out
    assert "Table 6 · mains · 2 plates · lands 19:35:25" in printed.out


def test_tables_that_share_a_basket_say_so(plan):
    course = "{course: starters, plates: [{dish: squid}]}"
    _, printed = plan(("1", "19:02", course), ("2", "19:02", course))
    assert "together with table 2" in printed.out
    assert "together with table 1" in printed.out


def test_orders_that_cannot_be_read_give_status_two_and_leave_the_output_empty(plan):
    status, printed = plan(("6", "25:02", "{course: mains, plates: [{dish: haek}]}"), options=["--json"])
    assert status == 2
    assert printed.out == ""
    assert "orders.yaml:4: orders[0].in: '25:02' is not a time of day" in printed.err
    assert "hake is meant?" in printed.err
    assert "2 faults" in printed.err


@pytest.mark.parametrize("seconds", ["-1", "soon", "nan", "inf"])
def test_seconds_must_be_a_number_of_seconds(folder, capsys, seconds):
    with pytest.raises(SystemExit) as caught:
        main(["plan", "orders.yaml", "--kitchen", str(folder), f"--seconds={seconds}"])
    assert caught.value.code == 2
    assert "is no number of seconds" in capsys.readouterr().err


def test_the_command_runs_where_the_terminal_knows_no_signs(folder):
    orders = folder / "orders.yaml"
    orders.write_text(ORDERS + "  - {table: 6, in: 19:02, courses: [{course: mains, plates: [{dish: hake}]}]}\n")
    command = [sys.executable, "-m", "kitchen_timer.cli", "plan", str(orders), "--kitchen", str(folder), "--seconds=0"]
    done = subprocess.run(
        command, capture_output=True, text=True, check=False, env={"PYTHONIOENCODING": "ascii", "PYTHONPATH": "."}
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert "Skin side down ?1" in done.stdout
