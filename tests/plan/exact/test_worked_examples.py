"""Plans worked out by hand, each with its arithmetic, that the exact planner must find and prove."""

import pytest

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.check import breaks, cost_of
from kitchen_timer.plan.exact import land_alone
from kitchen_timer.plan.question import LoadKey, Question
from tests.builders import after, at, component, course, dish, kitchen, question, slots, step
from tests.plan.exact.posing import best


def starts(answer: Answer, load: str) -> list[int]:
    """When the steps of a load start; ``6/mains/hake/fish/1``."""
    table, name, of_dish, part, number = load.split("/")
    return [each.start_at for each in answer.by_load[LoadKey(table, name, of_dish, part, int(number))]]


def landings(answer: Answer) -> list[int]:
    return [each.landing_at for each in answer.courses]


def obeys(asked: Question, answer: Answer) -> bool:
    """Every rule holds, and the cost is what the checker makes it."""
    assert breaks(asked, answer) == ()
    assert answer.cost == pytest.approx(cost_of(asked, answer).total)
    return True


def test_everything_of_a_course_ends_at_its_landing() -> None:
    # Fish 180 + 60 + 60 = 300 s; leeks 120 s start at 300 - 120 = 180. Nothing stands: cost 0.
    fish = component("fish", step(180, on="top"), step(60, on="top"), step(60, hands="none"), keeps=120)
    leeks = component("stove", step(120, on="rings"), keeps=240)
    asked = question(
        kitchen(fish=1, stove=1, top=slots(8), rings=slots(4)),
        [dish("hake", plating=40, fish=fish, leeks=leeks)],
        course("6", hake=2),
    )
    answer = best(asked)
    assert landings(answer) == [300]
    assert answer.courses[0].up_at == 300 + 40  # two plates, two hands, one round of 40 s
    assert starts(answer, "6/mains/hake/fish/1") == [0, 180, 240]
    assert starts(answer, "6/mains/hake/leeks/1") == [180]
    assert answer.cost == 0
    assert obeys(asked, answer)


def test_what_keeps_longest_is_made_first_when_one_cook_makes_both() -> None:
    # One cook, 60 s each, so one of them is done 60 s before the landing at 120. Crumb keeps 600 s: 60 * 0.2 * 60/600 =
    # 1.2 plate-seconds; leaves keep 60 s: 60 * 0.2 = 12. So the crumb first.
    asked = question(
        kitchen(cold=1),
        [dish("plate", crumb=component("cold", step(60), keeps=600), leaves=component("cold", step(60), keeps=60))],
        course("6", plate=1),
    )
    answer = best(asked)
    assert starts(answer, "6/mains/plate/crumb/1") == [0]
    assert starts(answer, "6/mains/plate/leaves/1") == [60]
    assert answer.cost == pytest.approx(1.2)
    assert obeys(asked, answer)


def test_two_tables_share_a_basket_and_are_handled_once() -> None:
    # One basket that takes 4, 90 s, then 60 s of recovery. Alone each table lands at 90. Together 1 + 3 = 4 fit: both
    # at 90, cost 0; one after the other the second would be 150 s late.
    asked = question(
        kitchen(fry=1, fryer=slots(1, recovery=60), pass_hands=4),
        [dish("squid", rings=component("fry", step(90, on="fryer", fits=4), keeps=60))],
        course("6", squid=1),
        course("9", squid=3),
    )
    answer = best(asked)
    assert landings(answer) == [90, 90]
    assert answer.cost == 0
    assert obeys(asked, answer)


def test_one_portion_too_many_for_the_basket_waits_for_the_oil() -> None:
    # As above with 2 + 3 = 5 > 4. The table of 3 first: the other's 2 plates land at 90 + 60 + 90 = 240, 150 s late,
    # 300 plate-seconds; the other way round 3 * 150 = 450.
    asked = question(
        kitchen(fry=1, fryer=slots(1, recovery=60), pass_hands=5),
        [dish("squid", rings=component("fry", step(90, on="fryer", fits=4), keeps=60))],
        course("6", squid=2),
        course("9", squid=3),
    )
    answer = best(asked)
    assert landings(answer) == [240, 90]
    assert answer.cost == 300
    assert obeys(asked, answer)


def test_a_load_goes_on_in_its_own_slot_without_recovery() -> None:
    # Skin side 180 s, turned 60 s in the same pan: the pan recovers 30 s only after both. The second fish can start at
    # 240 + 30 = 270 and lands at 270 + 240 = 510, 270 s late.
    asked = question(
        kitchen(fish=2, pan=slots(1, recovery=30)),
        [dish("brill", fish=component("fish", step(180, on="pan"), step(60, on="pan"), keeps=60))],
        course("6", brill=1),
        course("9", brill=1),
    )
    answer = best(asked)
    assert sorted(landings(answer)) == [240, 510]
    assert answer.cost == 270
    assert obeys(asked, answer)


