"""Against the backward pass of the critical path method: with slots and hands enough, everything starts at its latest.

Source: the "Milwaukee Paper" project of Heizer and Render, Operations Management, chapter 3 (also Render, Stair and
Hanna). Durations in weeks A2 B3 C2 D4 E4 F3 G5 H2 were read in a copy of its slides; who comes after whom (C: A; D: A
and B; E: C; F: C; G: D and E; H: F and G) is from memory; latest starts were computed by hand from the two: H 13, G 8,
F 10, E 4, D 4, C 2, B 1, A 0; length 15; critical A-C-E-G-H.

Mapping: one dish, a week is a minute, every activity a component of one step on a board without hands. A component
stands until the last that waits for it starts, so it is to start late only if what comes after it is dearer to let
stand: ``keeps`` falls by a factor of five from rank to rank, so that a second of standing costs more at each rank than
for all its forerunners together.
"""

import time

import pytest

from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.choose import plan_fully
from kitchen_timer.plan.question import LoadKey, Question
from tests.builders import component, course, dish, kitchen, question, step
from tests.plan.exact.posing import best

WEEK = 60
WEEKS = {"a": 2, "b": 3, "c": 2, "d": 4, "e": 4, "f": 3, "g": 5, "h": 2}
AFTER = {"c": ["a"], "d": ["a", "b"], "e": ["c"], "f": ["c"], "g": ["d", "e"], "h": ["f", "g"]}
KEEPS = {"a": 36_000, "b": 36_000, "c": 7_200, "d": 1_440, "e": 1_440, "f": 1_440, "g": 288, "h": 288}
LATEST_START = {"a": 0, "b": 1, "c": 2, "d": 4, "e": 4, "f": 10, "g": 8, "h": 13}
CRITICAL = {"a", "c", "e", "g", "h"}


@pytest.fixture
def paper() -> Question:
    parts = {
        name: component("board", step(weeks * WEEK, hands="none"), keeps=KEEPS[name], after=AFTER.get(name, ()))
        for name, weeks in WEEKS.items()
    }
    return question(kitchen(board=1), [dish("paper", **parts)], course("1", paper=1))


def weeks_of_start(asked: Question, *, exact: bool) -> dict[str, float]:
    answer = best(asked) if exact else plan_fully(asked, 5, time.monotonic)
    assert breaks(asked, answer) == ()
    assert answer.courses[0].landing_at == 15 * WEEK
    return {
        name: answer.by_load[LoadKey("1", "mains", "paper", name, 1)][0].start_at / WEEK
        for name in asked.book["paper"].components
    }


@pytest.mark.parametrize("exact", [True, False], ids=["exact planner", "whole planner"])
def test_every_activity_starts_at_its_latest_start(paper: Question, exact: bool) -> None:
    assert weeks_of_start(paper, exact=exact) == LATEST_START


def test_the_critical_chain_has_no_slack(paper: Question) -> None:
    # Earliest starts, forward by hand: A 0, C 2, E 4, G 8, H 13: the same as the latest.
    starts = weeks_of_start(paper, exact=True)
    assert {name: starts[name] for name in CRITICAL} == {"a": 0, "c": 2, "e": 4, "g": 8, "h": 13}
