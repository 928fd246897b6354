"""Plays every planner on every snapshot, and evenings event by event; what comes out is plain data."""

import gc
from collections.abc import Callable
from dataclasses import asdict, replace
from time import process_time
from typing import Any

from kitchen_timer.live.adoption import broken_by
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.choose import improve, plan_quickly
from kitchen_timer.plan.cost import worth
from kitchen_timer.plan.question import Question
from kitchen_timer.plan.swift.ready import get_ready
from tests.bench.best_known import name_of
from tests.bench.evenings import events, snapshot, steps_of
from tests.bench.figures import figures_of
from tests.bench.kitchens import kitchen_and_book
from tests.bench.planners import Run, at_once, ours, plain_cp_sat
from tests.bench.today import fire_on_order, stagger_each_table

OURS, FIRE, STAGGER, CP_SAT = "Kitchen Timer", "fire on order", "stagger each table", "plain CP-SAT"
PLANNERS = (FIRE, STAGGER, CP_SAT, OURS)
TODAY = (FIRE, STAGGER)
BETWEEN_EVENTS_S = 0.1
"""CPU seconds of search after each event of an evening, before the next one comes."""

Data = dict[str, Any]


def seconds_for(open_courses: int) -> float:
    """How long planners may search on a snapshot."""
    return 5.0 if open_courses <= 10 else 10.0


def played(kitchen_seed: int, open_courses: int, seed: int, seconds: float) -> Data:
    """Every planner on one snapshot."""
    question = snapshot(kitchen_seed, open_courses, seed)
    runs = {
        FIRE: at_once(question, fire_on_order),
        STAGGER: at_once(question, stagger_each_table),
        CP_SAT: plain_cp_sat(question, seconds),
        OURS: ours(question, seconds),
    }
    return {
        "name": name_of(kitchen_seed, open_courses, seed, question),
        "kitchen": kitchen_seed,
        "open": open_courses,
        "seed": seed,
        "seconds": seconds,
        "steps": steps_of(question),
        "runs": {name: _data(question, run) for name, run in runs.items()},
    }


def _data(question: Question, run: Run) -> Data:
    found = None if run.answer is None else asdict(figures_of(question, run.answer))
    return {
        "figures": found,
        "first_s": run.first_s,
        "took_s": run.took_s,
        "better": [list(each) for each in run.better],
        "bound": run.bound,
        "proven": run.proven,
    }


def evening(kitchen_seed: int, open_courses: int, seed: int, count: int, seconds: float) -> Data:
    """CPU seconds of the first plan after each event of one evening, and how the search goes on after the last.

    Planners remember how fast a course can land alone; who made the evening has asked them that. So it is played in a
    kitchen of another name, of which they know nothing: a course that nobody has ordered before takes its full time.
    """
    first_s: list[float] = []
    broken = 0
    name = f"Tonight {open_courses} {seed}"
    another = kitchen_and_book(kitchen_seed)[0].model_copy(update={"name": name})

    def planner(question: Question, previous: Answer | None) -> Answer:
        question = replace(question, kitchen=another)
        since = process_time()
        answer = plan_quickly(question, previous)
        if previous is not None:
            first_s.append(process_time() - since)
        nonlocal broken
        broken += len(broken_by(question, answer))
        return searched(question, answer, BETWEEN_EVENTS_S)[-1][2]

    # As the process of the planners does: what is loaded for good is not looked through again for what can go.
    gc.collect()
    gc.freeze()
    happened = list(events(kitchen_seed, open_courses, seed, planner, count))
    last = happened[-1] if happened else None
    after = None if last is None else followed(replace(last.question, kitchen=another), last.previous, seconds)
    gc.unfreeze()
    return {
        "kitchen": kitchen_seed,
        "open": open_courses,
        "seed": seed,
        "first_s": first_s,
        "broken": broken,
        "last": after,
    }


def followed(question: Question, previous: Answer, seconds: float) -> Data:
    """The search after one event: ``(seconds, worth)`` of every better plan, and the best of half as long again."""
    since = process_time()
    first = plan_quickly(question, previous)
    first_s = process_time() - since
    found = [(first_s + at, worth, answer) for at, worth, answer in searched(question, first, seconds - first_s)]
    best = searched(question, found[-1][2], seconds / 2, seed=1)[-1][1]
    return {"seconds": seconds, "better": [[at, worth] for at, worth, _ in found], "best": best}


def searched(question: Question, start: Answer, seconds: float, seed: int = 0) -> list[tuple[float, float, Answer]]:
    """Every better plan with the CPU seconds until it was found and its worth: moved cues and spoilt food counted."""
    since = process_time()
    found = [(0.0, worth(question, start), start)]

    def told(answer: Answer) -> None:
        found.append((process_time() - since, worth(question, answer), answer))

    best = improve(question, start, seconds=seconds, elapsed=process_time, stop=lambda: False, better=told, seed=seed)
    if best is not found[-1][2]:
        told(best)
    return found


def everything(
    snapshots: list[tuple[int, int, int]],
    evenings: list[tuple[int, int, int]],
    count: int,
    say: Callable[[str], None],
    most_s: float | None = None,
) -> Data:
    """All of it; ``most_s`` limits the search on each snapshot, for a try."""
    get_ready()
    shots, after = [], []
    for kitchen_seed, open_courses, seed in snapshots:
        seconds = seconds_for(open_courses) if most_s is None else most_s
        shot = played(kitchen_seed, open_courses, seed, seconds)
        costs = [
            f"{name} {'no plan' if run['figures'] is None else format(run['figures']['cost'], '.0f')}"
            for name, run in shot["runs"].items()
        ]
        say(f"{shot['name']}: {', '.join(costs)}")
        shots.append(shot)
    for kitchen_seed, open_courses, seed in evenings:
        after.append(evening(kitchen_seed, open_courses, seed, count, most_s or seconds_for(open_courses)))
        say(f"kitchen {kitchen_seed}, {open_courses} open: {len(after[-1]['first_s'])} events planned")
    return {"snapshots": shots, "evenings": after}