def test_a_course_more_than_five_minutes_late_counts_threefold() -> None:
    # One slot, 400 s each: the second table lands at 800, 400 s late: 300 + 3 * 100 = 600 plate-seconds.
    asked = question(
        kitchen(stove=2, oven=slots(1)),
        [dish("cheek", meat=component("stove", step(400, on="oven"), keeps=60))],
        course("6", cheek=1),
        course("9", cheek=1),
    )
    answer = best(asked)
    assert sorted(landings(answer)) == [400, 800]
    assert answer.cost == 600
    assert obeys(asked, answer)


def test_what_others_come_after_stands_until_the_last_of_them_starts() -> None:
    # Leeks 100 s, then dressing 20 s and crumb 50 s after them. Landing 150: the crumb starts at 100, the dressing at
    # 130. The leeks stand 30 s until the dressing starts: 30 * 0.2 * 60/240 = 1.5; both others end at the landing.
    # With the dressing at 100 the leeks would not stand, and it would itself for 30 s at 0.2: 6.
    asked = question(
        kitchen(stove=1, cold=2),
        [
            dish(
                "hake",
                leeks=component("stove", step(100), keeps=240),
                dressing=component("cold", step(20), keeps=60, after=["leeks"]),
                crumb=component("cold", step(50), keeps=60, after=["leeks"]),
            )
        ],
        course("6", hake=1),
    )
    answer = best(asked)
    assert landings(answer) == [150]
    assert starts(answer, "6/mains/hake/dressing/1") == [130]
    assert answer.cost == pytest.approx(1.5)
    assert obeys(asked, answer)


def test_mains_land_a_gap_after_the_starters_are_up() -> None:
    # Starters: 60 s, two plates with one pair of hands 2 * 30 s, up at 120. Mains no earlier than 120 + 600 = 720, and
    # that is their target: nobody is late.
    asked = question(
        kitchen(cold=1, stove=1, pass_hands=1),
        [
            dish("egg", plating=30, egg=component("cold", step(60), keeps=60)),
            dish("cheek", plating=30, meat=component("stove", step(300), keeps=60)),
        ],
        course("6", "starters", egg=2),
        course("6", "mains", land=after("starters", 600), cheek=2),
    )
    answer = best(asked)
    assert landings(answer) == [60, 720]
    assert [each.target_at for each in answer.courses] == [60, 720]
    assert answer.cost == 0
    assert obeys(asked, answer)


def test_late_starters_move_the_target_of_the_mains_with_them() -> None:
    # The starters' cook is busy with another table's for 100 s first (5 plates against 1), so they land at 200, 100 s
    # late, and are up at 200 (no plating); the mains' target follows to 200 + 50 = 250.
    asked = question(
        kitchen(cold=1, stove=1, pass_hands=9),
        [
            dish("egg", egg=component("cold", step(100), keeps=60)),
            dish("cheek", meat=component("stove", step(30), keeps=60)),
        ],
        course("6", "starters", egg=1),
        course("6", "mains", land=after("starters", 50), cheek=1),
        course("9", "starters", egg=5),
    )
    answer = best(asked)
    assert landings(answer) == [200, 250, 100]
    assert answer.courses[1].target_at == 250
    assert answer.cost == 100
    assert obeys(asked, answer)


def test_nothing_lands_before_the_time_it_is_wanted_at() -> None:
    # 60 s of work wanted at 500: it starts at 440, not at once.
    asked = question(
        kitchen(stove=1),
        [dish("tart", part=component("stove", step(60), keeps=300))],
        course("6", land=at(500), tart=1),
    )
    answer = best(asked)
    assert landings(answer) == [500]
    assert starts(answer, "6/mains/tart/part/1") == [440]
    assert obeys(asked, answer)


def test_a_full_pass_makes_the_second_table_wait() -> None:
    # Both tables of two plates could land at 60; plating takes two hands 45 s. The second lands at 105: 2 * 45 = 90.
    # Its food is started later, so that nothing stands.
    asked = question(
        kitchen(stove=4, pass_hands=2),
        [dish("tart", plating=45, part=component("stove", step(60), keeps=60))],
        course("6", tart=2),
        course("9", tart=2),
    )
    answer = best(asked)
    assert sorted(landings(answer)) == [60, 105]
    assert answer.cost == 90
    assert obeys(asked, answer)


def test_a_course_alone_lands_as_soon_as_its_busiest_place_allows() -> None:
    # Five portions, one basket that takes two, 60 s of recovery: three loads of 90 s, the last ends at
    # 90 + 60 + 90 + 60 + 90 = 390, and the first stands 300 s by then, so it must keep that long.
    of_kitchen = kitchen(fry=1, fryer=slots(1, recovery=60))
    keeps_300 = dish("squid", rings=component("fry", step(90, on="fryer", fits=2), keeps=300))
    keeps_299 = dish("squid", rings=component("fry", step(90, on="fryer", fits=2), keeps=299))
    assert land_alone(of_kitchen, {"squid": keeps_300}, {"squid": 5}) == 390
    assert land_alone(of_kitchen, {"squid": keeps_299}, {"squid": 5}) is None
