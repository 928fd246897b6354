"""Looks at the book's files while a service goes on; what was edited and can be read is used from then on."""

import logging
import threading
from collections.abc import Callable
from pathlib import Path

from kitchen_timer.files import read_kitchen
from kitchen_timer.kitchen.dish import Book
from kitchen_timer.kitchen.problems import KitchenProblem, UnreadableFiles
from kitchen_timer.kitchen.station import Kitchen

_log = logging.getLogger(__name__)

LOOK_S = 2.0
"""How often the files are looked at, in real seconds."""

_KITCHEN_EDITED = (
    "kitchen.yaml was edited: it counts when the server is started again. Cooks, places and taps can be changed now."
)

Seen = tuple[tuple[str, int, int], ...]


class BookWatch:
    """One thread that hands the book over when its files have changed."""

    def __init__(
        self, folder: Path, use: Callable[[Book], None], changed: Callable[[], None], kitchen: Kitchen | None = None
    ) -> None:
        """``changed`` is called when :meth:`trouble` says something else. ``kitchen``: as it is served."""
        self._kitchen = kitchen
        self._folder = folder
        self._use = use
        self._changed = changed
        self._seen = self._look()
        self._closed = threading.Event()
        self._trouble: tuple[str, ...] = ()

    def start(self) -> None:
        """Keep looking."""
        threading.Thread(target=self._keep_looking, name="book-watch", daemon=True).start()

    def close(self) -> None:
        """Stop looking."""
        self._closed.set()

    def trouble(self) -> tuple[str, ...]:
        """Why an edited book is not used, in words for the pass; empty when nothing is wrong."""
        return self._trouble

    def look(self) -> None:
        """Use the book if its files are not as they were."""
        seen = self._look()
        if seen == self._seen:
            return
        self._seen = seen
        try:
            kitchen, book, _warned = read_kitchen(self._folder)
            self._use(book)
        except UnreadableFiles as unreadable:
            self._say(f"The book was edited and cannot be read, the one before counts: {unreadable.faults[0]}.")
        except KitchenProblem as problem:
            self._seen = ()  # not written down: tried again at the next look
            self._say(f"The edited book could not be used: {problem}")
        else:
            self._say(_KITCHEN_EDITED if self._kitchen not in (None, kitchen) else "")

    def _say(self, words: str) -> None:
        now = (words,) if words else ()
        if now != self._trouble:
            self._trouble = now
            self._changed()

    def _look(self) -> Seen:
        files = []
        for path in sorted([self._folder / "kitchen.yaml", *(self._folder / "book").glob("*.yaml")]):
            try:
                found = path.stat()
            except OSError:
                continue  # being replaced by an editor: there again at the next look
            files.append((path.name, found.st_mtime_ns, found.st_size))
        return tuple(files)

    def _keep_looking(self) -> None:
        while not self._closed.wait(LOOK_S):
            try:
                self.look()
            except Exception:
                _log.exception("the book's files could not be looked at")
