"""When the invented evening begins and ends, and what its guests order."""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, tzinfo

from kitchen_timer.files.order_file import Orders
from kitchen_timer.kitchen.seconds import instant_of
from kitchen_timer.kitchen.table import Course
from kitchen_timer.service.commands import CourseAsked, TakeOrder

OPENS_AT = time(19, 30)
"""What the kitchen's clock says when the demo is opened for the first time: a few tables are under way."""

PLAYED_S = 22 * 60
"""What is played through before anyone looks: who ordered earlier has eaten and gone."""

LAST_PLATE_S = 75 * 60
"""After the last order: by then all has long been sent."""


@dataclass(frozen=True)
class GuestOrder:
    """One table orders; the courses it names are the demo's own."""

    at: int
    """Seconds since 1970 UTC."""
    number: int
    """Its place in the evening: ordering it twice changes nothing."""
    order: TakeOrder

    @property
    def course_ids(self) -> tuple[str, ...]:
        """``8/mains`` for each of its courses."""
        return tuple(f"{self.order.table}/{asked.course}" for asked in self.order.courses)


@dataclass(frozen=True)
class DemoEvening:
    """One evening of the demo. Instants are seconds since 1970 UTC."""

    service: date
    begins_at: int
    """When the first guests order; up to ``opens_at`` it is played through before anyone looks."""
    opens_at: int
    ends_at: int
    orders: tuple[GuestOrder, ...]


def demo_evening(orders: Orders, zone: tzinfo, service: date | None = None) -> DemoEvening:
    """The evening of ``orders``, moved to another day of service if one is given."""
    day = orders.service if service is None else service
    moved = timedelta(days=(day - orders.service).days)

    def move(instant: int) -> int:
        # By the clock on the wall, not by 24 hours: 19:30 stays 19:30 when the clocks change in between.
        return int((datetime.fromtimestamp(instant, zone) + moved).timestamp())

    tables: dict[tuple[int, str], list[Course]] = {}
    for course in orders.courses:
        tables.setdefault((course.in_at, course.table), []).append(course)
    guests = [
        GuestOrder(
            at=move(in_at),
            number=number,
            order=TakeOrder(
                table=table,
                courses=tuple(CourseAsked(c.course, c.plates, c.land) for c in courses),
                allergies_asked=True,
            ),
        )
        for number, ((in_at, table), courses) in enumerate(sorted(tables.items(), key=lambda item: item[0]))
    ]
    opens_at = instant_of(day, OPENS_AT, zone)
    begins_at = opens_at - PLAYED_S
    still_here = tuple(guest for guest in guests if guest.at >= begins_at)
    last = max((guest.at for guest in still_here), default=opens_at)
    return DemoEvening(day, begins_at, opens_at, last + LAST_PLATE_S, still_here)
