"""Food that is lost, wholly or in part, and food that changes its table: cook again, the chef's answers, spare food."""

from collections.abc import Iterator

from kitchen_timer.kitchen.problems import BadMessage, Fault, NotNow, UnknownDish, UnknownTable
from kitchen_timer.kitchen.table import Asap, Course, Plate
from kitchen_timer.plan.question import CourseKey, LoadKey
from kitchen_timer.service.ask_planner import course_key
from kitchen_timer.service.events import CourseRushed, Event, LetStand, LoadGiven, LoadLost, OrderTaken
from kitchen_timer.service.naming import known_load, load_key, open_course
from kitchen_timer.service.state import CourseRun, Evening, LoadRun
from kitchen_timer.service.taking import free_name
from kitchen_timer.service.words import course_words, load_words, sentence


def cook_again(load: str, portions: int | None, state: Evening, now: int) -> tuple[Event, ...]:
    """A begun load, or so many portions of it, is lost: they are cooked again under the next number."""
    key = load_key(load, state)
    known_load(state, key, now)
    run = _begun(state, key, "load")
    if portions is None or portions == run.portions:
        return (LoadLost(key, now),)
    if not 1 <= portions <= run.portions:
        raise _not_so_many("portions", portions, f"the load has {run.portions}", f"name 1 to {run.portions}")
    return (LoadLost(key, now, portions),)


def _begun(state: Evening, key: LoadKey, where: str) -> LoadRun:
    run = state.load(key)
    if run is None:
        raise NotNow(
            f"{sentence(load_words(state, key))} has not been started, so nothing is lost.",
            "It is cooked when its time comes.",
            where=where,
        )
    return run


def _not_so_many(where: str, asked: int, has: str, cure: str) -> BadMessage:
    return BadMessage(
        f"{asked} cannot be taken: nothing was changed.", [Fault(where, f"{asked} asked for, {has}", cure)]
    )


def cook_plates_again(course_id: str, dish: str, plates: int, state: Evening, now: int) -> tuple[Event, ...]:
    """So many whole plates are lost: what has begun of them is cooked again. Of a course that went, on the fly."""
    key = _key(course_id, state)
    if key in state.sent and key not in state.courses:
        return _sent_back(key, dish, plates, state, now)
    run = open_course(state, course_id)
    _on_the_course(run.course, dish, plates)
    events: list[Event] = []
    for name in state.book[dish].components:
        events += _lose(run, dish, name, plates, now)
    if not events:
        raise NotNow(
            f"{course_words(key)} has nothing of {state.book[dish].name} on the fire yet, so nothing is lost.",
            "It is cooked when its time comes.",
            where="dish",
        )
    return tuple(events)


def _key(course_id: str, state: Evening) -> CourseKey:
    try:
        return state.now_called(course_key(course_id))
    except ValueError as wrong:
        raise UnknownTable(f"{wrong}.", where="course_id") from None


def _on_the_course(course: Course, dish: str, plates: int) -> None:
    has = course.portions()
    if dish not in has:
        raise UnknownDish(
            f"Table {course.table}'s {course.course} has no {dish!r}.", f"It has {', '.join(has)}.", where="dish"
        )
    if not 1 <= plates <= has[dish]:
        raise _not_so_many("plates", plates, f"the course has {has[dish]}", f"name 1 to {has[dish]}")


def _lose(run: CourseRun, dish: str, component: str, portions: int, now: int) -> Iterator[Event]:
    """Portions of a component, of what is furthest on first: that is what stands on the plate."""
    left = portions
    begun = [(key, load) for key, load in run.loads.items() if (key.dish, key.component) == (dish, component)]
    for key, load in sorted(begun, key=lambda each: (-each[1].furthest, each[0])):
        lost = min(left, load.portions)
        if lost:
            yield LoadLost(key, now, None if lost == load.portions else lost)
        left -= lost


def _sent_back(key: CourseKey, dish: str, plates: int, state: Evening, now: int) -> tuple[Event, ...]:
    gone = state.sent[key].course
    _on_the_course(gone, dish, plates)
    again: list[Plate] = []
    left = plates
    for plate in sorted(gone.plates, key=lambda each: not each.allergies):
        if plate.dish == dish and left:
            again.append(plate.model_copy(update={"qty": min(left, plate.qty)}))
            left -= again[-1].qty
    name = free_name(key.course, state.names_at(key.table))
    course = Course(table=key.table, course=name, in_at=now, land=Asap(), plates=tuple(again))
    return (OrderTaken((course,)), CourseRushed(CourseKey(key.table, name), now))


def answer_again(loads: tuple[str, ...], again: bool, state: Evening, now: int) -> tuple[Event, ...]:
    """The chef's word on loads that were asked about: cook them again too, or let them be."""
    if not loads:
        fault = Fault("loads", "no load is named", "send the loads of the question")
        raise BadMessage("The answer names nothing.", [fault])
    keys = list(dict.fromkeys(load_key(load, state) for load in loads))
    for key in keys:
        known_load(state, key, now)
        _begun(state, key, "loads")
    return tuple(LoadLost(key, now) for key in keys) if again else (LetStand(tuple(keys)),)


def give_load(load: str, course_id: str, portions: int | None, state: Evening, now: int) -> tuple[Event, ...]:
    """Begun portions of one course for another that wants the same and has not begun it."""
    key = load_key(load, state)
    known_load(state, key, now)
    run = _begun(state, key, "load")
    taker = open_course(state, course_id)
    if taker.key == key.of_course:
        raise NotNow(
            f"{sentence(load_words(state, key))} is that course's already.", "Name another.", where="course_id"
        )
    wanted = taker.to_cook(key.dish, key.component)
    if wanted == 0:
        raise NotNow(
            f"{course_words(taker.key)} needs no {state.component(key).name} any more.",
            "Give it to a course that has still to cook it.",
            where="course_id",
        )
    most = min(wanted, run.portions)
    if portions is not None and not 1 <= portions <= most:
        raise _not_so_many("portions", portions, f"{most} can be given", f"name 1 to {most}")
    to = LoadKey(*taker.key, key.dish, key.component, _free_number(state, taker, key))
    return (LoadGiven(key, to, portions or most),)


def _free_number(state: Evening, taker: CourseRun, key: LoadKey) -> int:
    planned = [
        load.load
        for load in (state.plan.by_load if state.plan else ())
        if load.of_course == taker.key and (load.dish, load.component) == (key.dish, key.component)
    ]
    return max([taker.next_load(key.dish, key.component), *(number + 1 for number in planned)])
