"""What an order would get before it is taken: its landing, its score, whom it would delay."""

from collections.abc import Iterable

from kitchen_timer.plan.question import CourseKey
from kitchen_timer.service.allergies import allergy_warnings
from kitchen_timer.service.boards import course_view
from kitchen_timer.service.notes import shared_slots
from kitchen_timer.service.picture import Picture, picture_of
from kitchen_timer.service.state import Evening
from kitchen_timer.service.views import CannotView, Delay, Quote

NOTICED_S = 5
"""A landing that moves by no more than this has not moved for a guest."""


def quote_view(before: Evening, after: Evening, asked: Iterable[CourseKey], now: int) -> Quote:
    """``before`` with the plan that stands, ``after`` with the order taken and the plan it would get."""
    wanted = set(asked)
    picture = picture_of(after, now)
    shared = shared_slots(picture)
    impossible = {each.key: each for each in after.plan.impossible} if after.plan else {}
    courses = [
        course_view(after, picture[key], shared, now)
        for key in wanted
        if after.is_planned(key) and key not in impossible
    ]
    warnings = [
        words
        for key in sorted(wanted)
        for words in allergy_warnings(after.courses[key].course, after.book, after.kitchen)
    ]
    return Quote(
        now=now,
        courses=tuple(sorted(courses, key=lambda view: (view.landing_at, view.id))),
        delays=tuple(_delays(before, picture_of(before, now), after, picture, wanted)),
        cannot=tuple(
            CannotView(id=str(key), table=each.table, course=each.course, why=each.why, would_help=each.would_help)
            for key, each in impossible.items()
            if key in wanted
        ),
        warnings=tuple(dict.fromkeys(warnings)),
    )


def _delays(before: Evening, was: Picture, after: Evening, will_be: Picture, asked: set[CourseKey]) -> list[Delay]:
    delays: list[Delay] = []
    for key, course in will_be.items():
        if key in asked or not after.is_planned(key) or key not in was or not was[key].planned:
            continue
        by_s = course.landing_at - was[key].landing_at
        if by_s > NOTICED_S and course.planned:
            delays.append(Delay(key.table, key.course, by_s, after.causes.get(key, "")))
    return sorted(delays, key=lambda delay: (-delay.by_s, delay.table))
