"""What a command names, found in the evening: courses, loads, steps. Refused with the reason where it is not there."""

from kitchen_timer.kitchen.problems import NotNow, UnknownStep, UnknownTable
from kitchen_timer.plan.question import LoadKey, StepKey
from kitchen_timer.service.ask_planner import course_key
from kitchen_timer.service.picture import LoadPicture, load_picture
from kitchen_timer.service.state import CourseRun, Evening
from kitchen_timer.service.words import clock_words, course_words, load_words, sentence


def open_course(state: Evening, course_id: str) -> CourseRun:
    """The open course written as ``6/mains``, under the name it has now; refused with the reason otherwise."""
    try:
        key = state.now_called(course_key(course_id))
    except ValueError as wrong:
        raise UnknownTable(f"{wrong}.", where="course_id") from None
    run = state.courses.get(key)
    if run is not None and run.off:
        raise NotNow(
            f"{course_words(key)} was taken off.",
            "Order it anew, or take the taking off back.",
            where="course_id",
        )
    if run is not None:
        return run
    gone = state.sent.get(key)
    if gone is not None:
        raise NotNow(
            f"{course_words(key)} went at {clock_words(gone.sent_at, state.kitchen)}.",
            "Take the sending back first if it is still here.",
            where="course_id",
        )
    here = [str(other.course) for other in state.courses if other.table == key.table]
    has = f"It has {', '.join(here)}." if here else "It has nothing open."
    raise UnknownTable(f"Table {key.table} has no open course called {key.course}.", has, where="course_id")


def step_keys(steps: tuple[str, ...], state: Evening) -> list[StepKey]:
    """Steps written as ``6/mains/hake/fish/1/0``, each once, under the names they have now; UnknownStep otherwise."""
    if not steps:
        raise UnknownStep("The tap names no step.", "Send the steps of the cue.", where="steps")
    keys: list[StepKey] = []
    for text in steps:
        try:
            keys.append(_now_called(StepKey.read(text), state))
        except ValueError:
            raise UnknownStep(
                f"{text!r} names no step.", "Write table/course/dish/component/load/step.", where="steps"
            ) from None
    return list(dict.fromkeys(keys))


def _now_called(key: StepKey, state: Evening) -> StepKey:
    return StepKey(*state.load_now_called(key.of_load), key.step)


def load_key(text: str, state: Evening) -> LoadKey:
    """The load written as ``6/mains/hake/fish/1``, under the name it has now; UnknownStep when it names none."""
    try:
        return state.load_now_called(StepKey.read(f"{text}/0").of_load)
    except ValueError:
        raise UnknownStep(f"{text!r} names no load.", "Write table/course/dish/component/load.", where="load") from None


def known_load(state: Evening, key: StepKey | LoadKey, now: int) -> LoadPicture:
    """The load a tap is about, running or planned; refused with the reason when it is neither."""
    of_load = key.of_load if isinstance(key, StepKey) else key
    run = state.courses.get(key.of_course)
    if run is not None and of_load not in (*run.loads, *run.lost) and not state.is_planned(key.of_course):
        raise _not_called(run, state, str(key))
    known = load_picture(state, run, of_load, now) if run else None
    if known is None or (isinstance(key, StepKey) and not 0 <= key.step < len(known.steps)):
        raise UnknownStep(
            f"{sentence(load_words(state, key))} is on no open table's plan any more.",
            _why_gone(state, of_load),
            step=str(key),
        )
    return known


def _not_called(run: CourseRun, state: Evening, step: str) -> NotNow:
    if run.off:
        return NotNow(f"{course_words(run.key)} was taken off: nothing more of it is wanted.", "Leave it.", step=step)
    if run.key.table in state.away:
        return NotNow(
            f"Table {run.key.table}'s guest is away: nothing more of its {run.key.course} is to be started.",
            "Say that the guest is back first.",
            step=step,
        )
    return NotNow(
        f"Table {run.key.table}'s {run.key.course} is on hold: nothing more of it is to be started.",
        "Fire it first.",
        step=step,
    )


def _why_gone(state: Evening, key: LoadKey) -> str:
    run = state.courses.get(key.of_course)
    if key.of_course in state.sent:
        return "Its course has gone."
    if run is not None and key in run.lost:
        return "It is being cooked again under a new number: look at the board."
    return "Look at the board for what is next."
