"""Taps of cooks: started, done, 30 s more. Late and repeated taps are met with patience.

A joined cue names several steps; those that a colleague has tapped already are passed over, and only if none is left
is the tap refused. Instants are whole seconds since 1970 UTC.
"""

from kitchen_timer.kitchen.problems import NotNow
from kitchen_timer.plan.question import StepKey
from kitchen_timer.service.events import Event, StepFinished, StepGivenMore, StepStarted
from kitchen_timer.service.going import lifting_s
from kitchen_timer.service.naming import known_load, step_keys
from kitchen_timer.service.picture import LoadPicture
from kitchen_timer.service.probing import not_done_below
from kitchen_timer.service.state import Evening, LoadRun
from kitchen_timer.service.words import clock_words, load_words, sentence

OLDEST_TAP_S = 600
"""A tap that a phone kept while out of touch counts from at most so long ago."""

MOST_MORE_S = 3600
"""Seconds more that one tap may give."""


def start_steps(steps: tuple[str, ...], at: int | None, state: Evening, now: int) -> tuple[Event, ...]:
    """Begin these steps; what ran before them in their loads ends at the same instant."""
    tapped_at = _tapped_at(at, now)
    events: list[Event] = []
    gone: list[str] = []
    for key in step_keys(steps, state):
        load = known_load(state, key, now)
        run = state.load(key.of_load)
        if run is not None and len(run.steps) > key.step:
            began = clock_words(run.steps[key.step].start_at, state.kitchen)
            gone.append(f"{load_words(state, key)} was started at {began} already")
            continue
        events += _start(state, key, load, run, tapped_at)
    _refuse_if_nothing(events, gone, "The next thing to do is on the board.")
    return tuple(events)


def _start(state: Evening, key: StepKey, load: LoadPicture, run: LoadRun | None, at: int) -> list[Event]:
    if run is None and key.step > 0:
        first = load.component.steps[0].do
        raise NotNow(
            f"{sentence(load_words(state, key))} has not been started.",
            f"Tap its first step ({first}) as it begins.",
            step=str(key),
        )
    events: list[Event] = []
    begun = len(run.steps) if run else 0
    if run is not None:
        last = run.steps[-1]
        at = max(at, last.start_at)
        if not last.finished:
            events.append(StepFinished(StepKey(*key.of_load, begun - 1), at))
    for index in range(begun, key.step + 1):
        step = StepKey(*key.of_load, index)
        length_s = load.component.steps[index].length_s(load.portions)
        due_at = state.announced.get(step, load.steps[index].start_at)
        if index < key.step:
            # A step between that nobody tapped: it was passed over in the pan, so it is passed over here.
            events += [StepStarted(step, load.portions, at, at, at), StepFinished(step, at)]
        else:
            events.append(StepStarted(step, load.portions, at, at + length_s, due_at))
    return events


def finish_steps(steps: tuple[str, ...], at: int | None, state: Evening, now: int) -> tuple[Event, ...]:
    """End these steps. Within the handling before its expected end a step is still being lifted until that end."""
    tapped_at = _tapped_at(at, now)
    events: list[Event] = []
    gone: list[str] = []
    for key in step_keys(steps, state):
        load = known_load(state, key, now)
        run = state.load(key.of_load)
        if run is None or len(run.steps) <= key.step:
            gone.append(f"{load_words(state, key)} has not been started")
            continue
        step = run.steps[key.step]
        if step.finished:
            gone.append(f"{load_words(state, key)} was done at {clock_words(step.end_at, state.kitchen)} already")
            continue
        not_done_below(state, key)
        lifted_at = tapped_at + lifting_s(load.component, key.step, load.portions, state.kitchen)
        events.append(StepFinished(key, max(tapped_at, step.start_at, min(step.end_at, lifted_at))))
    _refuse_if_nothing(events, gone, "The next thing to do is on the board.")
    return tuple(events)


def give_more_time(steps: tuple[str, ...], seconds: int, state: Evening, now: int) -> tuple[Event, ...]:
    """So many seconds on top of what is expected, or from now on where that has passed."""
    if not 1 <= seconds <= MOST_MORE_S:
        raise NotNow(f"{seconds} seconds more cannot be given.", f"Give between 1 and {MOST_MORE_S}.", where="seconds")
    events: list[Event] = []
    gone: list[str] = []
    for key in step_keys(steps, state):
        known_load(state, key, now)
        run = state.load(key.of_load)
        if run is None or len(run.steps) <= key.step:
            gone.append(f"{load_words(state, key)} has not been started")
        elif run.steps[key.step].finished:
            gone.append(f"{load_words(state, key)} is done with this already")
        else:
            events.append(StepGivenMore(key, max(run.steps[key.step].end_at, now) + seconds))
    _refuse_if_nothing(events, gone, "More time can be given while it cooks.")
    return tuple(events)


def _tapped_at(at: int | None, now: int) -> int:
    return now if at is None else min(now, max(at, now - OLDEST_TAP_S))


def _refuse_if_nothing(events: list[Event], gone: list[str], cure: str) -> None:
    if not events:
        raise NotNow(f"{sentence('; '.join(gone))}.", cure)
