"""The chain that holds a course that is behind, link by link, back to what began it."""

from datetime import UTC, datetime

import pytest

from kitchen_timer.kitchen.dish import Dish
from kitchen_timer.plan.choose import plan_quickly
from kitchen_timer.plan.question import CourseKey, Question
from kitchen_timer.plan.why import why_behind, why_chains
from kitchen_timer.plan.why_link import Chain
from tests.builders import after, at, begun, component, course, dish, kitchen, plan, question, slots, step


def half_past_seven(minutes: int = 0, seconds: int = 0) -> int:
    """19:30 in an invented kitchen on UTC, so many minutes and seconds later."""
    return int(datetime(2026, 11, 27, 19, 30, tzinfo=UTC).timestamp()) + 60 * minutes + seconds


def said(chain: Chain) -> list[str]:
    return [link.words for link in chain]


SQUID = dish("squid", rings=component("fry", step(90, on="fryer", handling=0), name="Squid", keeps=0))
BOTH = dish(
    "both",
    rings=component("fry", step(90, on="fryer", handling=0), name="Squid", keeps=0),
    rice=component("garnish", step(200), name="Risotto", keeps=0),
)
CELERIAC = dish("celeriac", root=component("garnish", step(240), name="Celeriac", keeps=0))


def test_the_chain_goes_back_to_what_began_it() -> None:
    # Table 9's celeriac has the Garnish cook from 19:24 to 19:28. Table 4's risotto (200 s) follows: 19:28 to 19:31:20;
    # its squid keeps 0 s, so it is in from 19:29:50 to 19:31:20. The oil recovers 60 s: table 6's squid goes in at
    # 19:32:20 and lands at 19:33:50; its order came in at 19:30, and alone it would land at 19:31:30: 140 s sooner.
    # Without the celeriac table 4 would begin at 19:24 and land at 19:27:20, 240 s sooner.
    asked = question(
        kitchen(fry=1, garnish=1, fryer=slots(1, recovery=60)),
        [SQUID, BOTH, CELERIAC],
        course("9", in_at=half_past_seven(-6), celeriac=1),
        course("4", in_at=half_past_seven(-6), both=1),
        course("6", in_at=half_past_seven(), squid=1),
        now=half_past_seven(-6),
    )
    answer = plan(
        asked,
        {
            "9/mains": half_past_seven(-2),
            "4/mains": half_past_seven(1, 20),
            "6/mains": half_past_seven(3, 50),
        },
        {
            "9/mains/celeriac/root/1": [half_past_seven(-6)],
            "4/mains/both/rice/1": [half_past_seven(-2)],
            "4/mains/both/rings/1": [half_past_seven(0, -10)],
            "6/mains/squid/rings/1": [half_past_seven(2, 20)],
        },
        targets={"4/mains": half_past_seven(-3, 20), "6/mains": half_past_seven(1, 30)},
    )
    chain = why_chains(asked, answer)[CourseKey("6", "mains")]
    assert said(chain) == [
        "Fry: table 4's squid in the fryer until 19:31:20, then 60 s to recover",
        "Table 4's squid is for its risotto. Garnish: the cook is busy with table 9's celeriac until 19:28",
        "Table 9's celeriac is on time: table 9 lands at 19:28, as wanted",
    ]
    assert [link.sooner_s for link in chain] == [140, 240, 0]
    assert [link.kind for link in chain] == ["slots", "hands", "on_time"]
    assert why_behind(asked, answer)[CourseKey("6", "mains")] == chain[0].words


def test_two_tables_in_the_same_baskets_are_named_together() -> None:
    # Tables 4 and 9 share the only basket (two portions fit) from 0:00 to 1:30; table 6 came in at 0:30.
    squid = dish("squid", rings=component("fry", step(90, on="fryer", fits=2, handling=0), name="Squid", keeps=0))
    asked = question(
        kitchen(fry=1, fryer=slots(1)), [squid], *(course(t, squid=1) for t in "49"), course("6", in_at=30, squid=1)
    )
    answer = plan(
        asked,
        {"4/mains": 90, "9/mains": 90, "6/mains": 180},
        {"4/mains/squid/rings/1": [0], "9/mains/squid/rings/1": [0], "6/mains/squid/rings/1": [90]},
        targets={"6/mains": 120},
    )
    (first, root) = why_chains(asked, answer)[CourseKey("6", "mains")]
    assert first.words == "Fry: tables 4 and 9's squid in the fryer until 00:01:30"
    assert {load.table for load in first.by} == {"4", "9"}
    assert first.sooner_s == 60
    assert root.words.endswith("is on time: table 4 lands at 00:01:30, as wanted")


