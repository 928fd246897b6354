"""``kitchen-timer plan``: the firing sequence of an evening's orders, for people or as plan.json."""

import argparse
import json
import math
import sys
import threading
import time
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

from kitchen_timer.cli.check import refuse
from kitchen_timer.cli.out import minutes, say
from kitchen_timer.files import Orders, plan_json, question_of, read_kitchen, read_orders
from kitchen_timer.kitchen.problems import UnreadableFiles
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.kitchen.table import Course
from kitchen_timer.plan.answer import Answer, PlannedCourse, PlannedStep
from kitchen_timer.plan.choose import plan_fully
from kitchen_timer.plan.pace import pace_of
from kitchen_timer.plan.question import CourseKey, Question
from kitchen_timer.plan.swift.ready import get_ready
from kitchen_timer.plan.why import why_behind

PATIENCE_S = 5.0
"""Real seconds after which it is said what is waited for."""
MADE_READY = "The search is made ready for this machine. It takes about a minute, and only this once.\n"


def add(subparsers: Any) -> None:
    """Adds the verb ``plan``."""
    parser = subparsers.add_parser("plan", help="print the firing sequence of an evening's orders")
    parser.add_argument("orders", type=Path, metavar="ORDERS.yaml", help="what is wanted")
    parser.add_argument("--kitchen", type=Path, required=True, metavar="DIR", help="holds kitchen.yaml and book/")
    parser.add_argument("--seconds", type=_seconds, default=2.0, metavar="N", help="the search may go on (default 2)")
    parser.add_argument("--json", action="store_true", help="print plan.json")
    parser.set_defaults(run=run)


def _seconds(text: str) -> float:
    try:
        seconds = float(text)
    except ValueError:
        seconds = math.nan
    if not 0 <= seconds <= 86400:
        raise argparse.ArgumentTypeError(f"{text!r} is no number of seconds: write one from 0 to 86400, such as 2")
    return seconds


def run(args: argparse.Namespace) -> int:
    """Plans and prints; 0 with a plan, 2 with files that cannot be read."""
    try:
        kitchen, book, _ = read_kitchen(args.kitchen)
        orders = read_orders(args.orders, kitchen, book)
    except UnreadableFiles as problem:
        return refuse(problem)
    question, held = question_of(orders, kitchen, book)
    begun = time.monotonic()
    if args.seconds:
        patience = threading.Timer(PATIENCE_S, sys.stderr.write, [MADE_READY])
        patience.start()
        get_ready()
        patience.cancel()
    answer = plan_fully(question, args.seconds, lambda: time.monotonic() - begun)
    if args.json:
        say(json.dumps(plan_json(answer, kitchen), indent=1, ensure_ascii=False))
    else:
        say("\n".join(sequence(question, answer, orders, held)))
    return 0


def sequence(question: Question, answer: Answer, orders: Orders, held: tuple[Course, ...]) -> Iterator[str]:
    """The firing sequence in lines: course by course as they land, then station by station."""
    kitchen = question.kitchen
    asked = {CourseKey(course.table, course.course): course for course in orders.courses}
    why = why_behind(question, answer)
    day = f"{orders.service:%A} {orders.service.day} {orders.service:%B %Y}"
    yield f"{kitchen.name} · {day} · planned from {_clock(answer.now, kitchen)}"
    for course in sorted(answer.courses, key=lambda c: (c.landing_at, c.table, c.course)):
        yield ""
        yield from _course(course, asked[course.key], question, answer, why.get(course.key, ""))
    for keys in orders.waves:
        yield from _waves(keys, question, answer)
    for none in answer.impossible:
        yield ""
        yield f"Table {none.table} · {none.course} · cannot be made: {none.why}"
        yield f"  what would help: {none.would_help}"
    for waits in held:
        yield ""
        yield f"Table {waits.table} · {waits.course} · {_plates(waits.plate_count)} · held until it is called"
        yield from _allergies(waits, question)
    yield ""
    yield _cost(answer)


def _course(course: PlannedCourse, asked: Course, question: Question, answer: Answer, why: str) -> Iterator[str]:
    kitchen = question.kitchen
    lands = f"lands {_clock(course.landing_at, kitchen)} · up {_clock(course.up_at, kitchen)}"
    yield f"Table {course.table} · {course.course} · {_plates(course.plates)} · {lands}"
    if course.late_s:
        yield f"  {minutes(course.late_s)} behind{': ' + why if why else ''}"
    yield from _allergies(asked, question)
    mine = [step for step in answer.steps if step.key.of_course == course.key]
    order = {station: place for place, station in enumerate(kitchen.stations)}
    for step in sorted(mine, key=lambda s: (order[s.station], s.start_at, s.key)):
        yield "  " + _step(step, course, asked, question, answer)


