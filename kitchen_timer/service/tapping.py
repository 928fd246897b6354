"""Taps of cooks: started, done, 30 s more, cook again. Late and repeated taps are met with patience.

A joined cue names several steps; those that a colleague has tapped already are passed over, and only if none is left
is the tap refused. Instants are whole seconds since 1970 UTC.
"""

from kitchen_timer.kitchen.problems import NotNow, UnknownStep
from kitchen_timer.plan.question import LoadKey, StepKey
from kitchen_timer.service.events import Event, LoadLost, StepFinished, StepGivenMore, StepStarted
from kitchen_timer.service.going import lifting_s
from kitchen_timer.service.picture import LoadPicture, load_picture
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
    for key in _keys(steps):
        load = _load(state, key, now)
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
    for key in _keys(steps):
        load = _load(state, key, now)
        run = state.load(key.of_load)
        if run is None or len(run.steps) <= key.step:
            gone.append(f"{load_words(state, key)} has not been started")
            continue
        step = run.steps[key.step]
        if step.finished:
            gone.append(f"{load_words(state, key)} was done at {clock_words(step.end_at, state.kitchen)} already")
            continue
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
    for key in _keys(steps):
        _load(state, key, now)
        run = state.load(key.of_load)
        if run is None or len(run.steps) <= key.step:
            gone.append(f"{load_words(state, key)} has not been started")
        elif run.steps[key.step].finished:
            gone.append(f"{load_words(state, key)} is done with this already")
        else:
            events.append(StepGivenMore(key, max(run.steps[key.step].end_at, now) + seconds))
    _refuse_if_nothing(events, gone, "More time can be given while it cooks.")
    return tuple(events)


def cook_again(load: str, state: Evening, now: int) -> tuple[Event, ...]:
    """A begun load is lost: its portions are cooked again under the next number."""
    key = _load_key(load)
    _load(state, key, now)
    if state.load(key) is None:
        raise NotNow(
            f"{sentence(load_words(state, key))} has not been started, so nothing is lost.",
            "It is cooked when its time comes.",
            load=load,
        )
    return (LoadLost(key, now),)


def _tapped_at(at: int | None, now: int) -> int:
    return now if at is None else min(now, max(at, now - OLDEST_TAP_S))


def _keys(steps: tuple[str, ...]) -> list[StepKey]:
    if not steps:
        raise UnknownStep("The tap names no step.", "Send the steps of the cue.", where="steps")
    keys: list[StepKey] = []
    for text in steps:
        try:
            keys.append(StepKey.read(text))
        except ValueError:
            raise UnknownStep(
                f"{text!r} names no step.", "Write table/course/dish/component/load/step.", where="steps"
            ) from None
    return list(dict.fromkeys(keys))


def _load_key(text: str) -> LoadKey:
    try:
        return StepKey.read(f"{text}/0").of_load
    except ValueError:
        raise UnknownStep(f"{text!r} names no load.", "Write table/course/dish/component/load.", where="load") from None


def _load(state: Evening, key: StepKey | LoadKey, now: int) -> LoadPicture:
    """The load a tap is about, running or planned; refused with the reason when it is neither."""
    load_key = key.of_load if isinstance(key, StepKey) else key
    run = state.courses.get(key.of_course)
    if run is not None and load_key not in (*run.loads, *run.lost) and not state.is_planned(key.of_course):
        raise NotNow(
            f"Table {key.table}'s {key.course} is on hold: nothing more of it is to be started.",
            "Fire it first.",
            step=str(key),
        )
    known = load_picture(state, run, load_key, now) if run else None
    if known is None or (isinstance(key, StepKey) and not 0 <= key.step < len(known.steps)):
        raise UnknownStep(
            f"{sentence(load_words(state, key))} is on no open table's plan any more.",
            _why_gone(state, load_key),
            step=str(key),
        )
    return known


def _why_gone(state: Evening, key: LoadKey) -> str:
    run = state.courses.get(key.of_course)
    if key.of_course in state.sent:
        return "Its course has gone."
    if run is not None and key in run.lost:
        return "It is being cooked again under a new number: look at the board."
    return "Look at the board for what is next."


def _refuse_if_nothing(events: list[Event], gone: list[str], cure: str) -> None:
    if not events:
        raise NotNow(f"{sentence('; '.join(gone))}.", cure)
