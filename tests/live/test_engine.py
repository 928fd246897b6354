"""The one door: what a command changes, what is refused, what a restart keeps, what the planner may and may not do."""

from dataclasses import replace

import pytest

from kitchen_timer.kitchen.problems import KitchenProblem, NotNow, NotRecorded, UnknownStep, UnknownTable
from kitchen_timer.kitchen.table import Asap, AtTime, Hold, Plate
from kitchen_timer.live.clock import TurnedClock
from kitchen_timer.plan.answer import Answer
from kitchen_timer.record.in_memory import InMemoryLog
from kitchen_timer.service.commands import (
    CookAgain,
    CourseAsked,
    FireCourse,
    GiveMoreTime,
    HoldCourse,
    SendCourse,
    TakeOrder,
    Undo,
)
from kitchen_timer.service.events import PlanAdopted
from tests import builders as b
from tests.live.tonight import SERVICE, START, Tonight

FISH = "6/mains/hake/fish/1"
LEAVES = "6/mains/hake/leaves/1"
RINGS = "6/mains/squid/rings/1"


def test_a_late_start_moves_the_rest_of_the_table_and_nothing_that_has_started() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1, squid=1)
    before = tonight.course("6/mains").landing_at
    # The hake leads (300 s); the squid (90 s) is to follow it. The fish is started 9 s late.
    tonight.at(9).start(f"{FISH}/0")
    assert tonight.note(f"{FISH}/0").start_at == START + 9
    assert tonight.course("6/mains").landing_at == before + 9
    assert tonight.note(f"{RINGS}/0").end_at in range(before + 9 - 90, before + 10)


def test_done_early_makes_up_for_a_late_start() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(9, skip=lambda action: True)
    tonight.cook_until(229)
    assert tonight.course("6/mains").landing_at == START + 309
    # Turned at 189, lifted from 229 instead of 239: ten seconds of lifting, then 60 s of rest.
    tonight.finish(f"{FISH}/1")
    assert tonight.note(f"{FISH}/1").end_at == START + 239
    assert tonight.course("6/mains").landing_at == START + 300


def test_thirty_seconds_more_move_the_rest_of_the_table() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(200)
    tonight.do(GiveMoreTime((f"{FISH}/1",), 30))
    assert tonight.note(f"{FISH}/1").end_at == START + 270
    assert tonight.course("6/mains").landing_at == START + 330
    lift = tonight.actions("plancha")[0]
    assert (lift.do, lift.due_at, lift.running) == ("Lift", START + 260, True)


def test_more_time_after_its_end_counts_from_now() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(260, skip=lambda action: action.do == "Lift")
    tonight.do(GiveMoreTime((f"{FISH}/1",), 30))
    assert tonight.note(f"{FISH}/1").end_at == START + 290


def test_cooking_again_spends_the_loads_number_and_realigns_the_table() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(200)
    tonight.do(CookAgain(FISH))
    course = tonight.course("6/mains")
    assert {note.load_id for note in course.notes} == {"6/mains/hake/fish/2", LEAVES}
    # A new fish from 200 at the earliest: 300 s.
    assert course.landing_at == START + 500
    with pytest.raises(UnknownStep, match="cooked again under a new number"):
        tonight.finish(f"{FISH}/1")


def test_cooking_again_what_is_at_the_pass_takes_the_course_off_it() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(310)
    assert tonight.course("6/mains").at_pass
    tonight.do(CookAgain(LEAVES))
    course = tonight.course("6/mains")
    assert (course.at_pass, course.landing_at) == (False, START + 330)


def test_a_held_course_is_not_planned_and_shows_what_it_would_get() -> None:
    tonight = Tonight()
    tonight.order("6", "mains", Hold(), hake=1)
    board = tonight.board()
    assert board.courses == ()
    assert [(held.id, held.landing_if_fired) for held in board.held] == [("6/mains", START + 300)]
    tonight.at(60).do(FireCourse("6/mains"))
    assert tonight.course("6/mains").landing_at == START + 360
    assert tonight.course("6/mains").late_s == 0
    assert tonight.board().held == ()


def test_what_had_started_goes_on_when_its_course_is_held() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(100)
    tonight.do(HoldCourse("6/mains"))
    tonight.cook_until(400)
    assert tonight.actions("cold") == ()
    assert tonight.actions("plancha") == ()  # turned, lifted and rested by itself
    with pytest.raises(NotNow, match="on hold"):
        tonight.start(f"{LEAVES}/0")
    tonight.do(FireCourse("6/mains"))
    # The fish is done; only the leaves are left.
    assert tonight.course("6/mains").landing_at == START + 420


def test_a_course_after_a_held_one_is_held_too_and_says_after_which() -> None:
    tonight = Tonight()
    starters = CourseAsked("starters", (Plate(dish="squid"),), Hold())
    mains = CourseAsked("mains", (Plate(dish="hake"),), b.after("starters", 600))
    tonight.do(TakeOrder("6", (starters, mains), allergies_asked=True))
    assert [(held.id, held.waits_for) for held in tonight.board().held] == [
        ("6/starters", ""),
        ("6/mains", "after starters"),
    ]
    tonight.do(FireCourse("6/starters"))
    board = tonight.board()
    # Squid: 90 s, up 10 s later; mains 600 s after that.
    assert [(course.id, course.landing_at - START) for course in board.courses] == [
        ("6/starters", 90),
        ("6/mains", 700),
    ]


