"""Plates added, changed and taken off after the order, also while they cook; allergies told late.

Food does not belong to a guest until it is plated: what has begun is used for whatever plates of its dish the course
still has, and what none needs is spare.
"""

from kitchen_timer.kitchen.problems import AllergiesNotAsked, BadMessage, Fault, NotNow, UnknownTable
from kitchen_timer.kitchen.table import Plate
from kitchen_timer.plan.question import LoadKey
from kitchen_timer.service.events import CourseTakenOff, Event, PlatesChanged
from kitchen_timer.service.naming import open_course
from kitchen_timer.service.state import CourseRun, Evening
from kitchen_timer.service.taking import can_be_had, not_too_many
from kitchen_timer.service.words import course_words

LONGEST_ALLERGY = 40


def add_plates(course_id: str, plates: tuple[Plate, ...], allergies_asked: bool, state: Evening) -> tuple[Event, ...]:
    """Plates more for an open course."""
    run = open_course(state, course_id)
    if not allergies_asked:
        raise AllergiesNotAsked(
            f"Nothing was added to {course_words(run.key)}: nobody said that allergies were asked for.",
            "Ask the dining room, then add it.",
            where="allergies_asked",
        )
    if not plates:
        raise _nothing("plates", "add at least one plate")
    for index, plate in enumerate(plates):
        can_be_had(plate.dish, f"plates[{index}].dish", state)
    not_too_many((*run.course.plates, *plates), "plates")
    return (PlatesChanged(run.key, _put_together((*run.course.plates, *plates))),)


def change_plate(course_id: str, was: Plate, to: Plate, state: Evening) -> tuple[Event, ...]:
    """So many plates as ordered become others."""
    run = open_course(state, course_id)
    left = _without(run, (was,), "was")
    if to.qty != was.qty:
        fault = Fault("to.qty", f"{was.qty} plates cannot become {to.qty}", f"send {was.qty}, then add or take off")
        raise BadMessage("The plates were not changed.", [fault])
    if to == was:
        raise _nothing("to", "send how the plates are to be")
    if to.dish != was.dish:
        can_be_had(to.dish, "to.dish", state)
    gained = set(to.allergies) - set(was.allergies)
    touched = _begun_of(run, to.dish) if gained else ()
    return (PlatesChanged(run.key, _put_together((*left, to)), touched),)


def take_off(course_id: str, plates: tuple[Plate, ...], state: Evening) -> tuple[Event, ...]:
    """Plates that are no longer wanted; the last ones take the course off."""
    run = open_course(state, course_id)
    if not plates:
        raise _nothing("plates", "name at least one plate")
    left = _without(run, plates, "plates")
    return (PlatesChanged(run.key, left),) if left else (CourseTakenOff(run.key),)


def take_off_course(course_id: str, state: Evening) -> tuple[Event, ...]:
    """A whole course that is no longer wanted."""
    return (CourseTakenOff(open_course(state, course_id).key),)


def tell_allergy(
    table: str, allergies: tuple[str, ...], seat: str, dish: str | None, state: Evening
) -> tuple[Event, ...]:
    """An allergy told after the order, on the plates of that seat, of that dish, or of the whole table."""
    told = tuple(dict.fromkeys(word.strip() for word in allergies))
    if not told or any(not 1 <= len(word) <= LONGEST_ALLERGY for word in told):
        raise _nothing("allergies", f"name each allergy in 1 to {LONGEST_ALLERGY} letters")
    courses = [run for key, run in state.courses.items() if key.table == table and not run.off]
    if not courses:
        raise UnknownTable(
            f"Table {table} has nothing open.", "Name a table that has, or tell it with the order.", where="table"
        )
    events: list[Event] = []
    for run in courses:
        theirs = [plate for plate in run.course.plates if _is_theirs(plate, seat.strip(), dish)]
        if not theirs:
            continue
        plates = [
            plate.model_copy(update={"allergies": tuple(dict.fromkeys((*plate.allergies, *told)))})
            if plate in theirs
            else plate
            for plate in run.course.plates
        ]
        if tuple(plates) != run.course.plates:
            touched = [load for of in dict.fromkeys(plate.dish for plate in theirs) for load in _begun_of(run, of)]
            events.append(PlatesChanged(run.key, tuple(plates), tuple(touched)))
    if not events:
        seats = ", ".join(dict.fromkeys(p.seat for run in courses for p in run.course.plates if p.seat)) or "none"
        raise NotNow(
            f"No open plate of table {table} is meant, or each has it already.",
            f"Leave the seat and the dish out to put it on every plate; seats that are known: {seats}.",
            where="seat" if seat else "dish" if dish else "allergies",
        )
    return tuple(events)


def _is_theirs(plate: Plate, seat: str, dish: str | None) -> bool:
    # A plate whose seat nobody named may be that guest's: better one word too many.
    return (not seat or not plate.seat or plate.seat.casefold() == seat.casefold()) and dish in (None, plate.dish)


def _begun_of(run: CourseRun, dish: str) -> tuple[LoadKey, ...]:
    return tuple(sorted(load for load in run.loads if load.dish == dish))


def _same(one: Plate, other: Plate) -> bool:
    return one.model_copy(update={"qty": 1}) == other.model_copy(update={"qty": 1})


def _without(run: CourseRun, plates: tuple[Plate, ...], where: str) -> tuple[Plate, ...]:
    """The course's plates less these; refused where it has not got them."""
    left = list(run.course.plates)
    for index, gone in enumerate(plates):
        still = gone.qty
        for place, plate in enumerate(left):
            if still and plate.qty and _same(plate, gone):
                taken = min(still, plate.qty)
                left[place] = plate.model_copy(update={"qty": plate.qty - taken})
                still -= taken
        if still:
            place_words = f"{where}[{index}]" if where == "plates" else where
            has = "; ".join(_plate_words(plate) for plate in run.course.plates)
            fault = Fault(place_words, f"{course_words(run.key)} has not got {_plate_words(gone)}", f"it has {has}")
            raise BadMessage("The plates were not changed.", [fault])
    return tuple(plate for plate in left if plate.qty)


def _plate_words(plate: Plate) -> str:
    parts = [f"{plate.qty} {plate.dish}", f"seat {plate.seat}" if plate.seat else "", plate.note, *plate.allergies]
    return ", ".join(part for part in parts if part)


def _put_together(plates: tuple[Plate, ...]) -> tuple[Plate, ...]:
    """The same plates in one line each."""
    lines: list[Plate] = []
    for plate in plates:
        same = next((index for index, other in enumerate(lines) if _same(other, plate)), None)
        if same is None:
            lines.append(plate)
        else:
            lines[same] = lines[same].model_copy(update={"qty": lines[same].qty + plate.qty})
    return tuple(lines)


def _nothing(where: str, cure: str) -> BadMessage:
    return BadMessage("Nothing was changed.", [Fault(where, "there is nothing in it", cure)])
