"""Plans and what they are made for with one thing changed; nothing else is put right."""

from collections.abc import Callable
from dataclasses import replace
from random import Random
from typing import Any

from kitchen_timer.kitchen.dish import Component
from kitchen_timer.kitchen.table import After
from kitchen_timer.plan.answer import Answer, PlannedStep
from kitchen_timer.plan.question import CourseKey, LoadKey, Question, StepKey, Wanted

Spoilt = tuple[Question, Answer]
Spoil = Callable[[Random, Question, Answer], Spoilt]
"""Changes one thing, somewhere, such that its rule is broken for certain."""


def part_of(question: Question, key: LoadKey) -> Component:
    return question.book[key.dish].components[key.component]


def moved(answer: Answer, key: LoadKey, by_s: int, since: int = 0) -> Answer:
    """A load moved, from step ``since`` on."""
    return replace(
        answer,
        steps=tuple(
            replace(step, start_at=step.start_at + by_s, end_at=step.end_at + by_s)
            if step.key.of_load == key and step.key.step >= since
            else step
            for step in answer.steps
        ),
    )


def landing_moved(answer: Answer, key: CourseKey, by_s: int) -> Answer:
    """The landing alone, not the food."""
    return replace(
        answer,
        courses=tuple(
            replace(course, landing_at=course.landing_at + by_s, up_at=course.up_at + by_s)
            if course.key == key
            else course
            for course in answer.courses
        ),
    )


def course_moved(answer: Answer, key: CourseKey, by_s: int) -> Answer:
    """A whole course, landing and food."""
    for load in [load for load in answer.by_load if load.of_course == key]:
        answer = moved(answer, load, by_s)
    return landing_moved(answer, key, by_s)


def with_wanted(question: Question, key: CourseKey, **changes: Any) -> Question:
    courses = tuple(replace(w, **changes) if w.key == key else w for w in question.courses)
    return replace(question, courses=courses)


def with_equipment(question: Question, name: str, **changes: Any) -> Question:
    equipment = {**question.kitchen.equipment, name: question.kitchen.equipment[name].model_copy(update=changes)}
    return replace(question, kitchen=question.kitchen.model_copy(update={"equipment": equipment}))


def with_cooks(question: Question, station: str, cooks: int) -> Question:
    stations = dict(question.kitchen.stations)
    stations[station] = stations[station].model_copy(update={"cooks": cooks})
    return replace(question, kitchen=question.kitchen.model_copy(update={"stations": stations}))


def some_load(chance: Random, question: Question, answer: Answer, fits: Callable[[LoadKey], bool]) -> LoadKey:
    return chance.choice([key for key in answer.by_load if fits(key)])


def any_course(chance: Random, answer: Answer) -> CourseKey:
    return chance.choice(answer.courses).key


def has_after(question: Question) -> Callable[[LoadKey], bool]:
    return lambda key: bool(part_of(question, key).after)


def stands_until(question: Question, answer: Answer, key: LoadKey) -> int:
    """The landing, or the start of the last component that waits for this one."""
    needed_by = question.book[key.dish].dependants_of(key.component)
    starts = [
        steps[0].start_at
        for other, steps in answer.by_load.items()
        if other[:3] == key[:3] and other.component in needed_by
    ]
    return max(starts, default=answer.by_course[key.of_course].landing_at)


def slots_of(question: Question, step: PlannedStep) -> int:
    """Slots that one load takes in a step."""
    return -(-step.portions // part_of(question, step.key.of_load).steps[step.key.step].fits)


def follower(chance: Random, question: Question, answer: Answer) -> tuple[Wanted, int]:
    """A course after another, and when that is up."""
    wanted = chance.choice([wanted for wanted in question.courses if isinstance(wanted.land, After)])
    return wanted, answer.by_course[CourseKey(wanted.table, before(wanted))].up_at


def before(wanted: Wanted) -> str:
    assert isinstance(wanted.land, After)
    return wanted.land.after


def changed(answer: Answer, key: StepKey, **changes: Any) -> Answer:
    return replace(answer, steps=tuple(replace(s, **changes) if s.key == key else s for s in answer.steps))


def with_up(answer: Answer, key: CourseKey, by_s: int) -> Answer:
    courses = tuple(replace(c, up_at=c.up_at + by_s) if c.key == key else c for c in answer.courses)
    return replace(answer, courses=courses)
