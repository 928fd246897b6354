"""Ways to break rules 8 and 9: wanted landings, and nobody is forgotten."""

from dataclasses import replace
from random import Random

from kitchen_timer.kitchen.seconds import Seconds
from kitchen_timer.kitchen.table import After, AtTime
from kitchen_timer.plan.answer import Answer, Impossible
from kitchen_timer.plan.question import CourseKey, Question
from tests.plan.spoilt.changes import (
    Spoil,
    Spoilt,
    any_course,
    before,
    course_moved,
    follower,
    with_wanted,
)

# Rule 8: wanted landings


def it_is_wanted_a_second_later(chance: Random, question: Question, answer: Answer) -> Spoilt:
    key = any_course(chance, answer)
    return with_wanted(question, key, land=AtTime(at=answer.by_course[key].landing_at + 1)), answer


def it_lands_a_second_before_it_is_wanted(chance: Random, question: Question, answer: Answer) -> Spoilt:
    wanted = chance.choice([wanted for wanted in question.courses if isinstance(wanted.land, AtTime)])
    assert isinstance(wanted.land, AtTime)
    early_s = wanted.land.at - 1 - answer.by_course[wanted.key].landing_at
    return question, course_moved(answer, wanted.key, early_s)


def the_gap_is_a_second_longer(chance: Random, question: Question, answer: Answer) -> Spoilt:
    wanted, up_at = follower(chance, question, answer)
    gap_s = answer.by_course[wanted.key].landing_at - up_at + 1
    return with_wanted(question, wanted.key, land=After(after=before(wanted), gap_s=Seconds(gap_s))), answer


def the_course_before_is_up_too_late(chance: Random, question: Question, answer: Answer) -> Spoilt:
    wanted, up_at = follower(chance, question, answer)
    assert isinstance(wanted.land, After)
    late_s = answer.by_course[wanted.key].landing_at - wanted.land.gap_s - up_at + 1
    return question, course_moved(answer, CourseKey(wanted.table, before(wanted)), late_s)


# Rule 9: nobody is forgotten


def a_course_is_forgotten(chance: Random, question: Question, answer: Answer) -> Spoilt:
    key = any_course(chance, answer)
    courses = tuple(course for course in answer.courses if course.key != key)
    return question, replace(answer, courses=courses, steps=tuple(s for s in answer.steps if s.key.of_course != key))


def a_course_has_food_and_no_landing(chance: Random, question: Question, answer: Answer) -> Spoilt:
    key = any_course(chance, answer)
    return question, replace(answer, courses=tuple(course for course in answer.courses if course.key != key))


def a_component_is_forgotten(chance: Random, question: Question, answer: Answer) -> Spoilt:
    gone = chance.choice(list(answer.by_load))
    return question, replace(answer, steps=tuple(s for s in answer.steps if s.key.of_load[:4] != gone[:4]))


def a_plate_is_forgotten(chance: Random, question: Question, answer: Answer) -> Spoilt:
    wanted = chance.choice(question.courses)
    (dish, plates), *others = wanted.portions
    return with_wanted(question, wanted.key, portions=((dish, plates + 1), *others)), answer


def a_course_is_planned_twice(chance: Random, question: Question, answer: Answer) -> Spoilt:
    return question, replace(answer, courses=(*answer.courses, chance.choice(answer.courses)))


def a_held_course_is_cooked(chance: Random, question: Question, answer: Answer) -> Spoilt:
    key = any_course(chance, answer)
    return replace(question, courses=tuple(wanted for wanted in question.courses if wanted.key != key)), answer


def it_is_given_up_without_a_reason(chance: Random, question: Question, answer: Answer) -> Spoilt:
    _, fewer = a_course_is_forgotten(chance, question, answer)
    (gone,) = set(answer.by_course) - set(fewer.by_course)
    return question, replace(fewer, impossible=(Impossible(gone.table, gone.course, why="", would_help=""),))


def the_course_before_is_given_up_and_this_one_is_not(chance: Random, question: Question, answer: Answer) -> Spoilt:
    wanted, _ = follower(chance, question, answer)
    gone = CourseKey(wanted.table, before(wanted))
    given_up = Impossible(*gone, why="Nothing is left of it.", would_help="Another dish.")
    courses = tuple(course for course in answer.courses if course.key != gone)
    steps = tuple(step for step in answer.steps if step.key.of_course != gone)
    return question, replace(answer, courses=courses, steps=steps, impossible=(given_up,))


WAYS: dict[int, tuple[Spoil, ...]] = {
    8: (
        it_is_wanted_a_second_later,
        it_lands_a_second_before_it_is_wanted,
        the_gap_is_a_second_longer,
        the_course_before_is_up_too_late,
    ),
    9: (
        a_course_is_forgotten,
        a_course_has_food_and_no_landing,
        a_component_is_forgotten,
        a_plate_is_forgotten,
        a_course_is_planned_twice,
        a_held_course_is_cooked,
        it_is_given_up_without_a_reason,
        the_course_before_is_given_up_and_this_one_is_not,
    ),
}
