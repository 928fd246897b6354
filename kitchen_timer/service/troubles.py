"""What is wrong now, each said once, in plain words with what to do. Gone when the trouble is gone."""

from collections.abc import Iterator

from kitchen_timer.service.asking import questions_of
from kitchen_timer.service.checks import unread
from kitchen_timer.service.due import missed
from kitchen_timer.service.picture import LoadPicture, Picture, StepPicture
from kitchen_timer.service.probing import PLAN_SAYS
from kitchen_timer.service.state import Evening
from kitchen_timer.service.words import clock_words, course_words, load_words, sentence, span_words


def troubles_of(state: Evening, picture: Picture, now: int) -> tuple[str, ...]:
    """For the pass: allergies told late, temperatures too low, cues nobody answered, food past what it keeps."""
    return (
        *(question.words for question in questions_of(state, picture) if question.kind == "allergy"),
        *_too_cold(state, picture),
        *_waiting_for_guests(state, picture),
        *(_to_the_pass(state, load, step) for load, step in _unanswered(state, picture, now)),
        *_dying(state, picture, now),
    )


def station_troubles(state: Evening, picture: Picture, station: str, now: int) -> tuple[str, ...]:
    """For one station: only its own, in words for whoever stands there."""
    own = (load_step for load_step in _unanswered(state, picture, now) if load_step[0].component.station == station)
    return tuple(_to_the_cook(state, load, step) for load, step in own)


def _unanswered(state: Evening, picture: Picture, now: int) -> Iterator[tuple[LoadPicture, StepPicture]]:
    late = missed(state, picture, now)
    if not late:
        return
    for course in picture.values():
        for load in course.loads:
            yield from ((load, step) for step in load.steps if step.key in late)


def _to_the_pass(state: Evening, load: LoadPicture, step: StepPicture) -> str:
    who = state.kitchen.stations[load.component.station].name
    name = load_words(state, load.key)
    if step.begun:
        due = clock_words(step.due_end_at, state.kitchen)
        return f"{who}: {name} was to be done at {due} and nobody has tapped it. Ask whether it wants more time."
    due = clock_words(state.announced.get(step.key, step.start_at), state.kitchen)
    return f"{who}: {name} was to start at {due} and nobody has tapped it. Ask them."


def _to_the_cook(state: Evening, load: LoadPicture, step: StepPicture) -> str:
    name = sentence(load_words(state, load.key))
    if step.begun:
        due = clock_words(step.due_end_at, state.kitchen)
        return f"{name} was to be done at {due}. Tap it when it is, or give it more time."
    due = clock_words(state.announced.get(step.key, step.start_at), state.kitchen)
    return f"{name} was to start at {due}. Start it now; if it is on already, tap it."


def _too_cold(state: Evening, picture: Picture) -> Iterator[str]:
    for course in picture.values():
        for load in course.loads:
            low = [course.run.temps[key] for key in unread(course.run, load) if key in course.run.temps]
            if low and course.run.landed_at is None and load.needed:
                name = sentence(load_words(state, load.key))
                yield f"{name} read {low[0].celsius:g} °C, too low: cook it on and read again. {PLAN_SAYS}"


def _waiting_for_guests(state: Evening, picture: Picture) -> Iterator[str]:
    for course in picture.values():
        if course.run.landed_at is not None and course.key.table in state.away:
            yield (
                f"{course_words(course.key)} is at the pass and its guest is away: "
                "keep it as the house does, or cook it again."
            )


def _dying(state: Evening, picture: Picture, now: int) -> Iterator[str]:
    for course in picture.values():
        if course.run.landed_at is not None:
            continue  # at the pass its check line says it
        for load in course.loads:
            dependants = state.book[load.key.dish].dependants_of(load.key.component)
            if not load.done or dependants or not load.needed:
                continue
            stood_s, keeps_s = now - load.end_at, load.component.keeps_s
            if stood_s > keeps_s:
                name = sentence(load_words(state, load.key))
                yield (
                    f"{name} has stood {span_words(stood_s)} and keeps {span_words(keeps_s)}: "
                    "taste it, and cook it again if it has died."
                )
