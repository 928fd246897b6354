"""What a touch on a course, a station or the all-day line opens: each flow by touch and by keyboard, and taken back."""

import contextlib
import re
from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from kitchen_timer.kitchen.table import Plate
from kitchen_timer.service.commands import TakeOff
from kitchen_timer.service.views import CourseView
from tests.browser.device import open_on
from tests.browser.house import House

pytestmark = pytest.mark.browser

TABLET = (768, 1024)


@pytest.fixture(scope="module")
def chef(house: House, browser: Browser) -> Iterator[Page]:
    """The pass on a chef's tablet, shared by the tests of this file: each leaves it closed."""
    house.order("6", "mains", Plate(dish="brill", qty=2), Plate(dish="risotto", seat="2", note="no leaves"))
    page = open_on(browser, TABLET, touch=True)
    page.goto(f"{house.url}/pass")
    expect(page.locator(".pass .foot")).to_be_visible()
    yield page
    page.context.close()


@pytest.fixture(autouse=True)
def _closed(chef: Page) -> Iterator[None]:
    yield
    if chef.locator("dialog[open]").count():
        chef.keyboard.press("Escape")
    expect(chef.locator("dialog[open]")).to_have_count(0)


Hit = Callable[[Locator], None]


def by_touch(what: Locator) -> None:
    """With a finger."""
    what.tap()


def by_keyboard(what: Locator) -> None:
    """With Enter, where the focus is."""
    what.focus()
    expect(what).to_be_focused()
    what.press("Enter")


@pytest.fixture(params=[by_touch, by_keyboard])
def hit(request: pytest.FixtureRequest) -> Hit:
    """The way in which a test acts."""
    way: Hit = request.param
    return way


def sheet(hit: Hit, page: Page, course_id: str, part: str = "") -> Locator:
    """A course's sheet, opened, or a part of it."""
    hit(page.locator(f'[data-course="{course_id}"] .open'))
    if part:
        hit(page.locator(".acts").get_by_role("button", name=part))
    return page.locator("dialog[open]")


def course(house: House, course_id: str) -> CourseView:
    return next(one for one in house.passing().courses if one.id == course_id)


def seen(page: Page, fact: Callable[[], object]) -> None:
    """Waits until the kitchen has it; its pages live on meanwhile."""
    for _ in range(100):
        with contextlib.suppress(StopIteration):  # the course is not there yet
            if fact():
                return
        page.wait_for_timeout(50)
    raise AssertionError("the kitchen never had it")


def take_back(hit: Hit, page: Page, done: str) -> None:
    """The one act that is offered for ten seconds where it was done, in the sheet or at the foot."""
    there = "dialog[open]" if page.locator("dialog[open]").count() else ".foot"
    doing = page.locator(f"{there} .doing")
    expect(doing).to_contain_text(done)
    hit(doing.get_by_role("button", name="Take back"))


def test_a_plate_is_taken_off_and_put_back(house: House, chef: Page, hit: Hit) -> None:
    hit(sheet(hit, chef, "6/mains", "Plates").get_by_role("button", name="One off: Brill"))
    seen(chef, lambda: course(house, "6/mains").plates == 2)
    expect(chef.locator(".plate-lines")).to_contain_text(re.compile(r"1\s*Brill"))
    take_back(hit, chef, "1 Brill off")
    seen(chef, lambda: course(house, "6/mains").plates == 3)


def test_a_plate_becomes_another_dish_with_a_note(house: House, chef: Page, hit: Hit) -> None:
    opened = sheet(hit, chef, "6/mains", "Plates")
    hit(opened.get_by_role("button", name="Change one: Brill"))
    opened.get_by_label("Dish").select_option("lamb")
    opened.get_by_label("Note").fill("no beans")
    hit(opened.get_by_role("button", name="Change", exact=True))
    seen(chef, lambda: {(d.dish, d.note) for d in course(house, "6/mains").dishes} >= {("lamb", "no beans")})
    take_back(hit, chef, "changed")
    seen(chef, lambda: all(d.dish != "lamb" for d in course(house, "6/mains").dishes))


def test_a_plate_is_added_only_once_allergies_were_asked_for(house: House, chef: Page, hit: Hit) -> None:
    opened = sheet(hit, chef, "6/mains", "Plates")
    opened.get_by_label("Dish").select_option("brill")
    add = opened.get_by_role("button", name="Add", exact=True)
    expect(add).to_be_disabled()
    opened.get_by_label("Allergies were asked for").check()
    opened.get_by_label("Allergies", exact=True).fill("milk")
    hit(add)
    seen(chef, lambda: course(house, "6/mains").plates == 4)
    assert [one.words for one in course(house, "6/mains").allergies] == ["MILK"]
    take_back(hit, chef, "1 Brill more")
    seen(chef, lambda: course(house, "6/mains").plates == 3)


