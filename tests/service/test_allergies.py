"""An allergy stands in words wherever its plate does, from the order to the last check before it goes."""

from dataclasses import replace

from kitchen_timer.kitchen.table import Hold, Plate
from kitchen_timer.plan.question import CourseKey, LoadKey
from kitchen_timer.service.boards import pass_board, station_board
from kitchen_timer.service.commands import CookAgain, HoldCourse
from kitchen_timer.service.quoting import quote_view
from kitchen_timer.service.state import Evening
from kitchen_timer.service.views import ActionView, AllergyView
from tests import builders as b
from tests.live.tonight import Tonight, small_book, small_kitchen
from tests.service.evenings import Story, asked, order

NUT = Plate(dish="squid", qty=1, allergies=("nut",), seat="2")
STATIONS = ("fry", "plancha", "cold")


def story_of(*plates: Plate, land: Hold | None = None) -> Story:
    story = Story()
    story.do(order("6", asked("mains", land, *plates)))
    return story


def test_an_allergy_is_on_its_course_with_its_seat() -> None:
    (course,) = pass_board(story_of(NUT, Plate(dish="hake")).state, 0).courses
    assert course.allergies == (AllergyView("NUT · seat 2", "Squid", "6", "Fryer is shared: ask the chef"),)
    assert course.dishes[0].allergies == ("nut",)


def cues(state: Evening, station: str) -> tuple[ActionView, ...]:
    return station_board(state, station, 0).actions


def test_an_allergy_is_on_every_cue_of_its_dish_and_on_no_other() -> None:
    state = story_of(NUT, Plate(dish="hake", allergies=("milk", "fish"), seat="seat 4")).state
    words = {
        station: [
            [allergy.words for allergy in action.allergies] for action in station_board(state, station, 0).actions
        ]
        for station in STATIONS
    }
    nut, milk = ["NUT · seat 2 · table 6"], ["MILK · seat 4 · table 6", "FISH · seat 4 · table 6"]
    assert words == {"fry": [nut, nut], "plancha": [milk, milk, milk], "cold": [milk, milk]}


def test_shared_equipment_is_said_where_the_dish_meets_it_and_nowhere_else() -> None:
    state = story_of(NUT, Plate(dish="hake", allergies=("milk",))).state
    fry, plancha = station_board(state, "fry", 0).actions[0], station_board(state, "plancha", 0).actions[0]
    assert fry.allergies[0].cross_contact == "Fryer is shared: ask the chef"
    assert plancha.allergies[0].cross_contact == ""


def test_shared_equipment_is_said_on_every_cue_of_the_dish_not_only_at_the_fryer() -> None:
    fritter = b.component("fry", b.step(60, on="fryer"), name="Fritter")
    leaves = b.component("cold", b.step(20), name="Leaves")
    story = Story(book=b.book([b.dish("crab", fritter=fritter, leaves=leaves)]))
    story.do(order("6", asked("mains", None, Plate(dish="crab", allergies=("gluten",)))))
    (dress, *_) = station_board(story.state, "cold", 0).actions
    assert dress.allergies[0].cross_contact == "Fryer is shared: ask the chef"


def test_an_allergy_is_on_a_held_course() -> None:
    (held,) = pass_board(story_of(NUT, land=Hold()).state, 0).held
    assert held.allergies == (AllergyView("NUT · seat 2", "Squid", "6", "Fryer is shared: ask the chef"),)


def test_an_allergy_stays_through_hold_and_every_new_plan() -> None:
    story = story_of(NUT)
    story.plan(now=30)
    assert station_board(story.state, "fry", 30).actions[0].allergies
    story.do(HoldCourse("6/mains"), now=40)
    assert pass_board(story.state, 40).held[0].allergies


def test_allergies_come_first_among_the_checks_before_sending() -> None:
    tonight = Tonight()
    tonight.do(order("6", asked("mains", None, Plate(dish="hake"), NUT)))
    tonight.cook_until(300)
    checks = [(line.kind, line.words) for line in tonight.course("6/mains").checks]
    assert checks[0] == ("allergy", "NUT · seat 2 · table 6 · Squid · Fryer is shared: ask the chef")
    assert checks[1] == ("core_temp", "Hake: read 58 °C in the middle")
    assert {kind for kind, _ in checks[2:]} == {"stands"}


def test_a_joined_cue_says_every_tables_allergy() -> None:
    story = Story()
    story.do(order("6", asked("mains", None, NUT)))
    story.do(order("4", asked("mains", None, replace_seat(NUT, "7"))))
    (drop, *_) = station_board(story.state, "fry", 0).actions
    assert set(drop.tables) == {"4", "6"}
    assert {allergy.words for allergy in drop.allergies} == {"NUT · seat 2 · table 6", "NUT · seat 7 · table 4"}


def replace_seat(plate: Plate, seat: str) -> Plate:
    return plate.model_copy(update={"seat": seat})


def test_a_load_cooked_again_keeps_its_allergy() -> None:
    tonight = Tonight()
    tonight.do(order("6", asked("mains", None, NUT)))
    tonight.start("6/mains/squid/rings/1/0")
    tonight.at(30).do(CookAgain("6/mains/squid/rings/1"))
    drop = next(action for action in tonight.actions("fry") if action.kind == "start")
    assert drop.steps == ("6/mains/squid/rings/2/0",)
    assert drop.allergies[0].words == "NUT · seat 2 · table 6"


def test_a_quote_warns_of_an_allergy_that_a_dish_lists_and_promises_nothing_where_it_lists_none() -> None:
    squid = small_book()["squid"]
    rings = squid.components["rings"].model_copy(update={"allergens": ("tree nuts", "mollusc")})
    book = {**small_book(), "squid": squid.model_copy(update={"components": {"rings": rings}})}
    before = Story(small_kitchen(), book)
    after = Story(small_kitchen(), book)
    after.do(order("6", asked("mains", None, NUT, Plate(dish="hake", allergies=("milk",)))))
    quote = quote_view(before.state, after.state, [CourseKey("6", "mains")], 0)
    assert quote.warnings == (
        "NUT · seat 2 · table 6: Squid lists tree nuts. Change the dish or ask the chef.",
        "NUT · seat 2 · table 6: Fryer is shared: ask the chef (Squid).",
        "MILK · table 6: Hake lists none of it, which is no promise. Ask the chef.",
    )


def test_every_cue_of_an_allergic_plate_has_it_whatever_the_plan() -> None:
    """Every action of every station, whole plan, one allergy on each dish: none may be without."""
    plates = [Plate(dish=dish, allergies=("nut",)) for dish in small_book()]
    state = story_of(*plates).state
    actions = [action for station in STATIONS for action in station_board(state, station, 0).actions]
    assert len(actions) == 9
    assert all(action.allergies for action in actions)
    assert LoadKey("6", "mains", "egg", "egg", 1) in (state.plan.by_load if state.plan else {})
    assert replace(state, announced={}) == state
