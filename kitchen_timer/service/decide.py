"""Command and evening in, events out; what makes no sense is refused by name, with what to do instead.

``now`` and every other instant: whole seconds since 1970 UTC.
"""

from typing import assert_never

from kitchen_timer.service import calling, changing, commands, house, moving, pinning, probing, spoiling, tapping
from kitchen_timer.service.commands import Command
from kitchen_timer.service.events import Event
from kitchen_timer.service.naming import open_course
from kitchen_timer.service.state import Evening
from kitchen_timer.service.taking import take_order
from kitchen_timer.service.undoing import undo


def decide(command: Command, state: Evening, now: int) -> tuple[Event, ...]:
    """What a command makes happen, at least one event; a :class:`KitchenProblem` when it is refused."""
    match command:
        case commands.TakeOrder():
            return take_order(command, state, now)
        case commands.StartSteps(steps, at):
            return tapping.start_steps(steps, at, state, now)
        case commands.FinishSteps(steps, at):
            return tapping.finish_steps(steps, at, state, now)
        case commands.GiveMoreTime(steps, seconds):
            return tapping.give_more_time(steps, seconds, state, now)
        case commands.ReadCoreTemp(step, celsius, override):
            return probing.read_core_temp(step, celsius, override, state, now)
        case commands.SetCue(step, at):
            return pinning.set_cue(step, at, state, now)
        case commands.FreeCue(step):
            return pinning.free_cue(step, state, now)
        case commands.CookAgain(load, portions):
            return spoiling.cook_again(load, portions, state, now)
        case commands.CookPlatesAgain(course_id, dish, plates):
            return spoiling.cook_plates_again(course_id, dish, plates, state, now)
        case commands.AnswerAgain(loads, again):
            return spoiling.answer_again(loads, again, state, now)
        case commands.GiveLoad(load, course_id, portions):
            return spoiling.give_load(load, course_id, portions, state, now)
        case commands.Undo(seq):
            return undo(seq, state)
        case (
            commands.AddPlates()
            | commands.ChangePlate()
            | commands.TakeOff()
            | commands.TakeOffCourse()
            | commands.TellAllergy()
            | commands.MoveTable()
        ):
            return _of_the_table(command, state)
        case commands.EightySix() | commands.BackOn() | commands.SetCooks() | commands.SetSlots() | commands.SetTaps():
            return _of_the_house(command, state)
        case _:
            return _called(command, state, now)


def _called(
    command: commands.FireCourse
    | commands.HoldCourse
    | commands.LandCourse
    | commands.MoveCourse
    | commands.OnTheFly
    | commands.GuestAway
    | commands.GuestBack
    | commands.SendCourse,
    state: Evening,
    now: int,
) -> tuple[Event, ...]:
    match command:
        case commands.FireCourse(course_id):
            return calling.fire(open_course(state, course_id), state)
        case commands.HoldCourse(course_id):
            return calling.hold(open_course(state, course_id))
        case commands.LandCourse(course_id, land):
            return calling.land_course(open_course(state, course_id), land, state, now)
        case commands.MoveCourse(course_id, by_s):
            return calling.move_course(open_course(state, course_id), by_s, state, now)
        case commands.OnTheFly(course_id):
            return calling.on_the_fly(open_course(state, course_id), state, now)
        case commands.GuestAway(table):
            return calling.guest_away(table, state, now)
        case commands.GuestBack(table):
            return calling.guest_back(table, state, now)
        case commands.SendCourse(course_id):
            return calling.send(open_course(state, course_id), state, now)
        case _:
            assert_never(command)


def _of_the_table(
    command: commands.AddPlates
    | commands.ChangePlate
    | commands.TakeOff
    | commands.TakeOffCourse
    | commands.TellAllergy
    | commands.MoveTable,
    state: Evening,
) -> tuple[Event, ...]:
    match command:
        case commands.AddPlates(course_id, plates, allergies_asked):
            return changing.add_plates(course_id, plates, allergies_asked, state)
        case commands.ChangePlate(course_id, was, to):
            return changing.change_plate(course_id, was, to, state)
        case commands.TakeOff(course_id, plates):
            return changing.take_off(course_id, plates, state)
        case commands.TakeOffCourse(course_id):
            return changing.take_off_course(course_id, state)
        case commands.TellAllergy(table, allergies, seat, dish):
            return changing.tell_allergy(table, allergies, seat, dish, state)
        case commands.MoveTable(table, to, merge):
            return moving.move_table(table, to, merge, state)
        case _:
            assert_never(command)


def _of_the_house(
    command: commands.EightySix | commands.BackOn | commands.SetCooks | commands.SetSlots | commands.SetTaps,
    state: Evening,
) -> tuple[Event, ...]:
    match command:
        case commands.EightySix(dish, component):
            return house.eighty_six(dish, component, state)
        case commands.BackOn(dish, component):
            return house.back_on(dish, component, state)
        case commands.SetCooks(station, cooks):
            return house.set_cooks(station, cooks, state)
        case commands.SetSlots(equipment, slots):
            return house.set_slots(equipment, slots, state)
        case commands.SetTaps(station, taps):
            return house.set_taps(station, taps, state)
        case _:
            assert_never(command)
