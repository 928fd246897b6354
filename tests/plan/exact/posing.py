"""Questions put to the exact planner in one line, with the targets that the rules give them."""

from kitchen_timer.kitchen.table import AtTime
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.exact import Solved, land_alone, solve
from kitchen_timer.plan.loads import split
from kitchen_timer.plan.question import CourseKey, Question

EFFORT = 20.0
"""The solver's own repeatable units, about a second each: tests do not depend on how fast a machine is."""


def targets_of(question: Question) -> dict[CourseKey, int]:
    """When each course is wanted: as given, at its time, or as soon as it could land with the kitchen to itself."""
    targets: dict[CourseKey, int] = {}
    for wanted in question.courses:
        if wanted.target_at is not None:
            targets[wanted.key] = wanted.target_at
        elif isinstance(wanted.land, AtTime):
            targets[wanted.key] = wanted.land.at
        else:
            alone_s = land_alone(question.kitchen, question.book, dict(wanted.portions), 60)
            assert alone_s is not None, f"{wanted.key} can never land"
            targets[wanted.key] = max(question.now, wanted.in_at) + alone_s
    return targets


def solved(
    question: Question,
    targets: dict[CourseKey, int] | None = None,
    hint: Answer | None = None,
    free: frozenset[CourseKey] | None = None,
) -> Solved:
    """The exact planner's answer, from a fixed seed and one worker."""
    return solve(
        question,
        splits=split(question),
        targets=targets_of(question) if targets is None else targets,
        seconds=60,
        effort=EFFORT,
        hint=hint,
        free=free,
    )


def best(question: Question, targets: dict[CourseKey, int] | None = None) -> Answer:
    """The plan that nothing beats, proven so."""
    found = solved(question, targets)
    assert found.answer is not None
    assert found.proven
    return found.answer