def test_a_course_follows_the_sending_of_the_one_before_it() -> None:
    tonight = Tonight()
    starters = CourseAsked("starters", (Plate(dish="squid"),), Asap())
    mains = CourseAsked("mains", (Plate(dish="hake"),), b.after("starters", 600))
    tonight.do(TakeOrder("6", (starters, mains), allergies_asked=True))
    tonight.cook_until(120)
    tonight.do(SendCourse("6/starters"))
    assert tonight.course("6/mains").landing_at == START + 720


def test_sent_says_what_was_measured_and_can_be_taken_back() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(330)
    course = tonight.course("6/mains")
    ack = tonight.do(SendCourse("6/mains"))
    (sent,) = tonight.board().sent
    assert (sent.landed_at, sent.sent_at, sent.seq) == (START + 300, START + 330, ack.seq)
    assert (sent.spread_s, sent.late_s, sent.past_keeps) == (0, 0, 0)
    with pytest.raises(NotNow, match="went at 19:05"):
        tonight.do(SendCourse("6/mains"))
    tonight.do(Undo(ack.seq))
    assert tonight.board().sent == ()
    assert tonight.course("6/mains") == course


def test_the_chef_may_send_what_is_not_all_there() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(245)
    tonight.do(SendCourse("6/mains"))
    assert tonight.board().courses == ()
    assert tonight.actions("cold") == ()
    assert tonight.board().sent[0].landed_at == START + 245


def test_a_tap_taken_back_never_happened() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    board = replace(tonight.board(), seq=0)
    ack = tonight.start(f"{FISH}/0")
    assert tonight.note(f"{FISH}/0").state == "started"
    tonight.do(Undo(ack.seq))
    assert replace(tonight.board(), seq=0) == board


def test_a_tap_that_others_stand_on_is_taken_back_last_first() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    first = tonight.start(f"{FISH}/0")
    second = tonight.at(180).start(f"{FISH}/1")
    with pytest.raises(NotNow, match=r"Table 6's Hake has been tapped again since. Take back the later tap first"):
        tonight.do(Undo(first.seq))
    tonight.do(Undo(second.seq))
    assert tonight.note(f"{FISH}/0").state == "started"
    tonight.do(Undo(first.seq))
    assert tonight.note(f"{FISH}/0").state != "started"


def test_what_followed_by_itself_goes_with_the_tap_that_is_taken_back() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(229)
    ack = tonight.at(230).finish(f"{FISH}/1")
    tonight.at(250)
    assert tonight.note(f"{FISH}/2").state == "started"
    tonight.do(Undo(ack.seq))
    assert tonight.note(f"{FISH}/1").state == "started"
    assert tonight.note(f"{FISH}/2").state != "started"


def test_an_order_is_taken_back_until_its_first_step_begins() -> None:
    tonight = Tonight()
    ack = tonight.order("6", hake=1)
    other = tonight.order("4", hake=1)
    tonight.do(Undo(ack.seq))
    assert [course.id for course in tonight.board().courses] == ["4/mains"]
    tonight.start("4/mains/hake/fish/1/0")
    with pytest.raises(NotNow, match="is cooking already"):
        tonight.do(Undo(other.seq))


def test_nothing_is_taken_back_twice() -> None:
    tonight = Tonight()
    ack = tonight.order("6", hake=1)
    tonight.do(Undo(ack.seq))
    with pytest.raises(NotNow, match="taken back already"):
        tonight.do(Undo(ack.seq))


def test_a_load_lost_by_mistake_comes_back() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(100)
    notes = tonight.course("6/mains").notes
    ack = tonight.do(CookAgain(FISH))
    tonight.do(Undo(ack.seq))
    assert tonight.course("6/mains").notes == notes


def test_a_repeated_command_gets_the_same_answer_and_changes_nothing() -> None:
    tonight = Tonight()
    order = TakeOrder("6", (CourseAsked("mains", (Plate(dish="hake"),), Asap()),), allergies_asked=True)
    first = tonight.do(order, "phone-1", 7)
    board = tonight.board()
    again = tonight.do(order, "phone-1", 7)
    assert (again.seq, again.repeated, first.repeated) == (first.seq, True, False)
    assert tonight.board() == board
    assert tonight.do(order, "phone-2", 7).repeated is False


def test_a_repeated_command_is_known_after_a_restart() -> None:
    tonight = Tonight()
    order = TakeOrder("6", (CourseAsked("mains", (Plate(dish="hake"),), Asap()),), allergies_asked=True)
    first = tonight.do(order, "phone-1", 7)
    tonight.restart()
    again = tonight.do(order, "phone-1", 7)
    assert (again.seq, again.repeated) == (first.seq, True)


