"""The main states of every screen, in the order in which one evening of the invented kitchen brings them."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from playwright.sync_api import Page, expect

from kitchen_timer.kitchen.table import Plate
from kitchen_timer.service.commands import EightySix, HoldCourse, SetCooks, SetSlots, StartSteps, TakeOff
from tests.browser.house import House


def nothing(_page: Page) -> None:
    """The page as it opens."""


CORE_TEMPS = {("cheek", 0): 75.0}
"""Which temperatures the house reads: its own figure, not a rule."""


@dataclass(frozen=True)
class State:
    """A screen at a moment: how the evening gets there, what is opened, and what is touched then."""

    name: str
    path: str
    sizes: tuple[str, ...]
    bring: Callable[[House], None] = lambda _house: None
    show: Callable[[Page], None] = nothing
    anew: bool = False
    """In an evening of its own, begun for it."""
    whole: bool = False
    """The picture is of the whole page, not only of what is seen without scrolling."""


def front(page: Page) -> None:
    """The front page, once it knows its kitchen."""
    expect(page.locator(".front .doors img").first).to_be_visible()


def passing(page: Page) -> None:
    """The pass, drawn."""
    expect(page.locator(".pass .foot")).to_be_visible()


def joining(page: Page) -> None:
    """A station's page before its first touch."""
    expect(page.locator(".join .big")).to_be_visible()


def joined(page: Page) -> None:
    """A station's phone after its first touch."""
    page.locator(".join .big").click()
    expect(page.locator(".station .cue, .station .free").first).to_be_visible()


def offline(page: Page) -> None:
    """The same, out of touch."""
    joined(page)
    page.context.set_offline(True)
    expect(page.locator(".station .status p")).to_be_visible()


def wiping(page: Page) -> None:
    """Locked, so that it can be wiped."""
    joined(page)
    page.locator(".gear").first.click()
    expect(page.locator(".wipe")).to_be_visible()


def settings(page: Page) -> None:
    """Sound, words and light."""
    joined(page)
    page.locator(".gear").last.click()
    expect(page.locator(".sheet .settings")).to_be_visible()


def course_opened(page: Page) -> None:
    """What can be done with a course."""
    passing(page)
    page.locator(".row .open").first.click()
    expect(page.locator(".course-dialog[open]")).to_be_visible()


def by_station(page: Page) -> None:
    """The pass, read by station."""
    passing(page)
    page.get_by_role("button", name="By station").click()
    expect(page.locator(".station-row").first).to_be_visible()


def part_opened(name: str) -> Callable[[Page], None]:
    """A part of a course's sheet: its plates, a late allergy, another table, the chef's own times."""

    def open_part(page: Page) -> None:
        course_opened(page)
        page.locator(".acts").get_by_role("button", name=name).click()
        expect(page.get_by_role("button", name="Back", exact=True)).to_be_visible()

    return open_part


def changing(page: Page) -> None:
    """One plate being changed."""
    part_opened("Plates")(page)
    page.get_by_role("button", name="Change one").first.click()


def station_opened(page: Page) -> None:
    """A station's sheet: its cooks, its equipment, what is off."""
    passing(page)
    page.get_by_role("button", name="Fry: cooks").first.click()
    expect(page.locator(".stepper").first).to_be_visible()


def all_day(page: Page) -> None:
    """What is still to be cooked, and what there is none left of."""
    passing(page)
    page.locator(".tonight").click()
    expect(page.locator(".off-lines li").first).to_be_visible()


def dish_opened(name: str, plates: int = 1) -> Callable[[Page], None]:
    """The book, one dish alone."""

    def open_dish(page: Page) -> None:
        page.get_by_role("button", name=name).click()
        for _ in range(plates - 1):
            page.get_by_role("button", name="One plate more").click()
        page.locator(".alone").scroll_into_view_if_needed()
        expect(page.locator(".alone .note").first).to_be_visible(timeout=15_000)

    return open_dish


