"""Small kitchens, dishes, questions and plans by code, in few words.

All lengths and instants are whole seconds; ``now`` is 0 where nothing else is said, so that a test can show its
arithmetic. The kitchen and its dishes are invented.

    k = kitchen(fry=1, fryer=slots(2, recovery=60))
    squid = dish("squid", rings=component("fry", step(90, on="fryer", fits=2), keeps=60))
    q = question(k, [squid], course("6", squid=4), course("9", squid=2, land=at(300)))
"""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from kitchen_timer.kitchen.dish import Book, Component, Dish, Hands, Step, Takes
from kitchen_timer.kitchen.seconds import Seconds
from kitchen_timer.kitchen.station import Equipment, Kitchen, Pass, Station
from kitchen_timer.kitchen.table import After, Asap, AtTime
from kitchen_timer.plan.answer import Answer, Impossible, PlannedCourse, PlannedStep
from kitchen_timer.plan.check import cost_of
from kitchen_timer.plan.question import BegunLoad, BegunStep, CourseKey, LoadKey, Question, StepKey, Wanted

ASAP = Asap()


def slots(count: int, recovery: int = 0, *, cross_contact: bool = False) -> Equipment:
    """Equipment with so many slots, each recovering so many seconds."""
    return Equipment(slots=count, recovery_s=Seconds(recovery), cross_contact=cross_contact)


def kitchen(*, handling: int = 10, pass_hands: int = 2, zone: str = "UTC", **rooms: int | Equipment) -> Kitchen:
    """A kitchen: a number is a station with so many cooks, :func:`slots` is equipment."""
    stations = {key: Station(name=key.capitalize(), cooks=n) for key, n in rooms.items() if isinstance(n, int)}
    equipment = {key: e for key, e in rooms.items() if isinstance(e, Equipment)}
    return Kitchen(
        name="Skerrymoot",
        timezone=zone,
        handling_s=Seconds(handling),
        stations=stations or {"stove": Station(name="Stove", cooks=1)},
        pass_board=Pass(hands=pass_hands),
        equipment=equipment,
    )


def step(
    takes: int,
    *,
    on: str | None = None,
    fits: int = 1,
    hands: str | None = None,
    each: int = 0,
    may_wait: int = 0,
    handling: int | None = None,
    do: str = "Cook",
    core_temp: float | None = None,
) -> Step:
    """One step of so many seconds."""
    return Step(
        do=do,
        takes=Takes(usual_s=Seconds(takes), least_s=Seconds(takes), most_s=Seconds(takes)),
        each_s=Seconds(each),
        on=on,
        fits=fits,
        hands=None if hands is None else Hands(hands),
        handling_s=None if handling is None else Seconds(handling),
        may_wait_s=Seconds(may_wait),
        core_temp=core_temp,
    )


def component(
    station: str,
    *steps: Step,
    keeps: int = 60,
    after: Iterable[str] = (),
    name: str = "Part",
    allergens: Iterable[str] = (),
) -> Component:
    """A component made at one station."""
    return Component(
        name=name,
        station=station,
        keeps_s=Seconds(keeps),
        after=tuple(after),
        allergens=tuple(allergens),
        steps=steps,
    )


def dish(name: str, *, plating: int = 0, course: str = "mains", **components: Component) -> Dish:
    """A dish; each further keyword is a component."""
    return Dish(dish=name, name=name.capitalize(), course=course, plating_s=Seconds(plating), components=components)


def book(dishes: Iterable[Dish]) -> Book:
    """Dishes by id."""
    return {each.dish: each for each in dishes}


def at(instant: int) -> AtTime:
    """Wanted at an instant, not before."""
    return AtTime(at=instant)


def after(course: str, gap: int = 0) -> After:
    """So many seconds after another course of the table is up."""
    return After(after=course, gap_s=Seconds(gap))


def course(
    table: str,
    name: str = "mains",
    *,
    land: Asap | AtTime | After = ASAP,
    in_at: int = 0,
    target: int | None = None,
    landed: int | None = None,
    begun: Iterable[BegunLoad] = (),
    spent: Mapping[tuple[str, str], int] | None = None,
    **plates: int,
) -> Wanted:
    """A wanted course; each further keyword is a dish with its plates."""
    return Wanted(
        table=table,
        course=name,
        in_at=in_at,
        land=land,
        portions=tuple(plates.items()),
        target_at=target,
        landed_at=landed,
        begun=tuple(begun),
        spent=dict(spent or {}),
    )