def test_a_refused_command_changes_nothing_and_may_be_asked_again() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    board = tonight.board()
    with pytest.raises(UnknownTable, match=r"Table 9 has no open course called mains. It has nothing open"):
        tonight.do(SendCourse("9/mains"), "phone-1", 1)
    assert tonight.board() == board
    tonight.order("9", hake=1)
    assert not tonight.do(SendCourse("9/mains"), "phone-1", 1).repeated


def test_a_restart_shows_the_same_boards_and_plans_anew_only_at_its_first_wake_up() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1, squid=2)
    tonight.order("4", "mains", AtTime(at=START + 900), hake=2)
    tonight.cook_until(215)
    engine = tonight.engine
    boards = [engine.pass_board(), *(engine.station_board(station) for station in tonight.kitchen.stations)]
    asked = len(tonight.planner.asked)
    again = tonight.restart()
    assert [again.pass_board(), *(again.station_board(station) for station in tonight.kitchen.stations)] == boards
    assert len(tonight.planner.asked) == asked
    again.wake()
    assert len(tonight.planner.asked) == asked + 1


def test_a_service_opened_twice_goes_on_and_another_begins_empty() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.engine.open_service(SERVICE)
    assert tonight.board().courses
    tonight.engine.open_service(SERVICE.replace(day=28))
    assert tonight.board().courses == ()
    assert tonight.restart().service == SERVICE.replace(day=28)
    assert tonight.board().courses == ()


def test_a_second_course_of_the_same_name_gets_a_number() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.order("6", squid=1)
    tonight.do(SendCourse("6/mains"))
    tonight.order("6", squid=1)
    assert {course.id for course in tonight.board().courses} == {"6/mains 2", "6/mains 3"}


class FullDisk(InMemoryLog):
    """A log whose disk is full from some moment on."""

    full = False

    def append(self, *args: object, **kwargs: object):  # type: ignore[no-untyped-def, override]
        if self.full:
            raise NotRecorded("The disk is full.", "Make room.")
        return super().append(*args, **kwargs)  # type: ignore[arg-type]


def test_what_cannot_be_written_down_does_not_count_and_is_said_on_the_pass() -> None:
    log = FullDisk()
    tonight = Tonight(log=log)
    tonight.order("6", hake=1)
    courses = tonight.board().courses
    log.full = True
    with pytest.raises(NotRecorded):
        tonight.start(f"{FISH}/0")
    assert tonight.board().courses == courses
    assert any("Nothing can be written down" in words for words in tonight.board().trouble)
    log.full = False
    tonight.start(f"{FISH}/0")
    assert tonight.board().trouble == ()


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


def test_listeners_hear_what_changed_outside_the_lock() -> None:
    import threading

    tonight = Tonight()
    heard: list[frozenset[str]] = []

    def listener(changed: frozenset[str]) -> None:
        heard.append(changed)
        # Another thread must get at the boards meanwhile: nobody holds the lock.
        other = threading.Thread(target=tonight.board)
        other.start()
        other.join(timeout=5)
        assert not other.is_alive()

    tonight.engine.subscribe(listener)
    tonight.order("6", squid=1)
    assert frozenset({"pass", "station:fry"}) in heard
    assert all("station:plancha" not in changed for changed in heard)


def test_a_listener_that_fails_hurts_nobody() -> None:
    tonight = Tonight()
    heard: list[frozenset[str]] = []

    def fails(_changed: frozenset[str]) -> None:
        raise RuntimeError("a screen is gone")

    tonight.engine.subscribe(fails)
    tonight.engine.subscribe(heard.append)
    tonight.order("6", squid=1)
    assert heard


def test_the_same_kitchen_written_to_by_two_servers_is_noticed() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    other = Tonight(log=tonight.log)
    tonight.order("4", hake=1)
    with pytest.raises(KitchenProblem, match="another program writes"):
        other.do(SendCourse("6/mains"), "another")


def test_a_clock_never_goes_back() -> None:
    clock = TurnedClock(100)
    with pytest.raises(ValueError, match="never goes back"):
        clock.turn_to(99)


def test_food_of_a_held_course_that_goes_on_keeps_its_place_from_other_tables() -> None:
    tonight = Tonight()
    tonight.order("6", hake=4)  # all four places of the top, from 0 to 240
    tonight.cook_until(10)
    tonight.do(HoldCourse("6/mains"))
    tonight.order("4", hake=1)
    starts = [action for action in tonight.actions("plancha") if "4" in action.tables and action.kind == "start"]
    assert (starts[0].do, starts[0].due_at) == ("Skin side down", START + 240)
    assert [action.do for action in tonight.actions("plancha") if action.tables == ("6",)] == ["Turn", "Lift"]
    assert [held.id for held in tonight.board().held] == ["6/mains"]
    assert tonight.planner.taken[-1]


def test_the_oil_recovers_also_when_the_course_has_gone() -> None:
    tonight = Tonight()
    tonight.order("6", squid=4)  # both baskets, lifted at 90: the oil is back at 150
    tonight.cook_until(95)
    tonight.do(SendCourse("6/mains"))
    tonight.order("4", squid=4)
    assert tonight.actions("fry")[0].due_at == START + 150
    tonight.cook_until(160)
    assert tonight.course("4/mains").landing_at == START + 240
