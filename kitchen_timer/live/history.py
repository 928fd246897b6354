"""The log and the evening folded from it, kept in step: what could not be written has not happened."""

from collections.abc import Sequence

from kitchen_timer.record.event_log import ClientMark, EventLog, recorded
from kitchen_timer.service.events import Event, PlanAdopted, Recorded, ServiceOpened, Struck
from kitchen_timer.service.fold import fold, replay
from kitchen_timer.service.state import Evening


class History:
    """Events of this service in memory, so that a command can be struck out without reading the disk."""

    def __init__(self, log: EventLog, kitchen_id: str, fresh: Evening) -> None:
        """Reads the log of ``kitchen_id`` to its end."""
        self._log = log
        self._kitchen_id = kitchen_id
        self._fresh = fresh
        self._entries: list[Recorded] = []
        self._plan_at: int | None = None
        last = 0
        for entry in log.read(kitchen_id):
            self._keep(entry)
            last = entry.seq
        self._last = last
        self.state = replay(fresh, self._entries)

    def append(self, at_ms: int, events: Sequence[Event], client: ClientMark | None = None) -> list[Recorded]:
        """Write the events of one command and fold them in; NotRecorded when they could not be written."""
        written = self._log.append(self._kitchen_id, self._last, at_ms, events, client)
        for entry in written:
            self._keep(entry)
            self._last = entry.seq
            if not isinstance(entry.event, Struck):
                self.state = fold(self.state, entry)
        if any(isinstance(entry.event, Struck) for entry in written):
            self.state = replay(self._fresh, self._entries)
        return list(written)

    def acknowledged(self, mark: ClientMark) -> int | None:
        """``seq`` of that client's command when it is written already."""
        return self._log.acknowledged(self._kitchen_id, mark)

    def imagine(self, state: Evening, events: Sequence[Event], at_ms: int) -> Evening:
        """The evening as it would be after these events, written nowhere."""
        for entry in recorded(state.seq, at_ms, events, None):
            state = fold(state, entry)
        return state

    def close(self) -> None:
        """Let go of the log."""
        self._log.close()

    def _keep(self, entry: Recorded) -> None:
        if isinstance(entry.event, ServiceOpened):
            # What was before is over: nothing of it can be taken back.
            self._entries, self._plan_at = [], None
        if isinstance(entry.event, PlanAdopted):
            if self._plan_at is not None:
                old = self._entries[self._plan_at]
                if isinstance(old.event, PlanAdopted):
                    let_go = Recorded(
                        old.seq, old.at_ms, old.event.let_go(), old.command, old.client_id, old.client_seq
                    )
                    self._entries[self._plan_at] = let_go
            self._plan_at = len(self._entries)
        self._entries.append(entry)