def test_a_basket_and_a_cook_at_once_are_both_named() -> None:
    # Squid (60 s, keeps 0 s) and risotto (60 s by hand, keeps 0 s) must end together. The basket is table 4's until
    # 2:00, the Garnish cook is table 9's until 2:00: without either alone table 6 lands no sooner than 3:00.
    both = dish(
        "both",
        rings=component("fry", step(60, on="fryer", handling=0), name="Squid", keeps=0),
        rice=component("garnish", step(60), name="Risotto", keeps=0),
    )
    chips = dish("chips", chips=component("fry", step(120, on="fryer", handling=0), name="Chips", keeps=0))
    root = dish("root", root=component("garnish", step(120), name="Celeriac", keeps=0))
    asked = question(
        kitchen(fry=1, garnish=1, fryer=slots(1)),
        [both, chips, root],
        course("4", chips=1),
        course("9", root=1),
        course("6", both=1),
    )
    answer = plan(
        asked,
        {"4/mains": 120, "9/mains": 120, "6/mains": 180},
        {
            "4/mains/chips/chips/1": [0],
            "9/mains/root/root/1": [0],
            "6/mains/both/rings/1": [120],
            "6/mains/both/rice/1": [120],
        },
        targets={"6/mains": 60},
    )
    first = why_chains(asked, answer)[CourseKey("6", "mains")][0]
    assert first.kind == "several"
    assert first.words == (
        "Fry: table 4's chips in the fryer until 00:02; and "
        "Garnish: the cook is busy with table 9's celeriac until 00:02"
    )
    assert {load.table for load in first.by} == {"4", "9"}
    assert first.sooner_s == 120


def test_started_food_of_another_table_is_where_a_chain_begins() -> None:
    # Table 4's squid went in at 0:00 and comes out at 1:40, ten seconds late; table 6 came in at 0:50.
    asked = question(
        kitchen(fry=1, fryer=slots(1)),
        [SQUID],
        course("4", target=90, begun=[begun("squid/rings/1", (0, 100))], squid=1),
        course("6", in_at=50, target=140, squid=1),
        now=60,
    )
    chain = why_chains(asked, plan_quickly(asked))[CourseKey("6", "mains")]
    assert said(chain) == [
        "Fry: table 4's squid in the fryer until 00:01:40",
        "Table 4's squid is on since 00:00",
    ]
    assert chain[0].sooner_s == 40  # in at 1:00 instead of 1:40


def test_a_course_after_a_late_one_waits_for_that() -> None:
    # Starters are wanted at 0:30 and take 90 s: up at 1:30. Mains were to land 60 s after that at 1:30.
    asked = question(
        kitchen(fry=1, fryer=slots(2)),
        [SQUID],
        course("6", "starters", land=at(30), squid=1),
        course("6", "mains", land=after("starters", 60), target=90, squid=1),
    )
    chain = why_chains(asked, plan_quickly(asked))[CourseKey("6", "mains")]
    assert said(chain) == [
        "It comes after starters, which are up at 00:01:30, plus 60 s",
        "Table 6's starters wait in turn. Fry: 90 s for its squid is more than there was",
    ]


def test_a_course_stays_where_a_station_was_told() -> None:
    # The basket is free from 0:00, but Fry was told 0:30 for table 6's squid, which could not land at 1:30 either.
    asked = question(
        kitchen(fry=1, fryer=slots(1)),
        [SQUID],
        course("6", target=90, squid=1),
        announced={"6/mains/squid/rings/1/0": 30},
    )
    answer = plan(asked, {"6/mains": 120}, {"6/mains/squid/rings/1": [30]})
    (only,) = why_chains(asked, answer)[CourseKey("6", "mains")]
    assert (only.kind, only.words) == ("announced", "Fry: its squid stays at 00:00:30, as announced")


def test_a_sooner_landing_that_is_not_planned_yet_is_said_so() -> None:
    asked = question(kitchen(fry=1, fryer=slots(1)), [SQUID], course("6", target=90, squid=1))
    answer = plan(asked, {"6/mains": 120}, {"6/mains/squid/rings/1": [30]})
    (only,) = why_chains(asked, answer)[CourseKey("6", "mains")]
    assert only.kind == "search"
    assert only.words == "It could land at 00:01:30: the search has not got there yet"
    assert only.sooner_s == 30


