"""How a step goes in a kitchen: which of its ends a cook taps, and which the clock minds.

Two kinds of action: a *start* for a step that needs hands at its start or is the first of its load, and a *finish*
for one that needs hands at its end and is not followed at once by a start (turning ends the first side).
"""

from kitchen_timer.kitchen.dish import Component, Hands
from kitchen_timer.kitchen.station import Kitchen, Taps

HEADS_UP_S = 15
"""Seconds between the heads-up and the cue (common practice, no source)."""

OVERDUE_S = 10
"""A start untapped, or an end overrun, by more than this makes the kitchen plan again."""

_AT_START = (Hands.ALL, Hands.ENDS, Hands.START)
_AT_END = (Hands.ALL, Hands.ENDS, Hands.END)


def start_is_tapped(component: Component, index: int) -> bool:
    """Whether a cook is told to start this step; otherwise it starts by itself when the one before it is done."""
    return index == 0 or component.hands_of(index) in _AT_START


def follows_at_once(component: Component, index: int) -> bool:
    """Whether this step's end is the tapped start of the next one: it goes on until a cook turns to that."""
    following = index + 1
    return (
        following < len(component.steps)
        and component.steps[following].may_wait_s == 0
        and start_is_tapped(component, following)
    )


def finish_is_tapped(component: Component, index: int) -> bool:
    """Whether a cook is told to end this step."""
    return component.hands_of(index) in _AT_END and not follows_at_once(component, index)


def starts_by_itself(component: Component, index: int, taps: Taps) -> bool:
    """Whether the clock alone starts this step: nobody's hands, or a station whose starts are trusted to the clock."""
    return taps != "both" or not start_is_tapped(component, index)


def ends_by_itself(component: Component, index: int, taps: Taps = "both") -> bool:
    """Whether the clock alone ends this step."""
    if taps == "both":
        return not finish_is_tapped(component, index) and not follows_at_once(component, index)
    return taps == "clock" or not finish_is_tapped(component, index)


def lifting_s(component: Component, index: int, portions: int, kitchen: Kitchen) -> int:
    """Seconds of hands at this step's end, in which it is lifted; 0 where the cook is there throughout or never."""
    if component.hands_of(index) not in (Hands.ENDS, Hands.END):
        return 0
    length_s = component.steps[index].length_s(portions)
    busy = component.busy_s(index, portions, kitchen)
    begins, ends = busy[-1] if busy else (length_s, length_s)
    return ends - begins if begins > 0 else 0


def is_lifted(component: Component, index: int) -> bool:
    """Whether ending this step is lifting something off its equipment."""
    return component.steps[index].on is not None and component.hands_of(index) in (Hands.ENDS, Hands.END)
