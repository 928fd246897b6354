"""Any small kitchen, any dishes that it can cook, any evening's orders.

Lengths are multiples of five seconds, so that things meet and clash more often than they would to the second.
"""

from hypothesis import strategies as st
from hypothesis.strategies import DrawFn, SearchStrategy

from kitchen_timer.kitchen.dish import Component, Dish, Step
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.kitchen.table import After, Asap, AtTime
from kitchen_timer.plan.question import Question, Wanted
from tests.builders import after, at, component, course, dish, kitchen, question, slots, step

HANDS = [None, "all", "ends", "start", "end", "none"]


def fives(least: int, most: int) -> SearchStrategy[int]:
    """Multiples of five seconds."""
    return st.integers(least // 5, most // 5).map(lambda n: n * 5)


@st.composite
def kitchens(draw: DrawFn, stations: int = 4, equipment: int = 3) -> Kitchen:
    """One to four stations of one or two cooks, equipment with few slots and some recovery."""
    cooks = {f"station{i}": draw(st.integers(1, 2)) for i in range(draw(st.integers(1, stations)))}
    places = {
        f"place{i}": slots(draw(st.integers(1, 4)), recovery=draw(st.sampled_from([0, 0, 30, 60])))
        for i in range(draw(st.integers(0, equipment)))
    }
    return kitchen(handling=draw(st.sampled_from([0, 5, 10])), pass_hands=draw(st.integers(1, 3)), **cooks, **places)


@st.composite
def steps(draw: DrawFn, of: Kitchen) -> Step:
    """One step anywhere in the kitchen, with any kind of hands."""
    on = draw(st.sampled_from([None, *of.equipment]))
    return step(
        draw(fives(5, 180)),
        on=on,
        fits=draw(st.integers(1, 4)) if on else 1,
        hands=draw(st.sampled_from(HANDS)),
        each=draw(st.sampled_from([0, 0, 5, 10])),
        may_wait=draw(st.sampled_from([0, 0, 0, 20, 60])),
        handling=draw(st.sampled_from([None, None, None, 0, 20])),
    )


@st.composite
def components(draw: DrawFn, of: Kitchen, earlier: list[str]) -> Component:
    """One to three steps; after one or two of the components before it, sometimes."""
    befores = draw(st.sets(st.sampled_from(earlier), max_size=2)) if earlier and draw(st.booleans()) else set()
    return component(
        draw(st.sampled_from(list(of.stations))),
        *draw(st.lists(steps(of), min_size=1, max_size=3)),
        keeps=draw(st.sampled_from([30, 60, 120, 240, 600])),
        after=sorted(befores),
    )


@st.composite
def dishes(draw: DrawFn, of: Kitchen, name: str) -> Dish:
    """One to four components."""
    parts: dict[str, Component] = {}
    for index in range(draw(st.integers(1, 4))):
        parts[f"part{index}"] = draw(components(of, list(parts)))
    return dish(name, plating=draw(fives(0, 60)), **parts)


@st.composite
def lands(draw: DrawFn, before: str | None) -> Asap | AtTime | After:
    """As soon as can be, at a time, or after the course before it."""
    kinds = ["asap", "asap", "time"] if before is None else ["asap", "time", "after", "after"]
    kind = draw(st.sampled_from(kinds))
    if kind == "time":
        return at(draw(fives(0, 1800)))
    return after(before, draw(fives(0, 600))) if kind == "after" and before else Asap()


@st.composite
def questions(draw: DrawFn, tables: int = 3, most_courses: int = 5) -> Question:
    """An evening's orders before anything has started: some came in a while ago, some are still to come."""
    of = draw(kitchens())
    menu = [draw(dishes(of, f"dish{i}")) for i in range(draw(st.integers(1, 3)))]
    wanted: list[Wanted] = []
    for table in range(1, draw(st.integers(1, tables)) + 1):
        before: str | None = None
        for name in ("starters", "mains")[: draw(st.integers(1, 2))]:
            if len(wanted) == most_courses:
                break
            of_course = draw(st.lists(st.sampled_from([d.dish for d in menu]), min_size=1, max_size=2, unique=True))
            plates = {name_of: draw(st.integers(1, 4)) for name_of in of_course}
            land = draw(lands(before))
            wanted.append(course(str(table), name, land=land, in_at=draw(fives(-300, 300)), **plates))
            before = name
    return question(of, menu, *wanted)
