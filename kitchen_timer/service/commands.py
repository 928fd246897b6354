"""What can be asked of the evening. Commands order, events (events.py) report."""

from dataclasses import dataclass
from typing import ClassVar, Literal

from kitchen_timer.kitchen.seconds import Instant
from kitchen_timer.kitchen.table import CourseName, Land, Plate, TableNo


class Asked:
    """Base of what is asked: a key that nobody knows is refused, not ignored, when one is read from JSON."""

    __pydantic_config__: ClassVar[dict[str, str]] = {"extra": "forbid"}


@dataclass(frozen=True)
class CourseAsked(Asked):
    """One course of an order, before the kitchen has taken it."""

    course: CourseName
    plates: tuple[Plate, ...]
    land: Land


@dataclass(frozen=True)
class TakeOrder(Asked):
    """Take a table's order. Refused until the dining room has been asked for allergies."""

    table: TableNo
    courses: tuple[CourseAsked, ...]
    allergies_asked: bool
    kind: Literal["take_order"] = "take_order"


@dataclass(frozen=True)
class FireCourse(Asked):
    """Call a held course. ``course_id`` is ``6/mains`` here and below."""

    course_id: str
    kind: Literal["fire_course"] = "fire_course"


@dataclass(frozen=True)
class HoldCourse(Asked):
    """Put a course on hold; what has started goes on, the rest is not planned until it is fired."""

    course_id: str
    kind: Literal["hold_course"] = "hold_course"


@dataclass(frozen=True)
class StartSteps(Asked):
    """A cook tapped Started; several steps where a cue was joined. Also finishes what ran before in these loads."""

    steps: tuple[str, ...]
    at: Instant | None = None
    """When it was tapped, by the device's synced clock; None: now. Kept within the last ten minutes and now."""
    kind: Literal["start_steps"] = "start_steps"


@dataclass(frozen=True)
class FinishSteps(Asked):
    """A cook tapped Done (or lifted)."""

    steps: tuple[str, ...]
    at: Instant | None = None
    kind: Literal["finish_steps"] = "finish_steps"


@dataclass(frozen=True)
class GiveMoreTime(Asked):
    """The food wants so many seconds more: on top of what is expected, from now on if that has passed."""

    steps: tuple[str, ...]
    seconds: int = 30
    kind: Literal["give_more_time"] = "give_more_time"


@dataclass(frozen=True)
class CookAgain(Asked):
    """A load was dropped, burnt or sent back: cook its portions again, the table is realigned."""

    load: str
    """``6/mains/hake/fish/1``."""
    kind: Literal["cook_again"] = "cook_again"


@dataclass(frozen=True)
class SendCourse(Asked):
    """The plates have gone."""

    course_id: str
    kind: Literal["send_course"] = "send_course"


@dataclass(frozen=True)
class Undo(Asked):
    """Take back one earlier command, by the sequence number that its acknowledgement gave."""

    seq: int
    kind: Literal["undo"] = "undo"


Command = TakeOrder | FireCourse | HoldCourse | StartSteps | FinishSteps | GiveMoreTime | CookAgain | SendCourse | Undo
