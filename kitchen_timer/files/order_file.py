"""Reads and writes orders.yaml: what is wanted, by which table, landing when."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from io import StringIO
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Discriminator, Field, StringConstraints, Tag
from ruamel.yaml import YAML
from ruamel.yaml.scalarstring import DoubleQuotedScalarString as Quoted

from kitchen_timer.files.booking_file import Day, TableInFile, TimeOfDay, as_words
from kitchen_timer.files.kitchen_files import by_line, read_model
from kitchen_timer.files.wording import nearest
from kitchen_timer.files.written import Place, UnreadableText, Written, read_written
from kitchen_timer.kitchen.dish import Book
from kitchen_timer.kitchen.problems import Fault, UnreadableFiles
from kitchen_timer.kitchen.seconds import Duration, Seconds, instant_of, read_time_of_day, write_duration
from kitchen_timer.kitchen.station import Kitchen, Noun
from kitchen_timer.kitchen.table import After, Asap, AtTime, Course, CourseName, Hold, Land, Plate
from kitchen_timer.kitchen.waves import Waves, cut_into_waves, plating_s
from kitchen_timer.plan.question import CourseKey, Question, Wanted


class _AfterInFile(Noun):
    after: CourseName
    gap_s: Duration = Field(default=Seconds(0), alias="gap", validate_default=False)
    fired: Literal["now", "sent"] = "now"


def _word_or_time(value: Any) -> str:
    if value in ("asap", "hold"):
        return str(value)
    try:
        read_time_of_day(value)
    except ValueError:
        cure = 'write asap, hold, a time such as "19:20", or {after: starters, gap: 12m}'
        raise ValueError(f"{value!r} is no landing: {cure}") from None
    return str(value)


_LandInFile = Annotated[
    Annotated[str, BeforeValidator(_word_or_time), Tag("(word)")] | Annotated[_AfterInFile, Tag("(after)")],
    Discriminator(lambda value: "(after)" if isinstance(value, (dict, _AfterInFile)) else "(word)"),
]


class _PlateInFile(Plate):
    seat: Annotated[str, BeforeValidator(as_words), StringConstraints(strip_whitespace=True, max_length=20)] = ""


class _CourseInFile(Noun):
    course: CourseName
    land: _LandInFile = "asap"
    plates: tuple[_PlateInFile, ...] = Field(min_length=1)
    waves: Waves | None = None


class _OrderInFile(Noun):
    table: TableInFile
    in_: TimeOfDay = Field(alias="in")
    courses: tuple[_CourseInFile, ...] = Field(min_length=1)


class _OrdersInFile(Noun):
    service: Day
    now: TimeOfDay | None = None
    orders: tuple[_OrderInFile, ...]


@dataclass(frozen=True)
class Orders:
    """What the tables of one service want. Instants are seconds since 1970 UTC."""

    service: date
    now: int | None
    """Plan from here; None: from the earliest order."""
    courses: tuple[Course, ...]
    waves: tuple[tuple[CourseKey, ...], ...] = ()
    """Of each event's course, the waves in the order of their landings."""

    @property
    def plan_from(self) -> int:
        """The plan's ``now``; 0 where nothing was ordered."""
        return self.now if self.now is not None else min((course.in_at for course in self.courses), default=0)


def read_orders(path: Path | str, kitchen: Kitchen, book: Book) -> Orders:
    """The orders of a file; times of day are the kitchen's own, those before 05:00 of the night after.

    A course that its table has ordered already gets a second name ("mains 2"). Raises :class:`UnreadableFiles` with
    every fault: a dish that the book does not have, ``after`` a course that the table has not, a loop of these.
    """
    try:
        written = read_written(Path(path))
    except UnreadableText as problem:
        raise UnreadableFiles([problem.fault]) from None
    faults: list[Fault] = []
    read = read_model(written, _OrdersInFile, faults)
    faults += _unknown_dishes(written, book)
    if read is None or faults:
        raise UnreadableFiles(by_line(faults))

    def instant(text: str) -> int:
        return instant_of(read.service, read_time_of_day(text), kitchen.zone)

    asked: list[_Asked] = []
    places: dict[CourseKey, Place] = {}
    for i, order in enumerate(read.orders):
        for j, course in enumerate(order.courses):
            plates = tuple(Plate.model_validate(p.model_dump()) for p in course.plates)
            waves = (plates,) if course.waves is None else cut_into_waves(plates, course.waves.of)
            keys: list[CourseKey] = []
            for _ in waves:
                taken = {key.course for key in places if key.table == order.table}
                keys.append(CourseKey(order.table, free_name(course.course, taken)))
                places[keys[-1]] = ("orders", i, "courses", j)
            land = _landing(course.land, instant)
            every_s = course.waves.every_s if course.waves else None
            asked.append(_Asked(tuple(keys), instant(order.in_), land, waves, every_s))
    courses = [course for each in asked for course in _courses(each, asked, kitchen, book)]
    faults += _wrong_after(written, courses, places)
    if faults:
        raise UnreadableFiles(by_line(faults))
    waves_of = tuple(each.keys for each in asked if len(each.keys) > 1)
    return Orders(read.service, instant(read.now) if read.now is not None else None, tuple(courses), waves_of)


@dataclass(frozen=True)
class _Asked:
    """One course as it stands in the file: one wave, or those of an event."""

    keys: tuple[CourseKey, ...]
    in_at: int
    land: Land
    waves: tuple[tuple[Plate, ...], ...]
    every_s: int | None


