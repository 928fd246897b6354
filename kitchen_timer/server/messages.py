"""Every shape on the wire. Boards and commands are the service's own; the rest is here.

Keys are snake_case, instants RFC 3339, unknown keys refused. ``schema.py`` prints all of it as one JSON Schema.
"""

from datetime import tzinfo
from typing import Annotated, Any, Literal, TypeVar, get_args

from pydantic import BaseModel, ConfigDict, Field, FiniteFloat, Strict, StringConstraints, TypeAdapter, ValidationError

from kitchen_timer.kitchen.problems import BadMessage, Fault
from kitchen_timer.kitchen.seconds import Instant, read_instant, write_instant
from kitchen_timer.kitchen.table import Land, TableNo
from kitchen_timer.service.commands import Command, CourseAsked
from kitchen_timer.service.supposing import WhatIfAsked
from kitchen_timer.service.views import (
    ActionView,
    PassBoard,
    Quote,
    StationBoard,
    StationInTouch,
    WhatIfView,
    WhyView,
)

ClientId = Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9._:-]{1,64}$")]
"""A device's own name for itself, kept over reloads."""


class Message(BaseModel):
    """Base of the wire's own shapes."""

    model_config = ConfigDict(frozen=True, extra="forbid", use_attribute_docstrings=True)


class CommandMessage(Message):
    """One tap. The same ``(client_id, client_seq)`` sent again changes nothing and gets the same reply."""

    client_id: ClientId
    client_seq: Annotated[int, Field(ge=0, le=2**53 - 1, strict=True)]
    command: Annotated[Command, Field(discriminator="kind")]


class QuoteMessage(Message):
    """What would this order get?"""

    table: TableNo
    courses: Annotated[tuple[CourseAsked, ...], Field(min_length=1, max_length=12)]


class JoinMessage(Message):
    """A page asks for its board and for every later one."""

    page: Literal["pass", "order", "station"]
    client_id: ClientId
    station: str | None = None
    """Of a station page: which."""


class ClockMessage(Message):
    """First of the four timestamps (RFC 5905): the client's own milliseconds when it asked."""

    t1: Annotated[FiniteFloat, Strict()]


class ClockReply(Message):
    """The other timestamps, in milliseconds."""

    t1: float
    t2: float
    """The server's real time when the question came in; its zero is the server's own affair."""
    t3: float
    """The server's real time when the reply left."""
    kitchen_at_t3: float
    """Kitchen time at ``t3``, in milliseconds since 1970 UTC."""
    speed: float
    """Kitchen seconds per real second; 1 except in the demo."""


class FaultView(Message):
    """One fault of a message: where, what, and what would be right."""

    where: str
    what: str
    cure: str


class Problem(Message):
    """A refusal (RFC 9457). ``code`` is stable, ``detail`` is for people."""

    type: str
    title: str
    status: int
    detail: str
    code: str
    faults: tuple[FaultView, ...] = ()


class Accepted(Message):
    """The command is in the log; ``seq`` is what undo takes."""

    ok: Literal[True] = True
    seq: int
    repeated: bool
    """It had been taken before, under the same ``client_seq``."""


class Refused(Message):
    """The command changed nothing."""

    ok: Literal[False] = False
    problem: Problem


class PassJoined(Message):
    """The board of a pass or an order page."""

    ok: Literal[True] = True
    board: PassBoard


class StationJoined(Message):
    """The board of a station's page."""

    ok: Literal[True] = True
    board: StationBoard


class StationInfo(Message):
    """A station as the front page lists it."""

    id: str
    name: str
    cooks: int
    """How many stand there by the kitchen's file; ``short`` of the pass board says where it is otherwise tonight."""


class EquipmentInfo(Message):
    """Equipment as pages name it."""

    id: str
    name: str
    """What the cooks call it."""
    slots: int
    """Places by the kitchen's file; ``short`` of the pass board says where it is otherwise tonight."""
    stations: tuple[str, ...]
    """Whose steps use it, by the book as it is now."""


class KitchenInfo(Message):
    """What every page needs to know once."""

    name: str
    timezone: str
    service: str
    """The service's date, such as 2026-11-27."""
    stations: tuple[StationInfo, ...]
    equipment: tuple[EquipmentInfo, ...]
    demo: bool
    """An invented kitchen: invented cooks tap where no phone has joined."""
    speed: float
    lan: bool
    """Open to the whole network, not only to this machine."""
    address: str
    """Where phones find it, such as http://192.168.1.20:8410."""
    cautions: tuple[str, ...]
    heads_up_s: int
    """Seconds between a heads-up and its cue."""


class ComponentInfo(Message):
    """A part of a dish as the order page shows it."""

    name: str
    station: str
    allergens: tuple[str, ...]
    keeps_s: int
    """Seconds that it stays good once done."""


class DishInfo(Message):
    """A dish as the order page offers it."""

    dish: str
    name: str
    course: str
    allergens: tuple[str, ...]
    off: str = ""
    """What there is none left of; empty: it can be ordered."""
    components: tuple[ComponentInfo, ...]


