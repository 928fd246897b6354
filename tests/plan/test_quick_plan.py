"""Small evenings by hand, the arithmetic in a comment: asserted of the quick plan and of the improved one."""

from collections.abc import Callable
from itertools import count

import pytest

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.check import breaks, cost_of
from kitchen_timer.plan.choose import improve, plan_quickly
from kitchen_timer.plan.question import CourseKey, LoadKey, Question, StepKey
from tests.builders import after, at, begun, component, course, dish, kitchen, question, slots, step

Planner = Callable[[Question], Answer]


def ticking() -> Callable[[], float]:
    """A second counter that moves a tenth at every look: searches end after so many looks, on any machine."""
    looks = count()
    return lambda: next(looks) * 0.1


def improved(asked: Question) -> Answer:
    start = plan_quickly(asked)
    return improve(asked, start, seconds=5, elapsed=ticking(), stop=lambda: False, better=lambda _: None)


@pytest.fixture(params=[plan_quickly, improved], ids=["quick", "improved"])
def planner(request: pytest.FixtureRequest) -> Planner:
    planned: Planner = request.param

    def checked(asked: Question) -> Answer:
        answer = planned(asked)
        assert [str(each) for each in breaks(asked, answer) if not each.excused] == []
        assert answer.cost == pytest.approx(cost_of(asked, answer).total)
        return answer

    return checked


def landing(answer: Answer, key: str) -> int:
    return answer.by_course[CourseKey(*key.split("/"))].landing_at


def starts(answer: Answer, load: str) -> list[int]:
    parts = load.split("/")
    return [s.start_at for s in answer.by_load[LoadKey(*parts[:4], int(parts[4]))]]


def test_all_components_end_at_the_landing_where_nothing_is_in_the_way(planner: Planner) -> None:
    # Fish 180 + 60 + 60 = 300 s, leeks 120 s. Nothing else is on: landing at 300, the leeks start at 300 - 120 = 180.
    hake = dish(
        "hake",
        fish=component("plancha", step(180, on="top"), step(60, on="top"), step(60, hands="none"), keeps=120),
        leeks=component("stove", step(120, on="rings"), keeps=240),
    )
    k = kitchen(plancha=1, stove=1, top=slots(4), rings=slots(2))
    answer = planner(question(k, [hake], course("6", hake=1)))
    assert landing(answer, "6/mains") == 300
    assert starts(answer, "6/mains/hake/fish/1") == [0, 180, 240]
    assert starts(answer, "6/mains/hake/leeks/1") == [180]
    assert answer.cost == 0


def test_a_sauce_that_keeps_is_cued_early_to_free_the_ring(planner: Planner) -> None:
    # One ring: eggs 120 s that keep nothing must end at the landing, so the ring is theirs from 120 before it.
    # The sauce (60 s, keeps 300 s) goes before: done at 60 = landing - 120, landing 180. It stands 120 s at
    # 1 * 0.2 * 60/300 = 0.04 a second: 4.8 plate-seconds.
    egg = dish(
        "egg",
        egg=component("stove", step(120, on="ring", hands="none"), keeps=0),
        sauce=component("stove", step(60, on="ring", hands="none"), keeps=300),
    )
    answer = planner(question(kitchen(stove=1, ring=slots(1)), [egg], course("6", egg=1)))
    assert landing(answer, "6/mains") == 180
    assert starts(answer, "6/mains/egg/sauce/1") == [0]
    assert starts(answer, "6/mains/egg/egg/1") == [60]
    assert answer.cost == pytest.approx(4.8)


def test_the_oil_recovers_between_two_loads(planner: Planner) -> None:
    # One basket, 90 s frying, 60 s recovery. Two tables want squid at once and cannot share (one portion a slot):
    # the second goes in at 90 + 60 = 150 and lands at 240, 150 s after its target of 90.
    squid = dish("squid", rings=component("fry", step(90, on="fryer"), keeps=0))
    k = kitchen(fry=1, fryer=slots(1, recovery=60))
    answer = planner(question(k, [squid], course("6", squid=1), course("9", squid=1)))
    assert sorted(c.landing_at for c in answer.courses) == [90, 240]
    assert answer.cost == 150


