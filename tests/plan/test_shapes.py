"""Shapes: a course is found a place at the first landing at which all of it fits, as it has landed before."""

from hypothesis import given, settings
from hypothesis import strategies as st

from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.line import Line
from kitchen_timer.plan.prepare import Prepared, answer_of, place_all, prepare
from kitchen_timer.plan.question import CourseKey, Question
from kitchen_timer.plan.shapes import Shapes
from tests.builders import at, component, course, dish, kitchen, question, slots, step
from tests.properties.strategies import questions

SQUID = dish("squid", rings=component("fry", step(90, on="fryer"), keeps=60))
KITCHEN = kitchen(fry=2, fryer=slots(1, recovery=30), pass_hands=2)


def laid(asked: Question, *first: CourseKey) -> tuple[Prepared, Line]:
    ready = prepare(asked)
    line = ready.line()
    place_all(ready, line, first)
    place_all(ready, line, [key for key in ready.jobs if key not in first])
    return ready, line


def key(table: str) -> CourseKey:
    return CourseKey(table, "mains")


def test_a_course_goes_to_the_first_landing_at_which_its_shape_fits() -> None:
    # One basket: table 1 fries 210 to 300 and the oil recovers until 330. So table 2, wanted at 310, fries 330 to 420.
    asked = question(KITCHEN, [SQUID], course("1", squid=1, land=at(300)), course("2", squid=1, land=at(310)))
    ready, line = laid(asked)
    shapes = Shapes()
    second = line.take_course(key("2"))
    shapes.learn(line, second)
    found = shapes.find(line, ready.jobs[key("2")], 1000.0)
    assert found is not None
    assert (found.landing, found.late) == (420, True)
    # 110 s late with one plate and nothing waits: dearer than 100, so it is not even looked for.
    assert found.price == 110
    assert shapes.find(line, ready.jobs[key("2")], 100.0) is None
    line.take_course(key("1"))
    alone = shapes.find(line, ready.jobs[key("2")], 1000.0)
    assert alone is not None
    assert (alone.landing, alone.price, alone.late) == (310, 0, False)


def test_courses_of_the_same_plates_have_their_shapes_in_common() -> None:
    asked = question(KITCHEN, [SQUID], course("1", squid=1, land=at(300)), course("2", squid=1, land=at(900)))
    ready, line = laid(asked)
    shapes = Shapes()
    shapes.learn(line, line.placed[key("1")])
    assert len(shapes.of(ready.jobs[key("2")])) == 1


def test_two_loads_of_a_course_that_need_one_cook_are_looked_for_together() -> None:
    # Two dishes of 60 s with the stove's two cooks at once; another table keeps one of them busy from 200 to 300.
    one = dish("one", meat=component("stove", step(60), keeps=0))
    two = dish("two", fish=component("stove", step(60), keeps=0))
    long = dish("long", stew=component("stove", step(100), keeps=0))
    cooks = kitchen(stove=2)
    both, other = course("1", one=1, two=1, land=at(250)), course("2", long=1, land=at(300))
    ready, line = laid(question(cooks, [one, two, long], other, both), key("2"))
    shapes = Shapes()
    placed = line.take_course(key("1"))
    shapes.learn(line, placed)
    # Each by itself would fit at 250; together they are done no sooner than 60 s after the stew.
    found = shapes.find(line, ready.jobs[key("1")], 1e6)
    assert found is not None
    assert found.landing == 360


@given(questions(most_courses=3), st.data())
@settings(max_examples=15)
def test_a_course_put_back_as_it_was_lands_no_later_and_breaks_nothing(asked: Question, data: st.DataObject) -> None:
    ready, line = laid(asked)
    movable = [k for k in line.placed if not ready.followers(k)]
    if not movable:
        return
    which = data.draw(st.sampled_from(movable), label="which")
    shapes = Shapes()
    before = line.take_course(which)
    shapes.learn(line, before)
    found = shapes.find(line, before.job, 1e9)
    if found is None:  # it leans on slots that it shares
        return
    after = shapes.put(line, before.job, found)
    assert [str(each) for each in breaks(asked, answer_of(ready, line))] == []
    shares = any(
        run.join for load in before.loads if load.job.pattern for p in load.job.pattern.pieces for run in p.runs
    )
    assert after.landing <= before.landing or shares
    assert abs(after.cost - before.cost) < 1e-6 or after.landing != before.landing
