"""Taking back a command: allowed while nothing that came after stands on it."""

from kitchen_timer.kitchen.problems import NotNow
from kitchen_timer.kitchen.table import After
from kitchen_timer.service.events import Event, Struck
from kitchen_timer.service.state import Evening, Tap
from kitchen_timer.service.words import course_words, load_words, sentence

_CALLED = (
    "CourseFired",
    "CourseHeld",
    "CourseSent",
    "LandChanged",
    "CourseRushed",
    "PlatesChanged",
    "CourseTakenOff",
    "TableMoved",
)
"""What stands on how its course was called or ordered before: it is taken back first."""


def undo(seq: int, state: Evening) -> tuple[Event, ...]:
    """Strike out the command acknowledged as ``seq``."""
    tap = next((tap for tap in state.taps if tap.command == seq), None)
    if tap is None:
        raise NotNow(
            f"There is nothing to take back under {seq}: it was taken back already, or is too long ago.",
            "Correct it by hand.",
            where="seq",
        )
    if tap.kind == "OrderTaken":
        _order_is_untouched(tap, state)
    else:
        _nothing_stands_on(tap, state)
    return (Struck(seq),)


def _order_is_untouched(tap: Tap, state: Evening) -> None:
    for key in sorted(tap.courses):
        run = state.courses.get(key)
        if run is None or run.loads or run.lost:
            raise NotNow(
                f"{course_words(key)} has gone." if run is None else f"{course_words(key)} is cooking already.",
                "An order can be taken back until its first step begins. Hold what has not started.",
                where="seq",
            )
        for other in state.courses.values():
            follows = isinstance(other.land, After) and (other.key.table, other.land.after) == key
            if follows and other.key not in tap.courses:
                raise NotNow(
                    f"{course_words(other.key)} is to come after it.",
                    "Fire that first, then take this back.",
                    where="seq",
                )


def _nothing_stands_on(tap: Tap, state: Evening) -> None:
    later = [other for other in state.taps if other.command > tap.command]
    for other in later:
        if shared := tap.loads & other.loads:
            name = sentence(load_words(state, min(shared)))
            raise NotNow(f"{name} has been tapped again since.", "Take back the later tap first.", where="seq")
        if tap.kind == "TableMoved" and tap.courses & other.courses:
            name = course_words(min(tap.courses & other.courses))
            raise NotNow(f"{name} has been worked on since.", "Move the table back instead.", where="seq")
        if not tap.loads and tap.courses & other.courses and other.kind in _CALLED:
            name = course_words(min(tap.courses))
            raise NotNow(f"{name} has been called otherwise since.", "Take that back first.", where="seq")
    gone = [key for key in tap.courses if key in state.sent]
    if gone and tap.kind != "CourseSent":
        raise NotNow(f"{course_words(gone[0])} has gone.", "Take the sending back first.", where="seq")
    if tap.kind == "LoadLost":
        _not_cooking_again(tap, state)


def _not_cooking_again(tap: Tap, state: Evening) -> None:
    for lost in tap.loads:
        run = state.courses.get(lost.of_course)
        again = [
            load
            for load in (run.loads if run else ())
            if (load.dish, load.component) == (lost.dish, lost.component) and load.load > lost.load
        ]
        if again:
            raise NotNow(
                f"{sentence(load_words(state, lost))} is being cooked again already.",
                "Leave it, or mark the new one to cook again.",
                where="seq",
            )
