"""A log that is gone when the program ends: for tests and for trying things out."""

from collections.abc import Iterator, Sequence

from kitchen_timer.record.event_log import ClientMark, place_taken, recorded
from kitchen_timer.service.events import Event, Recorded, ServiceOpened


class InMemoryLog:
    """An :class:`EventLog` in lists."""

    def __init__(self) -> None:
        self._kitchens: dict[str, list[Recorded]] = {}
        self._marks: dict[tuple[str, ClientMark], int] = {}

    def append(
        self, kitchen: str, expected: int, at_ms: int, events: Sequence[Event], client: ClientMark | None = None
    ) -> tuple[Recorded, ...]:
        """See :meth:`EventLog.append`."""
        written = self._kitchens.setdefault(kitchen, [])
        if len(written) != expected or (client is not None and (kitchen, client) in self._marks):
            raise place_taken(kitchen, expected)
        new = recorded(expected, at_ms, events, client)
        written.extend(new)
        if client is not None and new:
            self._marks[kitchen, client] = new[0].seq
        return new

    def read(self, kitchen: str, after: int = 0) -> Iterator[Recorded]:
        """See :meth:`EventLog.read`."""
        return iter(self._kitchens.get(kitchen, [])[after:])

    def begun(self, kitchen: str) -> int:
        """See :meth:`EventLog.begun`."""
        written = self._kitchens.get(kitchen, [])
        return max((entry.seq for entry in written if isinstance(entry.event, ServiceOpened)), default=0)

    def acknowledged(self, kitchen: str, client: ClientMark) -> int | None:
        """See :meth:`EventLog.acknowledged`."""
        return self._marks.get((kitchen, client))

    def close(self) -> None:
        """Nothing is held open."""