def typed(*lines: str) -> Callable[[Page], None]:
    """An order typed as it is called."""

    def type_them(page: Page) -> None:
        expect(page.locator("#called")).to_be_visible()
        page.locator("#table").fill("6")
        for line in lines:
            page.locator("#called").fill(line)
            page.keyboard.press("Enter")
        if page.locator(".line").count():
            expect(page.locator(".quote .lands b, .quote .cannot p, .quote .loud, .faults p").first).to_be_visible(
                timeout=15_000
            )

    return type_them


# How the evening gets there


def calm(house: House) -> None:
    """Half past seven: three tables under way, one held."""
    house.phones(house.kitchen.stations)
    house.turn_to("19:30:20")


def before_the_heads_up(house: House) -> None:
    """Fry has the next thing in a minute or so."""
    house.by_hand |= {"fry"}
    house.until(lambda: (cue := house.next_of("fry")) and cue.kind == "start" and cue.due_at - house.clock.now() < 70)


def at_its_time(house: House) -> None:
    """The very second."""
    cue = house.next_of("fry")
    assert cue is not None
    house.turn(cue.due_at - house.clock.now())


def late(house: House) -> None:
    """Nobody has tapped it for 25 s."""
    house.turn(25)


def read_the_core(house: House) -> None:
    """Meat lifts what has a core temperature to be read."""
    cue = house.next_of("fry")
    if cue is not None:
        house.do(StartSteps(cue.steps))
    house.by_hand -= {"fry"}

    def lifted_next() -> bool:
        cue = house.next_of("meat")
        return cue is not None and cue.core_temp is not None and cue.due_at - house.clock.now() <= 4

    house.until(lifted_next)


def at_the_pass(house: House) -> None:
    """A table with an allergy is all there, waiting to be checked."""
    house.until(lambda: any(course.at_pass and course.allergies for course in house.passing().courses))


def behind(house: House) -> None:
    """One lands a minute late or more, and it is said why; another is all at the pass."""
    house.until(
        lambda: any(course.late_s >= 60 and course.cause and not course.at_pass for course in house.passing().courses)
    )


def rushed(house: House) -> None:
    """Several more tables at once."""
    house.order("6", "mains", Plate(dish="brill"), Plate(dish="risotto", seat="2", allergies=("gluten",)))
    house.order("16", "mains", Plate(dish="duck", qty=2), Plate(dish="lamb"))
    house.order("17", "starters", Plate(dish="mackerel", qty=2), Plate(dish="crab-custard"))
    house.order("18", "mains", Plate(dish="risotto", qty=2))
    house.order("10", "mains", Plate(dish="ox-cheek", qty=2, note="no crumb"))
    house.order("11", "mains", Plate(dish="lamb", qty=2), Plate(dish="brill"))
    house.do(HoldCourse("11/mains"))
    house.turn(45)


def out_of_touch(house: House) -> None:
    """Fry's phone has been out of touch for a while."""
    for known in range(1, 20):
        house.lose(f"phone-{known}")
    house.phones([station for station in house.kitchen.stations if station != "fry"])
    house.lose(*house.phones(["fry"]), since_s=130)


def short_tonight(house: House) -> None:
    """Half of the fryer is out, the second cook at garnish has gone home, the brill is gone."""
    house.do(SetSlots("fryer", 1))
    house.do(SetCooks("garnish", 1))
    house.do(EightySix(dish="brill"))
    house.do(EightySix(component="Shell foam"))


def spare_food(house: House) -> None:
    """A plate is taken off that had started, and another table wants the same."""
    house.order("19", "mains", Plate(dish="duck"))
    house.until(lambda: any(note.load_id.startswith("19/mains/duck/") for note in house.cooking()))
    house.order("20", "mains", Plate(dish="duck"))
    house.do(TakeOff("19/mains", (Plate(dish="duck"),)))
    assert any(one.wanted_by for one in house.passing().spare)


def two_tables_at_once(house: House) -> None:
    """One cue for two tables, about to come."""
    house.turn_to("19:12")
    house.order("20", "mains", Plate(dish="risotto", qty=2))
    house.order("21", "mains", Plate(dish="risotto", seat="1", allergies=("gluten",)))

    def near() -> bool:
        return any(a.due_at - house.clock.now() <= 9 and len(a.per_table) > 1 for a in house.station("fry").actions)

    house.until(near, most_s=900, step_s=1)


