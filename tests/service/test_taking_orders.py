"""What an order becomes, and what is refused with the place and the cure."""

import pytest

from kitchen_timer.kitchen.problems import (
    AllergiesNotAsked,
    BadMessage,
    NotNow,
    UnknownDish,
    UnknownTable,
)
from kitchen_timer.kitchen.table import After, Plate
from kitchen_timer.plan.question import CourseKey
from kitchen_timer.service.commands import CourseAsked, SendCourse
from kitchen_timer.service.events import OrderTaken
from tests import builders as b
from tests.service.evenings import Story, asked, order


def taken(story: Story, *courses: CourseAsked, now: int = 0) -> dict[str, object]:
    """Names of the courses that an order of table 6 became, with how they land."""
    (event,) = story.do(order("6", *courses), now)
    assert isinstance(event, OrderTaken)
    return {course.course: course.land for course in event.courses}


def test_an_order_is_not_taken_before_the_dining_room_was_asked_for_allergies() -> None:
    with pytest.raises(AllergiesNotAsked, match="Ask the dining room, then take it") as refused:
        Story().do(order("6", asked(hake=1), allergies_asked=False))
    assert refused.value.details["where"] == "allergies_asked"


def test_a_dish_that_is_not_in_the_book_is_refused_with_its_place_and_what_there_is() -> None:
    with pytest.raises(
        UnknownDish, match=r"no dish 'brill' \(courses\[1\].plates\[0\].dish\). Order one .*: hake"
    ) as no:
        Story().do(order("6", asked("starters", squid=1), asked("mains", brill=1)))
    assert no.value.details == {"where": "courses[1].plates[0].dish", "dish": "brill"}


@pytest.mark.parametrize("courses", [(), (CourseAsked("mains", (), b.ASAP),)])
def test_an_order_of_nothing_is_refused(courses: tuple[CourseAsked, ...]) -> None:
    with pytest.raises(BadMessage, match="nothing in it") as refused:
        Story().do(order("6", *courses))
    assert refused.value.faults[0].where.startswith("courses")


def test_its_courses_came_in_now() -> None:
    story = Story()
    story.do(order("6", asked(hake=1)), now=77)
    assert story.state.courses[CourseKey("6", "mains")].course.in_at == 77


def test_a_second_course_of_the_same_name_is_numbered_also_after_the_first_was_sent() -> None:
    story = Story()
    assert list(taken(story, asked(hake=1))) == ["mains"]
    assert list(taken(story, asked(hake=1), asked("Mains", squid=1))) == ["mains 2", "Mains 3"]
    story.do(SendCourse("6/mains"))
    assert list(taken(story, asked(hake=1))) == ["mains 4"]


def test_another_tables_courses_have_their_own_names() -> None:
    story = Story()
    story.do(order("6", asked(hake=1)))
    (event,) = story.do(order("4", asked(hake=1)))
    assert isinstance(event, OrderTaken)
    assert event.courses[0].course == "mains"


def test_a_numbered_name_stays_within_thirty_letters() -> None:
    story = Story()
    long = "m" * 30
    taken(story, asked(long, hake=1))
    (second,) = taken(story, asked(long, hake=1))
    assert second == "m" * 28 + " 2"


def test_after_follows_a_course_of_the_same_order_that_got_a_number() -> None:
    story = Story()
    taken(story, asked("starters", squid=1), asked("mains", b.after("starters", 600), hake=1))
    second = taken(story, asked("starters", squid=1), asked("mains", b.after("starters", 600), hake=1))
    land = second["mains 2"]
    assert isinstance(land, After)
    assert (land.after, land.gap_s) == ("starters 2", 600)


def test_after_means_the_nearest_before_it_of_two_with_the_same_name() -> None:
    lands = taken(Story(), asked("bites", squid=1), asked("bites", egg=1), asked("mains", b.after("bites"), hake=1))
    assert isinstance(lands["mains"], After)
    assert lands["mains"].after == "bites 2"


def test_after_may_name_an_earlier_orders_course_open_or_sent() -> None:
    story = Story()
    taken(story, asked("Starters", squid=1))
    story.do(SendCourse("6/Starters"), now=200)
    lands = taken(story, asked("mains", b.after("starters", 600), hake=1), now=210)
    assert isinstance(lands["mains"], After)
    assert lands["mains"].after == "Starters"
    # Sent at 200, so mains land at 800.
    assert story.state.plan is not None
    assert story.state.plan.by_course[CourseKey("6", "mains")].landing_at == 800


def test_after_a_course_that_the_table_does_not_have_is_refused_with_its_place() -> None:
    with pytest.raises(UnknownTable, match=r"no course called soup .* \(courses\[1\].land.after\). .*: starters") as no:
        Story().do(order("6", asked("starters", squid=1), asked("mains", b.after("soup"), hake=1)))
    assert no.value.details["where"] == "courses[1].land.after"


def test_a_course_cannot_come_after_itself() -> None:
    with pytest.raises(UnknownTable, match="no course called mains"):
        Story().do(order("6", asked("mains", b.after("mains"), hake=1)))


def test_courses_that_wait_for_one_another_in_a_circle_are_refused() -> None:
    with pytest.raises(NotNow, match="in a circle"):
        Story().do(order("6", asked("a", b.after("b"), hake=1), asked("b", b.after("a"), squid=1)))


def test_a_refused_order_leaves_nothing_behind() -> None:
    story = Story()
    with pytest.raises(UnknownDish):
        story.do(order("6", asked("starters", squid=1), asked("mains", None, Plate(dish="brill"))))
    assert story.state == story.fresh


def test_the_target_is_fixed_by_the_first_plan_and_stays() -> None:
    story = Story()
    story.do(order("6", asked(hake=1)))
    assert story.state.courses[CourseKey("6", "mains")].target_at == 300
    story.plan(now=100)
    assert story.state.courses[CourseKey("6", "mains")].target_at == 300
    assert story.state.plan is not None
    assert story.state.plan.by_course[CourseKey("6", "mains")].late_s >= 100
