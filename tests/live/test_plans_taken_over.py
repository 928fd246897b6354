"""Which plans are taken over, which are refused, and what a quote says: nothing a planner does hurts a tap."""

from dataclasses import replace

import pytest

from kitchen_timer.kitchen.table import Asap, Hold, Plate
from kitchen_timer.plan.answer import Answer
from kitchen_timer.service.commands import CourseAsked
from kitchen_timer.service.events import PlanAdopted
from tests.live.tonight import START, Tonight

FISH = "6/mains/hake/fish/1"


def test_a_planner_that_crashes_hurts_no_tap_and_is_said_on_the_pass() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.planner.broken = True
    tonight.start(f"{FISH}/0")
    assert tonight.note(f"{FISH}/0").state == "started"
    assert any(words.startswith("The planner failed") for words in tonight.board().trouble)
    # The fish goes on without a plan of its own: turned at 180 whatever the planner does.
    assert tonight.at(170).actions("plancha")[0].due_at == START + 180
    tonight.planner.broken = False
    tonight.start(f"{FISH}/1")
    assert tonight.board().trouble == ()


def test_a_planner_that_brings_nothing_is_said_on_the_pass_after_fifteen_seconds() -> None:
    tonight = Tonight()
    tonight.planner.quiet = True
    tonight.order("6", hake=1)
    assert tonight.at(14).board().trouble == ()
    assert any(words.startswith("There is no new plan yet") for words in tonight.at(15).board().trouble)
    assert tonight.board().replanning
    assert tonight.course("6/mains").cause.startswith("Not planned yet")


def test_a_plan_that_breaks_a_rule_is_not_taken_and_the_old_one_stands() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)

    def shorter(answer: Answer) -> Answer:
        return replace(answer, steps=tuple(replace(s, end_at=s.end_at - 5) for s in answer.steps))

    plan = tonight.course("6/mains").landing_at
    tonight.planner.tamper = shorter
    tonight.order("4", squid=1)
    assert tonight.planner.taken[-1] is False
    assert tonight.course("6/mains").landing_at == plan
    assert any(words.startswith("The newest plan broke") for words in tonight.board().trouble)
    tonight.planner.tamper = lambda answer: answer
    tonight.at(1)
    assert tonight.board().trouble == ()
    assert tonight.course("4/mains").landing_at == START + 91


def test_a_plan_made_while_time_went_on_is_still_taken() -> None:
    tonight = Tonight()
    tonight.planner.quiet = True
    tonight.order("6", hake=1)
    token, question = tonight.planner.asked[-1]
    tonight.clock.turn(0.3)
    answer = tonight.engine._planner.answer_now(question, None)
    assert tonight.engine.adopt(token, answer, False)


@pytest.mark.parametrize(("later", "taken"), [(10, True), (11, False)])
def test_a_first_plan_is_stale_when_it_would_have_started_something_more_than_ten_seconds_ago(
    later: int, taken: bool
) -> None:
    tonight = Tonight()
    tonight.planner.quiet = True
    tonight.order("6", hake=1)
    token, question = tonight.planner.asked[-1]
    answer = tonight.planner.answer_now(question, None)
    tonight.clock.turn(later)
    assert tonight.engine.adopt(token, answer, False) is taken


def test_a_plan_for_an_older_evening_is_not_taken() -> None:
    tonight = Tonight()
    tonight.planner.quiet = True
    tonight.order("6", hake=1)
    token, question = tonight.planner.asked[-1]
    answer = tonight.planner.answer_now(question, None)
    tonight.order("4", squid=1)
    assert tonight.engine.adopt(token, answer, False) is False


def test_a_plan_as_good_as_the_one_that_stands_moves_nothing_and_is_not_written_down() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    token, question = tonight.planner.asked[-1]
    seq = tonight.board().seq
    assert tonight.engine.adopt(token, tonight.planner.answer_now(question, None), False)
    assert tonight.board().seq == seq


def test_a_tap_at_the_planned_second_adopts_no_new_plan() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.start(f"{FISH}/0")
    adopted = [entry for entry in tonight.log.read("skerrymoot") if isinstance(entry.event, PlanAdopted)]
    assert len(adopted) == 1


def test_a_quote_changes_nothing_and_says_whom_the_order_would_delay() -> None:
    tonight = Tonight()
    tonight.order("4", squid=4)  # both slots of the fryer from 0 to 90, and the oil until 150
    board = tonight.board()
    quote = tonight.engine.quote("6", (CourseAsked("mains", (Plate(dish="squid", qty=4),), Asap()),))
    assert tonight.board() == board
    assert [course.id for course in quote.courses] == ["6/mains"]
    assert quote.courses[0].landing_at == START + 240  # 150 + 90
    assert quote.delays == ()


def test_a_quote_leaves_held_courses_out() -> None:
    tonight = Tonight()
    quote = tonight.engine.quote("6", (CourseAsked("mains", (Plate(dish="hake"),), Hold()),))
    assert (quote.courses, quote.cannot) == ((), ())
