"""Reads an evening's bookings: who comes when, how many, at which table."""

from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from kitchen_timer.files.kitchen_files import by_line, read_model
from kitchen_timer.files.written import UnreadableText, read_written
from kitchen_timer.kitchen.problems import Fault, UnreadableFiles
from kitchen_timer.kitchen.seconds import instant_of, read_time_of_day
from kitchen_timer.kitchen.station import Kitchen, Name, Noun
from kitchen_timer.kitchen.table import Note, TableNo


def _day(value: Any) -> date:
    if type(value) is date:
        return value
    if isinstance(value, str) and len(value) == 10:
        try:
            return date.fromisoformat(value)
        except ValueError:
            pass
    raise ValueError(f"{value!r} is no date: write it as year, month and day, such as 2026-11-27")


def _clock_time(value: Any) -> str:
    if isinstance(value, str) and value.count(":") == 1:
        read_time_of_day(value)
        return value
    raise ValueError(f'{value!r} is not a time of day: write it as hours and minutes, such as "19:02"')


def as_words(value: Any) -> Any:
    """Text for a whole number: ``table: 6`` without quotes is how anyone would write it."""
    return str(value) if isinstance(value, int) and not isinstance(value, bool) else value


Day = Annotated[date, BeforeValidator(_day)]
TimeOfDay = Annotated[str, BeforeValidator(_clock_time)]
TableInFile = Annotated[TableNo, BeforeValidator(as_words)]


class _BookingInFile(Noun):
    at: TimeOfDay
    table: TableInFile
    covers: Annotated[int, Field(ge=1, le=500, strict=True)]
    name: Name
    note: Note = ""


class _BookingsInFile(Noun):
    service: Day
    bookings: tuple[_BookingInFile, ...]


@dataclass(frozen=True)
class Booking:
    """One party: when it comes (seconds since 1970 UTC), where it sits, how many they are."""

    at: int
    table: str
    covers: int
    name: str
    note: str = ""


@dataclass(frozen=True)
class Bookings:
    """One service's bookings, in the order in which they come."""

    service: date
    bookings: tuple[Booking, ...]


def read_bookings(path: Path | str, kitchen: Kitchen) -> Bookings:
    """The bookings of a file; times are the kitchen's own. Raises :class:`UnreadableFiles` with every fault."""
    faults: list[Fault] = []
    try:
        written = read_written(Path(path))
    except UnreadableText as problem:
        raise UnreadableFiles([problem.fault]) from None
    read = read_model(written, _BookingsInFile, faults)
    if read is None:
        raise UnreadableFiles(by_line(faults))
    bookings = [
        Booking(instant_of(read.service, read_time_of_day(b.at), kitchen.zone), b.table, b.covers, b.name, b.note)
        for b in read.bookings
    ]
    return Bookings(read.service, tuple(sorted(bookings, key=lambda b: b.at)))
