"""The shapes that pages are drawn from. Built by boards.py, sent as JSON by the server, mirrored in web/.

Instants are seconds since 1970 UTC here and RFC 3339 in JSON. Ids: ``6/mains`` a course,
``6/mains/hake/fish/1`` a load, ``6/mains/hake/fish/1/0`` a step.
"""

from dataclasses import dataclass
from typing import Literal

from kitchen_timer.kitchen.seconds import Instant
from kitchen_timer.kitchen.station import Taps

NoteState = Literal["planned", "announced", "started", "done"]


@dataclass(frozen=True)
class AllergyView:
    """An allergy in words, never apart from its plate."""

    words: str
    """``NUT · seat 2 · table 6``-like: allergy in capitals, seat where known."""
    dish: str
    """Dish name it belongs to."""
    table: str
    cross_contact: str = ""
    """Plain words where shared equipment matters: "Fryer is shared: ask the chef"; empty otherwise."""


@dataclass(frozen=True)
class DishView:
    """One line of a course."""

    dish: str
    name: str
    qty: int
    note: str
    seat: str
    allergies: tuple[str, ...]


@dataclass(frozen=True)
class NoteView:
    """One note of the score: a step of a load."""

    id: str
    load_id: str
    course_id: str
    table: str
    dish: str
    dish_name: str
    component: str
    component_name: str
    do: str
    station: str
    on: str | None
    """Equipment as cooks call it."""
    portions: int
    start_at: Instant
    end_at: Instant
    state: NoteState
    late: bool
    """Started late, overdue, or running over: drawn with a broken edge."""
    hands: Literal["all", "ends", "start", "end", "none"]
    last: bool
    """Last step of its load: the tail to the landing and the keeps track hang on it."""
    keeps_until: Instant | None
    """Last steps only: how long the component may stand."""
    stands_until: Instant | None
    """Last steps only: landing, or the start of the last component that waits for it."""
    joined: tuple[str, ...]
    """Other tables whose loads share this step's slots."""
    spare: int = 0
    """Portions of it that no plate needs any more."""
    pinned: bool = False
    """Its start is the chef's own: plans keep it."""


@dataclass(frozen=True)
class CheckLine:
    """One thing to check before sending."""

    kind: Literal["allergy", "core_temp", "stands"]
    words: str
    steps: tuple[str, ...] = ()
    """Steps whose core temperature is still to be read."""
    core_temp: float | None = None
    """Degrees Celsius that the step asks for; the house's food-safety plan says what it has to be."""


@dataclass(frozen=True)
class CourseView:
    """One course on the pass screen."""

    id: str
    table: str
    course: str
    plates: int
    dishes: tuple[DishView, ...]
    allergies: tuple[AllergyView, ...]
    target_at: Instant
    landing_at: Instant
    up_at: Instant
    late_s: int
    cause: str
    """What it waits for, in kitchen words; empty when on time."""
    at_pass: bool
    """Everything is at the pass: it can be checked and sent."""
    notes: tuple[NoteView, ...]
    checks: tuple[CheckLine, ...]
    spread_s: int | None
    """From the first component of it ready to the last: expected while cooking, measured once at the pass."""
    promised_at: Instant | None = None
    """What to promise the dining room: 80 of 100 evenings like this have it at the pass by then. None: not known."""
    lands_from: Instant | None = None
    """10 of 100 land sooner than this ..."""
    lands_to: Instant | None = None
    """... and 10 of 100 later than this."""
    urgent: bool = False
    """On the fly: before the others."""
    away_since: Instant | None = None
    """A guest has left the table."""


@dataclass(frozen=True)
class HeldView:
    """A held course, with the landing it would get if it were called now (None while that is being worked out)."""

    id: str
    table: str
    course: str
    plates: int
    dishes: tuple[DishView, ...]
    allergies: tuple[AllergyView, ...]
    landing_if_fired: Instant | None
    waits_for: str
    """Words when it cannot be called alone ("after starters", "the guest is away"); empty otherwise."""
    away_since: Instant | None = None
    """A guest has left the table."""


@dataclass(frozen=True)
class SentView:
    """A sent course; ``seq`` takes it back."""

    id: str
    table: str
    course: str
    plates: int
    sent_at: Instant
    landed_at: Instant
    spread_s: int
    """Measured: from the first component of it ready to the last."""
    late_s: int
    past_keeps: int
    """Components that stood longer than they keep."""
    seq: int


@dataclass(frozen=True)
class CannotView:
    """A course that can never be made, why, and what would help."""

    id: str
    table: str
    course: str
    why: str
    would_help: str


@dataclass(frozen=True)
class QuestionView:
    """Something only the chef can say; ``answer_again`` with its loads answers it."""

    id: str
    kind: Literal["dying", "allergy"]
    """Food that would stand too long for its table's new landing; food begun before an allergy was told."""
    course_id: str
    words: str
    loads: tuple[str, ...]


@dataclass(frozen=True)
class OffView:
    """Eighty-six: what there is none left of, and which open courses have still to cook it."""

    dish: str | None
    component: str | None
    name: str
    courses: tuple[str, ...]
    dishes: tuple[str, ...] = ()
    """Ids of the book's dishes that cannot be ordered for want of it."""


@dataclass(frozen=True)
class ShortView:
    """A station or equipment that has not what the kitchen's file says."""

    kind: Literal["cooks", "slots"]
    id: str
    name: str
    has: int
    of: int