def test_loads_of_two_tables_share_a_slot_and_are_handled_once(planner: Planner) -> None:
    # One basket takes four; one cook, busy 10 s at each end. Two and two go in together: both land at 90, cost 0.
    squid = dish("squid", rings=component("fry", step(90, on="fryer", fits=4), keeps=0))
    k = kitchen(fry=1, fryer=slots(1, recovery=60))
    answer = planner(question(k, [squid], course("6", squid=2), course("9", squid=2)))
    assert [c.landing_at for c in answer.courses] == [90, 90]
    assert answer.cost == 0


def test_what_does_not_fit_at_once_goes_in_two_loads(planner: Planner) -> None:
    # Two baskets of one portion, 60 s, 30 s recovery: three portions are two loads (2 and 1), the second in at 90.
    # Landing 150. Best wait: the single one stands 90 s at 0.2 * 60/120 = 0.1 a second: 9 plate-seconds.
    chips = dish("chips", chips=component("fry", step(60, on="fryer", hands="none"), keeps=120))
    answer = planner(question(kitchen(fry=1, fryer=slots(2, recovery=30)), [chips], course("6", chips=3)))
    assert landing(answer, "6/mains") == 150
    assert [(s.portions, s.start_at) for s in answer.steps] == [(1, 0), (2, 90)]
    assert answer.cost == pytest.approx(9)


def test_a_component_after_others_starts_when_they_are_done(planner: Planner) -> None:
    # Leeks 120 s, then dressing 20 s by hand: landing 140. The leeks stand until the dressing starts, so not at all.
    salad = dish(
        "salad",
        leeks=component("stove", step(120, on="ring", hands="none"), keeps=0),
        dressing=component("cold", step(20), keeps=0, after=["leeks"]),
    )
    answer = planner(question(kitchen(stove=1, cold=1, ring=slots(1)), [salad], course("6", salad=1)))
    assert landing(answer, "6/mains") == 140
    assert starts(answer, "6/mains/salad/dressing/1") == [120]
    assert answer.cost == 0


def test_the_pass_plates_with_the_hands_it_has(planner: Planner) -> None:
    # Two hands plate 3 plates of 40 s in ceil(3 / 2) * 40 = 80 s. The next course can only land at 100 + 80 = 180:
    # 80 s late, or go first and keep the three waiting 40 s each (up at 140): 120 against 80.
    soup = dish("soup", plating=40, bowl=component("stove", step(100, hands="none"), keeps=60))
    k = kitchen(stove=1, pass_hands=2)
    answer = planner(question(k, [soup], course("6", soup=3), course("9", soup=1)))
    assert (landing(answer, "6/mains"), landing(answer, "9/mains")) == (100, 180)
    assert answer.by_course[CourseKey("6", "mains")].up_at == 180
    assert answer.cost == 80


def test_a_course_after_another_waits_for_its_gap(planner: Planner) -> None:
    # Starters land at 50 and are up at 50 + 30 = 80; mains no earlier than 80 + 600 = 680, which is their target.
    soup = dish("soup", plating=30, bowl=component("stove", step(50, hands="none"), keeps=60))
    asked = question(
        kitchen(stove=1),
        [soup],
        course("6", "mains", land=after("starters", 600), soup=1),
        course("6", "starters", soup=1),
    )
    answer = planner(asked)
    assert landing(answer, "6/starters") == 50
    assert landing(answer, "6/mains") == 680
    assert answer.by_course[CourseKey("6", "mains")].late_s == 0


def test_a_course_wanted_at_a_time_lands_then_and_one_wanted_too_soon_is_late(planner: Planner) -> None:
    soup = dish("soup", bowl=component("stove", step(100, hands="none"), keeps=60))
    asked = question(kitchen(stove=1), [soup], course("6", land=at(900), soup=1), course("9", land=at(40), soup=2))
    answer = planner(asked)
    assert landing(answer, "6/mains") == 900
    assert landing(answer, "9/mains") == 100
    assert answer.cost == 2 * 60


def test_lateness_beyond_five_minutes_counts_three_times(planner: Planner) -> None:
    # Wanted at 0, lands at 400: one plate, 400 + 2 * (400 - 300) = 600.
    roast = dish("roast", joint=component("stove", step(400, hands="none"), keeps=60))
    answer = planner(question(kitchen(stove=1), [roast], course("6", land=at(0), roast=1)))
    assert answer.cost == 600


