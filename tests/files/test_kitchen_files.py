"""Every fault of kitchen.yaml and the book names its file, its line, its path and a cure."""

from pathlib import Path

import pytest

from kitchen_timer.files import read_kitchen
from kitchen_timer.kitchen.dish import Hands
from kitchen_timer.kitchen.problems import UnreadableFiles

KITCHEN_FAULTS = [
    # old text, new text, line, path, what (part), cure (part)
    ("name: Harbour Row", "name:", 1, "name", "has no value", "name: Roast hake"),
    ("timezone: Europe/London\n", "", 1, "timezone", "timezone is missing", "timezone: Europe/London"),
    ("Europe/London", "Europe/Lundon", 2, "timezone", "'Europe/Lundon' is not a time zone", "Europe/London"),
    ("cooks: 1}\n  cold", "cook: 1}\n  cold", 4, "stations.plancha.cook", "unknown key 'cook'", "cooks is meant?"),
    ("cold: {name: Cold, cooks: 1}", "cold: {name: Cold, cooks: -1}", 5, "stations.cold.cooks", "-1 is too small", "0"),
    ("cold: {", "Cold Side: {", 5, "stations.Cold Side", "'Cold Side' is no id", "small letters"),
    ("cold: {name: Cold, cooks: 1}", "plancha: {name: P, cooks: 2}", 5, "stations.plancha", "given twice", "take one"),
    ("hands: 2", "hands: two", 6, "pass.hands", "'two' is not a number", "such as 2"),
    ("pass: {hands: 2}", "pass: 2", 6, "pass", "2 stands where keys with values are needed", "{pass: {hands: 2}}"),
    ("slots: 8", "slots: 0", 8, "equipment.plancha-top.slots", "0 is too small", "at least 1"),
    ("recovery: 60s", "recovery: 60", 9, "equipment.fryer.recovery", "60 is not a duration", "units, such as 45s"),
    ("recovery: 60s", "recovery: -60s", 9, "equipment.fryer.recovery", "'-60s' is negative", "at least 0s"),
    ("recovery: 60s", "recovery_s: 60s", 9, "equipment.fryer.recovery_s", "unknown key", "recovery is meant?"),
    ("true", "perhaps", 9, "equipment.fryer.cross_contact", "'perhaps' is neither yes nor no", "true or false"),
]


@pytest.mark.parametrize(("old", "new", "line", "path", "what", "cure"), KITCHEN_FAULTS)
def test_a_fault_in_the_kitchen_names_line_path_and_cure(change, faults, folder, old, new, line, path, what, cure):
    change("kitchen.yaml", old, new)
    found = [fault for fault in faults() if fault.where == path and what in fault.what]
    assert len(found) == 1, faults()
    assert found[0].file == str(folder / "kitchen.yaml")
    assert found[0].line == line
    assert cure in found[0].cure


DISH_FAULTS = [
    ("on: plancha-top}\n      - {do: Turn", "on: plancha}\n      - {do: Turn", 12, "hake.components.skin.steps[0].on",
     "there is no equipment 'plancha'", "plancha-top is meant?"),
    ("do: Turn, takes: 1m, on: plancha-top", "do: Turn, takes: 1m, on: planchatop", 13,
     "hake.components.skin.steps[1].on", "there is no equipment 'planchatop'", "plancha-top is meant?"),
    ("station: plancha", "station: Plancha", 8, "hake.components.skin.station", "no station 'Plancha'",
     "plancha is meant?"),
    ("keeps: 2m", "keeps: 2", 9, "hake.components.skin.keeps", "2 is not a duration", "such as 45s"),
    ("keeps: 2m", "keeps: 2.5m", 9, "hake.components.skin.keeps", "'2.5m' is not a duration", "such as 45s"),
    ("    keeps: 2m\n", "", 6, "hake.components.skin.keeps", "keeps is missing", "keeps: 2m"),
    ("plating: 40s", "plating: -40s", 4, "hake.plating", "'-40s' is negative", "at least 0s"),
    ("takes: 1m, on: plancha-top", "takes: 0s, on: plancha-top", 13, "hake.components.skin.steps[1].takes",
     "a step takes at least 1s", ""),
    ("most: 3m40s", "most: 2m", 12, "hake.components.skin.steps[0].takes", "least <= usual <= most", "change the one"),
    ("usual: 3m, ", "", 12, "hake.components.skin.steps[0].takes.usual", "usual is missing", "usual: 2m30s"),
    ("each: 5s", "eech: 5s", 21, "hake.components.dressing.steps[0].eech", "unknown key 'eech'", "each is meant?"),
    ("hands: none", "hands: both", 14, "hake.components.skin.steps[2].hands", "'both' is not one of these words",
     "all, ends, start, end or none"),
    ("do: Turn", "do: Turn it over with care", 13, "hake.components.skin.steps[1].do", "longer than four words",
     "four at most"),
    ("after: [skin]", "after: [skim]", 19, "hake.components.dressing.after[0]", "there is no component 'skim'",
     "skin is meant?"),
    ("after: [skin]", "after: skin", 19, "hake.components.dressing.after", "'skin' is not a list", "after: [skin]"),
    ("keeps: 4m", "keeps: 4m\n    after: [crumb]", 26, "hake.components.crumb.after", "loop: crumb -> crumb",
     "take one"),
    ("keeps: 2m", "keeps: 2m\n    after: [dressing]", 10, "hake.components.skin.after",
     "loop: skin -> dressing -> skin", "take one"),
    ("keeps: 2m", "keeps: 2m\n    keeps: 3m", 10, "hake.components.skin.keeps", "given twice, first in line 9",
     "take one"),
    ("name: Dressing", "name: 5", 16, "hake.components.dressing.name", "5 is not text", "in quotes"),
    ("dish: hake", "dish: Hake!", 1, "Hake!.dish", "'Hake!' is no id", "small letters"),
    ("allergens: [fish]", "allergens: fish", 10, "hake.components.skin.allergens", "'fish' is not a list", "[fish]"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "line", "path", "what", "cure"), DISH_FAULTS)