def test_an_allergy_told_late_is_on_every_cue_of_its_plate(house: House, chef: Page, hit: Hit) -> None:
    opened = sheet(hit, chef, "6/mains", "Allergy")
    tell = opened.get_by_role("button", name="Tell the stations")
    expect(tell).to_be_disabled()
    hit(opened.get_by_role("button", name="celery"))
    hit(opened.get_by_role("button", name="seat 2"))
    hit(tell)
    seen(chef, lambda: any(one.words == "CELERY · seat 2" for one in course(house, "6/mains").allergies))
    expect(chef.locator('[data-course="6/mains"] .allergy').filter(has_text="CELERY").first).to_be_visible()
    risotto = [n for n in course(house, "6/mains").notes if n.component == "risotto" or n.dish == "risotto"]
    assert risotto
    take_back(hit, chef, "CELERY told")
    seen(chef, lambda: not course(house, "6/mains").allergies)


def test_a_table_moves_and_two_become_one(house: House, chef: Page, hit: Hit) -> None:
    came, sits = ("26", "27") if hit is by_touch else ("36", "37")
    house.order(came, "mains", Plate(dish="ox-cheek"))

    def move(table: str, to: str, says: str) -> None:
        sheet(hit, chef, f"{table}/mains", "Move table")
        chef.get_by_label("They sit at table").press_sequentially(to)
        go = chef.get_by_role("button", name=says, exact=True)
        expect(go).to_be_enabled()
        hit(go)

    before = course(house, "6/mains").plates
    move(came, sits, "Move")
    seen(chef, lambda: any(one.id == f"{sits}/mains" for one in house.passing().courses))
    move(sits, "6", "Put together")
    seen(chef, lambda: course(house, "6/mains").plates == before + 1)
    take_back(hit, chef, "are one")
    seen(chef, lambda: course(house, f"{sits}/mains").plates == 1)


def test_the_chefs_own_time_for_a_cue_is_kept_until_it_is_given_back(house: House, chef: Page, hit: Hit) -> None:
    opened = sheet(hit, chef, "6/mains", "Own times")
    before = {note.id: note.start_at for note in course(house, "6/mains").notes}
    hit(opened.get_by_role("button", name="1 min later: Risotto"))
    seen(chef, lambda: any(note.pinned for note in course(house, "6/mains").notes))
    (pinned,) = [note for note in course(house, "6/mains").notes if note.pinned]
    assert pinned.start_at == before[pinned.id] + 60
    expect(opened).to_contain_text("your time")
    hit(opened.get_by_role("button", name="Let the plan say"))
    seen(chef, lambda: not any(note.pinned for note in course(house, "6/mains").notes))


def test_a_cook_goes_and_a_basket_is_out_and_both_come_back(house: House, chef: Page, hit: Hit) -> None:
    hit(chef.locator(".legend").get_by_role("button", name="Fry: cooks"))
    opened = chef.locator("dialog[open]")
    hit(opened.get_by_role("button", name="One fewer: Cooks here"))
    seen(chef, lambda: [(s.id, s.has) for s in house.passing().short] == [("fry", 0)])
    hit(opened.get_by_role("button", name="One more: Cooks here"))
    seen(chef, lambda: not house.passing().short)
    hit(opened.get_by_role("button", name="One fewer: Places: fryer"))
    seen(chef, lambda: [(s.id, s.has, s.of) for s in house.passing().short] == [("fryer", 1, 2)])
    expect(opened.locator(".stepper").last).to_contain_text("1 of 2")
    chef.keyboard.press("Escape")
    expect(chef.locator(".tonight")).to_contain_text("1 of 2")
    take_back(hit, chef, "1 place")
    seen(chef, lambda: not house.passing().short)


def test_what_is_off_is_marked_on_the_order_page_at_once(house: House, browser: Browser, chef: Page, hit: Hit) -> None:
    order = open_on(browser, (1280, 800))
    order.goto(f"{house.url}/order")
    tile = order.get_by_role("button", name="Add Saffron")
    expect(tile).to_have_attribute("aria-disabled", "false")
    hit(chef.locator(".tonight"))
    opened = chef.locator("dialog[open]")
    hit(opened.get_by_role("button", name="None left: Courgette flower"))
    expect(tile).to_have_attribute("aria-disabled", "true")
    expect(tile).to_contain_text("off: no Courgette flower")
    order.locator("#called").fill("saf")
    expect(order.locator("#called-says")).to_contain_text("Saffron risotto is off")
    order.keyboard.press("Enter")
    expect(order.locator(".line")).to_have_count(0)
    hit(opened.get_by_role("button", name="Back on: Courgette flower"))
    expect(tile).to_have_attribute("aria-disabled", "false")
    order.locator("#called").press("Enter")
    expect(order.locator(".line")).to_have_count(1)
    order.context.close()


