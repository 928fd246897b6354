"""Orders and bookings: times are the kitchen's own, every fault is told with its line."""

from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from kitchen_timer.files import question_of, read_bookings, read_kitchen, read_orders, write_orders
from kitchen_timer.kitchen.problems import UnreadableFiles
from kitchen_timer.kitchen.table import After, Asap, AtTime, Hold

SKERRYMOOT = Path(__file__).parents[2] / "config" / "skerrymoot"

ORDERS = """\
service: 2026-11-27
now: "19:30"
orders:
  - table: "6"
    in: "19:02"
    courses:
      - course: starters
        plates:
          - {dish: hake, qty: 2}
      - course: mains
        land: {after: starters, gap: 12m}
        plates:
          - {dish: hake, note: no crumb, seat: 2, allergies: [gluten]}
  - table: bar 1
    in: 19:20
    courses:
      - {course: mains, land: hold, plates: [{dish: hake}]}
      - {course: desserts, land: "20:10", plates: [{dish: hake}]}
"""


@pytest.fixture
def read(folder, tmp_path):
    kitchen, book, _ = read_kitchen(folder)

    def do(text):
        path = tmp_path / "orders.yaml"
        path.write_text(text, encoding="utf-8")
        return read_orders(path, kitchen, book)

    return do


@pytest.fixture
def refused(read):
    def do(old, new):
        assert ORDERS.count(old) == 1
        with pytest.raises(UnreadableFiles) as caught:
            read(ORDERS.replace(old, new))
        assert all(fault.cure and fault.file.endswith("orders.yaml") for fault in caught.value.faults)
        return [(fault.line, fault.where, fault.what) for fault in caught.value.faults], caught.value.faults

    return do


def at(text):
    return int(datetime.fromisoformat(text).timestamp())


def test_every_form_of_landing_is_read(read):
    orders = read(ORDERS)
    assert orders.service == date(2026, 11, 27)
    assert orders.now == at("2026-11-27T19:30:00+00:00")
    assert [(c.table, c.course, c.land) for c in orders.courses] == [
        ("6", "starters", Asap()),
        ("6", "mains", After(after="starters", gap="12m")),
        ("bar 1", "mains", Hold()),
        ("bar 1", "desserts", AtTime(at=at("2026-11-27T20:10:00+00:00"))),
    ]
    plate = orders.courses[1].plates[0]
    assert (plate.qty, plate.note, plate.seat, plate.allergies) == (1, "no crumb", "2", ("gluten",))


def test_times_and_table_numbers_need_no_quotes(read):
    orders = read(ORDERS.replace('"6"', "6").replace('"19:02"', "19:02").replace('"19:30"', "19:30"))
    assert orders == read(ORDERS)


def test_without_now_the_plan_starts_at_the_earliest_order(read):
    orders = read(ORDERS.replace('now: "19:30"\n', ""))
    assert orders.now is None
    assert orders.plan_from == at("2026-11-27T19:02:00+00:00")


def test_times_before_five_belong_to_the_night_after(read):
    orders = read(ORDERS.replace('"19:02"', '"00:40"').replace("in: 19:20", "in: 05:00"))
    assert orders.courses[0].in_at == at("2026-11-28T00:40:00+00:00")
    assert orders.courses[2].in_at == at("2026-11-27T05:00:00+00:00")


@pytest.mark.parametrize(
    ("clock_time", "instant"),
    [
        # Clocks in London go back in the night after Saturday 24 October 2026: 00:59Z is 01:59+01:00, 01:00Z is
        # 01:00+00:00 (IANA zone database). The first of the two 01:30s is meant.
        ("01:30", "2026-10-25T00:30:00+00:00"),
        ("02:00", "2026-10-25T02:00:00+00:00"),
        ("23:30", "2026-10-24T22:30:00+00:00"),
    ],
)
def test_the_night_the_clocks_go_back(read, clock_time, instant):
    text = ORDERS.replace("2026-11-27", "2026-10-24").replace('"19:02"', f'"{clock_time}"')
    assert read(text).courses[0].in_at == at(instant)


def test_a_course_ordered_twice_gets_a_second_name(read):
    again = '  - table: "6"\n    in: "20:00"\n    courses:\n      - {course: mains, plates: [{dish: hake}]}\n'
    assert [c.course for c in read(ORDERS + again + again).courses if c.table == "6"] == [
        "starters",
        "mains",
        "mains 2",
        "mains 3",
    ]


