"""What holds a course, in the words of a kitchen."""

from collections.abc import Sequence
from datetime import datetime

from kitchen_timer.kitchen.dish import Component
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.plan.question import CourseKey, LoadKey, Question
from kitchen_timer.plan.taken import Taken
from kitchen_timer.plan.why_scene import InTheWay


def minutes(seconds: int) -> str:
    """Seconds as cooks say them: ``45 s``, ``2 min``, ``2:30 min``."""
    whole, rest = divmod(seconds, 60)
    if seconds <= 90:
        return f"{seconds} s"
    return f"{whole}:{rest:02d} min" if rest else f"{whole} min"


def small(name: str) -> str:
    """A component's name inside a sentence."""
    return name[:1].lower() + name[1:]


def listed(names: Sequence[str]) -> str:
    """``4``, ``4 and 9``, ``4, 9 and 12``."""
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)


class Words:
    """Sentences about one question."""

    def __init__(self, question: Question) -> None:
        self.question = question
        self.kitchen: Kitchen = question.kitchen

    def component(self, load: LoadKey) -> Component:
        """The component that a load is of."""
        return self.question.book[load.dish].components[load.component]

    def name(self, load: LoadKey) -> str:
        """``squid``."""
        return small(self.component(load).name)

    def station(self, load: LoadKey) -> str:
        """``Fry``."""
        return self.kitchen.stations[self.component(load).station].name

    def time(self, at: int) -> str:
        """``19:31:20`` on the kitchen's clock, ``19:31`` at a full minute."""
        then = datetime.fromtimestamp(at, tz=self.kitchen.zone)
        return then.strftime("%H:%M:%S" if then.second else "%H:%M")

    def whose(self, thing: InTheWay) -> str:
        """``table 4's squid``; of what shares slots all tables: ``tables 4 and 9's squid``."""
        assert thing.taken.key is not None
        tables = sorted({load.table for load in thing.loads}, key=lambda t: (len(t), t))
        return f"table{'s' if len(tables) > 1 else ''} {listed(tables)}'s {self.name(thing.taken.key)}"

    def in_the_way(self, thing: InTheWay) -> str:
        """``table 4's squid in the fryer until 19:31:20, then 60 s to recover``."""
        taken = thing.taken
        if thing.plating is not None:
            return f"hands are plating table {thing.plating.table} until {self.time(taken.until_at)}"
        kind, name = taken.resource
        done = self.time(taken.done_at)
        if kind == "station":
            return f"{self.busy(name)} {self.whose(thing)} until {done}"
        recovers_s = taken.until_at - taken.done_at
        then = f", then {minutes(recovers_s)} to recover" if recovers_s else ""
        return f"{self.whose(thing)} in the {self.kitchen.equipment_name(name)} until {done}{then}"

    def busy(self, station: str) -> str:
        """``the cook is busy with``."""
        cooks = self.kitchen.stations[station].cooks
        more = {1: "the cook is busy with", 2: "both cooks are busy, with"}
        return more.get(cooks, f"all {cooks} cooks are busy, with")

    def where(self, taken: Taken, load: LoadKey | None) -> str:
        """The station that waits, or the pass."""
        return "Pass" if taken.resource[0] == "pass" or load is None else self.station(load)

    def held_by(self, load: LoadKey | None, things: Sequence[InTheWay]) -> str:
        """What is in the way: the first of it, how many more, and where."""
        first = things[0]
        also = len(things) - 1
        sentence = f"{self.where(first.taken, load)}: {self.in_the_way(first)}"
        return sentence if not also else f"{sentence}, and {self._also(things[1:])}"

    def _also(self, things: Sequence[InTheWay]) -> str:
        first, more = things[0], len(things) - 1
        what = f"table {first.plating.table}" if first.plating is not None else self.whose(first)
        return f"{what} until {self.time(first.taken.done_at)}" + (f", and {more} more" if more else "")

    def several(self, held: Sequence[tuple[LoadKey | None, InTheWay]]) -> str:
        """Several things at once: the two that are there longest."""
        parts = [f"{self.where(thing.taken, load)}: {self.in_the_way(thing)}" for load, thing in held[:2]]
        more = len(held) - 2
        return "; and ".join(parts) + (f"; and {more} more" if more > 0 else "")

    def waits_in_turn(self, load: LoadKey, course_load: LoadKey | None) -> str:
        """Begins a later link: how the load in the way hangs on what its own course waits for."""
        if course_load is None or course_load.component == load.component:
            return f"Table {load.table}'s {self.name(load)} waits in turn"
        return f"Table {load.table}'s {self.name(load)} is for its {self.name(course_load)}"

    def of_course(self, key: CourseKey) -> str:
        """``table 4's mains``."""
        return f"table {key.table}'s {key.course}"