def _step(step: PlannedStep, course: PlannedCourse, asked: Course, question: Question, answer: Answer) -> str:
    kitchen, book = question.kitchen, question.book
    component = book[step.key.dish].components[step.key.component]
    words = [
        f"{minutes(step.start_at - course.landing_at):>7} {kitchen.stations[step.station].name}",
        f"{step.do} ×{step.portions}",
        component.name + (f" (load {step.key.load})" if step.key.load > 1 else ""),
        f"{_clock(step.start_at, kitchen)}-{_clock(step.end_at, kitchen)}",
    ]
    if step.on is not None:
        words.append(kitchen.equipment_name(step.on))
    if others := _joined(step, answer):
        words.append(f"together with table {', '.join(others)}")
    allergies = {a.upper(): None for plate in asked.plates if plate.dish == step.key.dish for a in plate.allergies}
    if allergies:
        words.append(f"ALLERGY {', '.join(allergies)}")
    return " · ".join(words)


def _waves(keys: tuple[CourseKey, ...], question: Question, answer: Answer) -> Iterator[str]:
    """What the waves of an event come to, and what sets their pace."""
    kitchen = question.kitchen
    waves = [answer.by_course[key] for key in keys if key in answer.by_course]
    if len(waves) < 2:
        return
    first, last = min(wave.landing_at for wave in waves), max(wave.up_at for wave in waves)
    words = [
        f"Table {keys[0].table}",
        keys[0].course,
        f"{_plates(sum(wave.plates for wave in waves))} in {len(waves)} waves",
        f"first lands {_clock(first, kitchen)}",
        f"last up {_clock(last, kitchen)}",
        minutes(last - first),
    ]
    yield ""
    yield " · ".join(words)
    busy = pace_of(question, [wave.key for wave in waves])
    least = [f"{_resource(each.resource, kitchen)} {minutes(each.least_s)}" for each in busy[:3]]
    # What is held hot is cooked before the first wave lands: the pass can be the limit though an oven is busy longer.
    at_pass = next((each for each in busy if each.resource[0] == "pass" and each.least_s >= last - first), None)
    pace = _resource((at_pass or busy[0]).resource, kitchen)
    yield f"  busy with them at the least: {', '.join(least)}; {pace} sets the pace"


def _resource(resource: tuple[str, str], kitchen: Kitchen) -> str:
    kind, name = resource
    if kind == "pass":
        return "pass"
    return kitchen.equipment_name(name) if kind == "equipment" else kitchen.stations[name].name


def _joined(step: PlannedStep, answer: Answer) -> list[str]:
    """Other tables whose load goes into the same slots for this step."""
    if step.on is None:
        return []
    same = (step.key.dish, step.key.component, step.key.step, step.start_at, step.end_at)
    others = [
        other.key.table
        for other in answer.steps
        if (other.key.dish, other.key.component, other.key.step, other.start_at, other.end_at) == same
        and other.key.of_course != step.key.of_course
    ]
    return list(dict.fromkeys(others))


def _allergies(course: Course, question: Question) -> Iterator[str]:
    """Every allergy of a course in words, and the shared equipment that its dish goes through."""
    kitchen, book = question.kitchen, question.book
    for plate in course.plates:
        if not plate.allergies:
            continue
        dish = book[plate.dish]
        steps = [step for component in dish.components.values() for step in component.steps]
        shared = {step.on: None for step in steps if step.on is not None and kitchen.equipment[step.on].cross_contact}
        words = [
            f"  ALLERGY {', '.join(a.upper() for a in plate.allergies)}",
            *([f"seat {plate.seat}"] if plate.seat else []),
            f"{dish.name} ×{plate.qty}",
            *([plate.note] if plate.note else []),
            *[f"{kitchen.equipment_name(on)} is shared: ask the chef" for on in shared],
        ]
        yield " · ".join(words)


def _cost(answer: Answer) -> str:
    bound = "" if answer.bound is None else f"; no plan costs less than {answer.bound:.1f}"
    return f"Cost {answer.cost:.1f} plate-seconds{bound}."


def _plates(count: int) -> str:
    return "1 plate" if count == 1 else f"{count} plates"


def _clock(instant: int, kitchen: Kitchen) -> str:
    return datetime.fromtimestamp(instant, kitchen.zone).strftime("%H:%M:%S")