def test_a_fault_in_a_dish_names_line_path_and_cure(change, faults, folder, old, new, line, path, what, cure):
    change("book/hake.yaml", old, new)
    found = [fault for fault in faults() if fault.where == path and what in fault.what]
    assert len(found) == 1, faults()
    assert found[0].file == str(folder / "book" / "hake.yaml")
    assert found[0].line == line
    assert cure in found[0].cure


def test_one_wrong_word_is_one_fault(change, faults):
    change("book/hake.yaml", "keeps: 2m", "keeps: 2")
    assert len(faults()) == 1


def test_all_faults_of_all_files_are_told_at_once(change, faults, folder):
    change("kitchen.yaml", "hands: 2", "hands: none")
    change("book/hake.yaml", "keeps: 2m", "keeps: 2")
    change("book/hake.yaml", "each: 5s", "each: 5")
    (folder / "book" / "ling.yaml").write_text("dish: ling\n", encoding="utf-8")
    where = [fault.where for fault in faults()]
    assert where[:3] == ["pass.hands", "hake.components.skin.keeps", "hake.components.dressing.steps[0].each"]
    assert set(where[3:]) == {"ling.name", "ling.course", "ling.plating", "ling.components"}


def test_names_are_still_looked_up_while_the_kitchen_has_other_faults(change, faults):
    change("kitchen.yaml", "hands: 2", "hands: none")
    change("book/hake.yaml", "station: plancha", "station: planch")
    assert [fault.where for fault in faults()] == ["pass.hands", "hake.components.skin.station"]


def test_a_kitchen_that_is_no_yaml_accuses_no_dish_of_naming_stations_it_has_not(folder, faults):
    (folder / "kitchen.yaml").write_text("name: [Harbour", encoding="utf-8")
    assert [(Path(f.file).name, "no YAML" in f.what) for f in faults()] == [("kitchen.yaml", True)]


def test_the_line_of_broken_yaml_is_named(folder, faults):
    (folder / "book" / "hake.yaml").write_text("dish: hake\nname: Hake\n plating: 40s\n", encoding="utf-8")
    (fault,) = faults()
    assert (fault.line, Path(fault.file).name) == (3, "hake.yaml")


def test_two_dishes_with_one_id_name_each_other(folder, faults):
    (folder / "book" / "a-hake.yaml").write_text((folder / "book" / "hake.yaml").read_text(encoding="utf-8"))
    (fault,) = faults()
    assert (fault.where, fault.line, Path(fault.file).name) == ("hake.dish", 1, "hake.yaml")
    assert "a-hake.yaml, line 1" in fault.what


def test_a_file_in_another_encoding_is_named_with_its_line(folder, faults):
    (folder / "book" / "hake.yaml").write_bytes("dish: hake\nname: Crème\n".encode("latin-1"))
    (fault,) = faults()
    assert fault.line == 2
    assert "0xe8" in fault.what
    assert "UTF-8" in fault.cure


