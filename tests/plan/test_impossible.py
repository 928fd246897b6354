"""A course that can never be made: which rule stops it and what would help; the others are planned."""

from kitchen_timer.kitchen.dish import Component
from kitchen_timer.plan.answer import Impossible
from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.choose import plan_quickly
from kitchen_timer.plan.prepare import with_remedies
from kitchen_timer.plan.question import Question
from kitchen_timer.plan.remedy import Change, with_remedy
from tests.builders import after, begun, component, course, dish, kitchen, question, slots, step

SQUID = dish("squid", rings=component("fry", step(90, on="fryer", fits=2), keeps=60, name="Squid"))
KITCHEN = kitchen(fry=1, cold=0, stove=1, fryer=slots(2, recovery=60))


def impossible(asked: Question) -> dict[str, Impossible]:
    answer = plan_quickly(asked)
    assert breaks(asked, answer) == ()
    return {str(each.key): each for each in answer.impossible}


def test_more_portions_than_the_kitchen_can_hold_inside_their_keeps() -> None:
    # Two baskets of two: 9 portions are 3 loads, each 90 + 60 s apart, and squid keeps 60 s.
    # So the first is done 300 s before the third. Four at once fit; 9 at once need ceil(9 / 2) = 5 baskets.
    found = impossible(question(KITCHEN, [SQUID], course("6", squid=9), course("9", squid=2)))
    assert set(found) == {"6/mains"}
    assert found["6/mains"].rule == 5
    assert found["6/mains"].why == (
        "9 squid need 3 loads in the fryer, which recovers 60 s, and the first would stand 5 min (keeps 60 s)"
    )
    assert found["6/mains"].would_help == (
        "5 places in the fryer instead of 2, squid that keeps 5 min instead of 60 s "
        "or no more than 4 plates of it at once"
    )
    assert [remedy.changes for remedy in found["6/mains"].remedies] == [
        (Change("slots", "fryer", 3),),
        (Change("keeps", "squid/rings", 240),),
        (Change("plates", "squid", 4),),
    ]


def nine_squid(table: str) -> Question:
    """Of a kitchen that nobody has asked about before, so that nothing is remembered."""
    house = kitchen(fry=1, cold=0, stove=1, fryer=slots(2, recovery=60)).model_copy(update={"name": f"House {table}"})
    return question(house, [SQUID], course(table, squid=9), course("9", squid=2))


def test_a_plan_at_once_says_that_it_cannot_be_and_the_remedies_follow() -> None:
    asked = nine_squid("31")
    at_once = plan_quickly(asked, remedies=False)
    (cannot,) = at_once.impossible
    assert (str(cannot.key), cannot.rule, cannot.remedies) == ("31/mains", 4, ())
    assert cannot.why == "Squid (keeps 60 s): the rest of the course cannot be done within that"
    assert cannot.would_help == "that is being worked out"
    assert breaks(asked, at_once) == ()
    helped, reasons = with_remedies(asked, at_once, lambda: False, lambda: False)
    assert helped.steps == at_once.steps
    assert [each.changes[0].kind for each in helped.impossible[0].remedies] == ["slots", "keeps", "plates"]
    assert list(reasons) == [(("squid", 9),)]
    assert plan_quickly(asked, remedies=False).impossible == helped.impossible  # known from then on


def test_looking_for_remedies_is_broken_off_for_another_order_and_goes_on_later() -> None:
    asked = nine_squid("32")
    at_once = plan_quickly(asked, remedies=False)
    tries: list[int] = []

    def stop() -> bool:
        tries.append(1)
        return len(tries) > 5

    assert with_remedies(asked, at_once, lambda: False, stop) == (at_once, {})
    first = len(tries)
    helped, _ = with_remedies(asked, at_once, lambda: False, lambda: tries.append(1) is not None)
    whole = len(tries) - first
    fresh = nine_squid("33")
    tries.clear()
    with_remedies(fresh, plan_quickly(fresh, remedies=False), lambda: False, lambda: tries.append(1) is not None)
    assert helped.impossible[0].remedies
    assert whole == len(tries) - 5  # the five that were tried are not tried again


def test_where_time_is_short_one_remedy_is_enough() -> None:
    asked = nine_squid("34")
    helped, _ = with_remedies(asked, plan_quickly(asked, remedies=False), lambda: True, lambda: False)
    (cannot,) = helped.impossible
    assert cannot.would_help == "5 places in the fryer instead of 2"
    assert not impossible(with_remedy(asked, cannot.key, cannot.remedies[0]))


def test_nobody_stands_at_the_station() -> None:
    leaves = dish("leaves", leaves=component("cold", step(20), name="Leaves"))
    found = impossible(question(KITCHEN, [leaves], course("6", leaves=1)))
    assert (found["6/mains"].rule, found["6/mains"].would_help) == (6, "a cook at Cold")


def test_one_cook_cannot_finish_two_things_at_once() -> None:
    # Both by hand, both keep nothing: whichever is first is dead when the other is done.
    both = dish(
        "both",
        sauce=component("stove", step(60), keeps=0, name="Sauce"),
        foam=component("stove", step(30), keeps=0, name="Foam"),
    )
    found = impossible(question(KITCHEN, [both], course("6", both=1)))
    assert found["6/mains"].rule == 6
    assert found["6/mains"].why == (
        "Stove has 1 cook: sauce (keeps 0 s) and the rest cannot all be done that close together"
    )
    assert "one more cook at Stove" in found["6/mains"].would_help


def test_a_dish_that_is_not_in_the_book_crashes_nothing() -> None:
    found = impossible(question(KITCHEN, [SQUID], course("6", nope=1), course("9", squid=2)))
    assert found["6/mains"].why == "the book has no dish 'nope'"


