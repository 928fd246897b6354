"""Ways to break rules 1 to 4: lengths and order, the past, ``after``, landing and keeps."""

from dataclasses import replace
from random import Random

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.question import Question
from tests.plan.spoilt.changes import (
    Spoil,
    Spoilt,
    any_course,
    changed,
    has_after,
    landing_moved,
    moved,
    part_of,
    some_load,
    stands_until,
    with_wanted,
)

# Rule 1: lengths and order


def a_step_takes_a_second_more(chance: Random, question: Question, answer: Answer) -> Spoilt:
    spoilt = chance.choice(answer.steps)
    return question, changed(answer, spoilt.key, end_at=spoilt.end_at + 1)


def a_step_takes_a_second_less(chance: Random, question: Question, answer: Answer) -> Spoilt:
    spoilt = chance.choice(answer.steps)
    return question, changed(answer, spoilt.key, start_at=spoilt.start_at + 1)


def a_step_overlaps_the_one_before(chance: Random, question: Question, answer: Answer) -> Spoilt:
    key = some_load(chance, question, answer, lambda key: len(answer.by_load[key]) > 1)
    before, last = answer.by_load[key][-2:]
    return question, moved(answer, key, before.end_at - last.start_at - 1, since=last.key.step)


def a_step_waits_a_second_more_than_it_may(chance: Random, question: Question, answer: Answer) -> Spoilt:
    key = some_load(chance, question, answer, lambda key: len(answer.by_load[key]) > 1)
    before, last = answer.by_load[key][-2:]
    may_wait_s = part_of(question, key).steps[-1].may_wait_s
    return question, moved(answer, key, before.end_at + may_wait_s + 1 - last.start_at, since=last.key.step)


def a_step_is_left_out(chance: Random, question: Question, answer: Answer) -> Spoilt:
    gone = chance.choice([step.key for step in answer.steps if len(answer.by_load[step.key.of_load]) > 1])
    return question, replace(answer, steps=tuple(step for step in answer.steps if step.key != gone))


def the_book_says_longer(chance: Random, question: Question, answer: Answer) -> Spoilt:
    """The dish was edited after the plan was made."""
    key = chance.choice(list(answer.by_load))
    part = part_of(question, key)
    takes = part.steps[0].takes.model_copy(
        update={"usual_s": part.steps[0].takes.usual_s + 1, "most_s": part.steps[0].takes.most_s + 1}
    )
    steps = (part.steps[0].model_copy(update={"takes": takes}), *part.steps[1:])
    dish = question.book[key.dish]
    components = {**dish.components, key.component: part.model_copy(update={"steps": steps})}
    book = {**question.book, key.dish: dish.model_copy(update={"components": components})}
    return replace(question, book=book), answer


# Rule 2: not in the past


def now_is_a_second_after_the_first_start(chance: Random, question: Question, answer: Answer) -> Spoilt:
    later = min(step.start_at for step in answer.steps) + 1
    return replace(question, now=later), replace(answer, now=later)


def a_load_starts_before_now(chance: Random, question: Question, answer: Answer) -> Spoilt:
    key = chance.choice(list(answer.by_load))
    return question, moved(answer, key, question.now - 1 - answer.by_load[key][0].start_at)


def the_order_came_in_after_its_first_start(chance: Random, question: Question, answer: Answer) -> Spoilt:
    key = any_course(chance, answer)
    first = min(step.start_at for step in answer.steps if step.key.of_course == key)
    return with_wanted(question, key, in_at=first + 1), answer


# Rule 3: after


def it_starts_a_second_before_what_it_comes_after_is_done(chance: Random, question: Question, answer: Answer) -> Spoilt:
    key = some_load(chance, question, answer, has_after(question))
    before = [
        steps[-1].end_at
        for other, steps in answer.by_load.items()
        if other[:3] == key[:3] and other.component in part_of(question, key).after
    ]
    return question, moved(answer, key, max(before) - 1 - answer.by_load[key][0].start_at)


def what_it_comes_after_is_done_a_second_after_its_start(chance: Random, question: Question, answer: Answer) -> Spoilt:
    key = some_load(chance, question, answer, has_after(question))
    before = chance.choice(
        [o for o in answer.by_load if o[:3] == key[:3] and o.component in part_of(question, key).after]
    )
    return question, moved(answer, before, answer.by_load[key][0].start_at + 1 - answer.by_load[before][-1].end_at)


# Rule 4: landing and keeps


def a_load_is_done_a_second_after_the_landing(chance: Random, question: Question, answer: Answer) -> Spoilt:
    key = chance.choice(list(answer.by_load))
    landing = answer.by_course[key.of_course].landing_at
    return question, moved(answer, key, landing + 1 - answer.by_load[key][-1].end_at)


def a_course_lands_a_second_before_its_last_load_is_done(chance: Random, question: Question, answer: Answer) -> Spoilt:
    key = any_course(chance, answer)
    last = max(step.end_at for step in answer.steps if step.key.of_course == key)
    return question, landing_moved(answer, key, last - 1 - answer.by_course[key].landing_at)


def a_load_stands_a_second_longer_than_it_keeps(chance: Random, question: Question, answer: Answer) -> Spoilt:
    key = chance.choice(list(answer.by_load))
    done_at = stands_until(question, answer, key) - part_of(question, key).keeps_s - 1
    return question, moved(answer, key, done_at - answer.by_load[key][-1].end_at)


def a_course_lands_a_second_after_its_weakest_load_has_died(
    chance: Random, question: Question, answer: Answer
) -> Spoilt:
    key = any_course(chance, answer)
    dies_at = min(
        steps[-1].end_at + part_of(question, load).keeps_s
        for load, steps in answer.by_load.items()
        if load.of_course == key and not question.book[load.dish].dependants_of(load.component)
    )
    return question, landing_moved(answer, key, dies_at + 1 - answer.by_course[key].landing_at)


WAYS: dict[int, tuple[Spoil, ...]] = {
    1: (
        a_step_takes_a_second_more,
        a_step_takes_a_second_less,
        a_step_overlaps_the_one_before,
        a_step_waits_a_second_more_than_it_may,
        a_step_is_left_out,
        the_book_says_longer,
    ),
    2: (
        now_is_a_second_after_the_first_start,
        a_load_starts_before_now,
        the_order_came_in_after_its_first_start,
    ),
    3: (
        it_starts_a_second_before_what_it_comes_after_is_done,
        what_it_comes_after_is_done_a_second_after_its_start,
    ),
    4: (
        a_load_is_done_a_second_after_the_landing,
        a_course_lands_a_second_before_its_last_load_is_done,
        a_load_stands_a_second_longer_than_it_keeps,
        a_course_lands_a_second_after_its_weakest_load_has_died,
    ),
}
