"""What changes in the house: eighty-six, cooks away and back, equipment out and back, which station taps what."""

import pytest

from kitchen_timer.kitchen.problems import BadMessage, DishIsOff, KitchenProblem, NotNow, UnknownDish
from kitchen_timer.kitchen.station import Taps
from kitchen_timer.kitchen.table import Asap, Plate
from kitchen_timer.service.commands import (
    AddPlates,
    BackOn,
    ChangePlate,
    CourseAsked,
    EightySix,
    GiveMoreTime,
    SetCooks,
    SetSlots,
    SetTaps,
    Undo,
)
from tests.live.tonight import SERVICE, START, Tonight

FISH = "6/mains/hake/fish/1"
LEAVES = "6/mains/hake/leaves/1"
RINGS = "6/mains/squid/rings/1"


def test_a_dish_that_is_off_is_refused_with_what_to_do_and_says_which_orders_hold_it() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.do(EightySix(dish="hake"))
    with pytest.raises(DishIsOff, match=r"Hake is off: there is none left .* Order another dish, or say"):
        tonight.order("4", hake=1)
    with pytest.raises(DishIsOff):
        tonight.engine.quote("4", (CourseAsked("mains", (Plate(dish="hake"),), Asap()),))
    with pytest.raises(DishIsOff):
        tonight.do(AddPlates("6/mains", (Plate(dish="hake"),), allergies_asked=True))
    (off,) = tonight.board().off
    assert (off.dish, off.name, off.courses, off.dishes) == ("hake", "Hake", ("6/mains",), ("hake",))
    tonight.cook_until(290)
    assert tonight.board().off[0].courses == (), "all of it is cooking"
    tonight.do(BackOn(dish="hake"))
    assert tonight.board().off == ()
    tonight.order("4", hake=1)


def test_a_component_that_is_off_takes_every_dish_with_it_off() -> None:
    tonight = Tonight()
    tonight.order("6", squid=1)
    ack = tonight.do(EightySix(component="leaves"))
    with pytest.raises(DishIsOff, match="Hake is off: there is no Leaves left"):
        tonight.do(ChangePlate("6/mains", Plate(dish="squid"), Plate(dish="hake")))
    assert tonight.engine.off("hake") == "Leaves"
    (off,) = tonight.board().off
    assert (off.dish, off.component, off.dishes) == (None, "Leaves", ("hake",)), "what the order page must not offer"
    tonight.do(Undo(ack.seq))
    tonight.order("4", hake=1)


def test_only_what_the_book_has_goes_off_and_only_once() -> None:
    tonight = Tonight()
    with pytest.raises(UnknownDish, match="Name one that it has: egg, hake, squid"):
        tonight.do(EightySix(dish="eel"))
    with pytest.raises(UnknownDish, match="Name one: Egg, Hake, Leaves, Squid"):
        tonight.do(EightySix(component="Eel"))
    with pytest.raises(BadMessage):
        tonight.do(EightySix())
    with pytest.raises(BadMessage):
        tonight.do(EightySix(dish="hake", component="Leaves"))
    with pytest.raises(NotNow, match="Hake is not off"):
        tonight.do(BackOn(dish="hake"))
    tonight.do(EightySix(dish="hake"))
    with pytest.raises(NotNow, match="Hake is off already"):
        tonight.do(EightySix(dish="hake"))


def test_a_cook_who_comes_makes_two_things_possible_at_once() -> None:
    tonight = Tonight()
    tonight.order("6", "mains", egg=1)  # hands throughout, 100 s, one cook at the plancha
    tonight.order("4", "mains", egg=1)
    landings = sorted(course.landing_at - START for course in tonight.board().courses)
    assert landings == [100, 100] or landings == [100, 200]
    tonight = Tonight()
    tonight.order("6", "mains", egg=1)
    tonight.order("4", "mains", egg=2, hake=1)
    ack = tonight.do(SetCooks("plancha", 2))
    (short,) = tonight.board().short
    assert (short.kind, short.id, short.has, short.of) == ("cooks", "plancha", 2, 1)
    tonight.do(Undo(ack.seq))
    assert tonight.board().short == ()


def test_a_station_without_cooks_makes_its_dishes_impossible_until_one_is_back() -> None:
    tonight = Tonight()
    tonight.order("6", squid=1)
    tonight.order("4", hake=1)
    tonight.do(SetCooks("fry", 0))
    board = tonight.board()
    assert [cannot.id for cannot in board.cannot] == ["6/mains"]
    assert [course.id for course in board.courses] == ["4/mains"]
    tonight.at(60).do(SetCooks("fry", 1))
    assert tonight.board().short == ()
    assert tonight.course("6/mains").landing_at == START + 150


def test_equipment_that_is_out_makes_its_dishes_impossible_until_it_is_back() -> None:
    tonight = Tonight()
    tonight.order("6", squid=3)
    tonight.do(SetSlots("fryer", 0))
    (cannot,) = tonight.board().cannot
    assert cannot.why == "the fryer is out: none of its places can be used"
    assert tonight.board().short[0].kind == "slots"
    tonight.at(30).do(SetSlots("fryer", 2))
    assert tonight.board().cannot == ()
    assert tonight.course("6/mains").landing_at == START + 120