def test_started_food_is_never_moved_and_the_rest_of_its_load_follows_at_once(planner: Planner) -> None:
    # The fish went down at 0 and is turned at 180 whatever else; leeks of 120 s end with the fish at 240.
    hake = dish(
        "hake",
        fish=component("plancha", step(180, on="top"), step(60, on="top"), keeps=30),
        leeks=component("stove", step(120, hands="none"), keeps=60),
    )
    k = kitchen(plancha=1, stove=1, top=slots(2))
    cooking = course("6", target=240, begun=[begun("hake/fish/1", (0, 180))], hake=1)
    answer = planner(question(k, [hake], cooking, course("9", hake=1), now=100))
    assert starts(answer, "6/mains/hake/fish/1") == [0, 180]
    assert landing(answer, "6/mains") == 240
    assert starts(answer, "6/mains/hake/leeks/1") == [120]


def test_food_that_is_done_is_not_kept_waiting_for_the_others_longer_than_need_be(planner: Planner) -> None:
    # Squid is out at 100 and keeps 30 s; the risotto, not begun at 110, takes 60 s: the soonest landing is 170.
    # The break (40 s over) is forced, and as small as it can be: nothing lands later than 170.
    plate = dish(
        "plate",
        squid=component("fry", step(50, hands="none"), keeps=30),
        rice=component("stove", step(60, hands="none"), keeps=60),
    )
    cooking = course("6", target=100, begun=[begun("plate/squid/1", (50, 100), now=110)], plate=1)
    asked = question(kitchen(fry=1, stove=1), [plate], cooking, now=110)
    answer = planner(asked)
    assert landing(answer, "6/mains") == 170
    assert [(b.rule, b.by) for b in breaks(asked, answer)] == [(4, 40)]


def test_a_course_lands_before_its_target_to_save_what_is_done(planner: Planner) -> None:
    # Done at 100, keeps 30 s; the target of 300 would let it die: it lands at 130 at the latest.
    soup = dish("soup", bowl=component("stove", step(100, hands="none"), keeps=30))
    cooking = course("6", target=300, begun=[begun("soup/bowl/1", (0, 100))], soup=1)
    answer = planner(question(kitchen(stove=1), [soup], cooking, now=50))
    assert landing(answer, "6/mains") <= 130


def test_an_announced_cue_stays_where_it_is(planner: Planner) -> None:
    # Told to start at 40: alone it would start at 10 and land at 110; the plan keeps to 40 (30 plate-seconds late
    # cost less than the 60 and more of a moved cue).
    soup = dish("soup", bowl=component("stove", step(100, hands="none"), keeps=0))
    asked = question(
        kitchen(stove=1), [soup], course("6", target=110, soup=1), now=10, announced={"6/mains/soup/bowl/1/0": 40}
    )
    answer = planner(asked)
    assert answer.by_step[StepKey("6", "mains", "soup", "bowl", 1, 0)].start_at == 40
    assert landing(answer, "6/mains") == 140


def test_a_landed_course_stays_landed_and_goes_on_plating(planner: Planner) -> None:
    # Landed at 100, two hands plate until 140; the other course (done at 120) finds hands at 140.
    soup = dish("soup", plating=40, bowl=component("stove", step(100, hands="none"), keeps=60))
    there = course("6", target=100, landed=100, begun=[begun("soup/bowl/1", (0, 100), portions=2, now=110)], soup=2)
    next_one = course("9", target=120, begun=[begun("soup/bowl/1", (20, 120), portions=2)], soup=2)
    answer = planner(question(kitchen(stove=1), [soup], there, next_one, now=110))
    assert landing(answer, "6/mains") == 100
    assert landing(answer, "9/mains") == 140