def test_a_course_after_one_that_is_impossible_or_held_is_impossible_too() -> None:
    asked = question(
        KITCHEN,
        [SQUID],
        course("6", "starters", squid=9),
        course("6", "mains", land=after("starters", 60), squid=1),
        course("6", "desserts", land=after("mains", 60), squid=1),
        course("9", land=after("starters", 60), squid=1),
    )
    found = impossible(asked)
    assert set(found) == {"6/starters", "6/mains", "6/desserts", "9/mains"}
    assert found["6/mains"].why == "it lands after starters, which cannot be made"
    assert found["9/mains"].why == "it lands after starters, which is not planned"


def test_courses_that_wait_for_each_other_are_impossible() -> None:
    asked = question(
        KITCHEN, [SQUID], course("6", "a", land=after("b"), squid=1), course("6", "b", land=after("a"), squid=1)
    )
    assert set(impossible(asked)) == {"6/a", "6/b"}


def by_hand(*names: str, station: str = "stove", keeps: int = 0) -> dict[str, Component]:
    """Components that take a cook 30 s each and keep that long."""
    return {name: component(station, step(30), keeps=keeps, name=name.capitalize()) for name in names}


def test_three_things_that_keep_nothing_need_three_cooks() -> None:
    # All three must end at the landing: three pairs of hands, of which the stove has one.
    asked = question(KITCHEN, [dish("three", **by_hand("sauce", "foam", "herbs"))], course("6", three=1))
    cannot = impossible(asked)["6/mains"]
    assert cannot.rule == 6
    assert cannot.remedies[0].changes == (Change("cooks", "stove", 2),)
    assert cannot.remedies[0].words == "2 more cooks at Stove"
    assert not impossible(with_remedy(asked, cannot.key, cannot.remedies[0]))


def test_two_dishes_that_cannot_land_together_can_apart() -> None:
    # One basket, 60 s of recovery: whichever is first stands 30 + 60 = 90 s and keeps 30 s.
    one = kitchen(fry=1, fryer=slots(1, recovery=60))
    fried = {
        name: dish(name, part=component("fry", step(30, on="fryer", handling=0), keeps=30, name=name.capitalize()))
        for name in ("chips", "squid")
    }
    asked = question(one, fried.values(), course("6", chips=1, squid=1))
    cannot = impossible(asked)["6/mains"]
    assert cannot.rule == 5
    assert cannot.would_help == (
        "2 places in the fryer instead of 1, chips that keeps 90 s instead of 30 s or chips as a course of its own"
    )
    assert [remedy.changes[0].by for remedy in cannot.remedies] == [1, 60, 0]
    for remedy in cannot.remedies:
        assert not impossible(with_remedy(asked, cannot.key, remedy))
    apart = with_remedy(asked, cannot.key, cannot.remedies[2])
    assert [str(wanted.key) for wanted in apart.courses] == ["6/mains", "6/mains 2"]


def test_where_no_one_thing_helps_several_are_named_together() -> None:
    # Two things by hand at each of two stations, all keeping nothing: one more cook at one of them leaves the other.
    both = dish("both", **by_hand("sauce", "foam"), **by_hand("leaves", "oil", station="larder"))
    asked = question(kitchen(stove=1, larder=1), [both], course("6", both=1))
    cannot = impossible(asked)["6/mains"]
    assert cannot.rule == 4
    (remedy,) = cannot.remedies
    # One at each station done 30 s before the other.
    assert sorted(change.by for change in remedy.changes) == [30, 30]
    assert {change.kind for change in remedy.changes} == {"keeps"}
    assert remedy.words == "foam that keeps 30 s instead of 0 s and oil that keeps 30 s instead of 0 s"
    assert cannot.why == "Foam (keeps 0 s) would stand 30 s until the rest of the course is done"
    assert not impossible(with_remedy(asked, cannot.key, remedy))


def test_a_course_after_an_impossible_one_can_have_a_landing_of_its_own() -> None:
    asked = question(
        KITCHEN,
        [SQUID],
        course("6", "starters", squid=9),
        course("6", "mains", land=after("starters", 60), squid=1),
    )
    cannot = impossible(asked)["6/mains"]
    assert cannot.would_help.startswith("a landing of its own or for starters: 5 places in the fryer instead of 2")
    assert set(impossible(with_remedy(asked, cannot.key, cannot.remedies[0]))) == {"6/starters"}


def test_a_course_after_a_held_one_waits_for_its_call() -> None:
    asked = question(KITCHEN, [SQUID], course("6", land=after("starters", 60), squid=1))
    cannot = impossible(asked)["6/mains"]
    assert cannot.why == "it lands after starters, which is not planned"
    assert cannot.would_help == "calling starters first or a landing of its own"


def test_started_food_of_an_impossible_course_goes_on() -> None:
    # Table 6's leaves are being made when the last cook leaves the cold station: they are planned to their end, and
    # what has not started is not dropped without a word.
    both = dish(
        "both",
        rings=component("fry", step(90, on="fryer"), keeps=600, name="Squid"),
        leaves=component("cold", step(20), keeps=600, name="Leaves"),
    )
    asked = question(KITCHEN, [both], course("6", target=90, begun=[begun("both/rings/1", (0, 90))], both=1), now=30)
    answer = plan_quickly(asked)
    cannot = {str(each.key): each for each in answer.impossible}["6/mains"]
    assert (cannot.rule, cannot.would_help) == (6, "a cook at Cold")
    assert all(each.excused for each in breaks(asked, answer))
