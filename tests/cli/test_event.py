"""``kitchen-timer plan`` for an event: the waves, and what sets their pace."""

from itertools import pairwise
from pathlib import Path

from kitchen_timer.cli import main

SKERRYMOOT = Path(__file__).parents[2] / "config" / "skerrymoot"


def test_a_wedding_for_150_is_planned_and_says_what_sets_its_pace(capsys):
    # Four pairs of hands at the pass. Beetroot takes one of them 1:00 a plate: nine waves of 16 are up 4 x 60 s after
    # they land, the last of 6 after 2 x 60 s: 38:00, and they follow one another without a gap from 19:00 on.
    # Ox cheek, 150 portions at 4 a tray, is reheated 15:00 in an oven of eight: 38 trays x 900 s / 8 = 4275 s = 71:15.
    # It may wait half an hour before it is glazed, so that much of that is done before the first wave lands.
    # Torching a wave of 16 lemon creams takes 48 s + 15 x 25 s, the last of 6 48 s + 5 x 25 s; sea buckthorn takes
    # 12 s + 15 x 4 s and 12 s + 5 x 4 s: 9 x (423 + 72) + 173 + 32 = 4660 s = 77:40 of the only cook at Pastry.
    status = main(["plan", str(SKERRYMOOT / "event.yaml"), "--kitchen", str(SKERRYMOOT), "--seconds", "0"])
    lines = capsys.readouterr().out.splitlines()
    said = {line.split(" · ")[1]: (line, after) for line, after in pairwise(lines) if "waves" in line}
    assert status == 0
    assert said["starters"][0] == (
        "Table Hall · starters · 150 plates in 10 waves · first lands 19:00:00 · last up 19:38:00 · 38:00"
    )
    assert said["starters"][1].startswith("  busy with them at the least: pass 38:00, Larder ")
    assert said["mains"][1].startswith("  busy with them at the least: oven 71:15, pass 38:00, ")
    assert said["desserts"][1].startswith("  busy with them at the least: Pastry 77:40, ")
    special = lines.index("Table Hall · starters · 16 plates · lands 19:00:00 · up 19:04:00")
    assert lines[special + 1].startswith("  ALLERGY TREE NUTS · seat 31")
    assert not any("cannot be made" in line for line in lines)
