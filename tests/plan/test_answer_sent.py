"""A plan on its way to another process while others look at it."""

import pickle
import threading

from kitchen_timer.plan.answer import Answer, PlannedStep
from kitchen_timer.plan.question import StepKey


def a_plan(steps: int) -> Answer:
    keys = [StepKey(str(number), "mains", "hake", "fish", 1, 0) for number in range(steps)]
    planned = tuple(PlannedStep(key, "Drop", "fry", "fryer", 1, 1000, 1090) for key in keys)
    return Answer(now=1000, courses=(), steps=planned, impossible=(), cost=0.0)


def test_what_was_worked_out_from_a_plan_stays_at_home() -> None:
    plan = a_plan(3)
    assert len(plan.by_load) == len(plan.by_step) == 3
    sent = pickle.loads(pickle.dumps(plan))
    assert sent == plan
    assert pickle.dumps(plan) == pickle.dumps(a_plan(3))
    assert sent.by_step == plan.by_step


def test_a_plan_can_be_sent_while_another_thread_looks_something_up_in_it() -> None:
    """With its whole ``__dict__`` pickled this failed: "dictionary changed size during iteration"."""
    for _ in range(20):
        plan = a_plan(400)
        looks = threading.Thread(target=lambda plan=plan: (plan.by_course, plan.by_step, plan.by_load))
        looks.start()
        assert pickle.loads(pickle.dumps(plan)).steps == plan.steps
        looks.join()
