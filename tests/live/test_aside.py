"""Why and what if, asked of an evening: answered by the planner, and nothing is changed by it."""

import pytest

from kitchen_timer.kitchen.problems import BadMessage, UnknownTable
from kitchen_timer.kitchen.table import Asap, Hold, Plate
from kitchen_timer.service.commands import CourseAsked
from kitchen_timer.service.supposing import CooksAsked, LandingAsked, SlotsAsked, WhatIfAsked
from tests.builders import book, component, dish, kitchen, slots, step
from tests.live.tonight import START, Tonight


def three_eggs() -> Tonight:
    """Tables 4, 6 and 9 want an egg each; the plancha's one cook is at each for 100 s, one after another."""
    egg = dish("egg", plating=10, egg=component("plancha", step(100, do="Poach"), keeps=60, name="Egg"))
    tonight = Tonight(kitchen(plancha=1, cold=1, fryer=slots(2)), book([egg]))
    for table in "469":
        tonight.order(table, "starters", egg=1)
    return tonight


def test_a_late_course_says_its_chain() -> None:
    tonight = three_eggs()
    why = tonight.engine.aside.why("9/starters")
    assert [link.words for link in why.chain] == [
        "Plancha: the cook is busy with table 6's egg until 19:03:20",
        "Table 6's egg waits in turn. Plancha: the cook is busy with table 4's egg until 19:01:40",
        "Table 4's egg is on time: table 4 lands at 19:01:40, as wanted",
    ]
    assert why.late_s == 200
    assert [link.course_id for link in why.chain] == ["9/starters", "6/starters", "4/starters"]


def test_the_first_link_is_the_cause_on_the_pass() -> None:
    tonight = three_eggs()
    course = tonight.course("9/starters")
    assert course.cause == tonight.engine.aside.why("9/starters").chain[0].words


def test_a_course_on_time_has_no_chain() -> None:
    assert three_eggs().engine.aside.why("4/starters").chain == ()


@pytest.mark.parametrize("course_id", ["7/mains", "nonsense", "12/starters"])
def test_only_of_a_course_that_is_being_cooked_it_can_be_asked_why(course_id: str) -> None:
    tonight = three_eggs()
    tonight.order("12", "starters", land=Hold(), egg=1)
    with pytest.raises(UnknownTable):
        tonight.engine.aside.why(course_id)


def test_what_if_says_who_gains_and_who_waits_and_changes_nothing() -> None:
    tonight = three_eggs()
    before = tonight.board()
    found = tonight.engine.aside.what_if(WhatIfAsked(first=("9/starters",)))
    assert found.words == "table 9 lands 3:20 sooner, tables 4 and 6 wait 1:40 longer"
    moved = {each.id: each for each in found.courses}
    assert moved["9/starters"].stands_at == START + 300
    assert moved["9/starters"].would_land_at == START + 100
    assert moved["4/starters"].cause == "Plancha: the cook is busy with table 9's egg until 19:01:40"
    assert tonight.board() == before


def test_another_cook_and_a_held_order_can_be_supposed() -> None:
    # Three cooks and two pairs of hands at the pass: the third table's egg waits for its plating, 10 s.
    tonight = three_eggs()
    assert (
        tonight.engine.aside.what_if(WhatIfAsked(cooks=(CooksAsked("plancha", 2),))).words
        == "table 9 lands 3:10 sooner, table 6 lands 1:40 sooner"
    )
    held = tonight.engine.aside.what_if(WhatIfAsked(without=("4/starters",)))
    assert held.words == "tables 6 and 9 land 1:40 sooner"
    later = tonight.engine.aside.what_if(WhatIfAsked(landings=(LandingAsked("4/starters", START + 600),)))
    assert {each.id: each.by_s for each in later.courses} == {"4/starters": 500, "6/starters": -100, "9/starters": -100}


def test_what_cannot_be_supposed_is_refused_field_by_field() -> None:
    tonight = three_eggs()
    asked = WhatIfAsked(
        first=("9/starters", "30/mains"), cooks=(CooksAsked("bar", 1),), slots=(SlotsAsked("fryer", -3),)
    )
    with pytest.raises(BadMessage) as refused:
        tonight.engine.aside.what_if(asked)
    assert [(fault.where, fault.cure) for fault in refused.value.faults] == [
        ("first[1]", "Ask of one that the pass shows."),
        ("cooks[0].station", "name one of plancha, cold"),
        ("slots[0].by", "take away at most 2"),
    ]


def test_a_quote_says_whom_an_order_delays_by_how_much_and_why() -> None:
    # Six eggs in one load are 100 s of the same cook. Behind the others the six plates would be 300 s late each; right
    # after table 4, whose cook has been told to begin now, they are 100 s late, and tables 6 and 9 wait 100 s each.
    tonight = three_eggs()
    quote = tonight.engine.quote("12", (CourseAsked("starters", (Plate(dish="egg", qty=6),), Asap()),))
    assert [course.landing_at for course in quote.courses] == [START + 200]
    assert [(delay.table, delay.by_s, delay.why) for delay in quote.delays] == [
        ("6", 100, "Plancha: the cook is busy with table 12's egg until 19:03:20"),
        ("9", 100, "Plancha: the cook is busy with table 6's egg until 19:05"),
    ]


def test_supposing_nothing_is_refused() -> None:
    with pytest.raises(BadMessage):
        three_eggs().engine.aside.what_if(WhatIfAsked())
