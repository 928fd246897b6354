"""What a course that is behind waits for, in kitchen words."""

from datetime import UTC, datetime

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.choose import plan_quickly
from kitchen_timer.plan.question import CourseKey, Question
from kitchen_timer.plan.why import why_behind
from tests.builders import at, begun, component, course, dish, kitchen, plan, question, slots, step

EVENING = int(datetime(2026, 11, 27, 19, 30, tzinfo=UTC).timestamp())


def why(asked: Question, answer: Answer, key: str) -> str:
    return why_behind(asked, answer)[CourseKey(*key.split("/"))]


def test_a_course_on_time_waits_for_nothing() -> None:
    soup = dish("soup", bowl=component("stove", step(100, hands="none")))
    asked = question(kitchen(stove=1), [soup], course("6", soup=1))
    assert why_behind(asked, plan_quickly(asked)) == {}


def test_the_basket_is_taken_and_the_oil_recovers() -> None:
    # Table 4's squid is in from 19:30 to 19:31:30, the oil recovers 60 s; table 6's could go in at 19:32:30.
    squid = dish("squid", rings=component("fry", step(90, on="fryer", handling=0), name="Squid", keeps=0))
    asked = question(
        kitchen(fry=1, fryer=slots(1, recovery=60)),
        [squid],
        course("4", in_at=EVENING, squid=1),
        course("6", in_at=EVENING, squid=1),
        now=EVENING,
    )
    answer = plan(
        asked,
        {"4/mains": EVENING + 90, "6/mains": EVENING + 240},
        {"4/mains/squid/rings/1": [EVENING], "6/mains/squid/rings/1": [EVENING + 150]},
        targets={"6/mains": EVENING + 90},
    )
    assert why(asked, answer, "6/mains") == ("Fry: table 4's squid in the fryer until 19:31:30, then 60 s to recover")


def test_the_cook_is_busy() -> None:
    rice = dish("rice", rice=component("garnish", step(240), name="Risotto", keeps=0))
    asked = question(kitchen(garnish=1), [rice], course("9", rice=1), course("6", rice=1), now=0)
    answer = plan(
        asked,
        {"9/mains": 240, "6/mains": 480},
        {"9/mains/rice/rice/1": [0], "6/mains/rice/rice/1": [240]},
        targets={"6/mains": 240},
    )
    assert why(asked, answer, "6/mains") == "Garnish: the cook is busy with table 9's risotto until 00:04"


def test_what_a_component_comes_after_is_looked_through() -> None:
    # The dressing comes after the leeks, and the leeks wait for the ring.
    leeks = component("stove", step(120, on="ring", hands="none"), name="Leeks", keeps=0)
    salad = dish("salad", leeks=leeks, dressing=component("cold", step(20), after=["leeks"], keeps=0))
    asked = question(
        kitchen(stove=1, cold=1, ring=slots(1)), [salad], course("9", salad=1), course("6", salad=1), now=0
    )
    answer = plan(
        asked,
        {"9/mains": 140, "6/mains": 260},
        {
            "9/mains/salad/leeks/1": [0],
            "9/mains/salad/dressing/1": [120],
            "6/mains/salad/leeks/1": [120],
            "6/mains/salad/dressing/1": [240],
        },
        targets={"6/mains": 140},
    )
    assert why(asked, answer, "6/mains") == "Stove: table 9's leeks in the ring until 00:02"


def test_the_pass_is_plating() -> None:
    soup = dish("soup", plating=60, bowl=component("stove", step(100, hands="none"), keeps=60))
    asked = question(kitchen(stove=1, pass_hands=1), [soup], course("9", soup=1), course("6", soup=1), now=0)
    answer = plan(
        asked,
        {"9/mains": 100, "6/mains": 160},
        {"9/mains/soup/bowl/1": [0], "6/mains/soup/bowl/1": [60]},
        targets={"6/mains": 100},
    )
    assert why(asked, answer, "6/mains") == "Pass: hands are plating table 9 until 00:02:40"


def test_its_own_food_is_not_done() -> None:
    soup = dish("soup", bowl=component("stove", step(100, hands="none"), name="Broth", keeps=60))
    asked = question(
        kitchen(stove=1), [soup], course("6", target=100, begun=[begun("soup/bowl/1", (30, 150))], soup=1), now=90
    )
    assert why(asked, plan_quickly(asked), "6/mains") == "Stove: its own broth not done until 00:02:30"


def test_it_was_wanted_sooner_than_it_can_be() -> None:
    soup = dish("soup", bowl=component("stove", step(100, hands="none"), name="Broth", keeps=60))
    asked = question(kitchen(stove=1), [soup], course("6", land=at(40), soup=1))
    assert why(asked, plan_quickly(asked), "6/mains") == "Stove: 1:40 min for its broth is more than there was"
