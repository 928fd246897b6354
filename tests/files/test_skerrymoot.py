"""The demo kitchen: its book, its evening, and what a kitchen must be able to do with them."""

from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from kitchen_timer.files import question_of, read_bookings, read_kitchen, read_orders
from kitchen_timer.kitchen.seconds import instant_of, read_time_of_day
from kitchen_timer.kitchen.table import Asap, Course, Hold, Plate
from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.choose import plan_fully
from kitchen_timer.plan.targets import alone_s

SKERRYMOOT = Path(__file__).parents[2] / "config" / "skerrymoot"

ANNEX_II = {
    # Regulation (EU) No 1169/2011, Annex II, "Substances or products causing allergies or intolerances": its fourteen
    # numbers, and the word that this book uses for each.
    1: ("Cereals containing gluten", "gluten"),
    2: ("Crustaceans", "crustaceans"),
    3: ("Eggs", "egg"),
    4: ("Fish", "fish"),
    5: ("Peanuts", "peanuts"),
    6: ("Soybeans", "soya"),
    7: ("Milk (including lactose)", "milk"),
    8: ("Nuts", "tree nuts"),
    9: ("Celery", "celery"),
    10: ("Mustard", "mustard"),
    11: ("Sesame seeds", "sesame"),
    12: ("Sulphur dioxide and sulphites", "sulphites"),
    13: ("Lupin", "lupin"),
    14: ("Molluscs", "molluscs"),
}


@pytest.fixture(scope="module")
def house():
    kitchen, book, _ = read_kitchen(SKERRYMOOT)
    return kitchen, book


@pytest.fixture(scope="module")
def evening(house):
    return read_orders(SKERRYMOOT / "evening.yaml", *house)


def test_every_allergen_of_the_book_is_one_of_the_fourteen(house):
    _, book = house
    known = {word for _, word in ANNEX_II.values()}
    assert len(known) == 14
    named = {allergen for dish in book.values() for allergen in dish.all_allergens()}
    assert named <= known, f"not in Annex II: {named - known}"


@pytest.mark.parametrize(
    ("dish", "allergens"),
    [
        ("mackerel", "fish gluten milk"),
        ("crab-custard", "crustaceans fish egg milk gluten soya"),
        ("haddock-egg", "egg fish milk mustard"),
        ("beetroot", "milk tree-nuts sulphites"),
        ("brill", "fish molluscs milk sulphites"),
        ("duck", "celery milk sulphites"),
        ("ox-cheek", "celery milk gluten sulphites"),
        ("risotto", "milk gluten egg celery sulphites"),
        ("lamb", "fish milk sulphites"),
        ("souffle", "egg milk soya"),
        ("lemon-cream", "milk egg gluten"),
        ("apple-tart", "gluten milk egg"),
    ],
)
def test_no_allergen_of_a_dish_is_forgotten(house, dish, allergens):
    _, book = house
    assert len(book) == 12
    assert set(book[dish].all_allergens()) == {word.replace("-", " ") for word in allergens.split()}


def test_whatever_is_fried_goes_through_oil_that_carries_over(house):
    kitchen, book = house
    assert [key for key, equipment in kitchen.equipment.items() if equipment.cross_contact] == ["fryer"]
    fried = {d for d, dish in book.items() for c in dish.components.values() for s in c.steps if s.on == "fryer"}
    assert fried == {"crab-custard", "risotto"}


def test_a_table_of_six_can_have_any_one_dish(house):
    kitchen, book = house
    assert [dish for dish in book if alone_s(kitchen, book, ((dish, 6),)) is None] == []


def test_the_files_say_that_people_and_place_are_invented():
    for name in ("kitchen.yaml", "bookings.yaml", "evening.yaml", "event.yaml"):
        assert "invented" in (SKERRYMOOT / name).read_text(encoding="utf-8").lower()


def test_who_orders_has_booked_and_has_no_more_plates_than_covers(house, evening):
    kitchen, _ = house
    bookings = read_bookings(SKERRYMOOT / "bookings.yaml", kitchen)
    covers = {booking.table: booking.covers for booking in bookings.bookings}
    came = {booking.table: booking.at for booking in bookings.bookings}
    assert bookings.service == evening.service
    assert len(covers) == len(bookings.bookings)
    for course in evening.courses:
        assert course.plate_count <= covers[course.table]
        assert course.in_at >= came[course.table]
    assert set(covers) - {course.table for course in evening.courses} == {"6"}


def test_at_half_past_seven_tables_are_under_way_and_six_is_free(house, evening):
    kitchen, _ = house

    def at(text):
        return instant_of(evening.service, read_time_of_day(text), kitchen.zone)

    under_way = {course.table for course in evening.courses if at("19:10") <= course.in_at <= at("19:28")}
    assert under_way == {"4", "7", "9", "12"}
    assert min(course.in_at for course in evening.courses) >= at("18:45")
    assert max(course.in_at for course in evening.courses) <= at("21:30")
    assert {Hold(), Asap()} <= {course.land for course in evening.courses}
    assert any(plate.allergies for course in evening.courses for plate in course.plates)


def test_four_different_mains_among_three_tables_under_way_land_inside_their_keeps(house, evening):
    kitchen, book = house
    now = int(datetime(2026, 11, 27, 19, 30, tzinfo=kitchen.zone).timestamp())
    mains = tuple(Plate(dish=dish) for dish in ("brill", "duck", "risotto", "lamb"))
    four = Course(table="6", course="mains", in_at=now, land=Asap(), plates=mains)
    others = tuple(course for course in evening.courses if now - 20 * 60 <= course.in_at <= now)
    question, _ = question_of(replace(evening, now=now, courses=(*others, four)), kitchen, book)
    clock = iter(range(10_000_000))
    # Every look at this clock takes a hundredth of a second, so that the search ends without anyone's watch.
    answer = plan_fully(question, 1.0, lambda: next(clock) / 100)
    assert len({course.table for course in answer.courses}) > 3
    assert answer.impossible == ()
    assert breaks(question, answer) == ()
    # Rule 4 once more from the numbers themselves: nothing that ends at the pass stands longer than it keeps.
    landing = {course.key: course.landing_at for course in answer.courses}
    for load, steps in answer.by_load.items():
        if not book[load.dish].dependants_of(load.component):
            stands = landing[load.of_course] - steps[-1].end_at
            assert 0 <= stands <= book[load.dish].components[load.component].keeps_s
