"""Durations, times of day and instants, all held as whole seconds.

A duration is written with its units (``45s``, ``2m``, ``2m30s``, ``1h``, ``24h``) and held as ``int`` seconds.
An instant is held as whole seconds since 1970-01-01T00:00:00Z and written as RFC 3339 with an offset.
A time of day belongs to the kitchen's own zone; one before 05:00 belongs to the night after the service's date.
"""

import re
from contextlib import suppress
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from functools import lru_cache
from typing import Annotated, Any

from pydantic import BeforeValidator, PlainSerializer, WithJsonSchema

NIGHT_ENDS = time(5, 0)
"""Times of day before this belong to the night after the service's date."""

_DURATION = re.compile(r"(?:(\d+)h)?(?:(\d+)m)?(?:(\d+)s)?", re.ASCII)
_DURATION_PATTERN = r"^(?=\d)(\d+h)?(\d+m)?(\d+s)?$"
_TIME_OF_DAY = re.compile(r"([01]?\d|2[0-3]):([0-5]\d)", re.ASCII)


def read_duration(text: object) -> int:
    """Whole seconds of a written duration such as ``2m30s``; ValueError with the cure when it is not one."""
    if isinstance(text, str) and text and (found := _DURATION.fullmatch(text)):
        hours, minutes, seconds = (int(part or 0) for part in found.groups())
        return hours * 3600 + minutes * 60 + seconds
    if isinstance(text, str) and text.lstrip().startswith("-"):
        raise ValueError(f"{text!r} is negative: a duration is at least 0s")
    raise ValueError(f"{text!r} is not a duration: write it with its units, such as 45s, 2m, 2m30s or 1h")


def write_duration(seconds: int) -> str:
    """The shortest written duration of so many whole seconds; ``0s`` for none, ``90`` is ``1m30s``."""
    hours, rest = divmod(seconds, 3600)
    minutes, left = divmod(rest, 60)
    text = "".join(f"{n}{unit}" for n, unit in ((hours, "h"), (minutes, "m"), (left, "s")) if n)
    return text or "0s"


def _duration_or_seconds(value: Any) -> Any:
    # Code builds models with plain ints (seconds); files and JSON must write units.
    if isinstance(value, bool):
        raise ValueError("a duration is needed here, such as 45s or 2m30s")
    return value if isinstance(value, Seconds) else read_duration(value)


class Seconds(int):
    """Whole seconds given by code, told apart from a unit-less number in a file, which is refused."""


Duration = Annotated[
    int,
    BeforeValidator(_duration_or_seconds),
    PlainSerializer(write_duration, return_type=str),
    WithJsonSchema({"type": "string", "pattern": _DURATION_PATTERN, "examples": ["2m30s"]}),
]
"""Seconds in code, ``2m30s`` in files and JSON."""


def read_time_of_day(text: object) -> time:
    """A time of day written ``19:02``; ValueError with the cure when it is not one."""
    if isinstance(text, str) and (found := _TIME_OF_DAY.fullmatch(text)):
        return time(int(found[1]), int(found[2]))
    raise ValueError(f'{text!r} is not a time of day: write it in quotes as hours and minutes, such as "19:02"')


def instant_of(service: date, at: time, zone: tzinfo) -> int:
    """The instant (seconds since 1970 UTC) of a time of day of one service.

    Of the two instants that share a time on the night the clocks go back, the first is meant; a time that the
    clocks skip is read with the offset before the change (Python's ``fold=0``, PEP 495).
    """
    day = service + timedelta(days=1) if at < NIGHT_ENDS else service
    return int(datetime.combine(day, at, tzinfo=zone).timestamp())


@lru_cache(maxsize=8192)
def write_instant(instant: int, zone: tzinfo = UTC) -> str:
    """RFC 3339 with an offset, to the whole second, such as ``2026-11-27T19:30:00+00:00``."""
    return datetime.fromtimestamp(instant, tz=zone).isoformat(timespec="seconds")


def read_instant(text: object) -> int:
    """Whole seconds since 1970 UTC of an RFC 3339 instant; ValueError when it is not one."""
    if isinstance(text, int) and not isinstance(text, bool):
        return text
    if isinstance(text, str):
        with suppress(ValueError):
            read = datetime.fromisoformat(text)
            if read.tzinfo is not None:
                return int(read.timestamp())
    raise ValueError(f"{text!r} is not an instant: write it as 2026-11-27T19:30:00+00:00")


Instant = Annotated[
    int,
    BeforeValidator(read_instant),
    PlainSerializer(write_instant, return_type=str, when_used="json"),
    WithJsonSchema({"type": "string", "format": "date-time"}),
]
"""Seconds since 1970 UTC in code, RFC 3339 in JSON."""
