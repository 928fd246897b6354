"""Started food that cannot go on as planned is placed first; what has not started is laid around it."""

from dataclasses import replace

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.choose import plan_quickly
from kitchen_timer.plan.question import CourseKey, LoadKey, Question
from tests.builders import begun, component, course, dish, kitchen, question, slots, step


def landing(answer: Answer, table: str) -> int:
    return answer.by_course[CourseKey(table, "mains")].landing_at


def unforced(asked: Question, answer: Answer) -> list[object]:
    return [each for each in breaks(asked, answer) if not each.excused]


def test_what_has_not_started_makes_room() -> None:
    # One basket without recovery. Table 6's squid was to come out at 90, when table 9's goes in. It comes out at 120.
    k = kitchen(fry=1, fryer=slots(1))
    squid = dish("squid", rings=component("fry", step(90, on="fryer", handling=0), keeps=30, name="Squid"))
    running = plan_quickly(question(k, [squid], course("6", squid=1), course("9", target=180, squid=1)))
    fried = LoadKey("9", "mains", "squid", "rings", 1)
    assert running.by_load[fried][0].start_at == 90
    late = course("6", target=90, squid=1, begun=(begun("squid/rings/1", (0, 120)),))
    asked = question(k, [squid], late, course("9", target=180, squid=1), now=60)
    answer = plan_quickly(asked, running)
    assert landing(answer, "6") == 120
    assert answer.by_load[fried][0].start_at == 120
    assert not unforced(asked, answer)


def test_a_course_that_has_not_started_gives_its_place_to_food_that_would_die() -> None:
    # Each egg has to be turned out within 10 s of its 60 s, by one cook, 30 s with both hands. Table 6's egg comes 20 s
    # late, at 80; table 9's pan was to be made after it, from 90 to 120: had it stayed there, the egg would wait 40 s.
    k = kitchen(stove=1, ring=slots(2))
    egg = component(
        "stove", step(60, on="ring", hands="none"), step(30, hands="all", may_wait=10), keeps=60, name="Egg"
    )
    pan = component("stove", step(30, hands="all"), keeps=10, name="Pan")
    book = [dish("egg", egg=egg), dish("pan", pan=pan)]
    running = plan_quickly(question(k, book, course("6", egg=1), course("9", target=105, pan=1)))
    assert (landing(running, "6"), landing(running, "9")) == (90, 120)
    late = course("6", target=90, egg=1, begun=(begun("egg/egg/1", (0, 80)),))
    asked = question(k, book, late, course("9", target=105, pan=1), now=50)
    answer = plan_quickly(asked, running)
    assert answer.by_load[LoadKey("6", "mains", "egg", "egg", 1)][1].start_at == 80
    assert landing(answer, "9") == 140
    assert breaks(asked, answer) == ()


def test_what_started_food_suffers_stays_as_it_was_where_nothing_has_changed() -> None:
    # Squid that keeps 30 s is out at 90, the broth beside it is done at 200: whatever is done, it stands 110 s.
    k = kitchen(fry=1, stove=1, fryer=slots(1), ring=slots(2))
    plate = dish(
        "plate",
        rings=component("fry", step(90, on="fryer"), keeps=30, name="Squid"),
        broth=component("stove", step(100, on="ring"), step(100, on="ring", may_wait=60), keeps=60, name="Broth"),
    )
    food = (begun("plate/rings/1", (0, 90)), begun("plate/broth/1", (0, 100)))
    asked = question(k, [plate], course("6", target=90, plate=1, begun=food), now=50)
    first = plan_quickly(asked)
    assert landing(first, "6") == 200
    later = replace(asked, now=60)
    again = plan_quickly(later, first)
    assert again.by_step == first.by_step
    assert not unforced(later, again)
