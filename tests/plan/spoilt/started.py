"""Ways to tell of started food what is not so: never excused, whatever else started food excuses (rule 0)."""

from dataclasses import replace
from random import Random

from kitchen_timer.plan.answer import Answer, PlannedStep
from kitchen_timer.plan.question import LoadKey, Question
from tests.plan.spoilt.changes import Spoil, Spoilt, changed


def a_started_step_starts_a_second_later(chance: Random, question: Question, answer: Answer) -> Spoilt:
    step = some_started(chance, question, answer)
    return question, changed(answer, step.key, start_at=step.start_at + 1)


def a_started_step_ends_a_second_sooner(chance: Random, question: Question, answer: Answer) -> Spoilt:
    step = some_started(chance, question, answer)
    return question, changed(answer, step.key, end_at=step.end_at - 1)


def a_started_step_is_left_out(chance: Random, question: Question, answer: Answer) -> Spoilt:
    gone = some_started(chance, question, answer)
    return question, replace(answer, steps=tuple(step for step in answer.steps if step.key != gone.key))


def a_started_load_has_a_portion_more(chance: Random, question: Question, answer: Answer) -> Spoilt:
    step = some_started(chance, question, answer)
    return question, changed(answer, step.key, portions=step.portions + 1)


def some_started(chance: Random, question: Question, answer: Answer) -> PlannedStep:
    """A step that a cook has started."""
    started = {LoadKey(*w.key, b.dish, b.component, b.load): len(b.steps) for w in question.courses for b in w.begun}
    return chance.choice([step for step in answer.steps if step.key.step < started.get(step.key.of_load, 0)])


WAYS: tuple[Spoil, ...] = (
    a_started_step_starts_a_second_later,
    a_started_step_ends_a_second_sooner,
    a_started_step_is_left_out,
    a_started_load_has_a_portion_more,
)
