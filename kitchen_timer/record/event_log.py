"""What a log of events promises; one suite of tests holds every log to it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Protocol

from kitchen_timer.kitchen.problems import NotRecorded
from kitchen_timer.service.events import BookRead, Event, Recorded, TableMoved

RENAMES = (BookRead, TableMoved)
"""Events that give food new names, planned food too: the plan that stood then is read with its steps."""


class PlaceTaken(NotRecorded):
    """Somebody else wrote to this kitchen's log meanwhile."""

    code = "place-taken"


@dataclass(frozen=True)
class ClientMark:
    """Whose command it was and which of theirs; together unique in a kitchen."""

    client_id: str
    client_seq: int


class EventLog(Protocol):
    """Events of kitchens, appended and never changed."""

    def append(
        self, kitchen: str, expected: int, at_ms: int, events: Sequence[Event], client: ClientMark | None = None
    ) -> tuple[Recorded, ...]:
        """Write the events of one command, all or none, as the ones after ``expected`` (the last ``seq``, 0 at first).

        When it returns they are on the disk. :class:`PlaceTaken` when the log has gone on meanwhile or this client's
        command is written already, :class:`NotRecorded` when it could not be written; then nothing has changed.
        """
        ...

    def read(self, kitchen: str, after: int = 0) -> Iterator[Recorded]:
        """Events in their order. The steps of plans that were taken over need not be there (but see RENAMES)."""
        ...

    def begun(self, kitchen: str) -> int:
        """``seq`` of the event that opened the newest service; 0 when none was. What was before is over."""
        ...

    def acknowledged(self, kitchen: str, client: ClientMark) -> int | None:
        """``seq`` of the first event of a command written earlier; None when it never was. NotRecorded: unreadable."""
        ...

    def close(self) -> None:
        """Let go of what is held open."""
        ...


def place_taken(kitchen: str, expected: int) -> PlaceTaken:
    """The refusal of an append in the wrong place."""
    return PlaceTaken(
        f"Event {expected + 1} of {kitchen} is written already: another program writes to the same log.",
        "Run one server for a kitchen, then start this one again.",
        kitchen=kitchen,
    )


def not_recorded(why: str) -> NotRecorded:
    """The refusal when the log cannot be written."""
    return NotRecorded(
        f"It could not be written down, so it does not count ({why}).",
        "See that the disk has room and can be written to, then tap again.",
    )


def recorded(expected: int, at_ms: int, events: Sequence[Event], client: ClientMark | None) -> tuple[Recorded, ...]:
    """The events in the places after ``expected``."""
    return tuple(
        Recorded(
            seq=expected + 1 + i,
            at_ms=at_ms,
            event=event,
            command=expected + 1,
            client_id=client.client_id if client else None,
            client_seq=client.client_seq if client else None,
        )
        for i, event in enumerate(events)
    )
