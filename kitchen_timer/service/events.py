"""What happened in the evening. Each event carries all that the fold needs, so that replay never plans or guesses.

Instants are whole seconds since 1970 UTC.
"""

from dataclasses import dataclass, replace
from datetime import date

from kitchen_timer.kitchen.dish import Dish
from kitchen_timer.kitchen.station import Taps
from kitchen_timer.kitchen.table import Course, Land, Plate
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.question import CourseKey, LoadKey, StepKey


@dataclass(frozen=True, slots=True)
class ServiceOpened:
    """A service began; whatever was open before it is over."""

    service: date
    kitchen_at: float
    """What the kitchen's clock said (seconds since 1970) at ``wall_at``: together with ``speed`` the clock goes on
    after a restart as if it had never stopped."""
    wall_at: float
    speed: float


@dataclass(frozen=True, slots=True)
class OrderTaken:
    """A table ordered; the courses have the names they keep all evening."""

    courses: tuple[Course, ...]


@dataclass(frozen=True, slots=True)
class CourseFired:
    """A course was called: it is wanted as soon as the kitchen can."""

    course: CourseKey


@dataclass(frozen=True, slots=True)
class CourseHeld:
    """A course was put on hold; what had started goes on."""

    course: CourseKey


@dataclass(frozen=True, slots=True)
class StepStarted:
    """A step began: tapped, or by itself where nobody's hands are needed."""

    step: StepKey
    portions: int
    at: int
    end_at: int
    """When it is expected to end."""
    due_at: int
    """When it was to start; what began well after it is drawn as late."""


@dataclass(frozen=True, slots=True)
class StepFinished:
    """A step ended at ``at``, which is up to the handling later than a tap: hands go on lifting until then."""

    step: StepKey
    at: int


@dataclass(frozen=True, slots=True)
class StepGivenMore:
    """The food wants longer: the step is now expected to end at ``end_at``."""

    step: StepKey
    end_at: int


@dataclass(frozen=True, slots=True)
class LoadLost:
    """A load was dropped, burnt or sent back: its portions are to be cooked again under a new number."""

    load: LoadKey
    at: int
    portions: int | None = None
    """So many of it; the rest goes on under its number. None: all."""


@dataclass(frozen=True, slots=True)
class CourseLanded:
    """Everything of a course is at the pass and plating began."""

    course: CourseKey
    at: int


@dataclass(frozen=True, slots=True)
class CourseSent:
    """The plates have gone. What was measured of the course is kept with it."""

    course: CourseKey
    at: int
    landed_at: int
    spread_s: int
    late_s: int
    past_keeps: int


@dataclass(frozen=True, slots=True)
class CueAnnounced:
    """Stations were given the heads-up for these starts, each with the second it is due."""

    cues: tuple[tuple[StepKey, int], ...]


@dataclass(frozen=True, slots=True)
class PlanAdopted:
    """A plan was checked against the evening and taken over, whole."""

    answer: Answer
    causes: tuple[tuple[CourseKey, str], ...] = ()
    """What each course that is behind waits for, in kitchen words."""
    told: tuple[tuple[StepKey, int], ...] = ()
    """Announced starts that stand under this plan, with their due times; the others will be announced anew."""
    moved: tuple[tuple[StepKey, str], ...] = ()
    """Announced starts that it moved, each with how far and why in kitchen words."""

    def let_go(self) -> "PlanAdopted":
        """The same once a later plan took over: targets and announcements stay, the steps are let go."""
        return replace(self, answer=replace(self.answer, steps=()))


@dataclass(frozen=True, slots=True)
class Struck:
    """The events of the command that was acknowledged with ``command`` count no more."""

    command: int


@dataclass(frozen=True, slots=True)
class LandChanged:
    """The chef gave a course a landing of its own."""

    course: CourseKey
    land: Land


@dataclass(frozen=True, slots=True)
class CourseRushed:
    """A course is wanted at once, before the others."""

    course: CourseKey
    at: int


