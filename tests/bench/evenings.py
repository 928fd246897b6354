"""Evenings in invented kitchens: what is open at a moment, and what happens after it. The same every time.

How busy it is: orders come so fast that the busiest station, equipment or the pass has 70 % of its hands or slots
taken, were nothing shared (``load`` of each function; 1.0 would be all of it).
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from random import Random
from statistics import fmean

from kitchen_timer.kitchen.dish import Book
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.kitchen.table import After, Asap, AtTime
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.loads import split_course
from kitchen_timer.plan.question import LoadKey, Question, StepKey, Wanted
from kitchen_timer.plan.targets import alone_s
from kitchen_timer.service.going import HEADS_UP_S
from tests.bench.kitchens import LARGEST_TABLE, Portions, averages, kitchen_and_book, taken_s
from tests.builders import after, at
from tests.properties.evening import advance

LOAD = 0.7
"""Of the busiest resource."""
ASAP_WITHIN_S = 90
"""A course wanted so soon after it could be ready at all is wanted as soon as can be."""
MINUTE_S = 60
SIZES = (2, 2, 2, 3, 4, 4, 5, LARGEST_TABLE)
"""Covers of a table, the usual ones more often."""
COURSES = (*("starters",) * 4, *("mains",) * 6, "desserts")
DRAWN = 1000
"""Courses from which the average demand is worked out."""
SLOW_SHARE = 0.04
"""Of the steps going on when something happens, so many take longer than the book says."""

Planner = Callable[[Question, Answer | None], Answer]


def snapshot(kitchen_seed: int, open_courses: int, seed: int, load: float = LOAD) -> Question:
    """A moment, second 0, with so many courses open and nothing started; every course could land alone.

    ``kitchen_seed`` 0 is the demo kitchen. Landings are wanted over as long as the busiest resource needs for them at
    ``load``: the first as soon as can be, others at a time or some minutes after the table's course before.
    """
    of, book = kitchen_and_book(kitchen_seed)
    chance = Random(f"snapshot {kitchen_seed} {open_courses} {seed}")
    window_s = open_courses * demand_s(kitchen_seed) / load
    wanted: list[Wanted] = []
    first_ups: list[tuple[str, int]] = []
    """Starters that mains can follow: table, and about when they are up."""
    spread = sorted(chance.uniform(0, window_s) for _ in range(open_courses))
    for number, later_s in enumerate(spread, start=1):
        course, portions, alone = some_course(chance, of, book)
        before = next((each for each in first_ups if each[1] + 5 * MINUTE_S < alone + later_s), None)
        if course == "mains" and before is not None and later_s >= ASAP_WITHIN_S:
            first_ups.remove(before)
            gap_s = int(alone + later_s - before[1]) // MINUTE_S * MINUTE_S
            ordered_at = next(w.in_at for w in wanted if w.table == before[0])
            wanted.append(Wanted(before[0], course, ordered_at, after("starters", gap_s), portions))
            continue
        made = _wanted(chance, str(number), course, portions, 0, alone, later_s)
        wanted.append(made)
        if course == "starters" and chance.random() < 0.6:
            first_ups.append((made.table, int(alone + later_s) + MINUTE_S))
    return Question(of, book, 0, tuple(wanted))


@dataclass(frozen=True)
class Event:
    """Something happened: what there is to plan now, and the plan that was running."""

    what: str
    """``order``: a course came in; ``tap``: food that has started takes longer than planned."""
    question: Question
    previous: Answer


def events(
    kitchen_seed: int, open_courses: int, seed: int, planner: Planner, count: int, load: float = LOAD
) -> Iterator[Event]:
    """So many events of an evening with about so many courses open, one after another.

    What has started by the time of an event stands in its question as it started; cues that stations have been told
    are announced. ``planner`` answers every event (and the snapshot that the evening begins with); its answer is
    the plan that runs until the next one.
    """
    of, book = kitchen_and_book(kitchen_seed)
    chance = Random(f"events {kitchen_seed} {open_courses} {seed}")
    question = snapshot(kitchen_seed, open_courses, seed, load)
    answer = planner(question, None)
    between_s, number = demand_s(kitchen_seed) / load, 100
    for _ in range(count):
        now = question.now + 1 + int(chance.expovariate(1 / between_s))
        slow = {key: _slow(chance) for key in answer.by_load}
        question = advance(question, answer, now, slow_s=slow.__getitem__)
        question = replace(question, announced=_told(question, answer))
        what = "tap"
        while len(question.courses) < open_courses:
            number, what = number + 1, "order"
            course, portions, alone = some_course(chance, of, book)
            ahead_s = max(ASAP_WITHIN_S, open_courses * between_s - alone)
            made = _wanted(chance, str(number), course, portions, now, alone, chance.uniform(0, 2 * ahead_s))
            question = replace(question, courses=(*question.courses, replace(made, in_at=now)))
        yield Event(what, question, answer)
        answer = planner(question, answer)


@lru_cache(maxsize=64)
def demand_s(kitchen_seed: int) -> float:
    """Seconds for which one course takes all of the busiest resource, on average: orders this far apart fill it."""
    of, book = kitchen_and_book(kitchen_seed)
    chance = Random(f"demand {kitchen_seed}")
    courses = [drawn for _ in range(DRAWN) if (drawn := _drawn(chance, book)[1])]
    return max(averages([taken_s(of, book, portions) for portions in courses]).values())


def some_course(chance: Random, of: Kitchen, book: Book) -> tuple[str, Portions, int]:
    """A course that could land alone: its name, plates of each dish, and in how many seconds."""
    while True:
        course, portions = _drawn(chance, book)
        alone = alone_s(of, book, portions) if portions else None
        if alone is not None:
            return course, portions, alone


def _drawn(chance: Random, book: Book) -> tuple[str, Portions]:
    """A course and plates of one to three dishes of it; none where the table could not agree on three."""
    covers = chance.choice(SIZES)
    course = chance.choice(COURSES)
    menu = [name for name, made in book.items() if made.course == course]
    chosen = chance.choices(menu, k=covers)
    if len(set(chosen)) > 3:
        return course, ()
    return course, tuple((name, chosen.count(name)) for name in dict.fromkeys(chosen))


def steps_of(question: Question) -> int:
    """Steps of all loads of all courses."""
    return sum(
        len(question.book[load.key.dish].components[load.key.component].steps)
        for wanted in question.courses
        for load in split_course(question.kitchen, question.book, wanted)
    )


def steps_a_course(questions: list[Question]) -> float:
    """On average."""
    return fmean(steps_of(question) / len(question.courses) for question in questions)


def _wanted(
    chance: Random, table: str, course: str, portions: Portions, now: int, alone: int, later_s: float
) -> Wanted:
    land: Asap | AtTime | After = Asap()
    in_at = now - chance.randint(0, 2 * MINUTE_S)
    if later_s >= ASAP_WITHIN_S:
        land = at(-(-int(now + alone + later_s) // MINUTE_S) * MINUTE_S)
        in_at = now - chance.randint(0, 20 * MINUTE_S)
    return Wanted(table, course, in_at, land, portions)


def _slow(chance: Random) -> int:
    return chance.choice([20, 30, 45]) if chance.random() < SLOW_SHARE else 0


def _told(question: Question, answer: Answer) -> dict[StepKey, int]:
    """Starts that stations have been told by now, of food that has not started: those told once stay told."""
    begun = {LoadKey(*w.key, b.dish, b.component, b.load): len(b.steps) for w in question.courses for b in w.begun}
    told: dict[StepKey, int] = {}
    for key, step in answer.by_step.items():
        if question.course(key.of_course) is None or key.step < begun.get(key.of_load, 0):
            continue
        if step.start_at - HEADS_UP_S <= question.now:
            told[key] = question.announced.get(key, step.start_at)
    return told