def test_a_guest_goes_away_and_comes_back(house: House, chef: Page, hit: Hit) -> None:
    sheet(hit, chef, "6/mains", "Guest away")
    back = chef.locator(".held").get_by_role("button", name="Guest back table 6")
    expect(back).to_be_visible()
    assert all(one.id != "6/mains" for one in house.passing().courses)
    hit(back)
    seen(chef, lambda: any(one.id == "6/mains" for one in house.passing().courses))


def test_a_held_course_can_be_changed_too(house: House, chef: Page, hit: Hit) -> None:
    held = house.passing().held[0]
    hit(chef.get_by_role("button", name=f"Table {held.table}, {held.course}: what can be done"))
    hit(chef.locator(".acts").get_by_role("button", name="Plates"))
    hit(chef.get_by_role("button", name="One off").first)
    seen(chef, lambda: house.passing().held[0].plates == held.plates - 1)
    take_back(hit, chef, " off")
    seen(chef, lambda: house.passing().held[0].plates == held.plates)


def test_spare_food_goes_to_another_table_by_one_touch(house: House, chef: Page, hit: Hit) -> None:
    off, on = ("28", "29") if hit is by_touch else ("38", "39")
    house.order(off, "mains", Plate(dish="ox-cheek"))
    house.until(lambda: any(note.load_id.startswith(f"{off}/") for note in house.cooking()), step_s=10)
    begun = [note.load_id for note in house.cooking() if note.table == off]
    house.order(on, "mains", Plate(dish="ox-cheek"))
    house.do(TakeOff(f"{off}/mains", (Plate(dish="ox-cheek"),)))
    give = chef.locator(".questions").get_by_role("button", name=f"Give to table {on}")
    expect(give.first).to_be_visible()
    hit(give.first)
    seen(chef, lambda: len([one for one in house.passing().spare if one.load in begun]) < len(begun))
    assert any(note.state == "started" for note in course(house, f"{on}/mains").notes)


def test_the_score_is_read_by_station_too_and_the_display_remembers_it(house: House, chef: Page, hit: Hit) -> None:
    hit(chef.get_by_role("button", name="By station"))
    rows = chef.locator(".station-row")
    expect(rows).to_have_count(len(house.kitchen.stations))
    notes = [note for one in house.passing().courses if not one.at_pass for note in one.notes]
    garnish = chef.locator('[data-station="garnish"]')
    garnish.scroll_into_view_if_needed()
    expect(garnish.locator(".note").first).to_be_visible()
    assert any(note.station == "garnish" for note in notes)
    # Every table's landing is a stroke there, with the table's number at its foot.
    tables = {one.table for one in house.passing().courses if any(n.station == "garnish" for n in one.notes)}
    assert set(garnish.locator(".landing-words").all_text_contents()) <= tables
    chef.reload()
    expect(rows).to_have_count(len(house.kitchen.stations))
    hit(chef.get_by_role("button", name="By table"))
    expect(rows).to_have_count(0)


OVER = """() => [...document.querySelectorAll('.station-row')].flatMap((row) => {
  const ends = row.getBoundingClientRect().bottom + 1;
  const words = [...row.querySelectorAll('.who .station-name, .allergy, .when > *')];
  return words.filter((one) => one.getBoundingClientRect().bottom > ends).map((one) => one.textContent);
})"""


def test_no_stations_words_lie_over_anothers_on_the_big_display(house: House, browser: Browser) -> None:
    house.order("46", "mains", Plate(dish="risotto", seat="1", allergies=("gluten",)))
    page = open_on(browser, (1920, 1080))
    page.goto(f"{house.url}/pass")
    page.get_by_role("button", name="By station").click()
    expect(page.locator(".station-row .allergy").first).to_be_visible()
    assert page.evaluate(OVER) == []
    page.context.close()


def test_the_book_shows_one_dish_alone(house: House, browser: Browser, hit: Hit) -> None:
    page = open_on(browser, (1280, 800), touch=hit is by_touch)
    page.goto(f"{house.url}/book")
    hit(page.get_by_role("button", name="Saffron risotto"))
    # Risotto is finished in 6:00, dressed leaves and fritter close up on the landing: it lands no sooner than that.
    expect(page.locator(".takes")).to_have_text(re.compile(r"lands after [6-9]:\d\d"))
    expect(page.locator(".alone .note").first).to_be_visible()
    expect(page.locator(".parts > li")).to_have_count(3)
    hit(page.get_by_role("button", name="One plate more"))
    expect(page.locator(".alone")).to_contain_text("2 Risotto")
    page.context.close()
