"""The plan laid out load by load: what has started as the question has it, the rest as the answer says."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from math import ceil

from kitchen_timer.kitchen.dish import Component
from kitchen_timer.plan.answer import Answer, PlannedCourse, PlannedStep
from kitchen_timer.plan.check.broken import Break
from kitchen_timer.plan.question import BegunLoad, CourseKey, LoadKey, Question, Wanted


@dataclass(slots=True)
class Laid:
    """One load with the instants of all its steps (of the started ones only, where its course is not planned)."""

    key: LoadKey
    component: Component
    portions: int
    starts: list[int]
    ends: list[int]
    begun: int
    """How many of its steps have started."""
    course: Wanted

    @property
    def start(self) -> int:
        """When its first step starts."""
        return self.starts[0]

    @property
    def end(self) -> int:
        """When its last step ends."""
        return self.ends[-1]

    def step(self, index: int) -> str:
        """The name of one of its steps."""
        return f"{self.key}/{index}"


@dataclass
class Table:
    """All that the rules are read against."""

    question: Question
    answer: Answer
    planned: dict[CourseKey, tuple[Wanted, PlannedCourse]] = field(default_factory=dict)
    loads: list[Laid] = field(default_factory=list)
    """Loads of the planned courses whose every step is known."""
    adrift: list[Laid] = field(default_factory=list)
    """Started loads of courses that are not planned: they still take slots and hands."""
    faults: list[Break] = field(default_factory=list)

    @cached_property
    def by_dish(self) -> dict[tuple[str, str, str], dict[str, list[Laid]]]:
        """Of each dish of each course, the loads by component."""
        dishes: dict[tuple[str, str, str], dict[str, list[Laid]]] = {}
        for load in self.loads:
            table, course, dish, component, _ = load.key
            dishes.setdefault((table, course, dish), {}).setdefault(component, []).append(load)
        return dishes


def lay_out(question: Question, answer: Answer) -> Table:
    """Reads an answer against its question; what cannot be read is noted in ``faults``."""
    table = Table(question, answer)
    wanted = {course.key: course for course in question.courses}
    readable = {dish for dish in {d for c in question.courses for d, _ in c.portions} if _can_be_read(question, dish)}
    for planned in answer.courses:
        course = wanted.get(planned.key)
        if course is None or planned.key in table.planned:
            continue
        if unknown := [dish for dish, _ in course.portions if dish not in readable]:
            what = f"is planned with {', '.join(unknown)}, which this book and kitchen do not have"
            table.faults.append(Break(9, str(planned.key), what, 1))
            continue
        table.planned[planned.key] = (course, planned)
    steps: dict[LoadKey, list[PlannedStep]] = {}
    for step in answer.steps:
        steps.setdefault(LoadKey(*step.key[:5]), []).append(step)
    for each in question.courses:
        for begun in each.begun:
            if begun.dish in readable:
                _lay_begun(table, each, begun, steps)
    for key, of_load in steps.items():
        _lay_new(table, wanted.get(CourseKey(key.table, key.course)), key, of_load)
    _add_up(table)
    return table


def _can_be_read(question: Question, dish: str) -> bool:
    """Whether the book has the dish and the kitchen the stations and the equipment that it names."""
    if dish not in question.book:
        return False
    return all(
        component.station in question.kitchen.stations
        and all(step.on is None or step.on in question.kitchen.equipment for step in component.steps)
        for component in question.book[dish].components.values()
    )


def _lay_begun(table: Table, course: Wanted, begun: BegunLoad, steps: dict[LoadKey, list[PlannedStep]]) -> None:
    key = LoadKey(course.table, course.course, begun.dish, begun.component, begun.load)
    component = table.question.book[begun.dish].components[begun.component]
    starts = [step.start_at for step in begun.steps]
    ends = [step.end_at for step in begun.steps]
    load = Laid(key, component, begun.portions, starts, ends, len(starts), course)
    answered = {step.key.step: step for step in steps.pop(key, [])}
    for index, (start, end) in enumerate(zip(starts, ends, strict=True)):
        step = answered.get(index)
        if step is None:
            if course.key in table.planned:
                table.faults.append(Break(0, load.step(index), "a started step is left out of the plan", 1))
        elif (step.start_at, step.end_at, step.portions) != (start, end, begun.portions):
            moved = abs(step.start_at - start) + abs(step.end_at - end) + abs(step.portions - begun.portions)
            table.faults.append(Break(0, load.step(index), "a started step is not where it started", moved))
    if course.key not in table.planned:
        if len(answered) > len(starts):
            table.faults.append(Break(9, str(key), "a step is planned for a course that is not in the plan", 1))
        table.adrift.append(load)
        return
    for index in range(len(starts), len(component.steps)):
        step = answered.get(index)
        if step is None:
            # A landed course has all its food by the chef's word: nothing more is done to it.
            if course.landed_at is None:
                table.faults.append(Break(1, load.step(index), "a step of a started load is left out of the plan", 1))
            break
        _named_right(table, load, step)
        load.starts.append(step.start_at)
        load.ends.append(step.end_at)
    for index in answered:
        if index >= len(component.steps):
            table.faults.append(Break(1, load.step(index), "the component has no such step", 1))
    table.loads.append(load)


def _lay_new(table: Table, course: Wanted | None, key: LoadKey, of_load: list[PlannedStep]) -> None:
    if course is None or course.key not in table.planned:
        table.faults.append(Break(9, str(key), "a load is planned for a course that is not in the plan", 1))
        return
    if key.dish not in dict(course.portions) or key.component not in table.question.book[key.dish].components:
        table.faults.append(Break(9, str(key), "the course has no such dish or component", 1))
        return
    component = table.question.book[key.dish].components[key.component]
    of_load.sort(key=lambda step: step.key.step)
    if [step.key.step for step in of_load] != list(range(len(component.steps))):
        table.faults.append(Break(1, str(key), "the load has not each step of its component once", 1))
        return
    portions = of_load[0].portions
    starts, ends = [step.start_at for step in of_load], [step.end_at for step in of_load]
    load = Laid(key, component, portions, starts, ends, 0, course)
    if portions < 1 or any(step.portions != portions for step in of_load):
        table.faults.append(Break(1, str(key), "the steps of a load have not the same portions", 1))
    for step in of_load:
        _named_right(table, load, step)
    table.loads.append(load)


def _named_right(table: Table, load: Laid, step: PlannedStep) -> None:
    what = load.component.steps[step.key.step]
    if (step.do, step.on, step.station, step.portions) != (what.do, what.on, load.component.station, load.portions):
        table.faults.append(Break(1, str(step.key), "words, place or portions are not those of the step", 1))


def _add_up(table: Table) -> None:
    """Each component of each dish of each planned course: its loads hold the plates, split only where they must be."""
    loads = table.by_dish
    for wanted, _ in table.planned.values():
        spent = wanted.spent
        for dish, plates in wanted.portions:
            of_dish = loads.get((wanted.table, wanted.course, dish), {})
            for name, component in table.question.book[dish].components.items():
                of_component = of_dish.get(name, [])
                where = f"{wanted.table}/{wanted.course}/{dish}/{name}"
                held = sum(load.portions for load in of_component)
                # A plate may have been taken off while it cooked: begun loads alone may hold more than there are.
                begun = sum(load.portions for load in of_component if load.begun)
                if held != max(plates, begun) and wanted.landed_at is None:
                    table.faults.append(
                        Break(9, where, f"{held} portions are planned for {plates} plates", abs(held - plates))
                    )
                new = [load for load in of_component if not load.begun]
                most = _most_at_once(component, table.question)
                if len(new) > 1 and (most is None or plates <= most):
                    table.faults.append(
                        Break(5, where, "portions that fit the equipment at once are split", len(new) - 1)
                    )
                for load in new:
                    if load.key.load <= spent.get((dish, name), 0):
                        table.faults.append(Break(0, str(load.key), "the load has the number of one that was lost", 1))


def _most_at_once(component: Component, question: Question) -> int | None:
    limits = [step.fits * question.kitchen.equipment[step.on].slots for step in component.steps if step.on is not None]
    return min(limits, default=None)


def slots_for(portions: Sequence[int], fits: int) -> int:
    """Slots that loads in one group take together."""
    return ceil(sum(portions) / fits)


def twice_named(keys: Sequence[CourseKey]) -> list[CourseKey]:
    """Courses that stand more than once in a list."""
    return [key for key, times in Counter(keys).items() if times > 1]
