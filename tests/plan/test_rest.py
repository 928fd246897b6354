"""What has not started of a course with food on, made as with the kitchen to itself; the kitchen is invented."""

from dataclasses import replace

import pytest

from kitchen_timer.plan import rest
from kitchen_timer.plan.choose import plan_quickly
from tests.builders import begun, component, course, dish, kitchen, question, step


def test_what_is_left_of_a_course_is_worked_out_once_not_with_every_tap(monkeypatch: pytest.MonkeyPatch) -> None:
    # One cook: the glaze and the leaves keep 20 s, and both take 60 s of all of the cook's time. Never fresh together.
    small = kitchen(stove=1)
    plate = dish(
        "duck",
        plating=10,
        duck=component("stove", step(300, hands="none"), keeps=600),
        glaze=component("stove", step(60, hands="all"), keeps=20),
        leaves=component("stove", step(60, hands="all"), keeps=20),
    )
    asked = question(small, [plate], course("6", target=0, begun=[begun("duck/duck/1", (-100, 200))], duck=1))
    worked_out = []
    solved = rest._solved
    monkeypatch.setattr(rest, "_solved", lambda *about: worked_out.append(about) or solved(*about))
    for now in (0, 1, 20):
        answer = plan_quickly(replace(asked, now=now))
        assert [(one.table, one.rule) for one in answer.impossible] == [("6", 6)]
    assert len(worked_out) == 1