def _courses(asked: _Asked, everything: list[_Asked], kitchen: Kitchen, book: Book) -> Iterator[Course]:
    """A course, or its waves: each lands when the one before is up or, with ``every``, so long after that landed.

    What lands after a course in waves lands after the last of them.
    """
    land = asked.land
    if isinstance(land, After):
        before = CourseKey(asked.keys[0].table, land.after)
        last = next((each.keys[-1] for each in everything if each.keys[0] == before), before)
        land = After(after=last.course, gap_s=Seconds(land.gap_s), fired=land.fired)
    for number, (key, plates) in enumerate(zip(asked.keys, asked.waves, strict=True)):
        if number and isinstance(land, AtTime) and asked.every_s is not None:
            land = AtTime(at=land.at + asked.every_s)
        elif number:
            gap_s = max(0, (asked.every_s or 0) - plating_s(asked.waves[number - 1], kitchen, book))
            land = After(after=asked.keys[number - 1].course, gap_s=Seconds(gap_s))
        yield Course(table=key.table, course=key.course, in_at=asked.in_at, land=land, plates=plates)


def free_name(course: str, taken: set[str]) -> str:
    """The course's name at its table: its own, or with the first number from 2 that is free ("mains 2")."""
    if course not in taken:
        return course
    number = 2
    while f"{course} {number}" in taken:
        number += 1
    return f"{course} {number}"


def _landing(land: "str | _AfterInFile", instant: Any) -> Land:
    if isinstance(land, _AfterInFile):
        return After(after=land.after, gap_s=Seconds(land.gap_s), fired=land.fired)
    if land == "asap":
        return Asap()
    return Hold() if land == "hold" else AtTime(at=instant(land))


def _unknown_dishes(written: Written, book: Book) -> Iterator[Fault]:
    for place in list(written.lines):
        match place:
            case ("orders", int(), "courses", int(), "plates", int(), "dish"):
                dish = written.at(place)
                if isinstance(dish, str) and dish not in book:
                    yield written.fault(place, f"there is no dish {dish!r} in the book", nearest(dish, book, "dishes"))


def _wrong_after(written: Written, courses: list[Course], places: dict[CourseKey, Place]) -> Iterator[Fault]:
    after = {CourseKey(c.table, c.course): c.land.after for c in courses if isinstance(c.land, After)}
    settled: set[CourseKey] = set()
    for key, other in after.items():
        place = (*places[key], "land", "after")
        others = [k.course for k in places if k.table == key.table and k != key]
        if other not in others:
            what = f"table {key.table} has no other course {other!r}"
            yield written.fault(place, what, nearest(other, others, "its other courses"))
            continue
        trail = [key]
        while (onward := after.get(trail[-1])) is not None and trail[-1] not in settled:
            step = CourseKey(key.table, onward)
            if step in trail:
                names = [k.course for k in trail[trail.index(step) :]]
                what = f"after goes round in a loop: {' -> '.join([*names, names[0]])}"
                yield written.fault(place, what, "let one of these land asap or at a time")
                break
            trail.append(step)
        settled.update(trail)


def question_of(orders: Orders, kitchen: Kitchen, book: Book) -> tuple[Question, tuple[Course, ...]]:
    """What the planner is asked, and the courses it is not asked for: held ones and those after a held one."""
    held = {CourseKey(c.table, c.course) for c in orders.courses if isinstance(c.land, Hold)}
    grown = True
    while grown:
        more = {
            CourseKey(c.table, c.course)
            for c in orders.courses
            if isinstance(c.land, After) and CourseKey(c.table, c.land.after) in held
        }
        grown = not more <= held
        held |= more
    wanted = tuple(
        Wanted(c.table, c.course, c.in_at, c.land, tuple(c.portions().items()))
        for c in orders.courses
        if CourseKey(c.table, c.course) not in held and not isinstance(c.land, Hold)
    )
    waiting = tuple(c for c in orders.courses if CourseKey(c.table, c.course) in held)
    return Question(kitchen, book, orders.plan_from, wanted), waiting


def write_orders(orders: Orders, kitchen: Kitchen) -> str:
    """The text of an orders.yaml that reads back as the same orders.

    Orders that came in at the same minute at one table are written as one. Instants must be whole minutes of the
    service's own night, as the file can say no others.
    """

    def quoted(text: str) -> Any:
        return Quoted(text)

    def clock_time(instant: int) -> Any:
        return quoted(datetime.fromtimestamp(instant, kitchen.zone).strftime("%H:%M"))

    together: dict[tuple[str, int], list[dict[str, Any]]] = {}
    for course in orders.courses:
        match course.land:
            case Asap():
                land: Any = "asap"
            case Hold():
                land = "hold"
            case AtTime(at=at):
                land = clock_time(at)
            case After(after=after, gap_s=gap_s, fired=fired):
                land = {"after": after, "gap": write_duration(gap_s), **({} if fired == "now" else {"fired": fired})}
        plates = [plate.model_dump(mode="json", by_alias=True, exclude_defaults=True) for plate in course.plates]
        asked = {"course": course.course, "land": land, "plates": plates}
        together.setdefault((course.table, course.in_at), []).append(asked)
    now = {} if orders.now is None else {"now": clock_time(orders.now)}
    listed = [
        {"table": quoted(table), "in": clock_time(in_at), "courses": courses}
        for (table, in_at), courses in together.items()
    ]
    out = StringIO()
    yaml = YAML()
    yaml.dump({"service": orders.service, **now, "orders": listed}, out)
    return out.getvalue()
