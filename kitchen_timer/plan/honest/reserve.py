"""How much of a ``keeps`` planners leave unused, because what a component waits for may take longer than usual.

A fritter that keeps 90 s and is planned to stand for 90 is dead as soon as a duck runs a second long. So a component is
planned to stand for its ``keeps`` less what may still slip of the others of its course at the time when it can no
longer be held back: from its last start that can wait. What slips before that, a new plan answers by cueing it later.

The rules stay as they are: a plan that uses a ``keeps`` to the last second is valid. Only planners aim for more.
"""

from collections.abc import Iterator, Mapping
from math import sqrt

from kitchen_timer.kitchen.dish import Book, Component
from kitchen_timer.plan.honest.lengths import length_of
from kitchen_timer.plan.question import BegunLoad, CourseKey, Question, Wanted

TAP_S = 5
"""Seconds from a cue to hands on the food, which nobody's length has in it (common practice, no source)."""

MOST_SHARE = 0.7
"""Of a ``keeps`` that is reserved at most: something has to be left to plan with."""

Reserve = Mapping[tuple[CourseKey, str, str], int]
"""Seconds by ``(course, dish, component)``."""

Parts = list[tuple[str, str, int]]
"""Dish, component, seconds."""

_untouched: tuple[Book | None, dict[tuple[tuple[str, int], ...], Parts]] = (None, {})
"""Of the newest book: what courses of which nothing has begun have in reserve. It is asked for with every plan."""


def reserve_of(question: Question) -> Reserve:
    """The reserve of every component of every course that is still to land."""
    found: dict[tuple[CourseKey, str, str], int] = {}
    for wanted in question.courses:
        if wanted.landed_at is None:
            for dish, name, seconds in (
                _of_course(question, wanted) if wanted.begun else _of_untouched(question, wanted)
            ):
                found[wanted.key, dish, name] = seconds
    return found


def _of_untouched(question: Question, wanted: Wanted) -> Parts:
    global _untouched
    book, known = _untouched  # read once: another thread may ask about another book
    if book is not question.book:
        known = {}
        _untouched = (question.book, known)
    if wanted.portions not in known:
        known[wanted.portions] = list(_of_course(question, wanted))
    return known[wanted.portions]


def _of_course(question: Question, wanted: Wanted) -> Iterator[tuple[str, str, int]]:
    parts = [
        (dish, name, component, qty)
        for dish, qty in wanted.portions
        if dish in question.book
        for name, component in question.book[dish].components.items()
    ]
    begun: dict[tuple[str, str], list[BegunLoad]] = {}
    for load in wanted.begun:
        begun.setdefault((load.dish, load.component), []).append(load)
    slips = {
        (dish, name): _slips(component, qty, begun.get((dish, name), ()), question.now)
        for dish, name, component, qty in parts
    }
    for dish, name, component, qty in parts:
        loads = begun.get((dish, name), ())
        done = loads and all(len(load.steps) == len(component.steps) for load in loads)
        goes_on_s = 1 << 30 if done else _last_s(component, qty)
        waits_for = question.book[dish].dependants_of(name)
        others = [
            sqrt(sum(slip * slip for before_s, slip in steps if before_s < goes_on_s))
            for (of, other), steps in slips.items()
            # What others of its dish come after stands only until those start.
            if (of, other) != (dish, name) and (not waits_for or (of == dish and other not in waits_for))
        ]
        early_s = 0.0 if done else _early_s(component, qty)
        seconds = TAP_S + max([0.0, *others]) + early_s
        yield dish, name, min(round(seconds), round(MOST_SHARE * component.keeps_s))


def _slips(component: Component, qty: int, begun: "list[BegunLoad] | tuple[()]", now: int) -> list[tuple[int, float]]:
    """Of each step that is not done: how long before the end of its component it ends, and what it may slip."""
    done = min((_done(load, now) for load in begun), default=0)
    after_s, found = 0, []
    for index in reversed(range(done, len(component.steps))):
        length = length_of(component, index, qty)
        slip_s = length.slip_s
        running = [load.steps[index] for load in begun if index < len(load.steps) and not load.steps[index].done]
        if running:
            # What has been planned for already slips no more.
            slip_s = max(max(0.0, step.start_at + length.most_s - step.end_at) for step in running)
        found.append((after_s, slip_s))
        after_s += component.steps[index].length_s(qty)
    return found


def _done(load: BegunLoad, now: int) -> int:
    return sum(step.done for step in load.steps)


def _last_s(component: Component, qty: int) -> int:
    """Seconds from the last start that can be put off to the end."""
    seconds = 0
    for index in reversed(range(len(component.steps))):
        seconds += component.steps[index].length_s(qty)
        if component.steps[index].may_wait_s > 0:
            break
    return seconds


def _early_s(component: Component, qty: int) -> float:
    """How much sooner than planned it may be done, counted from its last start that can be put off."""
    total = 0.0
    for index in reversed(range(len(component.steps))):
        total += length_of(component, index, qty).early_s ** 2
        if component.steps[index].may_wait_s > 0:
            break
    return sqrt(total)
