"""What can be asked of the evening. Commands order, events (events.py) report."""

from dataclasses import dataclass
from typing import Annotated, ClassVar, Literal

from pydantic import Field, Strict

from kitchen_timer.kitchen.seconds import Instant
from kitchen_timer.kitchen.station import Taps
from kitchen_timer.kitchen.table import CourseName, Land, Plate, TableNo

Whole = Annotated[int, Strict()]
"""A whole number, written as one: ``true`` or ``"3"`` is none."""

Measured = Annotated[float, Strict()]

YesOrNo = Annotated[bool, Strict()]
"""``true`` or ``false``, not ``"yes"`` or 1: whether allergies were asked for is not to be guessed."""

MOST = 60
"""Steps, loads, lines of plates in one command: more is a mistake."""

MOST_COURSES = 12


class Asked:
    """Base of what is asked: a key that nobody knows is refused, not ignored, when one is read from JSON."""

    __pydantic_config__: ClassVar[dict[str, str]] = {"extra": "forbid"}


Plates = Annotated[tuple[Plate, ...], Field(max_length=MOST)]
Names = Annotated[tuple[str, ...], Field(max_length=MOST)]


@dataclass(frozen=True)
class CourseAsked(Asked):
    """One course of an order, before the kitchen has taken it."""

    course: CourseName
    plates: Plates
    land: Land


@dataclass(frozen=True)
class TakeOrder(Asked):
    """Take a table's order. Refused until the dining room has been asked for allergies."""

    table: TableNo
    courses: Annotated[tuple[CourseAsked, ...], Field(max_length=MOST_COURSES)]
    allergies_asked: YesOrNo
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

    steps: Names
    at: Instant | None = None
    """When it was tapped, by the device's synced clock; None: now. Kept within the last ten minutes and now."""
    kind: Literal["start_steps"] = "start_steps"


@dataclass(frozen=True)
class FinishSteps(Asked):
    """A cook tapped Done (or lifted)."""

    steps: Names
    at: Instant | None = None
    kind: Literal["finish_steps"] = "finish_steps"


@dataclass(frozen=True)
class GiveMoreTime(Asked):
    """The food wants so many seconds more: on top of what is expected, from now on if that has passed."""

    steps: Names
    seconds: Whole = 30
    kind: Literal["give_more_time"] = "give_more_time"


@dataclass(frozen=True)
class CookAgain(Asked):
    """A load was dropped, burnt or sent back: cook its portions again, the table is realigned."""

    load: str
    """``6/mains/hake/fish/1``."""
    portions: Whole | None = None
    """So many of it; None: all of it."""
    kind: Literal["cook_again"] = "cook_again"


@dataclass(frozen=True)
class CookPlatesAgain(Asked):
    """Whole plates are lost: every component of the dish that has begun is cooked again for so many.

    Of a course that has gone, plates came back: they become a course of their own, on the fly.
    """

    course_id: str
    dish: str
    plates: Whole = 1
    kind: Literal["cook_plates_again"] = "cook_plates_again"


@dataclass(frozen=True)
class AnswerAgain(Asked):
    """The chef's answer to a question of the board: are these loads to be cooked again too, or do they stay?"""

    loads: Names
    again: YesOrNo
    kind: Literal["answer_again"] = "answer_again"


@dataclass(frozen=True)
class GiveLoad(Asked):
    """Begun food goes to another course that wants the same: what is spare, or what the chef takes from one table."""

    load: str
    course_id: str
    """The course that gets it."""
    portions: Whole | None = None
    """None: all that the other course can use."""
    kind: Literal["give_load"] = "give_load"


@dataclass(frozen=True)
class ReadCoreTemp(Asked):
    """A core temperature was read. Below what the step asks for it may not be called done, unless the chef overrides.

    The reading is a note; the house's food-safety plan says what it has to be.
    """

    step: str
    celsius: Measured
    override: YesOrNo = False
    """The chef takes it as it is."""
    kind: Literal["read_core_temp"] = "read_core_temp"


@dataclass(frozen=True)
class LandCourse(Asked):
    """The chef's own landing for a course; a held one is called with it."""

    course_id: str
    land: Land
    kind: Literal["land_course"] = "land_course"


@dataclass(frozen=True)
class MoveCourse(Asked):
    """Push a course by so many seconds from the landing it has now; negative: bring it forward."""

    course_id: str
    by_s: Whole
    kind: Literal["move_course"] = "move_course"


@dataclass(frozen=True)
class OnTheFly(Asked):
    """A course that is wanted at once and before the others."""

    course_id: str
    kind: Literal["on_the_fly"] = "on_the_fly"