def test_what_waits_in_its_slot_keeps_it(planner: Planner) -> None:
    # Table 6's fish waits on the only place for its second side (it may wait 60 s) while its rice, 150 s, is not
    # begun: nothing of table 9 goes there before the second side is done.
    hake = dish(
        "hake",
        fish=component(
            "plancha", step(60, on="top", hands="none"), step(30, on="top", hands="none", may_wait=60), keeps=0
        ),
        rice=component("stove", step(100, hands="none"), keeps=0),
    )
    k = kitchen(plancha=1, stove=1, top=slots(1))
    asked = question(
        k, [hake], course("6", target=90, begun=[begun("hake/fish/1", (0, 60))], hake=1), course("9", hake=1), now=30
    )
    answer = planner(asked)
    assert landing(answer, "6/mains") == 130
    assert starts(answer, "6/mains/hake/fish/1") == [0, 100]
    assert starts(answer, "9/mains/hake/fish/1")[0] >= 130


def test_a_quick_plan_keeps_the_running_one_and_puts_the_new_course_into_it() -> None:
    squid = dish("squid", rings=component("fry", step(90, on="fryer"), keeps=0))
    k = kitchen(fry=1, fryer=slots(1, recovery=60))
    running = plan_quickly(question(k, [squid], course("6", squid=1), course("9", squid=1)))
    asked = question(k, [squid], course("6", squid=1), course("9", squid=1), course("2", squid=1))
    answer = plan_quickly(asked, running)
    assert [str(each) for each in breaks(asked, answer)] == []
    assert [answer.by_course[c.key].landing_at for c in running.courses] == [c.landing_at for c in running.courses]
    assert landing(answer, "2/mains") == 390


def test_a_plan_is_the_same_every_time() -> None:
    squid = dish("squid", rings=component("fry", step(90, on="fryer"), keeps=0))
    k = kitchen(fry=1, fryer=slots(1, recovery=60))
    asked = question(k, [squid], *(course(str(t), squid=1 + t % 2) for t in range(1, 7)))
    assert plan_quickly(asked) == plan_quickly(asked)


def test_started_food_finds_its_place_before_what_comes_after_it(planner: Planner) -> None:
    # The tart is in the oven until 100 and may wait 60 s for its glaze (20 s); the cream (10 s) comes after the tart.
    # One cook: glaze at 100, cream at 120, landing 130; the ice (30 s, keeps 60 s) is dished up before the glaze.
    tart = dish(
        "tart",
        tart=component("pastry", step(100, on="oven", hands="none"), step(20, may_wait=60), keeps=60),
        cream=component("pastry", step(10), keeps=0, after=["tart"]),
        ice=component("pastry", step(30), keeps=60),
    )
    k = kitchen(pastry=1, oven=slots(1))
    cooking = course("6", target=130, begun=[begun("tart/tart/1", (0, 100))], tart=1)
    answer = planner(question(k, [tart], cooking, now=60))
    assert landing(answer, "6/mains") == 130
    assert starts(answer, "6/mains/tart/tart/1") == [0, 100]
    assert starts(answer, "6/mains/tart/cream/1") == [120]
    assert starts(answer, "6/mains/tart/ice/1") == [70]


def test_a_course_lands_sooner_when_what_stood_before_it_is_gone() -> None:
    # One basket, 90 s and 60 s of recovery: landings at 90 and 240. Table 6 is sent away at 10: table 9 need not wait.
    squid = dish("squid", rings=component("fry", step(90, on="fryer"), keeps=0))
    k = kitchen(fry=1, fryer=slots(1, recovery=60))
    running = plan_quickly(question(k, [squid], course("6", squid=1), course("9", squid=1)))
    assert landing(running, "9/mains") == 240
    asked = question(k, [squid], course("9", target=90, squid=1), now=10)
    assert landing(plan_quickly(asked, running), "9/mains") == 100


def test_a_course_whose_cue_was_announced_is_not_pulled_forward() -> None:
    # As before, but Fry has been told 150 for table 9: 40 s sooner (20 plate-seconds a move and more) would move it.
    squid = dish("squid", rings=component("fry", step(90, on="fryer"), keeps=0))
    k = kitchen(fry=1, fryer=slots(1, recovery=60))
    running = plan_quickly(question(k, [squid], course("6", squid=1), course("9", squid=1)))
    told = {"9/mains/squid/rings/1/0": 150}
    asked = question(k, [squid], course("9", target=90, squid=1), now=110, announced=told)
    assert starts(plan_quickly(asked, running), "9/mains/squid/rings/1") == [150]


