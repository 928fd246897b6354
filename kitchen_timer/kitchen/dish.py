"""A plate's recipe at service: dish, components, steps, and what a step asks of hands and slots."""

from enum import StrEnum
from typing import Annotated, Any, Self

from pydantic import Field, StringConstraints, field_validator, model_validator

from kitchen_timer.kitchen.seconds import Duration, Seconds
from kitchen_timer.kitchen.station import Id, Kitchen, Name, Noun

Words = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=60)]


class Hands(StrEnum):
    """When a step needs a cook: throughout, at both ends, at one end, never."""

    ALL = "all"
    ENDS = "ends"
    START = "start"
    END = "end"
    NONE = "none"


class Takes(Noun):
    """How long a step takes, in seconds; plans use ``usual``."""

    usual_s: Duration = Field(alias="usual")
    least_s: Duration = Field(alias="least")
    most_s: Duration = Field(alias="most")

    @model_validator(mode="before")
    @classmethod
    def _a_bare_duration_is_all_three(cls, value: Any) -> Any:
        if isinstance(value, (str, int, float)):
            return {"usual": value, "least": value, "most": value}
        if isinstance(value, dict) and "usual" in value:
            return {"least": value["usual"], "most": value["usual"], **value}
        return value

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if not self.least_s <= self.usual_s <= self.most_s:
            raise ValueError("least <= usual <= most must hold: change the one that is out of order")
        if self.usual_s == 0:
            raise ValueError("a step takes at least 1s")
        return self


class Step(Noun):
    """What is done to a component, one thing after another."""

    do: Words
    """What the cook is told, at most four words."""
    takes: Takes
    each_s: Duration = Field(default=Seconds(0), alias="each", validate_default=False)
    """Added for every portion after the first."""
    on: Id | None = None
    """Equipment; none: a board or a bowl, of which there is always another."""
    fits: Annotated[int, Field(ge=1, le=1000, strict=True)] = 1
    """Portions of this component that one slot takes."""
    hands: Hands | None = None
    """None: the default, see :meth:`Component.hands_of`."""
    handling_s: Duration | None = Field(default=None, alias="handling")
    """This step's own handling, where the kitchen's does not fit."""
    may_wait_s: Duration = Field(default=Seconds(0), alias="may_wait", validate_default=False)
    """How long it may wait after the step before it."""
    core_temp: Annotated[float, Field(ge=-30, le=150)] | None = None
    """Degrees Celsius to be read before the component may be called done."""

    @field_validator("do")
    @classmethod
    def _four_words(cls, do: str) -> str:
        if len(do.split()) > 4:
            raise ValueError(f"{do!r} is longer than four words: a cook in noise hears four at most")
        return do

    def length_s(self, portions: int) -> int:
        """Seconds it takes for so many portions: ``usual + each * (portions - 1)`` (rule 1)."""
        return self.takes.usual_s + self.each_s * (portions - 1)


class Component(Noun):
    """A part that meets the others on the plate, made at one station."""

    name: Name
    station: Id
    keeps_s: Duration = Field(alias="keeps")
    """Stays good this long, from the end of its last step to the landing."""
    allergens: tuple[Name, ...] = ()
    after: tuple[Id, ...] = ()
    """Components of the same dish that must be done before this one starts."""
    steps: tuple[Step, ...] = Field(min_length=1)

    def hands_of(self, index: int) -> Hands:
        """When step ``index`` needs a cook, defaults filled in.

        Default: ``all`` without equipment; with equipment ``start``, and ``ends`` on the component's last step there.
        """
        step = self.steps[index]
        if step.hands is not None:
            return step.hands
        if step.on is None:
            return Hands.ALL
        last_there = max(i for i, other in enumerate(self.steps) if other.on == step.on)
        return Hands.ENDS if index == last_there else Hands.START

    def busy_s(self, index: int, portions: int, kitchen: Kitchen) -> tuple[tuple[int, int], ...]:
        """When a cook is busy with step ``index``: ``(from, to)`` in seconds after the step's start, disjoint.

        A step no longer than what its ends need is busy throughout (rule 6).
        """
        step = self.steps[index]
        length_s = step.length_s(portions)
        handling_s = kitchen.handling_s if step.handling_s is None else step.handling_s
        hands = self.hands_of(index)
        ends = {Hands.ENDS: 2, Hands.START: 1, Hands.END: 1}.get(hands, 0)
        if hands is Hands.NONE:
            return ()
        if hands is Hands.ALL or length_s <= ends * handling_s:
            return ((0, length_s),)
        if handling_s == 0:
            return ()
        at_start, at_end = (0, handling_s), (length_s - handling_s, length_s)
        if hands is Hands.ENDS:
            return (at_start, at_end)
        return (at_start,) if hands is Hands.START else (at_end,)

    def most_at_once(self, kitchen: Kitchen) -> int | None:
        """Portions that the equipment of every step takes at once; None where nothing limits them."""
        limits = [step.fits * kitchen.equipment[step.on].slots for step in self.steps if step.on is not None]
        return min(limits, default=None)

    def stays_on(self, index: int) -> bool:
        """Whether a load goes on in the same slots after step ``index`` (rule 5's exception)."""
        return (
            index + 1 < len(self.steps)
            and self.steps[index].on is not None
            and (self.steps[index].on == self.steps[index + 1].on)
        )


class Dish(Noun):
    """``book/*.yaml``: one dish."""

    dish: Id
    name: Name
    course: Name
    plating_s: Duration = Field(alias="plating")
    """Seconds of one pair of hands for one plate."""
    components: dict[Id, Component] = Field(min_length=1)
    allergens: tuple[Name, ...] = ()
    """Allergens of what is added at the pass and has no component of its own."""

    @model_validator(mode="after")
    def _after_makes_sense(self) -> Self:
        done: set[str] = set()
        waiting = dict(self.components)
        for component in self.components.values():
            for other in component.after:
                if other not in self.components:
                    raise ValueError(f"after names {other!r}, which is no component of this dish")
        while waiting:
            ready = [key for key, component in waiting.items() if set(component.after) <= done]
            if not ready:
                raise ValueError(f"after goes round in a loop: {', '.join(waiting)}; take one of them out")
            for key in ready:
                done.add(key)
                del waiting[key]
        return self

    def dependants_of(self, component: str) -> tuple[str, ...]:
        """Components that name this one in their ``after``."""
        return tuple(key for key, other in self.components.items() if component in other.after)

    def all_allergens(self) -> tuple[str, ...]:
        """Every allergen listed anywhere in the dish, once each, in the order of the file."""
        listed = [*self.allergens, *(a for c in self.components.values() for a in c.allergens)]
        return tuple(dict.fromkeys(listed))


Book = dict[str, Dish]
"""All the dishes of a kitchen, by id."""