def test_a_course_that_would_stand_longer_for_it_lands_later() -> None:
    # Seven parts of 10 s by hand, a portion each, that keep 60 s; table 9 has all seven cooks from 1:40 to 3:20. Wanted
    # at 2:30, table 6 could be done at 1:40 and stand 50 s: 7 * 50 * 0.2 = 70 plate-seconds. Landing at 3:30, made at
    # the last moment, one plate is 60 s late: 60 plate-seconds.
    parts = {f"part{n}": component("cold", step(10), name="Leaves", keeps=60) for n in range(7)}
    slow = {f"part{n}": component("cold", step(100), keeps=60) for n in range(7)}
    asked = question(
        kitchen(cold=7),
        [dish("raw", **parts), dish("slow", **slow)],
        course("9", slow=1),
        course("6", target=150, raw=1),
    )
    answer = plan(
        asked,
        {"9/mains": 200, "6/mains": 210},
        {f"9/mains/slow/part{n}/1": [100] for n in range(7)} | {f"6/mains/raw/part{n}/1": [200] for n in range(7)},
    )
    (only,) = why_chains(asked, answer)[CourseKey("6", "mains")]
    assert (only.kind, only.words) == ("stands", "60 s sooner its leaves would stand 50 s longer")


# -- critical paths ----------------------------------------------------------------------------------------------------

MINUTE = 60


def network(activities: dict[str, tuple[int, str]]) -> Dish:
    """A dish whose components are the activities of a network: minutes, and those they come after."""
    parts = {
        name.lower(): component(
            "stove", step(minutes * MINUTE, hands="none"), name=name, keeps=86_400, after=before.lower().split()
        )
        for name, (minutes, before) in activities.items()
    }
    return dish("network", **parts)


NETWORKS = {
    # Heizer and Render, Operations Management, ch. 3, "Milwaukee Paper": length 15, critical A-C-E-G-H. Durations as
    # printed; predecessors from memory, with which the printed length and slacks come out.
    "milwaukee": (
        {"A": (2, ""), "B": (3, ""), "C": (2, "A"), "D": (4, "A B"), "E": (4, "C"), "F": (3, "C"), "G": (5, "D E"),
         "H": (2, "F G")},
        15, "A C E G H",
    ),
    # Taylor, Introduction to Management Science, ch. 8, solution 5 (activities between events): length 20, critical
    # 1-3-4-5-6. P12 is the activity from event 1 to event 2.
    "taylor": (
        {"P12": (7, ""), "P13": (10, ""), "P24": (6, "P12"), "P34": (5, "P13"), "P35": (4, "P13"),
         "P45": (3, "P24 P34"), "P56": (2, "P35 P45")},
        20, "P13 P34 P45 P56",
    ),
    # slideplayer.com/slide/3283910: length 22; latest starts A0 B7 C4 D7 E10 F9 G15 H19. Earliest starts are A0 B4 C4
    # D4 E9 F9 G15 H19, so A, C, F, G, H have no slack. Predecessors inferred from the printed times, all reproduced.
    "slides": (
        {"A": (4, ""), "B": (3, "A"), "C": (5, "A"), "D": (2, "A"), "E": (5, "B C"), "F": (6, "C D"), "G": (4, "E F"),
         "H": (3, "G")},
        22, "A C F G H",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", NETWORKS)
def test_the_chain_of_a_course_alone_is_its_critical_path(name: str) -> None:
    activities, length, critical = NETWORKS[name]
    asked = question(kitchen(stove=1), [network(activities)], course("6", target=0, network=1))
    answer = plan_quickly(asked)
    assert answer.courses[0].landing_at == length * MINUTE
    chain = why_chains(asked, answer, links=20)[CourseKey("6", "mains")]
    path = [link.load.component.upper() for link in reversed(chain) if link.load]
    assert path == critical.split()
    assert [link.kind for link in chain] == ["own"] * (len(path) - 1) + ["time"]


def test_the_longest_way_is_told_back_to_the_first_start() -> None:
    # Leeks 2:00 from 0:00, then the dressing 20 s: 2:20 in all; wanted at 1:00.
    leeks = component("stove", step(120, hands="none"), name="Leeks", keeps=60)
    salad = dish("salad", leeks=leeks, dressing=component("cold", step(20), name="Dressing", after=["leeks"], keeps=0))
    asked: Question = question(kitchen(stove=1, cold=1), [salad], course("6", land=at(60), salad=1))
    assert said(why_chains(asked, plan_quickly(asked))[CourseKey("6", "mains")]) == [
        "Cold: its dressing comes after its leeks, done at 00:02",
        "Stove: 2 min for its leeks is more than there was",
    ]
