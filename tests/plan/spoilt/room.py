"""Ways to break rules 5 to 7: slots, hands, plating."""

from dataclasses import replace
from random import Random

from kitchen_timer.kitchen.seconds import Seconds
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.question import Question
from tests.plan.spoilt.changes import (
    Spoil,
    Spoilt,
    any_course,
    course_moved,
    moved,
    part_of,
    slots_of,
    some_load,
    with_cooks,
    with_equipment,
    with_up,
)

# Rule 5: slots


def the_equipment_has_a_slot_less_than_one_load_takes(chance: Random, question: Question, answer: Answer) -> Spoilt:
    cooked = [step for step in answer.steps if step.on is not None]
    step = chance.choice([step for step in cooked if slots_of(question, step) > 1])
    return with_equipment(question, str(step.on), slots=slots_of(question, step) - 1), answer


def the_oil_does_not_recover_all_night(chance: Random, question: Question, answer: Answer) -> Spoilt:
    """More loads on it, one after another, than it has slots."""
    cooked = {
        on: {(*key[2:4], steps[0].start_at) for key, steps in answer.by_load.items() if any(s.on == on for s in steps)}
        for on in question.kitchen.equipment
    }
    on = chance.choice([on for on, groups in cooked.items() if len(groups) > question.kitchen.equipment[on].slots])
    return with_equipment(question, on, recovery_s=Seconds(36000)), answer


def two_loads_cook_in_one_slot_at_once(chance: Random, question: Question, answer: Answer) -> Spoilt:
    """Different food, and no more slots than the larger of the two takes alone."""
    cooked = [step for step in answer.steps if step.on is not None]
    pairs = [(a, b) for a in cooked for b in cooked if a.on == b.on and a.key[2:4] != b.key[2:4]]
    first, other = chance.choice(pairs)
    slots = max(slots_of(question, first), slots_of(question, other))
    smaller = with_equipment(question, str(first.on), slots=slots)
    return smaller, moved(answer, other.key.of_load, first.start_at - other.start_at)


def portions_that_fit_at_once_are_split(chance: Random, question: Question, answer: Answer) -> Spoilt:
    key = some_load(
        chance,
        question,
        answer,
        lambda key: answer.by_load[key][0].portions > 1 and key._replace(load=2) not in answer.by_load,
    )
    portions, steps = answer.by_load[key][0].portions, []
    for step in answer.steps:
        if step.key.of_load != key:
            steps.append(step)
            continue
        halves = (portions // 2, portions - portions // 2)
        for load, half in enumerate(halves, start=1):
            length_s = part_of(question, key).steps[step.key.step].length_s(half)
            steps.append(
                replace(step, key=step.key._replace(load=load), portions=half, end_at=step.start_at + length_s)
            )
    return question, replace(answer, steps=tuple(steps))


# Rule 6: hands


def nobody_stands_at_the_station(chance: Random, question: Question, answer: Answer) -> Spoilt:
    busy = [
        step.station
        for step in answer.steps
        if part_of(question, step.key.of_load).busy_s(step.key.step, step.portions, question.kitchen)
    ]
    return with_cooks(question, chance.choice(busy), 0), answer


def one_cook_does_two_things_at_once(chance: Random, question: Question, answer: Answer) -> Spoilt:
    """Two jobs on the board of one station, one of them put on the last second of the other."""
    on_board = [
        s for s in answer.steps if s.on is None and part_of(question, s.key.of_load).hands_of(s.key.step) == "all"
    ]
    first = chance.choice([s for s in on_board if sum(o.station == s.station for o in on_board) > 1])
    other = chance.choice([o for o in on_board if o.station == first.station and o.key.of_load != first.key.of_load])
    alone = with_cooks(question, first.station, 1)
    return alone, moved(answer, other.key.of_load, first.end_at - 1 - other.start_at)


def hands_are_busy_for_an_hour(chance: Random, question: Question, answer: Answer) -> Spoilt:
    """All handling takes as long as its step: more than the cooks of a station that has one can do."""
    kitchen = question.kitchen.model_copy(update={"handling_s": Seconds(3600)})
    spoilt = replace(question, kitchen=kitchen)
    for station in question.kitchen.stations:
        steps = [s for s in answer.steps if s.station == station and s.on is not None]
        clash = [
            (a, b)
            for a in steps
            for b in steps
            if a.start_at < b.start_at < a.end_at
            and all(
                part_of(question, s.key.of_load).busy_s(s.key.step, s.portions, kitchen)
                == ((0, s.end_at - s.start_at),)
                for s in (a, b)
            )
        ]
        if clash:
            return with_cooks(spoilt, station, 1), answer
    raise AssertionError("no two steps overlap anywhere")


# Rule 7: plating


def it_is_up_a_second_early(chance: Random, question: Question, answer: Answer) -> Spoilt:
    return question, with_up(answer, any_course(chance, answer), -1)


def it_is_up_a_second_late(chance: Random, question: Question, answer: Answer) -> Spoilt:
    return question, with_up(answer, any_course(chance, answer), 1)


def two_courses_land_on_the_same_hands(chance: Random, question: Question, answer: Answer) -> Spoilt:
    hands = question.kitchen.pass_board.hands
    big = [course for course in answer.courses if 2 * min(hands, course.plates) > hands]
    one, other = chance.sample(big, 2)
    return question, course_moved(answer, other.key, one.landing_at - other.landing_at)


def one_at_the_pass_has_gone_home(chance: Random, question: Question, answer: Answer) -> Spoilt:
    """With one pair of hands every table of two or more takes longer to plate."""
    board = question.kitchen.pass_board.model_copy(update={"hands": 1})
    return replace(question, kitchen=question.kitchen.model_copy(update={"pass_board": board})), answer


WAYS: dict[int, tuple[Spoil, ...]] = {
    5: (
        the_equipment_has_a_slot_less_than_one_load_takes,
        the_oil_does_not_recover_all_night,
        two_loads_cook_in_one_slot_at_once,
        portions_that_fit_at_once_are_split,
    ),
    6: (
        nobody_stands_at_the_station,
        one_cook_does_two_things_at_once,
        hands_are_busy_for_an_hour,
    ),
    7: (
        it_is_up_a_second_early,
        it_is_up_a_second_late,
        two_courses_land_on_the_same_hands,
        one_at_the_pass_has_gone_home,
    ),
}
