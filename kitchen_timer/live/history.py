"""The log and the evening folded from it, kept in step: what could not be written has not happened."""

from bisect import bisect_left
from collections import deque
from collections.abc import Sequence

from kitchen_timer.record.event_log import RENAMES, ClientMark, EventLog, recorded
from kitchen_timer.service.events import Event, PlanAdopted, Recorded, ServiceOpened, Struck
from kitchen_timer.service.fold import fold, replay
from kitchen_timer.service.state import Evening

MARK_EVERY = 50
"""Events between two evenings that are remembered whole: what is struck out is folded anew from the one before it.
Without them taking back a tap late in the night folds thousands of events, 0.1 s in which no other tap gets through."""

MARKS_KEPT = 20
"""A tap older than these is past taking back by far (``fold.TAPS_KEPT``)."""


class History:
    """Events of this service in memory, so that a command can be struck out without reading the disk."""

    def __init__(self, log: EventLog, kitchen_id: str, fresh: Evening) -> None:
        """Reads the newest service in the log of ``kitchen_id``: a start takes no longer at the end of a year."""
        self._log = log
        self._kitchen_id = kitchen_id
        self._fresh = fresh
        self._entries: list[Recorded] = []
        self._plan_at: int | None = None
        self._plan_named = False
        self._just: dict[ClientMark, int] = {}
        self._marks: deque[tuple[int, Evening]] = deque(maxlen=MARKS_KEPT)
        last = 0
        for entry in log.read(kitchen_id, after=max(0, log.begun(kitchen_id) - 1)):
            self._keep(entry)
            last = entry.seq
        self._last = last
        self.state = replay(fresh, self._entries)

    def append(self, at_ms: int, events: Sequence[Event], client: ClientMark | None = None) -> list[Recorded]:
        """Write the events of one command and fold them in; NotRecorded when they could not be written."""
        written = self._log.append(self._kitchen_id, self._last, at_ms, events, client)
        state = self.state
        if client is not None and written:
            self._just[client] = written[0].seq
        for entry in written:
            self._keep(entry)
            self._last = entry.seq
            if not isinstance(entry.event, Struck):
                state = fold(state, entry)
        for entry in written:
            if isinstance(entry.event, Struck):
                state = self._without(entry.event.command)
        if not self._marks or len(self._entries) - self._marks[-1][0] >= MARK_EVERY:
            self._marks.append((len(self._entries), state))
        # Set once: whoever reads it without a lock sees all of a command or nothing.
        self.state = state
        return list(written)

    def _without(self, command: int) -> Evening:
        """The evening with a command struck out that is still in the entries."""
        at = bisect_left(self._entries, command, key=lambda entry: entry.seq)
        while self._marks and self._marks[-1][0] > at:
            self._marks.pop()
        begins, before = self._marks[-1] if self._marks else (0, self._fresh)
        return replay(before, self._entries[begins:])

    def acknowledged(self, mark: ClientMark) -> int | None:
        """``seq`` of that client's command when it is written already."""
        return self._log.acknowledged(self._kitchen_id, mark)

    def just_written(self, mark: ClientMark) -> int | None:
        """As :meth:`acknowledged`, of what was written in this service since the program began; asks no disk."""
        return self._just.get(mark)

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
            self._entries, self._plan_at, self._plan_named = [], None, False
            self._marks.clear()
            self._just.clear()
        if isinstance(entry.event, RENAMES):
            self._plan_named = True
        if isinstance(entry.event, PlanAdopted):
            if self._plan_at is not None and not self._plan_named:
                old = self._entries[self._plan_at]
                if isinstance(old.event, PlanAdopted):
                    let_go = Recorded(
                        old.seq, old.at_ms, old.event.let_go(), old.command, old.client_id, old.client_seq
                    )
                    self._entries[self._plan_at] = let_go
            self._plan_at, self._plan_named = len(self._entries), False
        self._entries.append(entry)
