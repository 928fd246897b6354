"""What if: a course goes first, a basket is gone, a cook comes, an order waits, the chef sets a landing."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.choose import plan_quickly
from kitchen_timer.plan.question import CourseKey, Question
from kitchen_timer.plan.remedy import Change
from kitchen_timer.plan.what_if import Moved, Supposed, WhatIf, what_if
from tests.builders import after, begun, component, course, dish, kitchen, question, slots, step
from tests.properties.strategies import questions

SQUID = dish("squid", rings=component("fry", step(90, on="fryer", handling=0), name="Squid", keeps=0))
ONE_BASKET = kitchen(fry=1, fryer=slots(1, recovery=60))
TWO_BASKETS = kitchen(fry=1, fryer=slots(2, recovery=60))
FOUR, SIX, NINE = CourseKey("4", "mains"), CourseKey("6", "mains"), CourseKey("9", "mains")


def three_tables(of_kitchen: object = ONE_BASKET) -> tuple[Question, Answer]:
    """Tables 4, 6 and 9 want one squid each; table 4 ordered first. One basket: they land at 1:30, 4:00 and 6:30."""
    asked = question(of_kitchen, [SQUID], *(course(t, in_at=i - 9, squid=1) for i, t in enumerate("469")))  # type: ignore[arg-type]
    return asked, plan_quickly(asked)


def moved(found: WhatIf) -> dict[CourseKey, Moved]:
    return {each.key: each for each in found.courses}


def test_a_course_that_goes_first_lands_sooner_and_the_others_wait() -> None:
    # Every place in the queue is 90 s of frying and 60 s of recovery. First, table 9 lands at 1:30: 5 min sooner.
    # Tables 4 and 6 wait a place each: 2:30.
    asked, stands = three_tables()
    assert [c.landing_at for c in stands.courses] == [90, 240, 390]
    found = what_if(asked, stands, Supposed(first=(NINE,)))
    assert found.words == "table 9 lands 5:00 sooner, tables 4 and 6 wait 2:30 longer"
    assert {key.table: each.by_s for key, each in moved(found).items()} == {"9": -300, "4": 150, "6": 150}
    assert moved(found)[FOUR].cause == "Fry: table 9's squid in the fryer until 00:01:30, then 60 s to recover"
    assert moved(found)[NINE].cause == ""
    # All are wanted at 1:30: 0 + 150 + 300 plate-seconds behind, whoever goes first.
    assert (found.cost_stands, found.cost_would) == (450, 450)
    assert breaks(asked, found.answer) == ()


def test_with_a_basket_gone_what_shared_it_waits() -> None:
    # Two baskets: tables 4 and 6 at 1:30, table 9 at 4:00. With one: 1:30, 4:00, 6:30.
    asked, stands = three_tables(TWO_BASKETS)
    assert [c.landing_at for c in stands.courses] == [90, 90, 240]
    found = what_if(asked, stands, Supposed(changes=(Change("slots", "fryer", -1),)))
    assert found.words == "tables 6 and 9 wait 2:30 longer"
    assert found.impossible == ()
    assert moved(found)[SIX].stands_at == 90
    assert moved(found)[SIX].would_land_at == 240


def test_with_every_basket_gone_the_plan_says_what_cannot_be_made() -> None:
    asked, stands = three_tables()
    found = what_if(asked, stands, Supposed(changes=(Change("slots", "fryer", -1),)))
    assert {each.table for each in found.impossible} == {"4", "6", "9"}
    assert found.impossible[0].why == "Squid: the kitchen has no 'fryer'"
    assert "table 4's mains could not be made" in found.words
    assert moved(found)[FOUR].would_land_at is None


def test_with_another_cook_two_tables_are_made_side_by_side() -> None:
    rice = dish("rice", rice=component("garnish", step(240), name="Risotto", keeps=0))
    asked = question(kitchen(garnish=1), [rice], course("4", in_at=-1, rice=1), course("6", rice=1))
    stands = plan_quickly(asked)
    assert [c.landing_at for c in stands.courses] == [240, 480]
    found = what_if(asked, stands, Supposed(changes=(Change("cooks", "garnish", 1),)))
    assert found.words == "table 6 lands 4:00 sooner"
    assert (found.cost_stands, found.cost_would) == (240, 0)


def test_an_order_that_waits_lets_the_others_up() -> None:
    asked, stands = three_tables()
    found = what_if(asked, stands, Supposed(without=(FOUR,)))
    assert found.words == "tables 6 and 9 land 2:30 sooner"
    assert moved(found)[FOUR].would_land_at is None
    assert moved(found)[FOUR].by_s == 0


def test_what_lands_after_a_course_that_waits_waits_with_it() -> None:
    asked = question(
        ONE_BASKET, [SQUID], course("6", "starters", squid=1), course("6", land=after("starters", 60), squid=1)
    )
    found = what_if(asked, plan_quickly(asked), Supposed(without=(CourseKey("6", "starters"),)))
    assert [each.would_land_at for each in found.courses] == [None, None]
    assert found.impossible == ()


def test_the_chef_sets_a_landing() -> None:
    # Table 4 at 5:00: its squid is in from 3:30, and table 6 has the basket before, table 9 after: 1:30, 5:00 and 7:30;
    # or table 9 before too, at 4:00 with the oil back only at 5:00: that would put off table 4.
    asked, stands = three_tables()
    found = what_if(asked, stands, Supposed(landings=((FOUR, 300),)))
    assert moved(found)[FOUR].would_land_at == 300
    assert moved(found)[SIX].would_land_at == 90
    assert moved(found)[NINE].would_land_at == 450
    assert found.words == "table 6 lands 2:30 sooner, table 4 waits 3:30 longer, table 9 waits 1:00 longer"


def test_a_landing_sooner_than_can_be_is_the_soonest_there_is() -> None:
    asked, stands = three_tables()
    found = what_if(asked, stands, Supposed(landings=((NINE, 30),)))
    assert moved(found)[NINE].would_land_at == 90
    assert moved(found)[NINE].cause == "Fry: 90 s for its squid is more than there was"


def test_food_that_is_on_is_never_moved() -> None:
    asked = question(
        ONE_BASKET,
        [SQUID],
        course("4", target=90, begun=[begun("squid/rings/1", (0, 90))], squid=1),
        course("6", in_at=10, target=100, squid=1),
        now=30,
    )
    stands = plan_quickly(asked)
    found = what_if(asked, stands, Supposed(first=(SIX,)))
    assert found.words == "every course lands as it stands"
    assert found.answer.by_load[next(k for k in found.answer.by_load if k.table == "4")][0].start_at == 0


@given(questions(), st.data())
@settings(max_examples=15)
def test_whatever_is_supposed_the_other_plan_is_sound_and_the_first_lands_no_later(
    asked: Question, data: st.DataObject
) -> None:
    stands = plan_quickly(asked)
    if not stands.courses:
        return
    key = data.draw(st.sampled_from(stands.courses)).key
    supposed = data.draw(
        st.sampled_from(
            [
                Supposed(first=(key,)),
                Supposed(without=(key,)),
                Supposed(landings=((key, stands.by_course[key].landing_at + 100),)),
                *(Supposed(changes=(Change("cooks", s, 1),)) for s in asked.kitchen.stations),
                *(Supposed(changes=(Change("slots", e, 1),)) for e in asked.kitchen.equipment),
                *(Supposed(changes=(Change("slots", e, -1),)) for e in asked.kitchen.equipment),
            ]
        )
    )
    found = what_if(asked, stands, supposed, work=300)
    assert {each.key for each in found.courses} == {wanted.key for wanted in asked.courses}
    if supposed.first and not any(w.key == key and isinstance(w.land, type(after("x"))) for w in asked.courses):
        assert moved(found)[key].by_s <= 0
    if any(change.by > 0 for change in supposed.changes):
        assert found.cost_would <= found.cost_stands + 0.1
    if not supposed.changes and not supposed.landings and not supposed.without:
        fixed = tuple(
            replace(w, target_at=found.answer.by_course[w.key].target_at)
            for w in asked.courses
            if w.key in found.answer.by_course
        )
        plain = replace(found.answer, impossible=())
        assert [str(b) for b in breaks(replace(asked, courses=fixed), plain) if b.rule] == []
