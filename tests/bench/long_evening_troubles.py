"""What goes wrong on a long evening by the chef's hand: each a command, and often one that puts it right later."""

import random
from collections.abc import Callable

from tests.bench.killed_taps import DISHES
from tests.bench.phones_line import Wire

Trouble = tuple[Wire, float, Wire | None]
"""What is asked, after how many seconds it is put right, and by what."""


def _course(kind: str, **more: object) -> Callable[[random.Random, Wire], Trouble | None]:
    return lambda _dice, course: ({"kind": kind, "course_id": course["id"], **more}, 0, None)


def _lent(kind: str, of: dict[str, tuple[int, int]], name: str, amount: str) -> Callable[..., Trouble | None]:
    def lend(dice: random.Random, _course: Wire) -> Trouble:
        what = dice.choice(list(of))
        fewer, usual = of[what]
        asked = {"kind": kind, name: what}
        return {**asked, amount: fewer}, dice.uniform(120, 600), {**asked, amount: usual}

    return lend


def _plate_there(course: Wire) -> Wire:
    line: Wire = course["dishes"][0]
    return {"dish": line["dish"], "qty": 1, "note": line["note"], "seat": line["seat"], "allergies": line["allergies"]}


def _changed(dice: random.Random, course: Wire) -> Trouble | None:
    was = _plate_there(course)
    menu = next((dishes for dishes in DISHES.values() if was["dish"] in dishes), ())
    others = [dish for dish in menu if dish != was["dish"]]
    if not others:
        return None
    to = {"dish": dice.choice(others), "qty": 1}
    return {"kind": "change_plate", "course_id": course["id"], "was": was, "to": to}, 0, None


def _added(dice: random.Random, course: Wire) -> Trouble:
    plates = [{"dish": course["dishes"][0]["dish"], "qty": 1}]
    return {"kind": "add_plates", "course_id": course["id"], "plates": plates, "allergies_asked": True}, 0, None


def _plates_again(_dice: random.Random, course: Wire) -> Trouble | None:
    if not any(note["state"] == "started" for note in course["notes"]):
        return None
    dish = course["dishes"][0]["dish"]
    return {"kind": "cook_plates_again", "course_id": course["id"], "dish": dish, "plates": 1}, 0, None


def _off(dice: random.Random, _course: Wire) -> Trouble:
    dish = dice.choice([dish for dishes in DISHES.values() for dish in dishes])
    return {"kind": "eighty_six", "dish": dish}, dice.uniform(200, 900), {"kind": "back_on", "dish": dish}


def _moved(dice: random.Random, course: Wire) -> Trouble:
    to = str(dice.randint(60, 99))
    return {"kind": "move_table", "table": course["table"], "to": to, "merge": True}, 0, None


def _away(dice: random.Random, course: Wire) -> Trouble:
    table = {"table": course["table"]}
    return {"kind": "guest_away", **table}, dice.uniform(60, 400), {"kind": "guest_back", **table}


TROUBLES: dict[str, Callable[[random.Random, Wire], Trouble | None]] = {
    "pushed": _course("move_course", by_s=180),
    "brought forward": _course("move_course", by_s=-120),
    "held": lambda dice, course: (
        {"kind": "hold_course", "course_id": course["id"]},
        dice.uniform(60, 300),
        {"kind": "fire_course", "course_id": course["id"]},
    ),
    "on the fly": _course("on_the_fly"),
    "a plate added": _added,
    "a plate changed": _changed,
    "a plate taken off": lambda _dice, course: (
        {"kind": "take_off", "course_id": course["id"], "plates": [_plate_there(course)]}, 0, None
    ),
    "plates cooked again": _plates_again,
    "an allergy told late": lambda _dice, course: (
        {"kind": "tell_allergy", "table": course["table"], "allergies": ["milk"]}, 0, None
    ),
    "table moved": _moved,
    "guest away": _away,
    "eighty-six": _off,
    "a cook away": _lent("set_cooks", {"meat": (1, 2), "garnish": (1, 2), "fry": (0, 1)}, "station", "cooks"),
    "equipment out": _lent("set_slots", {"fryer": (1, 2), "oven": (4, 8), "grill": (1, 2)}, "equipment", "slots"),
    "taps": lambda dice, _course: (
        {"kind": "set_taps", "station": "larder", "taps": dice.choice(["done", "clock"])},
        dice.uniform(300, 900),
        {"kind": "set_taps", "station": "larder", "taps": "both"},
    ),
    "a slip": _course("move_course", by_s=60),
}  # fmt: skip
