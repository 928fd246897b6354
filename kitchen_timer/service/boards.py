"""What the pass and the stations see, drawn from the evening. Reads no clock and keeps nothing."""

from collections.abc import Iterable, Mapping

from kitchen_timer.kitchen.table import Course
from kitchen_timer.plan.honest.promise import promised_at
from kitchen_timer.plan.question import CourseKey
from kitchen_timer.service.actions import actions_of
from kitchen_timer.service.allergies import allergies_of
from kitchen_timer.service.asking import off_of, questions_of, short_of, spare_of
from kitchen_timer.service.checks import checks_of
from kitchen_timer.service.notes import Shared, load_notes, notes_of, shared_slots
from kitchen_timer.service.picture import CoursePicture, Picture, picture_of
from kitchen_timer.service.state import Evening
from kitchen_timer.service.troubles import station_troubles, troubles_of
from kitchen_timer.service.views import (
    CannotView,
    CourseView,
    DishView,
    HeldView,
    NoteView,
    PassBoard,
    SentView,
    StationBoard,
    StationInTouch,
)

AHEAD_S = 600
"""How far a station's board looks ahead: enough to go on for ten minutes when out of touch."""

SENT_SHOWN = 8

NOT_PLANNED = "Not planned yet: its landing is being worked out"


def pass_board(
    state: Evening,
    now: int,
    *,
    stations: tuple[StationInTouch, ...] = (),
    trouble: Iterable[str] = (),
    if_fired: Mapping[CourseKey, int] | None = None,
    replanning: bool = False,
) -> PassBoard:
    """All the pass screen shows at ``now`` (seconds since 1970 UTC)."""
    picture = picture_of(state, now)
    shared = shared_slots(picture)
    cannot = _cannot(state)
    impossible = {(view.table, view.course) for view in cannot}
    courses = [
        course_view(state, course, shared, now)
        for key, course in picture.items()
        if state.is_planned(key) and tuple(key) not in impossible
    ]
    return PassBoard(
        seq=state.seq,
        now=now,
        courses=tuple(sorted(courses, key=lambda view: (view.landing_at, view.id))),
        held=tuple(
            _held(state, key, if_fired or {})
            for key, run in state.courses.items()
            if not state.is_planned(key) and not run.off
        ),
        cannot=cannot,
        sent=_sent(state),
        stations=stations,
        trouble=tuple(dict.fromkeys([*trouble, *troubles_of(state, picture, now)])),
        all_day=all_day(state),
        replanning=replanning,
        questions=questions_of(state, picture),
        off=off_of(state),
        short=short_of(state),
        spare=spare_of(state, now),
    )


def station_board(state: Evening, station: str, now: int, trouble: Iterable[str] = ()) -> StationBoard:
    """All a station's phone shows at ``now``: what runs and what comes within ten minutes."""
    picture = picture_of(state, now)
    return StationBoard(
        seq=state.seq,
        now=now,
        station=station,
        station_name=state.kitchen.stations[station].name,
        actions=actions_of(state, picture, station, until=now + AHEAD_S),
        notes=tuple(_station_notes(state, picture, station, now)),
        trouble=tuple(dict.fromkeys([*trouble, *station_troubles(state, picture, station, now)])),
        taps=state.kitchen.stations[station].taps,
    )


def _station_notes(state: Evening, picture: Picture, station: str, now: int) -> list[NoteView]:
    shared = shared_slots(picture)
    notes = [
        note
        for course in picture.values()
        for load in course.loads
        if load.component.station == station
        for note in load_notes(state, course, load, shared, now)
        if note.state != "done" and note.start_at <= now + AHEAD_S
    ]
    return sorted(notes, key=lambda note: (note.start_at, note.id))


def course_view(state: Evening, course: CoursePicture, shared: Shared, now: int) -> CourseView:
    """One course of the pass screen or of a quote."""
    ordered = course.run.course
    lands = (state.plan.ranges or {}).get(course.key) if state.plan and course.run.landed_at is None else None
    promise = promised_at(course.landing_at, lands.p80_at, state.scores) if lands else None
    return CourseView(
        id=str(course.key),
        table=ordered.table,
        course=ordered.course,
        plates=ordered.plate_count,
        dishes=dishes_of(state, ordered),
        allergies=allergies_of(ordered, state.book, state.kitchen),
        target_at=course.target_at,
        landing_at=course.landing_at,
        up_at=course.up_at,
        late_s=course.late_s,
        cause=_cause(state, course),
        at_pass=course.run.landed_at is not None,
        notes=tuple(notes_of(state, course, shared, now)),
        checks=checks_of(state, course, now),
        spread_s=course.spread_s,
        promised_at=promise,
        lands_from=lands.p10_at if lands else None,
        lands_to=max(lands.p90_at, course.landing_at, promise or 0) if lands else None,
        urgent=course.run.urgent,
        away_since=state.away.get(ordered.table),
    )


def _cause(state: Evening, course: CoursePicture) -> str:
    if not course.planned and course.run.landed_at is None:
        return NOT_PLANNED
    return state.causes.get(course.key, "") if course.late_s > 0 else ""


def dishes_of(state: Evening, course: Course) -> tuple[DishView, ...]:
    """The plates of a course as ordered."""
    return tuple(
        DishView(
            dish=plate.dish,
            name=state.book[plate.dish].name,
            qty=plate.qty,
            note=plate.note,
            seat=plate.seat,
            allergies=plate.allergies,
        )
        for plate in course.plates
    )


def _held(state: Evening, key: CourseKey, if_fired: Mapping[CourseKey, int]) -> HeldView:
    course = state.courses[key].course
    before = None if state.courses[key].held else state.waits_for_held(key)
    waits_for = "the guest is away" if key.table in state.away else f"after {before}" if before else ""
    return HeldView(
        id=str(key),
        table=key.table,
        course=key.course,
        plates=course.plate_count,
        dishes=dishes_of(state, course),
        allergies=allergies_of(course, state.book, state.kitchen),
        landing_if_fired=if_fired.get(key),
        waits_for=waits_for,
        away_since=state.away.get(key.table),
    )


def _cannot(state: Evening) -> tuple[CannotView, ...]:
    if state.plan is None:
        return ()
    return tuple(
        CannotView(id=str(each.key), table=each.table, course=each.course, why=each.why, would_help=each.would_help)
        for each in state.plan.impossible
        if state.is_planned(each.key)
    )


def _sent(state: Evening) -> tuple[SentView, ...]:
    latest = list(state.sent.values())[-SENT_SHOWN:]
    return tuple(
        SentView(
            id=str(sent.key),
            table=sent.key.table,
            course=sent.key.course,
            plates=sent.course.plate_count,
            sent_at=sent.sent_at,
            landed_at=sent.landed_at,
            spread_s=sent.spread_s,
            late_s=sent.late_s,
            past_keeps=sent.past_keeps,
            seq=sent.command,
        )
        for sent in reversed(latest)
    )


def all_day(state: Evening) -> tuple[tuple[str, int], ...]:
    """Portions of each component still to be cooked over all open courses, the most first."""
    wanted: dict[str, int] = {}
    for run in state.courses.values():
        if run.landed_at is not None:
            continue
        for dish in run.course.portions():
            for key, component in state.book[dish].components.items():
                if left := run.to_cook(dish, key):
                    wanted[component.name] = wanted.get(component.name, 0) + left
    return tuple(sorted(wanted.items(), key=lambda item: (-item[1], item[0])))
