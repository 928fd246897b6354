"""An event in the orders file: one course of many covers is read as waves."""

from datetime import datetime
from fractions import Fraction
from itertools import product

import pytest

from kitchen_timer.files import read_kitchen, read_orders, write_orders
from kitchen_timer.kitchen.problems import UnreadableFiles
from kitchen_timer.kitchen.table import After, Asap, AtTime, Hold, Plate
from kitchen_timer.kitchen.waves import cut_into_waves, evenly_spread

EVENT = """\
service: 2026-11-27
orders:
  - table: Hall
    in: "17:00"
    courses:
      - course: mains
        land: "19:30"
        plates: [{dish: hake, qty: 50}]
        waves: {of: 20}
"""
DESSERTS = (
    "      - {course: desserts, land: {after: mains, gap: 20m}, plates: [{dish: hake, qty: 30}], waves: {of: 20}}\n"
)


@pytest.fixture
def read(folder, tmp_path):
    kitchen, book, _ = read_kitchen(folder)

    def do(text):
        path = tmp_path / "event.yaml"
        path.write_text(text, encoding="utf-8")
        return read_orders(path, kitchen, book)

    return do


def at(text):
    return AtTime(at=int(datetime.fromisoformat(f"2026-11-27T{text}+00:00").timestamp()))


def after(course, gap="0s"):
    return After(after=course, gap=gap)


def waves(orders):
    return [(c.course, c.plate_count, c.land) for c in orders.courses]


def test_each_wave_lands_when_the_one_before_is_up(read):
    orders = read(EVENT)
    assert waves(orders) == [
        ("mains", 20, at("19:30:00")),
        ("mains 2", 20, after("mains")),
        ("mains 3", 10, after("mains 2")),
    ]
    assert [[str(key) for key in keys] for keys in orders.waves] == [["Hall/mains", "Hall/mains 2", "Hall/mains 3"]]


def test_waves_of_a_time_land_every_so_often(read):
    assert waves(read(EVENT.replace("of: 20", "of: 20, every: 5m"))) == [
        ("mains", 20, at("19:30:00")),
        ("mains 2", 20, at("19:35:00")),
        ("mains 3", 10, at("19:40:00")),
    ]


def test_waves_as_soon_as_can_be_keep_the_same_distance_from_landing_to_landing(read):
    # The pass has two pairs of hands, a hake takes 40 s: 20 plates are up ceil(20 / 2) x 40 s = 400 s after landing,
    # which is longer than 5 minutes and 100 s short of 500 s.
    for every, gap in (("5m", "0s"), ("8m20s", "1m40s")):
        asap = EVENT.replace('"19:30"', "asap").replace("of: 20", f"of: 20, every: {every}")
        assert waves(read(asap)) == [
            ("mains", 20, Asap()),
            ("mains 2", 20, after("mains", gap)),
            ("mains 3", 10, after("mains 2", gap)),
        ]


def test_a_held_event_is_called_by_its_first_wave(read):
    assert [land for _, _, land in waves(read(EVENT.replace('"19:30"', "hold")))] == [
        Hold(),
        after("mains"),
        after("mains 2"),
    ]


def test_the_next_course_begins_after_the_last_wave(read):
    assert waves(read(EVENT + DESSERTS))[3:] == [
        ("desserts", 20, after("mains 3", "20m")),
        ("desserts 2", 10, after("desserts")),
    ]


def test_few_plates_are_one_wave(read):
    orders = read(EVENT.replace("qty: 50", "qty: 20"))
    assert waves(orders) == [("mains", 20, at("19:30:00"))]
    assert orders.waves == ()


def test_waves_written_out_read_back_as_the_same_courses(read, folder):
    orders = read(EVENT + DESSERTS)
    again = read(write_orders(orders, read_kitchen(folder)[0]))
    assert again.courses == orders.courses


@pytest.mark.parametrize(
    ("new", "where", "what"),
    [
        ("waves: {of: 0}", "orders[0].courses[0].waves.of", "0 is too small"),
        ("waves: {of: 20, every: 5}", "orders[0].courses[0].waves.every", "5 is not a duration"),
        ("waves: {every: 5m}", "orders[0].courses[0].waves.of", "of is missing"),
        ("waves: {of: 20, evry: 5m}", "orders[0].courses[0].waves.evry", "unknown key 'evry'"),
    ],
)
def test_a_fault_in_the_waves_names_path_and_cure(read, new, where, what):
    with pytest.raises(UnreadableFiles) as caught:
        read(EVENT.replace("waves: {of: 20}", new))
    assert [(fault.where, fault.what) for fault in caught.value.faults] == [(where, what)]
    assert all(fault.cure and fault.line == 9 for fault in caught.value.faults)


def test_plates_with_an_allergy_or_a_note_are_in_the_first_wave():
    plain, other = Plate(dish="lamb", qty=20), Plate(dish="brill", qty=10)
    special = Plate(dish="brill", qty=2, seat="31", allergies=("milk",))
    assert cut_into_waves([plain, other, special], 16) == (
        # Two special ones, then 14 of the 30 others, two lamb to each brill: 9 or 10 lamb, 4 or 5 brill.
        (Plate(dish="lamb", qty=9), Plate(dish="brill", qty=5), special),
        (Plate(dish="lamb", qty=11), Plate(dish="brill", qty=5)),
    )


def test_a_mixed_menu_never_runs_further_from_its_shares_than_was_proven():
    # R. Tijdeman, The chairman assignment problem, Discrete Mathematics 32 (1980) 323-330: n states take turns so that
    # each is always within 1 - 1/(2n - 2) of its share; the figure is from memory. 90 lamb and 60 brill: half a plate.
    menus = [[90, 60], [149, 1], [50, 50, 50], [33, 1, 17, 99], *map(list, product(range(1, 5), repeat=4))]
    for menu in menus:
        order, total, count = evenly_spread(menu), sum(menu), len(menu)
        given = [0] * count
        for turn, dish in enumerate(order, 1):
            given[dish] += 1
            off = max(abs(given[i] - Fraction(menu[i] * turn, total)) for i in range(count))
            assert off <= 1 - Fraction(1, 2 * count - 2), (menu, turn)
        assert given == menu
