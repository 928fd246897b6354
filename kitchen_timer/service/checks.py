"""What to check before a course is sent: allergies first, core temperatures unread, what has stood how long."""

from collections.abc import Iterator

from kitchen_timer.plan.question import StepKey
from kitchen_timer.service.allergies import allergy_words, cross_contact_words
from kitchen_timer.service.picture import CoursePicture, LoadPicture
from kitchen_timer.service.state import CourseRun, Evening
from kitchen_timer.service.views import CheckLine
from kitchen_timer.service.words import span_words


def checks_of(state: Evening, course: CoursePicture, now: int) -> tuple[CheckLine, ...]:
    """The lines for a course at the pass; none before it is there."""
    if course.run.landed_at is None:
        return ()
    return (*_allergies(state, course), *_core_temps(state, course), *_standing(state, course, now))


def _allergies(state: Evening, course: CoursePicture) -> Iterator[CheckLine]:
    for plate in course.run.course.plates:
        dish = state.book[plate.dish]
        shared = cross_contact_words(dish, state.kitchen)
        for allergy in plate.allergies:
            words = f"{allergy_words(allergy, plate, course.key.table)} · {dish.name}"
            yield CheckLine("allergy", f"{words} · {shared}" if shared else words)


def _core_temps(state: Evening, course: CoursePicture) -> Iterator[CheckLine]:
    """What is still to be read, and what read too low; gone when every load of the component has been read."""
    parts: dict[tuple[str, str], list[LoadPicture]] = {}
    for load in course.loads:
        if load.needed:
            parts.setdefault((load.key.dish, load.key.component), []).append(load)
    for loads in parts.values():
        asked = [step for step in loads[0].component.steps if step.core_temp is not None]
        left = [key for load in loads for key in unread(course.run, load)]
        if not left:
            continue
        wanted = max(step.core_temp for step in asked if step.core_temp is not None)
        name, low = loads[0].component.name, [course.run.temps[key].celsius for key in left if key in course.run.temps]
        words = f"{name}: read {wanted:g} °C in the middle"
        if low:
            words = f"{name} read {min(low):g} °C, {wanted:g} °C is asked for: follow your food-safety plan"
        yield CheckLine("core_temp", words, steps=tuple(map(str, left)), core_temp=wanted)


def unread(run: CourseRun, load: LoadPicture) -> list[StepKey]:
    """Steps of a load whose core temperature has not been read, or was below what they ask for."""
    return [
        step.key
        for step, what in zip(load.steps, load.component.steps, strict=True)
        if what.core_temp is not None and not (step.key in run.temps and run.temps[step.key].enough)
    ]


def _standing(state: Evening, course: CoursePicture, now: int) -> Iterator[CheckLine]:
    """Longest past its keeps first. What others of its dish waited for is on no plate by itself any more."""
    standing = []
    for load in course.loads:
        dependants = state.book[load.key.dish].dependants_of(load.key.component)
        if not dependants and load.done and load.needed:
            stood_s = max(0, now - load.end_at)
            standing.append((stood_s - load.component.keeps_s, stood_s, load))
    for over_s, stood_s, load in sorted(standing, key=lambda each: (-each[0], str(each[2].key))):
        words = f"{load.component.name} has stood {span_words(stood_s)} of {span_words(load.component.keeps_s)}"
        yield CheckLine("stands", f"{words}: past what it keeps" if over_s > 0 else words)
