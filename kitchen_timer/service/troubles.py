"""What is wrong now, each said once, in plain words with what to do. Gone when the trouble is gone."""

from collections.abc import Iterator

from kitchen_timer.service.due import missed
from kitchen_timer.service.picture import LoadPicture, Picture
from kitchen_timer.service.state import Evening
from kitchen_timer.service.words import clock_words, load_words, sentence, span_words


def troubles_of(state: Evening, picture: Picture, now: int) -> tuple[str, ...]:
    """For the pass: cues nobody answered, and food that stands longer than it keeps."""
    return (*(words for _, words in _unanswered(state, picture, now)), *_dying(state, picture, now))


def station_troubles(state: Evening, picture: Picture, station: str, now: int) -> tuple[str, ...]:
    """For one station: only its own."""
    return tuple(words for load, words in _unanswered(state, picture, now) if load.component.station == station)


def _unanswered(state: Evening, picture: Picture, now: int) -> Iterator[tuple[LoadPicture, str]]:
    late = missed(state, picture, now)
    if not late:
        return
    for course in picture.values():
        for load in course.loads:
            for step in load.steps:
                if step.key not in late:
                    continue
                who = state.kitchen.stations[load.component.station].name
                name = load_words(state, load.key)
                if step.begun:
                    due = clock_words(step.due_end_at, state.kitchen)
                    yield load, f"{who}: {name} was to be done at {due}. Tap it when it is, or give it more time."
                else:
                    due = clock_words(state.announced.get(step.key, step.start_at), state.kitchen)
                    yield load, f"{who}: {name} was to start at {due} and nobody has tapped it. Ask them."


def _dying(state: Evening, picture: Picture, now: int) -> Iterator[str]:
    for course in picture.values():
        if course.run.landed_at is not None:
            continue  # at the pass its check line says it
        for load in course.loads:
            dependants = state.book[load.key.dish].dependants_of(load.key.component)
            if not load.done or dependants:
                continue
            stood_s, keeps_s = now - load.end_at, load.component.keeps_s
            if stood_s > keeps_s:
                name = sentence(load_words(state, load.key))
                yield (
                    f"{name} has stood {span_words(stood_s)} and keeps {span_words(keeps_s)}: "
                    "taste it, and cook it again if it has died."
                )
