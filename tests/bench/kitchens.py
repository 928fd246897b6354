"""Invented kitchens by the number, each with a book of twelve dishes that it can land by itself.

Number 0 is the demo kitchen, ``config/skerrymoot``. Every other number is a kitchen made of chance alone: stations of
one or two cooks, a plancha, a fryer that has to recover, rings, trays, a bath, a pass of two to four hands. Figures are
of the size that the trade has (common practice, no source): a sear is three to five minutes, a rest up to six, oil
recovers in half a minute to one, what is fried keeps one or two minutes, a purée a quarter of an hour.
"""

from collections.abc import Mapping
from functools import lru_cache
from math import ceil
from pathlib import Path
from random import Random

from kitchen_timer.files import read_kitchen
from kitchen_timer.kitchen.dish import Book, Component, Dish
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.kitchen.table import Asap
from kitchen_timer.plan.loads import split_course
from kitchen_timer.plan.question import Wanted
from kitchen_timer.plan.targets import alone_s
from tests.builders import component, dish, kitchen, slots, step

SKERRYMOOT = 0
"""The number of the demo kitchen."""
GENERATED = (1, 2, 3, 4, 5)
"""Numbers that the benchmark uses."""
LARGEST_TABLE = 6
ORDERS_S = (90, 130)
"""Seconds between orders for which a generated kitchen has room, at full load."""
MENU = {"starters": 4, "mains": 6, "desserts": 2}

Portions = tuple[tuple[str, int], ...]

_DEMO = Path(__file__).parents[2] / "config" / "skerrymoot"


@lru_cache(maxsize=32)
def kitchen_and_book(number: int) -> tuple[Kitchen, Book]:
    """A kitchen and its book; the same objects every time, so that planners' own memory of a kitchen works."""
    if number == SKERRYMOOT:
        of, book, _ = read_kitchen(_DEMO)
        return of, book
    chance = Random(f"kitchen {number}")
    of = _kitchen(chance)
    book = {each.dish: each for each in _menu(chance, of)}
    return _grown(of, book, chance.uniform(*ORDERS_S)), book