@dataclass(frozen=True, slots=True)
class TableLeft:
    """A guest left the table: nothing more of it is to be started."""

    table: str
    at: int


@dataclass(frozen=True, slots=True)
class TableReturned:
    """The guest is back; courses wanted at a time are wanted ``later_s`` later."""

    table: str
    at: int
    later_s: int


@dataclass(frozen=True, slots=True)
class CueSet:
    """The chef gave the start of a load its time."""

    load: LoadKey
    portions: int
    at: int


@dataclass(frozen=True, slots=True)
class CueFreed:
    """The planner has the time of a load's start again."""

    load: LoadKey


@dataclass(frozen=True, slots=True)
class CoreTempRead:
    """A core temperature was read."""

    step: StepKey
    celsius: float
    at: int
    enough: bool
    """At least what the step asks for, or taken as it is by the chef."""


@dataclass(frozen=True, slots=True)
class LetStand:
    """The chef will not have these loads cooked again."""

    loads: tuple[LoadKey, ...]


@dataclass(frozen=True, slots=True)
class LoadGiven:
    """So many portions of a load, as far as they are cooked, are another course's load now."""

    load: LoadKey
    to: LoadKey
    portions: int


@dataclass(frozen=True, slots=True)
class PlatesChanged:
    """These are the plates of a course now."""

    course: CourseKey
    plates: tuple[Plate, ...]
    touched: tuple[LoadKey, ...] = ()
    """Loads begun before an allergy was told that is theirs: to be asked about."""


@dataclass(frozen=True, slots=True)
class CourseTakenOff:
    """A course is no longer wanted; what had started goes on and is spare."""

    course: CourseKey


@dataclass(frozen=True, slots=True)
class TableMoved:
    """Courses of one table are another table's now, each with its new name; two with one name there become one."""

    courses: tuple[tuple[CourseKey, CourseKey], ...]


@dataclass(frozen=True, slots=True)
class NoneLeft:
    """Eighty-six: a dish, or a component by its name."""

    dish: str | None
    component: str | None


@dataclass(frozen=True, slots=True)
class LeftAgain:
    """It is to be had again."""

    dish: str | None
    component: str | None


@dataclass(frozen=True, slots=True)
class CooksChanged:
    """So many cooks stand at a station now."""

    station: str
    cooks: int


@dataclass(frozen=True, slots=True)
class SlotsChanged:
    """So many places of a piece of equipment work now."""

    equipment: str
    slots: int


@dataclass(frozen=True, slots=True)
class TapsChanged:
    """What a station taps from now on."""

    station: str
    taps: Taps


@dataclass(frozen=True, slots=True)
class BookRead:
    """Dishes as the book has them from now on: all at the beginning of a service, later what was edited."""

    dishes: tuple[Dish, ...]
    gone: tuple[str, ...] = ()
    """Dishes that the book has no more."""
    whole: bool = False
    """These are all the dishes there are."""


Event = (
    ServiceOpened
    | OrderTaken
    | CourseFired
    | CourseHeld
    | StepStarted
    | StepFinished
    | StepGivenMore
    | LoadLost
    | CourseLanded
    | CourseSent
    | CueAnnounced
    | PlanAdopted
    | LandChanged
    | CourseRushed
    | TableLeft
    | TableReturned
    | CueSet
    | CueFreed
    | CoreTempRead
    | LetStand
    | LoadGiven
    | PlatesChanged
    | CourseTakenOff
    | TableMoved
    | NoneLeft
    | LeftAgain
    | CooksChanged
    | SlotsChanged
    | TapsChanged
    | BookRead
    | Struck
)


@dataclass(frozen=True, slots=True)
class Recorded:
    """An event in its place in the kitchen's log."""

    seq: int
    """Counts from 1 without gaps."""
    at_ms: int
    """Kitchen time of writing, milliseconds since 1970 UTC."""
    event: Event
    command: int
    """``seq`` of the first event of the same command (or of the same wake-up): what :class:`Struck` names."""
    client_id: str | None = None
    """Whose command it was; None for what the evening does by itself."""
    client_seq: int | None = None
