"""What changes in the house during a service: eighty-six, cooks who leave and come, equipment, how a station taps."""

from collections.abc import Collection

from kitchen_timer.kitchen.problems import BadMessage, Fault, KitchenProblem, NotNow, UnknownDish
from kitchen_timer.kitchen.station import Taps
from kitchen_timer.service.events import CooksChanged, Event, LeftAgain, NoneLeft, SlotsChanged, TapsChanged
from kitchen_timer.service.state import Evening

MOST_COOKS = 50
MOST_SLOTS = 1000


class UnknownPlace(KitchenProblem):
    """A command names a station or equipment that the kitchen does not have."""

    code = "unknown-place"


def eighty_six(dish: str | None, component: str | None, state: Evening) -> tuple[Event, ...]:
    """None left: new orders of it are refused; what is ordered stays for the chef to decide."""
    what = _what(dish, component, state)
    if what in state.none_left:
        raise NotNow(f"{_called(what, state)} is off already.", "Say when it is back on.", where=_field(dish))
    return (NoneLeft(*what),)


def back_on(dish: str | None, component: str | None, state: Evening) -> tuple[Event, ...]:
    """To be had again."""
    what = _what(dish, component, state)
    if what not in state.none_left:
        raise NotNow(f"{_called(what, state)} is not off.", "It can be ordered.", where=_field(dish))
    return (LeftAgain(*what),)


def _field(dish: str | None) -> str:
    return "dish" if dish is not None else "component"


def _called(what: tuple[str | None, str | None], state: Evening) -> str:
    dish, component = what
    return state.book[dish].name if dish is not None else str(component)


def _what(dish: str | None, component: str | None, state: Evening) -> tuple[str | None, str | None]:
    if (dish is None) == (component is None):
        fault = Fault("dish", "a dish or a component is needed, and only one", "name one of the two")
        raise BadMessage("It is not clear what is meant.", [fault])
    if dish is not None:
        if dish not in state.book or dish in state.former:
            known = ", ".join(sorted(set(state.book) - state.former)[:12])
            raise UnknownDish(f"The book has no dish {dish!r}.", f"Name one that it has: {known}.", where="dish")
        return dish, None
    names = {part.name.casefold(): part.name for found in state.book.values() for part in found.components.values()}
    name = names.get(str(component).strip().casefold())
    if name is None:
        known = ", ".join(sorted(names.values())[:12])
        raise UnknownDish(
            f"No dish of the book has a component {component!r}.", f"Name one: {known}.", where="component"
        )
    return None, name


def set_cooks(station: str, cooks: int, state: Evening) -> tuple[Event, ...]:
    """So many cooks stand there from now on; none: nothing more that needs hands is planned there."""
    _there(station, state.kitchen.stations, "station")
    _between("cooks", cooks, MOST_COOKS)
    if state.kitchen.stations[station].cooks == cooks:
        name = state.kitchen.stations[station].name
        raise NotNow(f"{name} has {cooks} cooks already.", "Nothing more is needed.", where="cooks")
    return (CooksChanged(station, cooks),)


def set_slots(equipment: str, slots: int, state: Evening) -> tuple[Event, ...]:
    """So many places work from now on; none: it is out."""
    _there(equipment, state.kitchen.equipment, "equipment")
    _between("slots", slots, MOST_SLOTS)
    if state.kitchen.equipment[equipment].slots == slots:
        name = state.kitchen.equipment_name(equipment)
        raise NotNow(f"{name} has {slots} places already.", "Nothing more is needed.", where="slots")
    return (SlotsChanged(equipment, slots),)


def set_taps(station: str, taps: Taps, state: Evening) -> tuple[Event, ...]:
    """What the station taps from now on."""
    _there(station, state.kitchen.stations, "station")
    if state.kitchen.stations[station].taps == taps:
        name = state.kitchen.stations[station].name
        raise NotNow(f"{name} taps like that already.", "Nothing more is needed.", where="taps")
    return (TapsChanged(station, taps),)


def _there(name: str, known: Collection[str], where: str) -> None:
    if name not in known:
        here = ", ".join(known)
        raise UnknownPlace(f"The kitchen has no {where} {name!r}.", f"Name one of {here}.", where=where)


def _between(where: str, number: int, most: int) -> None:
    if not 0 <= number <= most:
        fault = Fault(where, f"{number} is no number of {where}", f"give 0 to {most}")
        raise BadMessage("Nothing was changed.", [fault])