def tens(chance: Random, least: int, most: int) -> int:
    """A multiple of ten seconds."""
    return chance.randint(least // 10, most // 10) * 10


def _kitchen(chance: Random) -> Kitchen:
    """Room enough for any table; how much there really is comes when the menu is known."""
    return kitchen(
        handling=10,
        pass_hands=chance.choice([2, 3, 4]),
        plancha=1,
        fry=1,
        stove=1,
        cold=1,
        pastry=1,
        griddle=slots(6),
        pans=slots(4),
        fryer=slots(chance.choice([2, 3]), recovery=chance.choice([30, 45, 60]), cross_contact=True),
        rings=slots(4),
        oven=slots(4),
        bath=slots(3),
    )


def _grown(of: Kitchen, book: Book, orders_s: float) -> Kitchen:
    """The kitchen with as many cooks and slots as an order every so many seconds needs, and none to spare."""
    needs = averages([taken_s(of, book, portions) for portions in _tables(book)])

    def enough(name: str, room: int) -> int:
        return max(room, ceil(room * needs.get(name, 0) / orders_s))

    stations = {
        name: station.model_copy(update={"cooks": enough(name, station.cooks)}) for name, station in of.stations.items()
    }
    equipment = {
        name: room.model_copy(update={"slots": enough(name, room.slots)}) for name, room in of.equipment.items()
    }
    return of.model_copy(update={"stations": stations, "equipment": equipment})


def _tables(book: Book) -> list[Portions]:
    """Two plates of each of two dishes of a course, for every two: what the average table is taken for."""
    return [
        ((one.dish, 2), (other.dish, 2))
        for one in book.values()
        for other in book.values()
        if one.dish < other.dish and one.course == other.course
    ]


def averages(of: list[Mapping[str, float]]) -> dict[str, float]:
    """The average under each name; a name that is missing counts 0."""
    names = dict.fromkeys(name for each in of for name in each)
    return {name: sum(each.get(name, 0.0) for each in of) / len(of) for name in names}


def taken_s(of: Kitchen, book: Book, portions: Portions) -> Mapping[str, float]:
    """Seconds for which a course alone would take all cooks of each station, all slots, all hands of the pass."""
    wanted = Wanted("0", "course", 0, Asap(), portions)
    taken: dict[str, float] = {}
    for load in split_course(of, book, wanted):
        part = book[load.key.dish].components[load.key.component]
        for index, each in enumerate(part.steps):
            busy_s = sum(b - a for a, b in part.busy_s(index, load.portions, of))
            taken[part.station] = taken.get(part.station, 0) + busy_s / max(1, of.stations[part.station].cooks)
            if each.on is not None:
                room = of.equipment[each.on]
                length_s = each.length_s(load.portions) + (0 if part.stays_on(index) else room.recovery_s)
                taken[each.on] = taken.get(each.on, 0) + -(-load.portions // each.fits) * length_s / room.slots
    pairs = min(of.pass_board.hands, wanted.plates)
    plating_s = -(-wanted.plates // pairs) * max(book[name].plating_s for name, _ in portions)
    taken["pass"] = plating_s * pairs / of.pass_board.hands
    return taken


def _menu(chance: Random, of: Kitchen) -> list[Dish]:
    menu: list[Dish] = []
    for course, count in MENU.items():
        found = 0
        while found < count:
            made = _dish(chance, f"{course[:-1]}-{found + 1}", course)
            if lands_alone(of, made):
                menu.append(made)
                found += 1
    return menu


def lands_alone(of: Kitchen, made: Dish) -> bool:
    """Whether one to six plates of a dish can land with the kitchen to themselves, everything inside its keeps."""
    return all(
        alone_s(of, {made.dish: made}, ((made.dish, plates),)) is not None for plates in range(1, LARGEST_TABLE + 1)
    )


def _dish(chance: Random, name: str, course: str) -> Dish:
    """Three to six components: the main thing, what goes with it, and often something dressed at the very end."""
    parts: dict[str, Component] = {}
    if course == "desserts":
        parts["baked"] = baked(chance, "pastry")
        parts["scoop"] = dressed(chance, "pastry", [])
        parts["crumb"] = sliced(chance, "cold")
        return dish(name, course=course, plating=tens(chance, 20, 40), **parts)
    if course == "mains":
        parts["main"] = chance.choice([seared, seared, bagged, baked])(chance, "plancha")
    else:
        parts["main"] = chance.choice([fried, seared, sliced])(chance, "plancha")
    others = {"fried": fried, "warmed": warmed, "sauce": mounted, "baked": baked, "sliced": sliced, "puree": warmed}
    fewest, most = (3, 4) if course == "mains" else (2, 3)
    for other in chance.sample(sorted(others), chance.randint(fewest, most)):
        parts[other] = others[other](chance, "cold" if other == "sliced" else "stove")
    if chance.random() < 0.7:
        hot = [key for key in parts if parts[key].keeps_s >= 90]
        parts["dressing"] = dressed(chance, "cold", chance.sample(hot, min(len(hot), chance.choice([1, 1, 2]))))
    return dish(name, course=course, plating=tens(chance, 20, 60), **parts)


def seared(chance: Random, station: str) -> Component:
    """Seared, turned, rested; the larger ones sliced."""
    steps = [
        step(tens(chance, 150, 300), on="griddle", fits=chance.choice([1, 2]), do="Sear"),
        step(tens(chance, 60, 120), on="griddle", fits=1, do="Turn"),
        step(tens(chance, 60, 360), hands="none", do="Rest"),
    ]
    if chance.random() < 0.4:
        steps.append(step(20, each=10, may_wait=tens(chance, 60, 180), do="Slice"))
    steps[1] = steps[1].model_copy(update={"fits": steps[0].fits})
    return component(station, *steps, keeps=tens(chance, 90, 180), name="Seared")


def fried(chance: Random, station: str) -> Component:
    """Into the basket and out; dies first. Its station is always the fryer's."""
    fry = step(tens(chance, 90, 210), on="fryer", fits=chance.choice([2, 3, 4]), hands="ends", do="Fry")
    return component("fry", fry, keeps=tens(chance, 60, 120), name="Fried")


def bagged(chance: Random, station: str) -> Component:
    """Reheated in its bag, then glazed when it is wanted."""
    reheat = step(tens(chance, 480, 900), on="bath", fits=chance.choice([4, 6]), hands="start", do="Reheat in bag")
    glaze = step(
        tens(chance, 60, 150), on="pans", fits=3, hands="all", may_wait=tens(chance, 300, 900), do="Glaze in pan"
    )
    return component(station, reheat, glaze, keeps=tens(chance, 120, 300), name="Bagged")


def baked(chance: Random, station: str) -> Component:
    """On an oven tray."""
    bake = step(tens(chance, 360, 720), on="oven", fits=chance.choice([4, 6]), do="Bake")
    steps = [bake, step(10, each=5, may_wait=120, do="Trim")] if chance.random() < 0.3 else [bake]
    return component(station, *steps, keeps=tens(chance, 120, 480), name="Baked")


def warmed(chance: Random, station: str) -> Component:
    """On a ring, stirred once."""
    steps = [step(tens(chance, 90, 180), on="rings", fits=chance.choice([4, 6]), do="Warm through")]
    steps.append(step(tens(chance, 40, 90), on="rings", fits=steps[0].fits, do="Season, finish"))
    return component(station, *steps, keeps=chance.choice([180, 300, 600, 900]), name="Warmed")


def mounted(chance: Random, station: str) -> Component:
    """A sauce that wants a cook throughout, after it has come to heat."""
    steps = (
        step(tens(chance, 60, 120), on="rings", fits=6, hands="start", do="Bring to heat"),
        step(tens(chance, 30, 60), on="rings", fits=6, hands="all", do="Mount"),
    )
    return component(station, *steps, keeps=tens(chance, 180, 300), name="Sauce")


def sliced(chance: Random, station: str) -> Component:
    """Cold, from the board; keeps longest."""
    return component(
        "cold", step(tens(chance, 20, 50), each=chance.choice([5, 10]), do="Slice"), keeps=900, name="Sliced"
    )


def dressed(chance: Random, station: str, after: list[str]) -> Component:
    """Last, when what it goes on is done."""
    last = step(tens(chance, 10, 20), each=chance.choice([2, 3, 5]), do="Dress")
    return component(station, last, keeps=tens(chance, 30, 60), after=after, name="Dressed")
