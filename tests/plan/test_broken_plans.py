"""Good plans of generated evenings, spoilt on purpose: whatever rule is broken, in whatever way, the checker finds it.

Every way to spoil a plan is a function that is named for what it does. It changes one thing (in the plan, or in the
kitchen and the orders under it) such that its rule is broken for certain, whatever else may break with it, and is
tried on every plan and at several places.
"""

from dataclasses import replace
from functools import cache
from random import Random

import pytest

from kitchen_timer.plan.check import breaks, cost_of
from kitchen_timer.plan.choose import plan_quickly
from tests.bench.evenings import events, snapshot
from tests.plan.spoilt import courses, room, started, times
from tests.plan.spoilt.changes import Spoil, Spoilt, course_moved

WAYS = times.WAYS | room.WAYS | courses.WAYS
EVENINGS = ((0, 8, 2), (1, 8, 1), (2, 8, 1))
"""Kitchen, open courses, seed: each has a course that is wanted after another and a load in two slots."""
PLACES = 2
"""At so many places in each plan."""


@cache
def good(evening: tuple[int, int, int]) -> Spoilt:
    """A snapshot and a plan that breaks nothing."""
    question = snapshot(*evening)
    return question, plan_quickly(question)


def test_every_rule_is_broken_in_several_ways() -> None:
    assert sorted(WAYS) == list(range(1, 10))
    assert min(map(len, WAYS.values())) >= 2


@pytest.mark.parametrize("evening", EVENINGS, ids=str)
def test_the_plans_are_good_before_they_are_spoilt(evening: tuple[int, int, int]) -> None:
    assert [str(each) for each in breaks(*good(evening))] == []


@pytest.mark.parametrize("evening", EVENINGS, ids=str)
@pytest.mark.parametrize(
    ("rule", "spoil"),
    [pytest.param(rule, way, id=f"rule {rule}: {way.__name__}") for rule, ways in WAYS.items() for way in ways],
)
def test_whatever_breaks_a_rule_is_found(rule: int, spoil: Spoil, evening: tuple[int, int, int]) -> None:
    question, answer = good(evening)
    for place in range(PLACES):
        spoilt_question, spoilt = spoil(Random(f"{spoil.__name__} {place}"), question, answer)
        found = [each for each in breaks(spoilt_question, spoilt) if each.rule == rule and not each.excused]
        assert found, f"place {place}"
        assert all(each.by >= 1 and each.where and each.what for each in found)


@cache
def running() -> Spoilt:
    """A plan of an evening that has been going on for a while."""
    last = list(events(1, 8, 1, plan_quickly, 8))[-1]
    return last.question, plan_quickly(last.question, last.previous)


@pytest.mark.parametrize("spoil", started.WAYS)
def test_what_has_started_is_told_as_it_is(spoil: Spoil) -> None:
    question, answer = running()
    assert [str(each) for each in breaks(question, answer) if not each.excused] == []
    for place in range(PLACES):
        found = breaks(*spoil(Random(f"{spoil.__name__} {place}"), question, answer))
        assert any(each.rule == 0 and not each.excused for each in found)


def test_a_plan_that_says_it_costs_less_than_it_does_is_found() -> None:
    question, answer = good(EVENINGS[1])
    late = course_moved(answer, answer.courses[-1].key, 600)
    assert 0 in {each.rule for each in breaks(question, late)}
    honest = replace(late, cost=cost_of(question, late).total)
    assert {each.where for each in breaks(question, honest) if each.rule == 0} == {str(late.courses[-1].key)}