def test_started_food_goes_before_what_has_not_started() -> None:
    # One basket, 90 s a load. Table 6's fish is on until 160 and keeps 60 s; its squid should have gone in at 70. At 80
    # nobody has done it, and eleven tables that have not started have the basket from 160 on: they make room.
    fish = dish(
        "fish",
        fish=component("plancha", step(160, on="top", hands="none"), keeps=60),
        squid=component("fry", step(90, on="fryer", hands="none"), keeps=0),
    )
    squid = dish("squid", rings=component("fry", step(90, on="fryer", hands="none"), keeps=0))
    k = kitchen(plancha=1, fry=1, top=slots(2), fryer=slots(1))
    others = [course(str(t), target=250 + 90 * i, squid=1) for i, t in enumerate(range(10, 21))]
    running = plan_quickly(question(k, [fish, squid], course("6", target=160, fish=1), *others))
    assert starts(running, "6/mains/fish/squid/1") == [70]
    cooking = course("6", target=160, begun=[begun("fish/fish/1", (0, 160))], fish=1)
    asked = question(k, [fish, squid], cooking, *others, now=80)
    answer = plan_quickly(asked, running)
    assert breaks(asked, answer) == ()
    assert landing(answer, "6/mains") == 170


def test_nobody_plates_in_the_hands_of_a_course_that_has_landed_before_the_one_it_follows() -> None:
    # Table 6's mains landed at 0 though its starters are not made (the chef's word); two plates take the one pair of
    # hands until 400. Others land after that, in whatever order they are tried.
    soup = dish("soup", plating=200, bowl=component("stove", step(50, hands="none"), keeps=600))
    k = kitchen(stove=1, pass_hands=1)
    there = course(
        "6",
        target=0,
        land=after("starters", 60),
        landed=0,
        begun=[begun("soup/bowl/1", (-50, 0), portions=2, now=1)],
        soup=2,
    )
    others = [course(str(t), target=t, soup=1) for t in range(10, 15)]
    asked = question(k, [soup], course("6", "starters", target=20, soup=1), there, *others, now=1)
    answer = plan_quickly(asked)
    assert [str(each) for each in breaks(asked, answer) if not each.excused] == []


def test_what_has_not_started_is_cooked_fresh_though_what_has_started_stands_too_long() -> None:
    # The soup is done at 0 and keeps 30 s. Two steaks of 60 s, one place, keeps 60 s, and the pass is taken until 900:
    # the soup stands whatever is done; the steaks are cooked for the landing, not at once.
    plate = dish(
        "plate",
        plating=900,
        soup=component("stove", step(100, hands="none"), keeps=30),
        steak=component("plancha", step(60, on="top", hands="none"), keeps=60),
    )
    k = kitchen(plancha=1, stove=1, top=slots(1), pass_hands=1)
    there = course("9", target=0, landed=0, begun=[begun("plate/soup/1", (-100, 0), now=1)], plate=1)
    cooking = course("6", target=0, begun=[begun("plate/soup/1", (-100, 0), portions=2, now=1)], plate=2)
    asked = question(k, [plate], there, cooking, now=1)
    answer = plan_quickly(asked)
    assert [str(each) for each in breaks(asked, answer) if not each.excused] == []
    assert landing(answer, "6/mains") == 900


def test_what_returns_to_its_only_basket_waits_until_the_oil_has_recovered() -> None:
    # Blanched 60 s, cooled 20 s, fried again 30 s in the one basket, which recovers 60 s: it waits 40 s more (it may
    # wait 90), so the first batch lands after 60 + 60 + 30 s. The second goes in when the oil is back, at 210.
    chips = dish(
        "chips",
        chips=component(
            "fry",
            step(60, on="fryer", hands="none"),
            step(20, hands="none"),
            step(30, on="fryer", hands="none", may_wait=90),
            keeps=60,
        ),
    )
    asked = question(kitchen(fry=1, fryer=slots(1, recovery=60)), [chips], course("6", chips=1), course("9", chips=1))
    answer = plan_quickly(asked)
    assert breaks(asked, answer) == ()
    assert starts(answer, "6/mains/chips/chips/1") == [0, 60, 120]
    assert landing(answer, "9/mains") == 360
