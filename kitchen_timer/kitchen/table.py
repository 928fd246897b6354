"""What is wanted: orders of tables, their courses and plates, in whole instants once read."""

from typing import Annotated, Literal

from pydantic import Field, StringConstraints

from kitchen_timer.kitchen.seconds import Duration, Instant, Seconds
from kitchen_timer.kitchen.station import Id, Noun

TableNo = Annotated[str, StringConstraints(strip_whitespace=True, pattern=r"^[^/\x00-\x1f]{1,12}$")]
"""A table as the dining room says it ("6", "bar 2"); no slash."""

CourseName = Annotated[str, StringConstraints(strip_whitespace=True, pattern=r"^[^/\x00-\x1f]{1,30}$")]

Note = Annotated[str, StringConstraints(strip_whitespace=True, max_length=120)]


class Plate(Noun):
    """So many plates of one dish for one course."""

    dish: Id
    qty: Annotated[int, Field(ge=1, le=500, strict=True)] = 1
    note: Note = ""
    allergies: tuple[Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=40)], ...] = ()
    seat: Annotated[str, StringConstraints(strip_whitespace=True, max_length=20)] = ""
    """Where the guest sits, as the dining room says it ("2", "2 and 5")."""


class Asap(Noun):
    """As soon as the kitchen can."""

    kind: Literal["asap"] = "asap"


class Hold(Noun):
    """Not planned until it is called."""

    kind: Literal["hold"] = "hold"


class AtTime(Noun):
    """Not before an instant, and wanted then."""

    kind: Literal["time"] = "time"
    at: Instant


class After(Noun):
    """``gap`` after another course of the same table is up."""

    kind: Literal["after"] = "after"
    after: CourseName
    gap_s: Duration = Field(default=Seconds(0), alias="gap", validate_default=False)
    fired: Literal["now", "sent"] = "now"
    """``now``: planned at once, on the forecast of when that course is up. ``sent``: held until it has been sent."""


Land = Annotated[Asap | Hold | AtTime | After, Field(discriminator="kind")]


class Course(Noun):
    """One table's course: the unit that lands together."""

    table: TableNo
    course: CourseName
    """Unique at its table over the service: a second one of the same name is "mains 2"."""
    in_at: Instant
    """When its order came in."""
    land: Land = Asap()
    plates: tuple[Plate, ...] = Field(min_length=1)

    @property
    def key(self) -> str:
        """``6/mains``: names the course in the API."""
        return f"{self.table}/{self.course}"

    def portions(self) -> dict[str, int]:
        """Plates of each dish, in the order first named."""
        wanted: dict[str, int] = {}
        for plate in self.plates:
            wanted[plate.dish] = wanted.get(plate.dish, 0) + plate.qty
        return wanted

    @property
    def plate_count(self) -> int:
        """Plates of all dishes."""
        return sum(plate.qty for plate in self.plates)