def begun(where: str, *steps: tuple[int, int], portions: int = 1, now: int | None = None) -> BegunLoad:
    """A started load, ``begun("hake/fish/1", (0, 180), portions=2)``; steps that ended by ``now`` are done."""
    of_dish, part, number = where.split("/")
    done = [now is not None and end <= now for _, end in steps]
    begun_steps = tuple(BegunStep(start, end, over) for (start, end), over in zip(steps, done, strict=True))
    return BegunLoad(of_dish, part, int(number), portions, begun_steps)


def question(
    of_kitchen: Kitchen,
    dishes: Iterable[Dish],
    *courses: Wanted,
    now: int = 0,
    up: Mapping[str, int] | None = None,
    announced: Mapping[str, int] | None = None,
) -> Question:
    """A question; ``up`` and ``announced`` by written keys (``6/starters``)."""
    ups = {CourseKey(*key.split("/")): instant for key, instant in (up or {}).items()}
    told = {StepKey.read(key): instant for key, instant in (announced or {}).items()}
    return Question(of_kitchen, book(dishes), now, courses, ups, told)


def plan(
    of: Question,
    landings: Mapping[str, int],
    starts: Mapping[str, Iterable[int]],
    *,
    targets: Mapping[str, int] | None = None,
    portions: Mapping[str, int] | None = None,
    impossible: Iterable[str] = (),
) -> Answer:
    """A plan written by hand: landings by course (``6/mains``), starts of steps by load (``6/mains/hake/fish/1``).

    Started loads come from the question; only what follows them is to be written. Ends, ups and cost follow.
    Portions of a load are the plates of its dish where ``portions`` does not say otherwise; targets the landings.
    """
    steps: list[PlannedStep] = []
    written = {LoadKey(*key.split("/")[:4], int(key.split("/")[4])): list(at) for key, at in starts.items()}
    of_load = {LoadKey(*key.split("/")[:4], int(key.split("/")[4])): n for key, n in (portions or {}).items()}
    for wanted in of.courses:
        for load in wanted.begun:
            key = LoadKey(wanted.table, wanted.course, load.dish, load.component, load.load)
            of_load[key] = load.portions
            before = [(each.start_at, each.end_at) for each in load.steps]
            part = of.book[load.dish].components[load.component]
            steps += _steps(key, part, load.portions, before, written.pop(key, []))
    for key, at_instants in written.items():
        wanted = next(each for each in of.courses if each.key == key.of_course)
        count = of_load.get(key, dict(wanted.portions)[key.dish])
        steps += _steps(key, of.book[key.dish].components[key.component], count, [], at_instants)
    planned = []
    for written_key, landing in landings.items():
        wanted = next(each for each in of.courses if str(each.key) == written_key)
        given = wanted.target_at if wanted.target_at is not None else landing
        target = (targets or {}).get(written_key, given)
        hands = min(of.kitchen.pass_board.hands, wanted.plates)
        plating = -(-wanted.plates // hands) * max(of.book[d].plating_s for d, _ in wanted.portions)
        late = max(0, landing - target)
        planned.append(PlannedCourse(*wanted.key, wanted.plates, target, landing, landing + plating, late))
    given_up = tuple(Impossible(*key.split("/"), why="It cannot be.", would_help="Less.") for key in impossible)
    answer = Answer(of.now, tuple(planned), tuple(steps), given_up)
    return replace(answer, cost=cost_of(of, answer).total)


def _steps(
    key: LoadKey, part: Component, portions: int, before: list[tuple[int, int]], starts: list[int]
) -> list[PlannedStep]:
    spans = list(before)
    for index, start in enumerate(starts, start=len(before)):
        spans.append((start, start + part.steps[index].length_s(portions)))
    return [
        PlannedStep(StepKey(*key, index), what.do, part.station, what.on, portions, start, end)
        for index, ((start, end), what) in enumerate(zip(spans, part.steps, strict=False))
    ]
