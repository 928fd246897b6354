"""Troubles of the tool itself, in plain words with what to do. Facts in, words out: gone when the facts are.

What the kitchen's food is in trouble with is in :mod:`troubles`.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field

from kitchen_timer.service.views import StationInTouch

OUT_OF_TOUCH_S = 60
"""Seconds out of touch after which a station is to be called: a phone that changes its network is back sooner."""

CUE_LATE_S = 5.0
"""A cue sent so much later than it could have been may have cost food: the pass is told."""

PLAN_WAITED_S = 15.0
"""Seconds without a first plan after a change after which the pass is told."""

DISK_LOW_MB = 200
"""An evening's log takes a few megabytes; the rest of the machine may want more at once."""

CLOCK_SET_S = 2.0
"""A machine's clock is corrected by less than this in passing."""


@dataclass(frozen=True)
class Seen:
    """What was seen of the tool at one moment."""

    stations: tuple[StationInTouch, ...] = ()
    wanted: frozenset[str] = frozenset()
    """Stations with cues now or soon that somebody has to tap."""
    written: bool = True
    """The evening's log can be written."""
    disk_left_mb: int | None = None
    planner_answers: bool = True
    plan_waited_s: float = 0.0
    """Real seconds that a first plan has been waited for."""
    clock_set_s: float = 0.0
    """The machine's clock was set by so much a short while ago."""
    late_cues: tuple[tuple[str, float], ...] = field(default=())
    """Stations whose cue was sent late a short while ago, and by how many seconds."""


@dataclass(frozen=True)
class OwnTrouble:
    """One trouble: ``key`` names it from beginning to end, ``words`` are for the pass."""

    key: str
    words: str


def own_troubles(seen: Seen) -> tuple[OwnTrouble, ...]:
    """What is wrong with the tool, worst first."""
    return tuple(_all(seen))


def _all(seen: Seen) -> Iterator[OwnTrouble]:
    if not seen.written:
        yield OwnTrouble(
            "database", "Nothing can be written down: see that the disk has room. Until then taps do not count."
        )
    if not seen.planner_answers:
        yield OwnTrouble(
            "planner", "The planner does not answer: cook by the plan that stands, and have the server looked at."
        )
    elif seen.plan_waited_s >= PLAN_WAITED_S:
        yield OwnTrouble(
            "plan", "There is no new plan yet: cook by the one that stands, and call by voice what it lacks."
        )
    yield from _phones(seen)
    for station, late_s in seen.late_cues:
        name = next((each.name for each in seen.stations if each.id == station), station)
        yield OwnTrouble(
            f"cue:{station}", f"A cue reached {name} {round(late_s)} s late: ask what they have on, the server is slow."
        )
    if seen.disk_left_mb is not None and seen.disk_left_mb < DISK_LOW_MB:
        yield OwnTrouble(
            "disk", f"The disk has {seen.disk_left_mb} MB left: make room, or soon nothing can be written down."
        )
    if abs(seen.clock_set_s) >= CLOCK_SET_S:
        way = "forward" if seen.clock_set_s > 0 else "back"
        yield OwnTrouble(
            "clock",
            f"The machine's clock was set {way} by {abs(round(seen.clock_set_s))} s: the kitchen goes on by its own, "
            "nothing is to be done. Put it right after service.",
        )


def _phones(seen: Seen) -> Iterator[OwnTrouble]:
    for station in seen.stations:
        out_s = station.out_of_touch_s
        if station.devices == 0 and out_s is not None and out_s >= OUT_OF_TOUCH_S:
            yield OwnTrouble(
                f"phone:{station.id}", f"{station.name}'s phone out of touch for {out_s // 60} min: call it."
            )
    nobody = [each for each in seen.stations if not each.devices and each.out_of_touch_s is None]
    names = [each.name for each in nobody if each.id in seen.wanted]
    if names:
        pages = "its page" if len(names) == 1 else "their pages"
        yield OwnTrouble("nobody", f"No phone at {_listed(names)}: open {pages} there, or call the cues by voice.")


def _listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