class Health(Message):
    """Whether it works, part by part, each tried just now."""

    alive: Literal[True] = True
    database: bool
    """The evening's log was written to."""
    planner: bool
    """Both planner processes answer."""
    planner_answered_s: float
    """Real seconds since the planner last answered."""
    phones: int
    """Phones of stations in touch."""
    stations: tuple[StationInTouch, ...]
    kitchen_at: Instant
    """What time it is in the kitchen."""
    clock_set_s: float
    """By how many seconds the machine's clock has been set since the start; the kitchen's goes on by its own."""
    disk_left_mb: int | None
    """Megabytes that are left where the evening is kept."""
    events: int
    """Number of the last event in the log."""
    trouble: tuple[str, ...]
    """What is wrong with the tool itself, as the pass says it."""


Reply = Annotated[Accepted | Refused, Field(discriminator="ok")]
PassJoinReply = Annotated[PassJoined | Refused, Field(discriminator="ok")]
StationJoinReply = Annotated[StationJoined | Refused, Field(discriminator="ok")]

_command: TypeAdapter[CommandMessage] = TypeAdapter(CommandMessage)
_quote: TypeAdapter[QuoteMessage] = TypeAdapter(QuoteMessage)
_join: TypeAdapter[JoinMessage] = TypeAdapter(JoinMessage)
_clock: TypeAdapter[ClockMessage] = TypeAdapter(ClockMessage)
_what_if: TypeAdapter[WhatIfAsked] = TypeAdapter(WhatIfAsked)
_writers: dict[type, TypeAdapter[Any]] = {
    shape: TypeAdapter(shape) for shape in (PassBoard, StationBoard, Quote, ActionView, WhyView, WhatIfView)
}

T = TypeVar("T")


def read_command(raw: object) -> CommandMessage:
    """The command message in ``raw`` (parsed JSON); BadMessage naming every field otherwise."""
    return _read(_command, raw, "This command cannot be read: nothing was changed.")


def read_quote(raw: object) -> QuoteMessage:
    """The quote message in ``raw``; BadMessage otherwise."""
    return _read(_quote, raw, "This order cannot be read.")


def read_what_if(raw: object) -> WhatIfAsked:
    """What is supposed in ``raw``; BadMessage otherwise."""
    return _read(_what_if, raw, "This cannot be worked out.")


def read_join(raw: object) -> JoinMessage:
    """The join message in ``raw``; BadMessage otherwise."""
    return _read(_join, raw, "This page cannot be joined.")


def read_clock(raw: object) -> ClockMessage:
    """The clock message in ``raw``; BadMessage otherwise."""
    return _read(_clock, raw, "The clock was not asked rightly.")


def write(view: object) -> Any:
    """A view or message as plain JSON values."""
    if isinstance(view, BaseModel):
        return view.model_dump(mode="json", by_alias=True)
    return _writers[type(view)].dump_python(view, mode="json", by_alias=True)


def write_in_zone(view: object, zone: tzinfo) -> Any:
    """As :func:`write`, with instants in the kitchen's own offset, for people who read the JSON by eye."""
    return _in_zone(write(view), zone)


def _in_zone(value: Any, zone: tzinfo) -> Any:
    if isinstance(value, dict):
        return {
            key: write_instant(read_instant(inner), zone)
            if isinstance(inner, str) and (key.endswith(("_at", "_until")) or key in ("now", "landing_if_fired"))
            else _in_zone(inner, zone)
            for key, inner in value.items()
        }
    if isinstance(value, list):
        return [_in_zone(inner, zone) for inner in value]
    return value


def _read(shape: TypeAdapter[T], raw: object, sentence: str) -> T:
    try:
        # JSON's arrays are lists where the core holds tuples: pydantic's lax mode turns them round.
        return shape.validate_python(raw)
    except ValidationError as broken:
        raise BadMessage(sentence, [_fault(error) for error in broken.errors(include_url=False)]) from None


_CURES = {
    "missing": "add it",
    "extra_forbidden": "leave it out, or check its spelling",
    "unexpected_keyword_argument": "leave it out, or check its spelling",
    "union_tag_invalid": "use one of the kinds that the message names",
    "union_tag_not_found": "say which kind it is in `kind`",
    "string_pattern_mismatch": "see its pattern in /api/openapi.json",
    "too_short": "give at least one",
    "model_type": "send an object",
    "dataclass_type": "send an object",
}


def _fault(error: Any) -> Fault:
    kind = str(error["type"])
    what = str(error["msg"]).removeprefix("Value error, ")
    cure = _CURES.get(kind, "")
    if not cure:
        what, _, cure = (
            what.partition(": ") if kind == "value_error" else (what, "", "send it as /api/openapi.json says")
        )
    return Fault(where=_place(error["loc"]), what=what, cure=cure or "correct it")


_TAGS: dict[object, tuple[object, ...]] = {
    "command": tuple(shape.kind for shape in get_args(Command)),
    "land": tuple(shape.model_fields["kind"].default for shape in get_args(get_args(Land)[0])),
}


def _place(loc: tuple[int | str, ...]) -> str:
    # pydantic puts the tag of a union into the path (command.take_order.table): the sender never wrote that part.
    path = ""
    for before, part in zip((None, *loc), loc, strict=False):
        if isinstance(part, int):
            path += f"[{part}]"
        elif part not in _TAGS.get(before, ()):
            path += f".{part}" if path else part
    return path or "(the whole message)"