@pytest.mark.parametrize("lost_at", [5, 45, 75])
def test_food_that_is_on_goes_on_when_its_cook_leaves_or_its_fryer_fails(lost_at: int) -> None:
    tonight = Tonight()
    tonight.order("6", squid=1, hake=1)
    tonight.cook_until(210 + lost_at)
    tonight.do(SetCooks("fry", 0))
    tonight.do(SetSlots("fryer", 0))
    assert [action.do for action in tonight.actions("fry")] == ["Lift"]
    assert tonight.note(f"{RINGS}/0").state == "started"
    tonight.cook_until(420)
    assert tonight.course("6/mains").at_pass


def test_half_a_fryer_is_planned_with_half_a_fryer() -> None:
    tonight = Tonight()
    tonight.do(SetSlots("fryer", 1))
    tonight.order("6", squid=4)  # two baskets' worth, one after the other: 90, 60 of recovery, 90
    assert tonight.board().cannot[0].id == "6/mains" or tonight.course("6/mains").landing_at == START + 240
    tonight.do(SetSlots("fryer", 2))
    assert tonight.course("6/mains").landing_at == START + 90


def test_the_house_is_changed_only_to_what_can_be() -> None:
    tonight = Tonight()
    with pytest.raises(KitchenProblem, match=r"no station 'grill'. Name one of fry, plancha, cold"):
        tonight.do(SetCooks("grill", 1))
    with pytest.raises(KitchenProblem, match=r"no equipment 'grill'. Name one of fryer, top"):
        tonight.do(SetSlots("grill", 1))
    for cooks in (-1, 51):
        with pytest.raises(BadMessage):
            tonight.do(SetCooks("fry", cooks))
    with pytest.raises(NotNow, match="Fry has 1 cooks already"):
        tonight.do(SetCooks("fry", 1))
    with pytest.raises(NotNow, match="taps like that already"):
        tonight.do(SetTaps("fry", "both"))


def test_the_next_service_begins_with_the_kitchen_of_its_file() -> None:
    tonight = Tonight()
    tonight.do(SetCooks("fry", 3))
    tonight.do(EightySix(dish="hake"))
    tonight.engine.open_service(SERVICE.replace(day=28))
    assert tonight.board().short == ()
    assert tonight.board().off == ()


@pytest.mark.parametrize(("second", "state"), [(-1, "announced"), (0, "started"), (1, "started")])
def test_a_station_that_taps_only_done_has_started_at_the_second_it_was_told(second: int, state: str) -> None:
    tonight = Tonight()
    tonight.do(SetTaps("plancha", "done"))
    tonight.order("6", hake=1)
    tonight.at(180)  # skin side down at 0, turned at 180, both by the clock
    assert tonight.note(f"{FISH}/0").start_at == START
    assert tonight.actions("plancha")[0].do == "Lift"
    tonight.order("4", "mains", hake=1)
    turn = tonight.note("4/mains/hake/fish/1/0").start_at - START
    tonight.at(turn + second)
    assert tonight.note("4/mains/hake/fish/1/0").state == state


@pytest.mark.parametrize(("taps", "done"), [("both", False), ("done", False), ("clock", True)])
def test_a_station_that_taps_nothing_is_done_by_the_clock(taps: Taps, done: bool) -> None:
    tonight = Tonight()
    for station in tonight.kitchen.stations:
        if taps != "both":
            tonight.do(SetTaps(station, taps))
    tonight.order("6", hake=1, squid=1)
    tonight.at(320)
    assert (tonight.board().courses[0].at_pass) == done
    if done:
        assert tonight.course("6/mains").landing_at == START + 300
        assert tonight.board().trouble == ()


def test_what_the_clock_is_trusted_with_can_still_be_given_more_time_and_tapped_early() -> None:
    tonight = Tonight()
    tonight.do(SetTaps("plancha", "clock"))
    tonight.order("6", "mains", egg=1)
    assert tonight.actions("plancha")[0].by_itself
    tonight.at(50).do(GiveMoreTime((f"{'6/mains/egg/egg/1'}/0",), 120))
    tonight.at(219)
    assert not tonight.course("6/mains").at_pass
    tonight.at(220)
    assert tonight.course("6/mains").at_pass


def test_the_clock_does_not_start_what_waits_for_food_that_is_not_done() -> None:
    tonight = Tonight(book=_sauced())
    tonight.do(SetTaps("cold", "clock"))
    tonight.order("6", hake=1)
    sauce, dress = "6/mains/hake/sauce/1/0", "6/mains/hake/dress/1/0"
    tonight.cook_until(
        80, skip=lambda each: each.kind == "finish" or each.do == "Dress"
    )  # the sauce is not tapped done at 60
    assert tonight.note(sauce).state == "started"
    assert tonight.note(dress).state in ("planned", "announced")
    tonight.finish(sauce)
    tonight.at(tonight.now + 30)
    assert tonight.note(dress).state in ("started", "done")


def _sauced():  # type: ignore[no-untyped-def]
    from tests import builders as b

    dish = b.dish(
        "hake",
        plating=10,
        sauce=b.component("plancha", b.step(60, do="Mount"), keeps=120, name="Sauce"),
        dress=b.component("cold", b.step(20, do="Dress"), keeps=60, name="Leaves", after=["sauce"]),
    )
    return b.book([dish])


def test_a_changed_house_is_the_same_after_a_restart() -> None:
    tonight = Tonight()
    tonight.do(SetCooks("fry", 2))
    tonight.do(SetTaps("cold", "done"))
    tonight.do(EightySix(dish="egg"))
    board = tonight.board()
    assert tonight.restart().pass_board() == board
    assert tonight.engine.station_board("cold").taps == "done"
