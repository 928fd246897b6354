"""What a step asks of time, hands and slots, with its defaults."""

import pytest
from pydantic import ValidationError

from kitchen_timer.kitchen.dish import Component, Dish, Hands, Step, Takes
from tests.builders import component, dish, kitchen, slots, step


def test_a_bare_duration_is_usual_least_and_most() -> None:
    assert Takes.model_validate("3m").model_dump() == {"usual_s": "3m", "least_s": "3m", "most_s": "3m"}


def test_least_and_most_default_to_usual() -> None:
    takes = Takes.model_validate({"usual": "3m", "most": "4m"})
    assert (takes.least_s, takes.usual_s, takes.most_s) == (180, 180, 240)


@pytest.mark.parametrize(
    "wrong",
    [
        {"usual": "3m", "least": "3m1s"},
        {"usual": "3m", "most": "2m59s"},
        "0s",
        180,
        "180",
        "-3m",
        {"least": "3m"},
        {"usual": "3m", "typical": "3m"},
    ],
)
def test_times_that_make_no_sense_are_refused(wrong: object) -> None:
    with pytest.raises(ValidationError):
        Takes.model_validate(wrong)


@pytest.mark.parametrize(("portions", "seconds"), [(1, 20), (2, 25), (4, 35)])
def test_each_portion_after_the_first_adds_its_each(portions: int, seconds: int) -> None:
    assert step(20, each=5).length_s(portions) == seconds


def test_defaults_of_a_step_as_the_book_writes_it() -> None:
    read = Step.model_validate({"do": "Turn", "takes": "1m"})
    assert (read.each_s, read.on, read.fits, read.hands, read.handling_s, read.may_wait_s) == (
        0,
        None,
        1,
        None,
        None,
        0,
    )


def test_what_a_cook_is_told_has_four_words_at_most() -> None:
    Step.model_validate({"do": "Put skin side down", "takes": "1m"})
    with pytest.raises(ValidationError, match="four words"):
        Step.model_validate({"do": "Put the skin side down", "takes": "1m"})


@pytest.mark.parametrize("key", ["take", "recovery", "hand", "Do"])
def test_an_unknown_key_of_a_step_is_refused(key: str) -> None:
    with pytest.raises(ValidationError, match=key):
        Step.model_validate({"do": "Turn", "takes": "1m", key: "1m"})


def fish() -> Component:
    return component(
        "plancha",
        step(180, on="top"),
        step(60, on="top"),
        step(60, on="oven"),
        step(60),
        step(60, hands="none"),
    )


def test_hands_default_to_all_on_a_board_and_to_the_ends_of_a_stay_on_equipment() -> None:
    assert [fish().hands_of(i) for i in range(5)] == [Hands.START, Hands.ENDS, Hands.ENDS, Hands.ALL, Hands.NONE]


def test_the_last_step_on_equipment_counts_also_when_another_comes_between() -> None:
    back = component("meat", step(60, on="pan"), step(60, on="oven"), step(60, on="pan"))
    assert [back.hands_of(i) for i in range(3)] == [Hands.START, Hands.ENDS, Hands.ENDS]


TEN = kitchen(plancha=1, handling=10)


@pytest.mark.parametrize(
    ("hands", "takes", "busy"),
    [
        ("all", 60, ((0, 60),)),
        ("none", 60, ()),
        ("start", 60, ((0, 10),)),
        ("end", 60, ((50, 60),)),
        ("ends", 60, ((0, 10), (50, 60))),
        ("ends", 21, ((0, 10), (11, 21))),
        ("ends", 20, ((0, 20),)),  # no longer than its ends need: throughout
        ("ends", 15, ((0, 15),)),
        ("start", 11, ((0, 10),)),
        ("start", 10, ((0, 10),)),
        ("end", 9, ((0, 9),)),
        ("none", 5, ()),
    ],
)
def test_when_a_cook_is_busy_with_a_step(hands: str, takes: int, busy: tuple[tuple[int, int], ...]) -> None:
    assert component("plancha", step(takes, hands=hands, on="top")).busy_s(0, 1, TEN) == busy


def test_a_step_with_its_own_handling_and_more_portions() -> None:
    part = component("plancha", step(30, each=30, on="top", hands="ends", handling=30))
    assert part.busy_s(0, 1, TEN) == ((0, 30),)
    assert part.busy_s(0, 2, TEN) == ((0, 60),)
    assert part.busy_s(0, 3, TEN) == ((0, 30), (60, 90))


def test_no_handling_needs_no_hands() -> None:
    part = component("plancha", step(30, on="top", hands="ends", handling=0))
    assert part.busy_s(0, 1, TEN) == ()


def test_how_many_portions_go_in_at_once_is_set_by_the_tightest_equipment() -> None:
    k = kitchen(stove=1, pan=slots(4), oven=slots(1))
    both = component("stove", step(60, on="pan", fits=2), step(60, on="oven", fits=6))
    assert both.most_at_once(k) == 6
    assert component("stove", step(60)).most_at_once(k) is None


def test_a_component_comes_after_components_of_its_own_dish_and_never_in_a_loop() -> None:
    a = component("cold", step(10), after=["b"])
    with pytest.raises(ValidationError, match="no component of this dish"):
        dish("salad", a=a)
    with pytest.raises(ValidationError, match="loop"):
        dish("salad", a=a, b=component("cold", step(10), after=["a"]))
    with pytest.raises(ValidationError, match="loop"):
        dish("salad", a=component("cold", step(10), after=["a"]))


def test_a_dish_lists_each_allergen_once() -> None:
    one = component("cold", step(10), allergens=["milk", "egg"])
    other = component("cold", step(10), allergens=["egg", "fish"])
    salad = Dish(**{**dish("salad", one=one, other=other).model_dump(by_alias=True), "allergens": ["nuts"]})
    assert salad.all_allergens() == ("nuts", "milk", "egg", "fish")