def test_an_empty_file_is_a_fault(folder, faults):
    (folder / "book" / "hake.yaml").write_text("# nothing yet\n", encoding="utf-8")
    (fault,) = faults()
    assert "empty" in fault.what


@pytest.mark.parametrize("file", ["kitchen.yaml", "book/hake.yaml"])
def test_a_missing_file_is_named(folder, faults, file):
    (folder / file).unlink()
    (fault,) = faults()
    assert fault.file in (str(folder / "kitchen.yaml"), str(folder / "book"))
    assert fault.what in ("there is no such file", "there is no dish in the book")


def test_a_missing_book_is_named(folder, faults):
    (folder / "book" / "hake.yaml").unlink()
    (folder / "book").rmdir()
    (fault,) = faults()
    assert (fault.file, fault.what) == (str(folder / "book"), "there is no book")


def test_a_missing_folder_is_named(tmp_path):
    with pytest.raises(UnreadableFiles, match="there is no such folder"):
        read_kitchen(tmp_path / "nowhere")


def test_a_file_with_a_byte_order_mark_is_read(folder):
    path = folder / "kitchen.yaml"
    path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes())
    kitchen, _, _ = read_kitchen(folder)
    assert kitchen.name == "Harbour Row"


def test_on_is_a_word_and_the_defaults_are_the_written_ones(folder):
    kitchen, book, warnings = read_kitchen(folder)
    skin = book["hake"].components["skin"]
    assert warnings == ()
    assert kitchen.handling_s == 10
    assert [step.on for step in skin.steps] == ["plancha-top", "plancha-top", None]
    # With equipment: `start`, and `ends` on the component's last step there.
    assert [skin.hands_of(i) for i in range(3)] == [Hands.START, Hands.ENDS, Hands.NONE]
    assert skin.steps[0].takes.least_s == 150
    assert book["hake"].components["dressing"].steps[0].length_s(3) == 30


def test_warned_of_what_keeps_shorter_than_plating(change, folder):
    change("book/hake.yaml", "keeps: 60s", "keeps: 30s")
    _, _, (warning,) = read_kitchen(folder)
    assert (warning.where, warning.line) == ("hake.components.dressing.keeps", 18)


def test_warned_of_a_step_that_nobodys_hands_can_do(change, folder):
    change("kitchen.yaml", "cold: {name: Cold, cooks: 1}", "cold: {name: Cold, cooks: 0}")
    _, _, warnings = read_kitchen(folder)
    places = [(w.where, w.line) for w in warnings]
    assert places == [("hake.components.dressing.steps[0]", 21), ("hake.components.crumb.steps[0]", 27)]
    assert all("cold has no cook" in w.what for w in warnings)


def test_no_cook_is_needed_where_no_hands_are(change, folder):
    change("kitchen.yaml", "plancha: {name: Plancha, cooks: 1}", "plancha: {name: Plancha, cooks: 0}")
    _, _, warnings = read_kitchen(folder)
    assert [w.where for w in warnings] == ["hake.components.skin.steps[0]", "hake.components.skin.steps[1]"]


def test_warned_of_equipment_and_stations_that_nothing_uses(change, folder):
    change("kitchen.yaml", "pass: {hands: 2}", "  fish: {name: Fish, cooks: 1}\npass: {hands: 2}")
    change("kitchen.yaml", "  fryer", "  oven: {slots: 2}\n  fryer")
    _, _, warnings = read_kitchen(folder)
    assert [(w.where, w.line) for w in warnings] == [("equipment.oven", 10), ("stations.fish", 6)]


def test_warned_of_food_that_nobody_is_told_to_take_off(change, folder):
    change("book/hake.yaml", "do: Fry, takes: 1m, on: fryer", "do: Fry, takes: 1m, on: fryer, hands: start")
    _, _, (warning,) = read_kitchen(folder)
    assert (warning.where, warning.line) == ("hake.components.crumb.steps[0].hands", 27)


def test_warned_of_one_allergen_under_two_spellings(change, folder):
    change("book/hake.yaml", "    name: Dressing\n", "    name: Dressing\n    allergens: [Fish, egg]\n")
    change("book/hake.yaml", "    name: Crumb\n", "    name: Crumb\n    allergens: [eggs]\n")
    _, _, warnings = read_kitchen(folder)
    assert [(w.where, w.line, w.what) for w in warnings] == [
        ("hake", 17, "the allergen 'Fish' is written 'fish' in hake"),
        ("hake", 25, "the allergen 'eggs' is written 'egg' in hake"),
    ]
