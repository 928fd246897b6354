"""An event in waves: what sets its pace, and that the plan reaches it. Arithmetic beside each test."""

import pytest

from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.pace import pace_of
from kitchen_timer.plan.question import Question
from kitchen_timer.plan.quick import plan_quickly
from tests.builders import ASAP, after, at, component, course, dish, kitchen, question, slots, step


def event(of_kitchen, menu, wave, covers=150, land=ASAP) -> Question:
    """So many covers of a menu in equal shares, in waves that each land when the one before is up."""
    sizes = [wave] * (covers // wave) + [covers % wave] * (covers % wave > 0)
    names = ["mains", *(f"mains {number}" for number in range(2, len(sizes) + 1))]
    lands = [land, *(after(name) for name in names)]
    courses = [
        course("Hall", name, land=land, **{of.dish: size // len(menu) for of in menu})
        for name, land, size in zip(names, lands, sizes, strict=False)
    ]
    return question(of_kitchen, menu, *courses)


def last_landing(answer):
    return max(each.landing_at for each in answer.courses)


def last_up(answer):
    return max(each.up_at for each in answer.courses)


def least(asked):
    return {each.resource: each.least_s for each in pace_of(asked, [each.key for each in asked.courses])}


def test_where_the_pass_is_the_limit_the_waves_follow_one_another_without_a_gap():
    # Four pairs of hands, 40 s a plate. 150 covers in waves of 20: seven of ceil(20/4) x 40 s = 200 s and one of 10,
    # ceil(10/4) x 40 s = 120 s: 1520 s of plating. Lamb is ready 600 s after now at the earliest: last up at 2120.
    lamb = dish("lamb", plating=40, lamb=component("meat", step(600, on="oven", fits=10), keeps=600))
    asked = event(kitchen(pass_hands=4, meat=2, oven=slots(8)), [lamb], 20)
    answer = plan_quickly(asked)
    assert least(asked)["pass", ""] == 1520
    assert pace_of(asked, [each.key for each in asked.courses])[0].resource == ("pass", "")
    assert (last_up(answer), answer.cost, breaks(asked, answer)) == (600 + 1520, 0.0, ())


def test_where_the_oven_is_the_limit_every_batch_is_full():
    # One oven takes 20 portions for 600 s and is never opened between. 150 portions need at least ceil(150/20) = 8
    # batches, so the last is done at 8 x 600 = 4800 s at the earliest: equal jobs on one batch machine of capacity b
    # (Ikura and Gimple, Operations Research Letters 5, 1986, 61-65; from memory). Waves of ten: each batch serves two.
    lamb = dish("lamb", plating=10, lamb=component("meat", step(600, on="oven", fits=20), keeps=1800))
    asked = event(kitchen(pass_hands=4, meat=2, oven=slots(1)), [lamb], 10)
    answer = plan_quickly(asked)
    assert least(asked)["equipment", "oven"] == 4800
    assert pace_of(asked, [each.key for each in asked.courses])[0].resource == ("equipment", "oven")
    assert (last_landing(answer), breaks(asked, answer)) == (4800, ())
    batches = {(each.start_at, each.end_at) for each in answer.steps}
    assert len(batches) == 8


def test_hot_holding_carries_food_over_from_a_batch_to_later_waves_as_far_as_there_is_room():
    # The oven takes three trays of 10 for 900 s; two waves of 15 share them. Ten waves need five batches, the
    # last out at 5 x 900 = 4500. Into the cupboard 60 s, from there to the pass 30 s: its waves land at 4590 and, when
    # ceil(15/4) x 40 s = 160 s of plating are over, at 4750. The cupboard has four shelves of 10; a load waits there.
    # Without waiting there, a batch is a wave: the tenth comes out at 10 x 900 and lands 90 s later.
    def asked_of(may_wait_s):
        keep = step(30, on="cupboard", fits=10, may_wait=may_wait_s, hands="all")
        lamb = component("meat", step(900, on="oven", fits=10), step(60, on="cupboard", fits=10, hands="start"), keep)
        menu = [dish("lamb", plating=40, lamb=lamb)]
        return event(kitchen(pass_hands=4, meat=2, oven=slots(3), cupboard=slots(4)), menu, 15)

    assert last_landing(plan_quickly(asked_of(0))) == 9090
    asked = asked_of(1800)
    # No plan is sooner; the quick one is less than 1 % later, and three seconds of search find it.
    answer = plan_quickly(asked)
    assert breaks(asked, answer) == ()
    assert 4750 <= last_landing(answer) <= 4750 * 1.01
    waited = [
        steps[2].start_at - steps[1].end_at for steps in answer.by_load.values() if steps[2].start_at > steps[1].end_at
    ]
    assert waited, "no load is held hot"


def test_what_may_wait_is_cooked_early_enough_that_an_oven_half_as_fast_as_the_pass_is_no_limit():
    # Two trays of ten, 600 s each: the oven brings a wave of ten every 300 s, the pass plates one in ceil(10/2) x 30 =
    # 150 s. Roasts may wait 900 s before they are glazed for 60 s. The first lands at 1560 and goes in at 0; then a
    # tray is filled at 150, 600, 750, 1200, 1350, 1800 and 1950. The eighth wave lands at 1560 + 7 x 150 = 2610, so it
    # has to be in by 2610 - 660 = 1950: just in time. The ninth goes in at 2400 and lands at 3060, 300 s late: 3000
    # plate-seconds.
    glaze = step(60, on="pans", fits=10, may_wait=900)
    menu = [dish("lamb", plating=30, lamb=component("meat", step(600, on="oven", fits=10), glaze, keeps=60))]
    house = kitchen(pass_hands=2, meat=3, oven=slots(2), pans=slots(4))
    for covers, cost in ((80, 0.0), (90, 3000.0)):
        asked = event(house, menu, 10, covers, at(1560))
        answer = plan_quickly(asked)
        assert breaks(asked, answer) == ()
        assert answer.cost == cost
    assert least(asked)["equipment", "oven"] == 9 * 300


@pytest.mark.parametrize("wave", [10, 15, 20])
def test_two_dishes_for_150_are_planned_whole_and_nothing_is_past_its_keeps(wave):
    lamb = dish(
        "lamb",
        plating=40,
        lamb=component("meat", step(300, on="pans", fits=6), step(480, on="oven", fits=8), keeps=300),
        beans=component("garnish", step(90, on="rings", fits=12), keeps=180),
        dressing=component("larder", step(12, each=3, hands="all"), keeps=240, after=["beans"]),
    )
    brill = dish(
        "brill",
        plating=50,
        brill=component("fish", step(240, on="pans", fits=4), step(60, on="pans", fits=4, hands="all"), keeps=120),
        sauce=component("fish", step(90, on="rings", fits=20, hands="all"), keeps=300),
    )
    house = kitchen(
        pass_hands=4, meat=2, garnish=2, larder=1, fish=2, pans=slots(10), oven=slots(8), rings=slots(8, recovery=10)
    )
    asked = event(house, [lamb, brill], wave)
    answer = plan_quickly(asked)
    assert (answer.impossible, breaks(asked, answer)) == ((), ())
    assert sum(each.plates for each in answer.courses) == sum(each.plates for each in asked.courses)
    first = min(each.landing_at for each in answer.courses)
    assert last_up(answer) - first >= least(asked)["pass", ""]


def test_loads_that_lengthen_with_every_portion_are_counted_as_long_as_they_are():
    # Torching takes 48 s and 25 s for each further portion, a cook throughout, eight to a tray of which there are two.
    # A wave of 16 fills both: 48 + 15 x 25 = 423 s, and no two waves share: ten of them, the last of 6 (173 s):
    # 9 x 423 + 173 = 3980 s of the only cook. 150 plates of 24 s by four hands: 9 x 96 + 48 = 912 s.
    cream = dish("cream", plating=24, cream=component("pastry", step(48, each=25, on="torch", fits=8, hands="all")))
    asked = event(kitchen(pass_hands=4, pastry=1, torch=slots(2)), [cream], 16)
    assert least(asked)["station", "pastry"] == 9 * 423 + 173
    assert least(asked)["pass", ""] == 9 * 96 + 48
