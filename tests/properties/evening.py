"""Moves an evening on: what a plan had due by a moment has started, some of it late, some of it slow."""

from collections.abc import Callable
from dataclasses import replace

from kitchen_timer.plan.answer import Answer, PlannedStep
from kitchen_timer.plan.question import BegunLoad, BegunStep, CourseKey, LoadKey, Question, Wanted


def as_planned(_: LoadKey) -> int:
    """Nothing is slow."""
    return 0


def all_start(_: LoadKey) -> bool:
    """Nobody forgets anything."""
    return False


def advance(
    question: Question,
    answer: Answer,
    now: int,
    *,
    slow_s: Callable[[LoadKey], int] = as_planned,
    forgotten: Callable[[LoadKey], bool] = all_start,
) -> Question:
    """The question at a later moment, had the plan been followed.

    ``slow_s``: seconds that the step a load is in goes on longer; ``forgotten``: loads of which nothing further starts.
    Landed courses whose plates are up have gone. Targets stay those of the plan, as in service.
    """
    courses: list[Wanted] = []
    up = dict(question.up)
    for wanted in question.courses:
        planned = answer.by_course.get(wanted.key)
        if planned is None:
            courses.append(wanted)
            continue
        loads = {key: steps for key, steps in answer.by_load.items() if key.of_course == wanted.key}
        already = {(b.dish, b.component, b.load): len(b.steps) for b in wanted.begun}
        begun = [
            _begun(key, steps, now, slow_s(key), forgotten(key), already.get((key.dish, key.component, key.load), 0))
            for key, steps in loads.items()
        ]
        started = tuple(load for load in begun if load is not None)
        done = len(started) == len(loads) and all(
            len(load.steps) == len(loads[LoadKey(*wanted.key, load.dish, load.component, load.load)])
            and load.steps[-1].done
            for load in started
        )
        landed = planned.landing_at if done and planned.landing_at <= now else None
        if landed is not None and planned.up_at <= now:
            up[CourseKey(*wanted.key)] = planned.up_at
        else:
            courses.append(replace(wanted, target_at=planned.target_at, landed_at=landed, begun=started))
    return replace(question, now=now, courses=tuple(courses), up=up)


def _begun(
    key: LoadKey, steps: tuple[PlannedStep, ...], now: int, slow_s: int, forgotten: bool, already: int
) -> BegunLoad | None:
    begun: list[BegunStep] = []
    for index, step in enumerate(steps):
        if step.start_at > now or (forgotten and index >= already):
            break
        end = step.end_at if step.end_at <= now else step.end_at + slow_s
        begun.append(BegunStep(step.start_at, end, done=end <= now))
    return BegunLoad(key.dish, key.component, key.load, steps[0].portions, tuple(begun)) if begun else None
