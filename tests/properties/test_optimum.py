"""Against every plan there is: on tiny kitchens the planners' optimum and targets are those that counting finds."""

from dataclasses import replace
from time import perf_counter

from hypothesis import assume, event, given, settings
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn

from kitchen_timer.kitchen.dish import Component
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.kitchen.table import AtTime
from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.choose import plan_fully, plan_quickly
from kitchen_timer.plan.question import Question
from kitchen_timer.plan.targets import alone_s
from tests.builders import ASAP, at, component, course, dish, kitchen, question, slots, step
from tests.properties.every_plan import GRID, cheapest, earliest_alone_s, horizon_s, ways
from tests.properties.strategies import HANDS

TOO_MANY = 4000
"""Ways to make one course beyond which counting takes too long."""


def tens(least: int, most: int) -> st.SearchStrategy[int]:
    return st.integers(least, most).map(lambda n: n * GRID)


@st.composite
def tiny_components(draw: DrawFn, of: Kitchen, after: list[str]) -> Component:
    """One or two steps, in tens of seconds, with short keeps so that there is not too much to count."""
    steps = [
        step(
            draw(tens(1, 6)),
            on=(on := draw(st.sampled_from([None, *of.equipment]))),
            fits=draw(st.integers(1, 2)) if on else 1,
            hands=draw(st.sampled_from(HANDS)),
            each=draw(st.sampled_from([0, 0, GRID])),
            may_wait=draw(st.sampled_from([0, 0, GRID])),
        )
        for _ in range(draw(st.integers(1, 2)))
    ]
    return component(
        draw(st.sampled_from(list(of.stations))),
        *steps,
        keeps=draw(tens(1, 5)),
        after=after if draw(st.booleans()) else [],
    )


@st.composite
def tiny_questions(draw: DrawFn) -> Question:
    """One or two courses of one dish, three loads at most, and everything that can be shared or fought over."""
    of = kitchen(
        handling=draw(st.sampled_from([0, GRID])),
        pass_hands=draw(st.integers(1, 2)),
        **{f"station{i}": 1 for i in range(draw(st.integers(1, 2)))},
        place=slots(draw(st.integers(1, 2)), recovery=draw(tens(0, 2))),
    )
    menu = []
    for index in range(draw(st.integers(1, 2))):
        parts: dict[str, Component] = {}
        for name in ("first", "second")[: draw(st.integers(1, 2))]:
            parts[name] = draw(tiny_components(of, list(parts)))
        menu.append(dish(f"dish{index}", plating=draw(tens(0, 2)), **parts))
    courses = []
    loads = 0
    for table in ("1", "2"):
        wanted = draw(st.sampled_from(menu))
        plates = draw(st.integers(1, 2))
        limits = [part.most_at_once(of) for part in wanted.components.values()]
        assume(all(limit is None or limit >= plates for limit in limits))
        loads += len(wanted.components)
        if loads > 3:
            break
        land = draw(st.sampled_from([ASAP, ASAP, at(draw(tens(0, 12)))]))
        asked = course(table, land=land, in_at=draw(tens(-2, 4)), **{wanted.dish: plates})
        courses.append(replace(asked, presses=draw(st.sampled_from([1, 1, 3]))))
    return question(of, menu, *courses)


@given(tiny_questions())
@settings(max_examples=40)
def test_no_plan_is_cheaper_than_the_one_found_and_proven(of: Question) -> None:
    asked = of
    aimed = []
    for wanted in of.courses:
        alone = earliest_alone_s(of, wanted)
        said = alone_s(of.kitchen, of.book, wanted.portions)
        assert alone == said, f"{wanted.key} can land in {alone} s, not {said} s"
        if alone is None:
            continue
        target = wanted.land.at if isinstance(wanted.land, AtTime) else max(of.now, wanted.in_at) + alone
        aimed.append(replace(wanted, target_at=target))
    event(f"{len(of.courses)} courses, {len(of.courses) - len(aimed)} impossible")
    quick = plan_quickly(asked)
    assert {given_up.key for given_up in quick.impossible} == {w.key for w in of.courses} - {w.key for w in aimed}
    assume(aimed)
    of = replace(of, courses=tuple(aimed))
    every = [ways(of, wanted, horizon_s(of)) for wanted in of.courses]
    assume(max(map(len, every)) < TOO_MANY)
    best = cheapest(of, every)
    assert best is not None
    found = plan_fully(asked, 1.5, perf_counter)
    assert [str(each) for each in breaks(asked, found)] == []
    assert abs(found.cost - best.cost) < 0.01, f"{found.cost} is not the {best.cost} of {best.steps}"
    assert found.bound is not None
    assert abs(found.bound - best.cost) < 0.02
    assert quick.cost >= best.cost - 0.01
