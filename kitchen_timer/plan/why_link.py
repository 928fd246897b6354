"""One link of the chain that holds a course: what keeps it from landing sooner."""

from dataclasses import dataclass
from typing import Literal

from kitchen_timer.plan.question import CourseKey, LoadKey

Kind = Literal[
    "slots",  # the places it needs are taken by others
    "hands",  # the cooks it needs are busy with others
    "plating",  # the pass is plating others
    "several",  # more than one of these at once
    "after",  # it lands after another course of its table (rule 8)
    "wanted",  # it is not wanted sooner (rule 8)
    "own",  # its own food is not done, or is in its own way
    "time",  # what it takes is more than there was
    "announced",  # it is kept where a station was told
    "stands",  # sooner, some of its food would stand longer than the time is worth
    "search",  # a sooner landing is there and not yet planned
    "landed",  # it is at the pass
    "started",  # where the chain begins: food that is on
    "on_time",  # where the chain begins: a course that lands when it is wanted
    "each_other",  # the chain has come round to a course that is in it
]


@dataclass(frozen=True)
class Link:
    """What holds one course. Removing all that ``by`` and ``by_courses`` name lets it land ``sooner_s`` sooner."""

    course: CourseKey
    """Whose landing it holds."""
    kind: Kind
    words: str
    """In kitchen words, without a full stop."""
    load: LoadKey | None = None
    """The load of the course that waits."""
    resources: tuple[tuple[str, str], ...] = ()
    """``("equipment", id)``, ``("station", id)`` or ``("pass", "")``: where."""
    by: tuple[LoadKey, ...] = ()
    """The other loads in the way, those that are there longest first."""
    by_courses: tuple[CourseKey, ...] = ()
    """Courses in the way: those being plated, or the one that must be up first."""
    until_at: int | None = None
    """Instant from which it is no longer in the way."""
    sooner_s: int = 0
    """Seconds by which the course lands sooner without it, all else left as it is; 0 where nothing can be removed."""


Chain = tuple[Link, ...]
"""From the course back to what began it; the first link is the one binding cause."""
