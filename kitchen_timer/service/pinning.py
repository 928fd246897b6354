"""The chef's own time for a cue: set, kept by every plan until the load is started, and given back."""

from kitchen_timer.kitchen.problems import NotNow
from kitchen_timer.plan.question import StepKey
from kitchen_timer.service.events import CueFreed, CueSet, Event
from kitchen_timer.service.naming import known_load, step_keys
from kitchen_timer.service.picture import LoadPicture
from kitchen_timer.service.state import Evening
from kitchen_timer.service.words import clock_words, load_words, sentence

FURTHEST_S = 6 * 3600
"""Seconds ahead for which a cue can be set."""


def set_cue(step: str, at: int, state: Evening, now: int) -> tuple[Event, ...]:
    """The start of a load that has not begun is at ``at``, whatever the planner would rather."""
    key, load = _unbegun(step, state, now)
    words = sentence(load_words(state, key))
    if not now <= at <= now + FURTHEST_S:
        cure = f"Set it between {clock_words(now, state.kitchen)} and {clock_words(now + FURTHEST_S, state.kitchen)}."
        raise NotNow(f"{words} cannot be cued for that time.", cure, where="at")
    run = state.courses[key.of_course]
    if waits_for := [name for name in load.component.after if run.to_cook(key.dish, name)]:
        first = state.book[key.dish].components[waits_for[0]].name
        raise NotNow(
            f"{words} comes after {first}, which has not started.", f"Set {first}'s cue instead.", where="step"
        )
    return (CueSet(key.of_load, load.portions, at),)


def free_cue(step: str, state: Evening, now: int) -> tuple[Event, ...]:
    """The planner has the time of a start again."""
    key, _ = _unbegun(step, state, now)
    if key.of_load not in state.courses[key.of_course].pinned:
        raise NotNow(
            f"{sentence(load_words(state, key))} has no time of the chef's own.",
            "Nothing more is needed.",
            where="step",
        )
    return (CueFreed(key.of_load),)


def _unbegun(step: str, state: Evening, now: int) -> tuple[StepKey, LoadPicture]:
    (key,) = step_keys((step,), state)
    load = known_load(state, key, now)
    if load.begun:
        raise NotNow(
            f"{sentence(load_words(state, key))} has been started.", "Give it more time, or tap it done.", where="step"
        )
    if key.step:
        first = load.component.steps[0].do
        raise NotNow(
            f"{load.component.steps[key.step].do} follows the steps before it.",
            f"Set the time of the first ({first}).",
            where="step",
        )
    return key, load
