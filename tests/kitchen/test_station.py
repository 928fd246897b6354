"""What a kitchen has, and what is refused."""

from typing import Any

import pytest
from pydantic import ValidationError

from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.kitchen.table import Course, Plate

SKERRYMOOT: dict[str, Any] = {
    "name": "Skerrymoot",
    "timezone": "Europe/London",
    "stations": {"fry": {"name": "Fry", "cooks": 1}},
    "pass": {"hands": 2},
    "equipment": {"fryer": {"slots": 2, "recovery": "60s", "cross_contact": True}},
}


def test_a_kitchen_as_its_file_writes_it() -> None:
    kitchen = Kitchen.model_validate(SKERRYMOOT)
    assert kitchen.handling_s == 10
    assert kitchen.equipment["fryer"].recovery_s == 60
    assert kitchen.pass_board.hands == 2
    assert kitchen.zone.key == "Europe/London"
    assert kitchen.equipment_name("fryer") == "fryer"


@pytest.mark.parametrize(
    "wrong",
    [
        {"timezone": "Skerrymoot"},
        {"timezone": "../etc/passwd"},
        {"handling": 10},
        {"handling": "-1s"},
        {"stations": {}},
        {"stations": {"Fry": {"name": "Fry", "cooks": 1}}},
        {"stations": {"fry": {"name": "Fry", "cooks": -1}}},
        {"stations": {"fry": {"name": "Fry", "cooks": "1"}}},
        {"stations": {"fry": {"name": "Fry", "cooks": 1, "cook": 2}}},
        {"pass": {"hands": 0}},
        {"equipment": {"fryer": {"slots": 0}}},
        {"equipment": {"fryer": {"slots": 2, "recovery": 60}}},
        {"equipmnet": {}},
    ],
)
def test_a_kitchen_that_cannot_be_is_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(ValidationError):
        Kitchen.model_validate({**SKERRYMOOT, **wrong})


def test_a_course_counts_its_plates_by_dish() -> None:
    plates = (Plate(dish="brill", qty=2), Plate(dish="duck"), Plate(dish="brill", allergies=("milk",)))
    course = Course(table="6", course="mains", in_at=0, plates=plates)
    assert course.portions() == {"brill": 3, "duck": 1}
    assert course.plate_count == 4
    assert course.key == "6/mains"


@pytest.mark.parametrize("table", ["", "6/mains", "a table by the window", "6\n7"])
def test_a_table_is_named_as_the_dining_room_says_it(table: str) -> None:
    with pytest.raises(ValidationError):
        Course(table=table, course="mains", in_at=0, plates=(Plate(dish="brill"),))
