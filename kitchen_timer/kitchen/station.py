"""What a kitchen has: stations with their cooks, the pass, equipment with its slots."""

from typing import Annotated, Literal
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from pydantic import BaseModel, ConfigDict, Field, StringConstraints, field_validator

from kitchen_timer.kitchen.seconds import Duration, Seconds

Id = Annotated[str, StringConstraints(pattern=r"^[a-z0-9][a-z0-9_-]*$", max_length=40)]
"""An id as files write it: small letters, digits and hyphens, at most 40."""

Name = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=60)]


class Noun(BaseModel):
    """Base of every model of the files: frozen, unknown keys refused, built by alias or by field name."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True, use_attribute_docstrings=True)


Taps = Literal["both", "done", "clock"]
"""What a station taps: starts and ends; ends only, its starts trusted to the clock; nothing, the clock trusted."""


class Station(Noun):
    """A section of the brigade and how many cooks stand there."""

    name: Name
    cooks: Annotated[int, Field(ge=0, le=50, strict=True)]
    taps: Taps = "both"
    """What its cooks tap; what they do not tap counts as done at its second."""


class Equipment(Noun):
    """What food is cooked on or in, and how many places it has."""

    slots: Annotated[int, Field(ge=1, le=1000, strict=True)]
    recovery_s: Duration = Field(default=Seconds(0), alias="recovery", validate_default=False)
    """After each load the slots stay taken this long (oil comes back to heat)."""
    cross_contact: bool = False
    """Whether what is cooked here carries over from one food to the next (a shared fryer)."""
    name: Name | None = None
    """What the cooks call it; without one, its id."""


class Pass(Noun):
    """The counter where plates are finished: how many people are plating."""

    hands: Annotated[int, Field(ge=1, le=50, strict=True)]


class Kitchen(Noun):
    """``kitchen.yaml``: everything a plan must respect."""

    name: Name
    timezone: str
    """IANA name; times of day in the kitchen's files are in this zone."""
    handling_s: Duration = Field(default=Seconds(10), alias="handling", validate_default=False)
    """Hands are busy this long at each end of a step that otherwise minds itself."""
    stations: dict[Id, Station] = Field(min_length=1)
    pass_board: Pass = Field(alias="pass")
    equipment: dict[Id, Equipment] = Field(default_factory=dict)

    @field_validator("timezone")
    @classmethod
    def _known_zone(cls, zone: str) -> str:
        try:
            ZoneInfo(zone)
        except (ZoneInfoNotFoundError, ValueError, OSError):
            raise ValueError(f"{zone!r} is not a time zone: write an IANA name such as Europe/London") from None
        return zone

    @property
    def zone(self) -> ZoneInfo:
        """The kitchen's time zone."""
        return ZoneInfo(self.timezone)

    def equipment_name(self, on: str) -> str:
        """What the cooks call a piece of equipment."""
        return self.equipment[on].name or on.replace("-", " ").replace("_", " ")