def in_service(house: House) -> None:
    """A course to check with an allergy, one behind and why, one held with an allergy."""
    house.phones(house.kitchen.stations)
    house.turn_to("19:27:30")


PHONE = ("phone", "tablet")
ALL = ("phone", "tablet", "desk", "pass")

STATES: tuple[State, ...] = (
    State("front", "/", ("phone", "desk"), calm, front, whole=True),
    State("pass-calm", "/pass", ALL, show=passing),
    State("order-empty", "/order", ("phone", "tablet"), show=typed()),
    State("order-typing", "/order", ("tablet", "desk"), show=typed("2 bri !milk @3", "duc", "saf !glu @2", "2 bee")),
    State("order-impossible", "/order", ("tablet",), show=typed("99 cra")),
    State("station-join", "/station/fry", ("phone",)),
    State("station-before", "/station/fry", PHONE, before_the_heads_up, joined),
    State("station-now", "/station/fry", ("phone", "desk"), at_its_time, joined),
    State("station-offline", "/station/fry", ("phone",), show=offline),
    State("station-late", "/station/fry", ("phone",), late, joined),
    State("station-two", "/station/fry+garnish", ("phone",), show=joined),
    State("station-wiping", "/station/fry", ("phone",), show=wiping),
    State("station-settings", "/station/fry", ("phone",), show=settings),
    State("pass-late-cue", "/pass", ("pass",), show=passing),
    State("station-core-temperature", "/station/meat", PHONE, read_the_core, joined),
    State("pass-behind", "/pass", ALL, behind, passing),
    State("pass-rushed", "/pass", ALL, rushed, passing),
    State("pass-course", "/pass", ("pass", "phone"), show=course_opened),
    State("pass-by-station", "/pass", ALL, show=by_station),
    State("pass-plates", "/pass", ("pass", "phone"), show=part_opened("Plates")),
    State("pass-plate-changed", "/pass", ("phone",), show=changing),
    State("pass-allergy-told", "/pass", ("tablet", "phone"), show=part_opened("Allergy")),
    State("pass-table-moved", "/pass", ("phone",), show=part_opened("Move table")),
    State("pass-own-times", "/pass", ("tablet", "phone"), show=part_opened("Own times")),
    State("pass-station", "/pass", ("pass", "phone"), show=station_opened),
    State("pass-all-day", "/pass", ("pass", "phone"), show=all_day),
    State("order-delays", "/order", ("tablet",), show=typed("4 duc", "2 saf")),
    State("pass-out-of-touch", "/pass", ("pass", "tablet"), out_of_touch, passing),
    State("pass-check", "/pass", ALL, at_the_pass, passing),
    State("pass-short", "/pass", ("pass", "phone"), short_tonight, passing),
    State("order-off", "/order", ("tablet",), show=typed("bri")),
    State("book-dish", "/book", ALL, show=dish_opened("Saffron risotto")),
    State("book-many", "/book", ("desk",), show=dish_opened("Duck breast", 6)),
    State("pass-spare", "/pass", ("pass", "phone"), spare_food, passing),
    State("pass-service", "/pass", ALL, in_service, passing, anew=True),
    State("station-joined-cue", "/station/fry", PHONE, two_tables_at_once, joined, anew=True),
)


def evening(wanted: Callable[[State], bool]) -> Iterator[tuple[State, House]]:
    """Each wanted state with its kitchen, in the order in which the evening brings them; every kitchen is ended."""
    house = House(CORE_TEMPS)
    try:
        last = max((place for place, state in enumerate(STATES) if not state.anew and wanted(state)), default=-1)
        for state in STATES[: last + 1]:
            if state.anew:
                continue
            state.bring(house)
            if wanted(state):
                yield state, house
    finally:
        house.close()
    for state in STATES:
        if not (state.anew and wanted(state)):
            continue
        own = House(CORE_TEMPS)
        try:
            state.bring(own)
            yield state, own
        finally:
            own.close()
