"""A tap changes one course of the picture: the others are not drawn again. The kitchen is invented."""

from kitchen_timer.plan.question import CourseKey
from kitchen_timer.service.picture import picture_of
from tests.live.tonight import Tonight


def test_a_tap_draws_one_course_anew_and_no_other() -> None:
    tonight = Tonight()
    tonight.order("4", hake=1)
    tonight.order("6", hake=1)
    tonight.planner.quiet = True
    now = int(tonight.clock.now())
    before = dict(picture_of(tonight.engine._evening(), now))
    tonight.start("4/mains/hake/fish/1/0")
    after = picture_of(tonight.engine._evening(), now)
    four, six = CourseKey("4", "mains"), CourseKey("6", "mains")
    assert after[six] is before[six]
    assert [step.begun for load in after[four].loads for step in load.steps] == [True, False, False, False]
    assert not any(step.begun for load in before[four].loads for step in load.steps)


def test_a_second_later_everything_is_drawn_anew() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    state, now = tonight.engine._evening(), int(tonight.clock.now())
    key = CourseKey("6", "mains")
    assert picture_of(state, now)[key] is not picture_of(state, now + 1)[key]