@dataclass(frozen=True)
class GuestAway(Asked):
    """A guest has left the table: what has not started of its courses is held until they are back."""

    table: TableNo
    kind: Literal["guest_away"] = "guest_away"


@dataclass(frozen=True)
class GuestBack(Asked):
    """The guest is back: the table's courses are planned again, wanted times later by as long as they were away."""

    table: TableNo
    kind: Literal["guest_back"] = "guest_back"


@dataclass(frozen=True)
class SetCue(Asked):
    """The chef's own time for the first start of a load, which plans then keep."""

    step: str
    at: Instant
    kind: Literal["set_cue"] = "set_cue"


@dataclass(frozen=True)
class FreeCue(Asked):
    """The planner has the time of this start again."""

    step: str
    kind: Literal["free_cue"] = "free_cue"


@dataclass(frozen=True)
class AddPlates(Asked):
    """Plates more for a course that has been ordered, also while it cooks."""

    course_id: str
    plates: Plates
    allergies_asked: YesOrNo
    kind: Literal["add_plates"] = "add_plates"


@dataclass(frozen=True)
class ChangePlate(Asked):
    """So many plates (``was.qty``) become others: dish, note, seat, allergies. What has started stays, or is spare."""

    course_id: str
    was: Plate
    to: Plate
    """``qty`` as in ``was``."""
    kind: Literal["change_plate"] = "change_plate"


@dataclass(frozen=True)
class TakeOff(Asked):
    """Plates are no longer wanted. What has started of them goes on and is spare."""

    course_id: str
    plates: Plates
    kind: Literal["take_off"] = "take_off"


@dataclass(frozen=True)
class TakeOffCourse(Asked):
    """A whole course is no longer wanted. What has started of it goes on and is spare."""

    course_id: str
    kind: Literal["take_off_course"] = "take_off_course"


@dataclass(frozen=True)
class TellAllergy(Asked):
    """An allergy told after the order: it is on every cue at once; started food that it touches is asked about."""

    table: TableNo
    allergies: Names
    seat: str = ""
    """Of the guest, as with the order; empty: every plate of the dish, or of the table."""
    dish: str | None = None
    kind: Literal["tell_allergy"] = "tell_allergy"


@dataclass(frozen=True)
class MoveTable(Asked):
    """A table's guests sit at another one now."""

    table: TableNo
    to: TableNo
    merge: YesOrNo = False
    """The other table has courses open: put the two together, courses of one name as one course."""
    kind: Literal["move_table"] = "move_table"


@dataclass(frozen=True)
class EightySix(Asked):
    """None left of a dish, or of a component by its name in every dish that has it: new orders are refused."""

    dish: str | None = None
    component: str | None = None
    kind: Literal["eighty_six"] = "eighty_six"


@dataclass(frozen=True)
class BackOn(Asked):
    """It is to be had again."""

    dish: str | None = None
    component: str | None = None
    kind: Literal["back_on"] = "back_on"


@dataclass(frozen=True)
class SetCooks(Asked):
    """So many cooks stand at a station now."""

    station: str
    cooks: Whole
    kind: Literal["set_cooks"] = "set_cooks"


@dataclass(frozen=True)
class SetSlots(Asked):
    """So many places of a piece of equipment work now."""

    equipment: str
    slots: Whole
    kind: Literal["set_slots"] = "set_slots"


@dataclass(frozen=True)
class SetTaps(Asked):
    """What a station taps: both ends, done only, or nothing."""

    station: str
    taps: Taps
    kind: Literal["set_taps"] = "set_taps"


@dataclass(frozen=True)
class SendCourse(Asked):
    """The plates have gone."""

    course_id: str
    kind: Literal["send_course"] = "send_course"


@dataclass(frozen=True)
class Undo(Asked):
    """Take back one earlier command, by the sequence number that its acknowledgement gave."""

    seq: Whole
    kind: Literal["undo"] = "undo"


Command = (
    TakeOrder
    | FireCourse
    | HoldCourse
    | LandCourse
    | MoveCourse
    | OnTheFly
    | GuestAway
    | GuestBack
    | StartSteps
    | FinishSteps
    | GiveMoreTime
    | SetCue
    | FreeCue
    | ReadCoreTemp
    | CookAgain
    | CookPlatesAgain
    | AnswerAgain
    | GiveLoad
    | AddPlates
    | ChangePlate
    | TakeOff
    | TakeOffCourse
    | TellAllergy
    | MoveTable
    | EightySix
    | BackOn
    | SetCooks
    | SetSlots
    | SetTaps
    | SendCourse
    | Undo
)
