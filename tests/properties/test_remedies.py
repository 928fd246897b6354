"""Whatever can never be made: the plan says why and what would help, and what would help does."""

from collections import Counter

from hypothesis import event, given, settings
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn

from kitchen_timer.kitchen.dish import Component, Dish
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.plan.answer import Impossible
from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.choose import plan_quickly
from kitchen_timer.plan.question import Question
from kitchen_timer.plan.remedy import with_remedy
from tests.builders import after, component, course, dish, kitchen, question, slots
from tests.properties.strategies import fives, steps


@st.composite
def tight_kitchens(draw: DrawFn) -> Kitchen:
    """Few cooks, now and then none; few slots that recover long."""
    cooks = {f"station{i}": draw(st.sampled_from([0, 1, 1, 1, 2])) for i in range(draw(st.integers(1, 3)))}
    places = {f"place{i}": slots(draw(st.integers(1, 2)), recovery=draw(st.sampled_from([0, 60]))) for i in range(2)}
    return kitchen(handling=10, pass_hands=draw(st.integers(1, 2)), **cooks, **places)


@st.composite
def dying_components(draw: DrawFn, of: Kitchen, earlier: list[str]) -> Component:
    """Keeps nothing, or half a minute."""
    befores = [draw(st.sampled_from(earlier))] if earlier and draw(st.integers(0, 3)) == 0 else []
    made = draw(st.lists(steps(of), min_size=1, max_size=2))
    return component(
        draw(st.sampled_from(list(of.stations))), *made, keeps=draw(st.sampled_from([0, 10, 30])), after=befores
    )


@st.composite
def dying_dishes(draw: DrawFn, of: Kitchen, name: str) -> Dish:
    parts: dict[str, Component] = {}
    for index in range(draw(st.integers(1, 3))):
        parts[f"part{index}"] = draw(dying_components(of, list(parts)))
    return dish(name, plating=draw(fives(0, 30)), **parts)


@st.composite
def hopeless(draw: DrawFn) -> Question:
    """A table with dishes of which many can never be made, and whose mains land after its starters."""
    of = draw(tight_kitchens())
    menu = [draw(dying_dishes(of, f"dish{i}")) for i in range(2)]
    plates = [{d.dish: draw(st.sampled_from([1, 1, 2, 5])) for d in each} for each in (menu, menu[:1])]
    return question(
        of, menu, course("1", "starters", **plates[0]), course("1", "mains", land=after("starters", 60), **plates[1])
    )


TRIED: Counter[str] = Counter()
"""Over all examples: remedies tried, and those that made it possible."""


def try_remedies(asked: Question, cannot: Impossible) -> None:
    assert cannot.why
    assert cannot.would_help
    assert cannot.remedies
    assert 1 <= cannot.rule <= 9
    for remedy in cannot.remedies:
        assert remedy.words in cannot.would_help
        if any(change.kind in ("call", "book") for change in remedy.changes):
            continue
        cured = with_remedy(asked, cannot.key, remedy)
        answer = plan_quickly(cured)
        still = [each for each in answer.impossible if each.key.table == cannot.table and each.rule != 8]
        still = [each for each in still if each.course.removesuffix(" 2").removesuffix(" 3") == cannot.course]
        TRIED["tried"] += 1
        TRIED["helped"] += not still
        event(f"{remedy.changes[0].kind} {'helps' if not still else 'does not help'}")


@given(hopeless())
@settings(max_examples=6)
def test_what_can_never_be_made_has_a_reason_and_a_remedy_that_helps(asked: Question) -> None:
    answer = plan_quickly(asked)
    assert [str(each) for each in breaks(asked, answer)] == []
    event(f"{len(answer.impossible)} impossible")
    for cannot in answer.impossible:
        try_remedies(asked, cannot)


def test_nearly_every_remedy_helps() -> None:
    """A remedy is tried before it is named, on the course alone; here beside all others, by the whole planner."""
    if not TRIED["tried"]:  # run by itself
        test_what_can_never_be_made_has_a_reason_and_a_remedy_that_helps()
    assert TRIED["tried"] >= 10
    assert TRIED["helped"] >= 0.98 * TRIED["tried"], TRIED
