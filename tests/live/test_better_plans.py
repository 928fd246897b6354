"""A better plan is taken over only where it is better by more than it disturbs, and never moves a cue for no reason.

Two cooks at one station. Table 4's duck goes on, 60 s; table 6's six ducks, 60 s, are still to start, and their station
has been told when. Moving that cue costs 3000 plate-seconds and 0.5 for each second up to 120 (plan/cost.py).
"""

from dataclasses import replace

import pytest

from kitchen_timer.kitchen.table import Asap, Course, Plate
from kitchen_timer.live.adoption import Verdict, judge
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.cost import worth
from kitchen_timer.plan.question import CourseKey, LoadKey, Question, StepKey
from kitchen_timer.service.state import CourseRun, Evening, LoadRun, StepRun
from tests.builders import begun, component, course, dish, kitchen, plan, question, step

KITCHEN = kitchen(meat=2, pass_hands=4)
DUCK = dish("duck", breast=component("meat", step(60, hands="all"), keeps=120))
NOW = 30
FOUR, SIX = "4/mains/duck/breast/1", "6/mains/duck/breast/1"


def asked(told_at: int, began_at: int) -> Question:
    """Table 4's duck began at a second, table 6 was told another."""
    four = course("4", duck=1, target=60, begun=[begun("duck/breast/1", (began_at, began_at + 60))])
    return question(KITCHEN, [DUCK], four, course("6", duck=6, target=160), now=NOW, announced={f"{SIX}/0": told_at})


def planned(of: Question, start: int) -> Answer:
    """Table 6's ducks from a second on."""
    lands = of.courses[0].begun[0].steps[0].end_at
    answer = plan(of, {"4/mains": lands, "6/mains": start + 60}, {SIX: [start]})
    assert breaks(of, answer) == ()
    return answer


def verdict(told_at: int, better_at: int, began_at: int) -> Verdict:
    """Of the plan that starts them at ``better_at``; table 4's duck was to start at 0."""
    of = asked(told_at, began_at)
    run = LoadRun(LoadKey("4", "mains", "duck", "breast", 1), 1, (StepRun(began_at, began_at + 60, 0),))
    ordered = [
        Course(table=t, course="mains", plates=(Plate(dish="duck", qty=n),), in_at=0) for t, n in (("4", 1), ("6", 6))
    ]
    runs = {CourseKey(each.table, "mains"): CourseRun(each, Asap(), target_at=160) for each in ordered}
    runs[CourseKey("4", "mains")] = replace(runs[CourseKey("4", "mains")], target_at=60, loads={run.key: run})
    stood = planned(asked(told_at, 0), told_at)
    state = Evening(
        KITCHEN, {"duck": DUCK}, courses=runs, announced={StepKey.read(f"{SIX}/0"): told_at}, plan=stood
    )  # fmt: skip
    return judge(state, of, planned(of, better_at), NOW, first=False)


def test_a_plan_a_little_cheaper_is_not_worth_a_moved_cue() -> None:
    # Landing at 160 and not at 190 saves 6 * 30 = 180, the moved cue costs 3000 + 0.5 * 30; table 4 costs 20 in both.
    of = asked(130, 20)
    assert worth(of, planned(of, 130)) == pytest.approx(180 + 20)
    assert worth(of, planned(of, 100)) == pytest.approx(3015 + 20)
    found = verdict(told_at=130, better_at=100, began_at=20)
    assert (found.take, found.stands) == (False, True)


def test_a_plan_that_saves_more_than_the_moved_cue_costs_is_taken_and_says_why_it_moves() -> None:
    # Landing at 160 and not at 1160: 6 * (1000 + 2 * 700) = 14400 saved, 3000 + 60 paid.
    found = verdict(told_at=1100, better_at=100, began_at=20)
    assert found.take
    assert [words for _, words in found.moved] == ["moved 16:40 earlier: table 4's Part was started 0:20 late"]


def test_a_plan_far_better_moves_no_cue_where_nothing_went_otherwise() -> None:
    found = verdict(told_at=1100, better_at=100, began_at=0)
    assert (found.take, found.stands) == (False, True)
    assert "for no reason" in found.why_not