@dataclass(frozen=True)
class SpareView:
    """Begun food that no plate needs any more."""

    load: str
    component_name: str
    dish_name: str
    table: str
    portions: int
    ready_at: Instant
    keeps_until: Instant
    wanted_by: tuple[str, ...]
    """Courses that could have it."""


@dataclass(frozen=True)
class StationInTouch:
    """A station and whether a phone of it is in touch."""

    id: str
    name: str
    devices: int
    out_of_touch_s: int | None
    """Seconds since the last phone was lost; None: none ever joined, or one is in touch."""


@dataclass(frozen=True)
class PassBoard:
    """All the pass screen shows."""

    seq: int
    now: Instant
    courses: tuple[CourseView, ...]
    """Next landing first."""
    held: tuple[HeldView, ...]
    cannot: tuple[CannotView, ...]
    sent: tuple[SentView, ...]
    """The latest, newest first, at most 8."""
    stations: tuple[StationInTouch, ...]
    trouble: tuple[str, ...]
    """What is wrong now, each once, in plain words with what to do."""
    all_day: tuple[tuple[str, int], ...]
    """``(component name, portions)`` still to be cooked over all open courses."""
    replanning: bool
    """The search is still improving this plan."""
    questions: tuple[QuestionView, ...] = ()
    off: tuple[OffView, ...] = ()
    short: tuple[ShortView, ...] = ()
    spare: tuple[SpareView, ...] = ()


@dataclass(frozen=True)
class ActionView:
    """One thing a cook is to do: a start (drop, turn, dress) or an end (lift, done). Steps joined into one cue."""

    id: str
    kind: Literal["start", "finish"]
    due_at: Instant
    """The second to act. An overdue start keeps the due time it was announced with."""
    heads_up_at: Instant
    do: str
    """"Skin side down"; for a finish of something on equipment "Lift", otherwise "Done"."""
    component_name: str
    dish_names: tuple[str, ...]
    portions: int
    tables: tuple[str, ...]
    """In the order of their landings."""
    per_table: tuple[tuple[str, int], ...]
    courses: tuple[str, ...]
    steps: tuple[str, ...]
    on: str | None
    takes_s: int
    allergies: tuple[AllergyView, ...]
    notes: tuple[str, ...]
    """What the orders said ("no jus · table 6")."""
    core_temp: float | None
    running: bool
    """A finish whose step goes on: 30 s more and cook again make sense."""
    caution: str
    """A short caution for what can burn (hot oil, torch); empty otherwise."""
    by_itself: bool = False
    """The station does not tap this: it counts as done at its second."""
    pinned: bool = False
    """The chef's own time."""
    moved: str = ""
    """How far it was moved after it was announced, and why: ``moved 0:20 later: table 4's duck runs 0:20 long``."""


@dataclass(frozen=True)
class StationBoard:
    """All a station's phone shows: enough to go on for ten minutes when out of touch."""

    seq: int
    now: Instant
    station: str
    station_name: str
    actions: tuple[ActionView, ...]
    """By due time; those within the next ten minutes and all overdue."""
    notes: tuple[NoteView, ...]
    """What runs and what comes within ten minutes."""
    trouble: tuple[str, ...]
    taps: Taps = "both"
    """What this station taps: starts and ends, ends only, or nothing."""


@dataclass(frozen=True)
class Delay:
    """A course that an order would push back."""

    table: str
    course: str
    by_s: int
    """Seconds later than it stands."""
    why: str = ""
    """What it would wait for then; empty where it would still be on time."""


@dataclass(frozen=True)
class Quote:
    """What an order would get, before it is taken."""

    now: Instant
    courses: tuple[CourseView, ...]
    """The asked ones, with their notes; held ones are left out."""
    delays: tuple[Delay, ...]
    cannot: tuple[CannotView, ...]
    warnings: tuple[str, ...]
    """An allergy that a chosen dish lists, shared fryers, and the like."""


@dataclass(frozen=True)
class LinkView:
    """One link of the chain that holds a course."""

    kind: str
    """``slots``, ``hands``, ``plating``, ``several``, ``after``, ``wanted``, ``own``, ``time``, ``announced``,
    ``stands``, ``search``, ``landed``; where a chain begins ``started``, ``on_time``, ``each_other``."""
    words: str
    course_id: str
    """The course whose landing it holds."""
    until_at: Instant | None
    """From then on it is no longer in the way, where that can be said."""
    sooner_s: int
    """Seconds that the course would land sooner without it; 0 where nothing can be taken away."""


@dataclass(frozen=True)
class WhyView:
    """Why a course lands when it does."""

    id: str
    table: str
    course: str
    late_s: int
    chain: tuple[LinkView, ...]
    """From the course back to what began it; empty for a course on time."""


@dataclass(frozen=True)
class MovedView:
    """A course as it stands, and as it would be."""

    id: str
    table: str
    course: str
    plates: int
    stands_at: Instant | None
    would_land_at: Instant | None
    by_s: int
    """Seconds later, below 0 sooner."""
    late_s: int
    """Behind its target then."""
    cause: str
    """What it would wait for; empty where it would be on time."""


@dataclass(frozen=True)
class WhatIfView:
    """What would be if something were otherwise. Nothing is."""

    now: Instant
    words: str
    """Who lands sooner and who waits, in one sentence."""
    courses: tuple[MovedView, ...]
    """All planned ones, those that move most first."""
    cannot: tuple[CannotView, ...]
    """What could no longer be made."""
    cost_stands: float
    """Of the plan that stands, in plate-seconds."""
    cost_would: float
