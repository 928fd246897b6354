"""What is put to the chef, and what the pass should know of the house: questions, what is off, short or spare.

All of it is read off the evening: a question is gone when it is answered or when its reason is gone.
"""

from collections.abc import Iterator

from kitchen_timer.service.allergies import allergy_words
from kitchen_timer.service.picture import CoursePicture, LoadPicture, Picture, load_picture
from kitchen_timer.service.state import CourseRun, Evening
from kitchen_timer.service.views import OffView, QuestionView, ShortView, SpareView
from kitchen_timer.service.words import load_words, sentence, span_words

NOTICED_S = 5
"""Food may stand so much longer than it keeps before anybody is asked."""


def questions_of(state: Evening, picture: Picture) -> tuple[QuestionView, ...]:
    """What only the chef can say, allergies first."""
    courses = [course for course in picture.values() if not course.run.off]
    allergic = [question for course in courses for question in _allergic(state, course)]
    dying = [question for course in courses if (question := _dying(state, course)) is not None]
    return (*allergic, *dying)


def _allergic(state: Evening, course: CoursePicture) -> Iterator[QuestionView]:
    loads = [load for load in course.loads if load.key in course.run.touched and load.begun and load.needed]
    for dish in dict.fromkeys(load.key.dish for load in loads):
        theirs = [load for load in loads if load.key.dish == dish]
        said = [
            allergy_words(allergy, plate)
            for plate in course.run.course.plates
            if plate.dish == dish
            for allergy in plate.allergies
        ]
        names = " and ".join(dict.fromkeys(load.component.name for load in theirs))
        yield QuestionView(
            id=f"allergy:{course.key}/{dish}",
            kind="allergy",
            course_id=str(course.key),
            words=f"Table {course.key.table}: {', '.join(said) or 'an allergy'} was told after {names} "
            f"{'was' if len(theirs) == 1 else 'were'} started. Cook again?",
            loads=tuple(str(load.key) for load in theirs),
        )


def _dying(state: Evening, course: CoursePicture) -> QuestionView | None:
    """Food of a course whose landing was moved under it. What is late for other reasons is said as trouble only."""
    run = course.run
    if not run.realigned or not course.planned or run.landed_at is not None:
        return None
    dying = [load for load in course.loads if load.key not in run.let_stand and _stands_too_long(course, load)]
    if not dying:
        return None
    words = "; ".join(
        f"{sentence(load_words(state, load.key))} would stand {span_words(course.stands_until(load) - load.end_at)} "
        f"and keeps {span_words(load.component.keeps_s)}"
        for load in dying
    )
    it = "it" if len(dying) == 1 else "them"
    return QuestionView(
        id=f"dying:{course.key}",
        kind="dying",
        course_id=str(course.key),
        words=f"{words}. Cook {it} again too?",
        loads=tuple(str(load.key) for load in dying),
    )


def _stands_too_long(course: CoursePicture, load: LoadPicture) -> bool:
    stands_s = course.stands_until(load) - load.end_at
    return load.begun and load.needed and stands_s > load.component.keeps_s + NOTICED_S


def off_of(state: Evening) -> tuple[OffView, ...]:
    """What there is none left of, and which open courses hold it."""
    views: list[OffView] = []
    for dish, component in sorted(state.none_left, key=str):
        holding = [str(key) for key, run in state.courses.items() if _has_to_cook(state, run, dish, component)]
        name = component if dish is None else state.book[dish].name
        wants = tuple(key for key in state.book if key not in state.former and _needs(state, key, dish, component))
        views.append(OffView(dish=dish, component=component, name=name or "", courses=tuple(holding), dishes=wants))
    return tuple(views)


def _has_to_cook(state: Evening, run: CourseRun, dish: str | None, component: str | None) -> bool:
    return any(
        run.to_cook(of_dish, key) > 0
        for of_dish in run.portions()
        for key, part in state.book[of_dish].components.items()
        if of_dish == dish or part.name == component
    )


def _needs(state: Evening, of_dish: str, dish: str | None, component: str | None) -> bool:
    return of_dish == dish or any(part.name == component for part in state.book[of_dish].components.values())


def short_of(state: Evening) -> tuple[ShortView, ...]:
    """Where the kitchen has not what its file says, more or less."""
    written, now = state.as_written, state.kitchen
    if written is None:
        return ()
    cooks = [
        ShortView("cooks", key, station.name, station.cooks, written.stations[key].cooks)
        for key, station in now.stations.items()
        if station.cooks != written.stations[key].cooks
    ]
    slots = [
        ShortView("slots", key, now.equipment_name(key), equipment.slots, written.equipment[key].slots)
        for key, equipment in now.equipment.items()
        if equipment.slots != written.equipment[key].slots
    ]
    return (*cooks, *slots)


def spare_of(state: Evening, now: int) -> tuple[SpareView, ...]:
    """Begun food that no plate needs, while it is good."""
    views: list[SpareView] = []
    for run in state.courses.values():
        for key, portions in sorted(run.spare().items()):
            load = load_picture(state, run, key, now)
            if load is None or (load.done and load.end_at + load.component.keeps_s < now):
                continue
            views.append(
                SpareView(
                    load=str(key),
                    component_name=load.component.name,
                    dish_name=state.book[key.dish].name,
                    table=key.table,
                    portions=portions,
                    ready_at=load.end_at,
                    keeps_until=load.end_at + load.component.keeps_s,
                    wanted_by=tuple(
                        str(other)
                        for other, taker in state.courses.items()
                        if other != run.key and taker.to_cook(key.dish, key.component)
                    ),
                )
            )
    return tuple(views)
