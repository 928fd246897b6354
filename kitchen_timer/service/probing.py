"""Core temperatures that were read. A reading is a note: the house's food-safety plan says what it has to be."""

from kitchen_timer.kitchen.problems import BadMessage, Fault, NotNow
from kitchen_timer.plan.question import StepKey
from kitchen_timer.service.events import CoreTempRead, Event
from kitchen_timer.service.naming import known_load, step_keys
from kitchen_timer.service.state import Evening
from kitchen_timer.service.words import load_words, sentence

COLDEST_C, HOTTEST_C = -30.0, 150.0
"""What a probe in food can show; anything else is a slip of the finger."""

PLAN_SAYS = "Your food-safety plan says what it has to be."


def read_core_temp(step: str, celsius: float, override: bool, state: Evening, now: int) -> tuple[Event, ...]:
    """A reading of a begun load, at a step that asks for one. It counts from the second it is told."""
    (key,) = step_keys((step,), state)
    load = known_load(state, key, now)
    wanted = load.component.steps[key.step].core_temp
    if not COLDEST_C <= celsius <= HOTTEST_C:
        fault = Fault("celsius", f"{celsius:g} °C is no core temperature", "read the probe again, in degrees Celsius")
        raise BadMessage("This reading was not taken.", [fault])
    if state.load(key.of_load) is None:
        raise NotNow(
            f"{sentence(load_words(state, key))} has not been started.", "Read it while it cooks.", where="step"
        )
    if wanted is None:
        asked = [index for index, each in enumerate(load.component.steps) if each.core_temp is not None]
        cure = f"Read it at {load.component.steps[asked[0]].do}." if asked else "Nothing is to be read of it."
        raise NotNow(f"{load.component.steps[key.step].do} asks for no core temperature.", cure, where="step")
    return (CoreTempRead(key, celsius, now, enough=override or celsius >= wanted),)


def not_done_below(state: Evening, key: StepKey) -> None:
    """Refuses to call a step done whose latest reading is below what it asks for."""
    run = state.courses[key.of_course]
    reading = run.temps.get(key)
    if reading is not None and not reading.enough:
        wanted = state.component(key).steps[key.step].core_temp
        raise NotNow(
            f"{sentence(load_words(state, key))} read {reading.celsius:g} °C, {wanted:g} °C is asked for.",
            f"Give it more time and read it again, or let the chef take it as it is. {PLAN_SAYS}",
            where="steps",
        )