FAULTS = [
    ("service: 2026-11-27", "service: 27.11.2026", 1, "service", "is no date"),
    ("service: 2026-11-27", "service: 20261127", 1, "service", "is no date"),
    ("service: 2026-11-27\n", "", 1, "service", "service is missing"),
    ('now: "19:30"', "now: half past seven", 2, "now", "is not a time of day"),
    ('in: "19:02"', 'in: "25:02"', 5, "orders[0].in", "'25:02' is not a time of day"),
    ("    in: 19:20\n", "", 14, "orders[1].in", "in is missing"),
    ("land: hold", "land: later", 17, "orders[1].courses[0].land", "'later' is no landing"),
    ("land: hold", "land: {after: starters}", 17, "orders[1].courses[0].land.after", "has no other course 'starters'"),
    ("gap: 12m", "gap: 12", 11, "orders[0].courses[1].land.gap", "12 is not a duration"),
    ("gap: 12m", "gap: 12m, fired: up", 11, "orders[0].courses[1].land.fired", "'up' cannot stand here"),
    ("gap: 12m", "gup: 12m", 11, "orders[0].courses[1].land.gup", "unknown key 'gup'"),
    ("after: starters, ", "", 11, "orders[0].courses[1].land.after", "after is missing"),
    ("after: starters", "after: soup", 11, "orders[0].courses[1].land.after", "table 6 has no other course 'soup'"),
    ("after: starters", "after: mains", 11, "orders[0].courses[1].land.after", "table 6 has no other course 'mains'"),
    ("dish: hake, qty: 2", "dish: hakee, qty: 2", 9, "orders[0].courses[0].plates[0].dish", "no dish 'hakee'"),
    ("dish: hake, qty: 2", "dish: hake, qty: 0", 9, "orders[0].courses[0].plates[0].qty", "0 is too small"),
    ("dish: hake, qty: 2", "dish: hake, qty: 2.5", 9, "orders[0].courses[0].plates[0].qty", "is not a number"),
    ("dish: hake, qty: 2", "qty: 2", 9, "orders[0].courses[0].plates[0].dish", "dish is missing"),
    ("allergies: [gluten]", "allergies: gluten", 13, "orders[0].courses[1].plates[0].allergies", "is not a list"),
    ("allergies: [gluten]", "alergies: [gluten]", 13, "orders[0].courses[1].plates[0].alergies", "unknown key"),
    ("table: bar 1", "table: bar/1", 14, "orders[1].table", "cannot name a table"),
]


@pytest.mark.parametrize(("old", "new", "line", "path", "what"), FAULTS)
def test_a_fault_in_the_orders_names_line_path_and_cure(refused, old, new, line, path, what):
    told, _ = refused(old, new)
    assert [(at_line, where) for at_line, where, says in told if what in says] == [(line, path)], told


def test_an_unknown_dish_is_answered_with_the_nearest(refused):
    _, (fault,) = refused("dish: hake, qty: 2", "dish: haek, qty: 2")
    assert fault.cure.startswith("hake is meant?")


def test_courses_that_wait_for_each_other_are_refused(refused):
    told, _ = refused("course: starters\n", "course: starters\n        land: {after: mains}\n")
    assert told == [(8, "orders[0].courses[0].land.after", "after goes round in a loop: starters -> mains -> starters")]


def test_held_courses_and_those_after_them_are_not_asked_for(read, folder):
    kitchen, book, _ = read_kitchen(folder)
    held = ORDERS.replace("course: starters\n", "course: starters\n        land: hold\n")
    question, waiting = question_of(read(held), kitchen, book)
    assert [str(course.key) for course in question.courses] == ["bar 1/desserts"]
    assert [course.key for course in waiting] == ["6/starters", "6/mains", "bar 1/mains"]


def test_portions_of_one_dish_are_counted_together(read, folder):
    kitchen, book, _ = read_kitchen(folder)
    two_lines = ORDERS.replace("- {dish: hake, qty: 2}", "- {dish: hake}\n          - {dish: hake, seat: 4}")
    question, _ = question_of(read(two_lines), kitchen, book)
    assert question.courses[0].portions == (("hake", 2),)


def test_a_course_fired_by_the_sending_of_another_is_read(read):
    orders = read(ORDERS.replace("gap: 12m", "gap: 12m, fired: sent"))
    assert orders.courses[1].land == After(after="starters", gap="12m", fired="sent")


@pytest.mark.parametrize("fired", ["now", "sent"])
def test_written_orders_read_back_as_the_same(read, fired):
    orders = read(ORDERS.replace("gap: 12m", f"gap: 12m, fired: {fired}"))
    again = read(write_orders(orders, _kitchen_of(read)))
    assert again == orders


def _kitchen_of(read):
    return read_kitchen(SKERRYMOOT)[0]  # same zone


def test_a_missing_orders_file_is_a_fault(folder, tmp_path):
    kitchen, book, _ = read_kitchen(folder)
    with pytest.raises(UnreadableFiles, match="there is no such file"):
        read_orders(tmp_path / "none.yaml", kitchen, book)


def test_bookings_come_in_the_order_of_their_times(folder, tmp_path):
    kitchen, _, _ = read_kitchen(folder)
    path = tmp_path / "bookings.yaml"
    path.write_text(
        'service: 2026-07-03\nbookings:\n  - {at: "20:00", table: 6, covers: 4, name: B}\n'
        '  - {at: "19:00", table: bar 1, covers: 2, name: A, note: late}\n',
        encoding="utf-8",
    )
    bookings = read_bookings(path, kitchen)
    assert [(b.table, b.covers, b.note) for b in bookings.bookings] == [("bar 1", 2, "late"), ("6", 4, "")]
    assert datetime.fromtimestamp(bookings.bookings[0].at, UTC).hour == 18  # summer time in London


def test_a_fault_in_the_bookings_is_told(folder, tmp_path):
    kitchen, _, _ = read_kitchen(folder)
    path = tmp_path / "bookings.yaml"
    path.write_text("service: 2026-07-03\nbookings:\n  - {at: 20h, table: 6, cover: 4, name: B}\n", encoding="utf-8")
    with pytest.raises(UnreadableFiles) as caught:
        read_bookings(path, kitchen)
    assert [(f.line, f.where) for f in caught.value.faults] == [
        (3, "bookings[0].cover"),
        (3, "bookings[0].at"),
        (3, "bookings[0].covers"),
    ]
