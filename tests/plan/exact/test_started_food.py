"""What has begun is never moved, may overrun as little as can be, and never leaves the kitchen without a plan."""

from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.exact import solve
from kitchen_timer.plan.loads import split
from kitchen_timer.plan.question import LoadKey, StepKey
from tests.builders import begun, component, course, dish, kitchen, question, slots, step
from tests.plan.exact.posing import best, solved

FISH = dish("brill", fish=component("fish", step(180, on="pan"), step(60, on="pan"), keeps=60))


def test_a_running_step_stays_and_the_rest_of_the_plate_moves_to_it() -> None:
    # The fish went in at 0 and runs 30 s late: skin side until 210, turned 60 s, lands at 270. The sauce of 40 s is not
    # begun and ends with it: 230.
    brill = dish("brill", fish=FISH.components["fish"], sauce=component("stove", step(40), keeps=300))
    asked = question(
        kitchen(fish=1, stove=1, pan=slots(2)),
        [brill],
        course("6", target=240, begun=[begun("brill/fish/1", (0, 210), portions=1)], brill=1),
        now=190,
    )
    answer = best(asked)
    assert breaks(asked, answer) == ()
    assert answer.courses[0].landing_at == 270
    assert answer.courses[0].late_s == 30
    fish = answer.by_load[LoadKey("6", "mains", "brill", "fish", 1)]
    assert [(each.start_at, each.end_at) for each in fish] == [(0, 210), (210, 270)]
    assert answer.by_load[LoadKey("6", "mains", "brill", "sauce", 1)][0].start_at == 230


def test_two_loads_in_one_pan_are_turned_together() -> None:
    # The pan takes two; both fish went in at 0 for two tables. One cook: turned once, at 180, both land at 240.
    fish = component("fish", step(180, on="pan", fits=2), step(60, on="pan", fits=2), keeps=60)
    asked = question(
        kitchen(fish=1, pan=slots(1)),
        [dish("brill", fish=fish)],
        course("6", target=240, begun=[begun("brill/fish/1", (0, 180), portions=1)], brill=1),
        course("9", target=240, begun=[begun("brill/fish/1", (0, 180), portions=1)], brill=1),
        now=100,
    )
    answer = best(asked)
    assert breaks(asked, answer) == ()
    assert [each.landing_at for each in answer.courses] == [240, 240]
    assert answer.cost == 0


def test_started_food_that_stands_too_long_gets_a_plan_all_the_same() -> None:
    # The leaves were dressed at 0 and keep 30 s; the duck started at 100 for 60 s. They stand 150 s whatever one does:
    # 120 s too long, which the checker excuses.
    plate = dish("duck", duck=component("meat", step(60), keeps=60), leaves=component("cold", step(10), keeps=30))
    asked = question(
        kitchen(meat=1, cold=1),
        [plate],
        course("6", target=160, begun=[begun("duck/leaves/1", (0, 10), now=100)], duck=1),
        now=100,
    )
    answer = best(asked)
    assert answer.courses[0].landing_at == 160
    assert [(each.rule, each.by, each.excused) for each in breaks(asked, answer)] == [(4, 120, True)]


def test_what_has_waited_too_long_is_taken_up_before_a_whole_table() -> None:
    # One cook. The started fish should have been turned at 180, now is 200: turning it (60 s) comes first although the
    # other table has ten plates.
    quick = dish("egg", egg=component("fish", step(30), keeps=60))
    asked = question(
        kitchen(fish=1, pan=slots(2), pass_hands=9),
        [dish("brill", fish=component("fish", step(180, on="pan"), step(60, hands="all"), keeps=60)), quick],
        course("6", target=240, begun=[begun("brill/fish/1", (0, 180), now=200)], brill=1),
        course("9", target=230, egg=10),
        now=200,
    )
    answer = best(asked)
    assert answer.by_load[LoadKey("6", "mains", "brill", "fish", 1)][1].start_at == 200
    assert answer.courses[1].landing_at == 290
    assert all(each.excused for each in breaks(asked, answer))


def test_a_landed_course_still_keeps_hands_at_the_pass_busy() -> None:
    # It landed at 0, two plates of 100 s with both hands: the next table, ready at 60, can be plated from 100.
    tart = dish("tart", plating=100, part=component("stove", step(60), keeps=60))
    asked = question(
        kitchen(stove=2, pass_hands=2),
        [tart],
        course("6", target=0, landed=0, begun=[begun("tart/part/1", (-60, 0), portions=2, now=10)], tart=2),
        course("9", target=70, tart=2),
        now=10,
    )
    answer = best(asked)
    assert breaks(asked, answer) == ()
    assert [each.landing_at for each in answer.courses] == [0, 100]


def test_an_announced_start_stays_unless_moving_it_is_worth_more() -> None:
    # Announced for 20, so it lands at 50, 15 s late: 15 plate-seconds are no reason to move it (3,000 at once).
    egg = dish("egg", egg=component("stove", step(30), keeps=600))
    told = {"6/mains/egg/egg/1/0": 20}
    asked = question(kitchen(stove=1), [egg], course("6", target=35, egg=1), announced=told)
    assert best(asked).by_step[StepKey("6", "mains", "egg", "egg", 1, 0)].start_at == 20
    # Nothing a dining room would notice is worth it; 15 s of lateness of three hundred plates, 4,500 plate-seconds, is.
    asked = question(kitchen(stove=1), [egg], course("6", target=35, egg=40), announced=told)
    assert best(asked).by_step[StepKey("6", "mains", "egg", "egg", 1, 0)].start_at == 20
    asked = question(kitchen(stove=1), [egg], course("6", target=35, egg=300), announced=told)
    assert best(asked).by_step[StepKey("6", "mains", "egg", "egg", 1, 0)].start_at == 5


def test_no_bound_is_claimed_where_the_goal_holds_more_than_the_cost() -> None:
    asked = question(
        kitchen(fish=1, pan=slots(2)),
        [FISH],
        course("6", target=240, begun=[begun("brill/fish/1", (0, 180))], brill=1),
        now=100,
    )
    found = solved(asked)
    assert found.proven
    assert found.bound is None


def test_a_station_without_cooks_has_no_plan_and_it_is_proven() -> None:
    asked = question(kitchen(stove=0), [dish("egg", egg=component("stove", step(30)))], course("6", target=30, egg=1))
    found = solve(asked, splits=split(asked), seconds=5, targets={asked.courses[0].key: 30})
    assert found.answer is None
    assert found.proven
