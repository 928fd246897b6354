"""Which steps share slots, so that a station is told of them as one."""

from collections import defaultdict

from kitchen_timer.kitchen.dish import Book
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.question import StepKey


def joined_steps(answer: Answer, book: Book) -> tuple[tuple[StepKey, ...], ...]:
    """Groups of two or more steps that share slots, each in the order of their landings, first start first.

    Steps share slots when they are the same step of the same component of the same dish, on equipment, and start and
    end together, whatever tables they are for (rule 5).
    """
    together: dict[tuple[str, str, int, int, int], list[StepKey]] = defaultdict(list)
    for step in answer.steps:
        dish = book.get(step.key.dish)
        if step.on is not None and dish is not None and step.key.component in dish.components:
            key = step.key
            together[key.dish, key.component, key.step, step.start_at, step.end_at].append(key)
    groups = sorted((at[3], at[4], keys) for at, keys in together.items() if len(keys) > 1)
    return tuple(tuple(sorted(keys, key=lambda key: _landing(answer, key))) for _, _, keys in groups)


def _landing(answer: Answer, key: StepKey) -> tuple[int, StepKey]:
    course = answer.by_course.get(key.of_course)
    return course.landing_at if course is not None else 0, key
