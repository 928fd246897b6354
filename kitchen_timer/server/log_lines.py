"""The log on stderr: what is wrong and nothing else, or all that happens, in plain words or as a JSON object a line.

It never says what guests said: of an order its table's number at most, no note, no allergy, no name.
"""

import json
import logging
import sys
from datetime import UTC, datetime
from types import TracebackType
from typing import Any, Literal

from gunicorn.glogging import Logger

How = Literal["quiet", "words", "json"]

SEEN = "kitchen_timer.seen"
"""The logger of what happens."""

_PACKETS = "kitchen_timer.server.packets"
"""What refuses such packets."""

_seen = logging.getLogger(SEEN)


def tell(event: str, words: str, level: int = logging.INFO, **fields: Any) -> None:
    """Log that something happened: ``words`` for people, ``event`` and ``fields`` for programs."""
    if _seen.isEnabledFor(level):
        _seen.log(level, words, extra={"seen": {"event": event, **fields}})


class JsonLines(logging.Formatter):
    """One JSON object a line: ``at``, ``level``, ``event``, ``words`` and what belongs to the event."""

    def format(self, record: logging.LogRecord) -> str:
        """The line; a traceback is text in it."""
        seen = getattr(record, "seen", None) or {"event": "log", "logger": record.name}
        line = {
            "at": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname.lower(),
            **seen,
            "words": record.getMessage(),
        }
        if record.exc_info:
            line["traceback"] = self.formatException(record.exc_info)
        return json.dumps(line, ensure_ascii=False, default=str)


class Words(logging.Formatter):
    """Plain words: the time of day, and the level where something is wrong."""

    def format(self, record: logging.LogRecord) -> str:
        """The line, and a traceback below it where there is one."""
        at = datetime.fromtimestamp(record.created, UTC).astimezone().strftime("%H:%M:%S")
        wrong = f" {record.levelname}:" if record.levelno >= logging.WARNING else ""
        text = f"{at}{wrong} {record.getMessage()}"
        return f"{text}\n{self.formatException(record.exc_info)}" if record.exc_info else text


class Mangled(logging.Filter):
    """A packet that is no Socket.IO is the sender's fault: one line and no traceback, unless ours is in it."""

    def filter(self, record: logging.LogRecord) -> bool:
        """Always true: the line is kept, shorter."""
        if record.exc_info and record.exc_info[2] is not None and not _ours(record.exc_info[2]):
            record.msg = "a message that is no Socket.IO was left unread (%s)"
            record.args = (getattr(record.exc_info[0], "__name__", "?"),)
            record.levelno, record.levelname = logging.WARNING, "WARNING"
            record.exc_info = None
        return True


def _ours(traceback: TracebackType) -> bool:
    at: TracebackType | None = traceback
    while at is not None:
        module = at.tb_frame.f_globals.get("__name__", "")
        if module.startswith("kitchen_timer.") and module != _PACKETS:
            return True
        at = at.tb_next
    return False


class OneLog(Logger):  # type: ignore[misc]  # gunicorn has no types
    """gunicorn's lines among ours."""

    def setup(self, cfg: Any) -> None:
        """As gunicorn does, without a handler of its own."""
        super().setup(cfg)
        if logging.getLogger().handlers:
            self.error_log.handlers.clear()
            self.error_log.propagate = True


def log_to_stderr(how: How) -> None:
    """Log so from now on, this process and what is forked from it."""
    handler = logging.StreamHandler(sys.stderr)
    handler.setFormatter(JsonLines() if how == "json" else Words())
    root = logging.getLogger()
    for old in list(root.handlers):
        root.removeHandler(old)
    root.addHandler(handler)
    root.setLevel(logging.WARNING)
    _seen.setLevel(logging.WARNING if how == "quiet" else logging.INFO)
    for name in ("engineio.server", "socketio.server"):
        # With a level of their own they add no handler of their own, which would write lines of another kind.
        logger = logging.getLogger(name)
        logger.setLevel(logging.ERROR)
        if not any(isinstance(each, Mangled) for each in logger.filters):
            logger.addFilter(Mangled())
