"""Phones in a kitchen: out of touch, asleep, loaded anew, wiped, shared, in another language. The clock stands."""

import re

import pytest
from playwright.sync_api import Browser, Page, expect

from kitchen_timer.service.events import StepStarted, Struck
from tests.browser.device import open_on
from tests.browser.house import House
from tests.browser.states import joined

pytestmark = pytest.mark.browser

PHONE = (360, 740)

KEPT = """async (station) => {
  const kept = async () => localStorage.getItem(`kitchen-timer board ${station}`) !== null
    && (await (await caches.open('kitchen-timer screens')).match('/api/kitchen')) !== undefined;
  while (!(await kept())) await new Promise((after) => setTimeout(after, 50));
}"""
"""Waits until this phone has all that it needs out of touch."""


@pytest.fixture
def phone(house: House, browser: Browser) -> Page:
    """Garnish's phone, joined."""
    return joined_at(house, browser, "garnish")


def joined_at(house: House, browser: Browser, station: str, *, keeps: bool = False) -> Page:
    page = open_on(browser, PHONE, touch=True, keeps=keeps)
    page.goto(f"{house.url}/station/{station}")
    joined(page)
    return page


def cue(page: Page) -> str:
    return page.locator(".station .cue h2").inner_text()


def starts(house: House) -> int:
    """How many steps have been started by a tap or by themselves."""
    return sum(isinstance(entry.event, StepStarted) for entry in house.log.read("skerrymoot"))


def test_taps_made_out_of_touch_outlive_a_reload_and_go_in_once(house: House, browser: Browser) -> None:
    page = joined_at(house, browser, "meat", keeps=True)
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    page.evaluate(KEPT, "meat")
    before = cue(page)
    page.context.set_offline(True)
    page.locator(".dock .big").tap()
    expect(page.locator(".station .status")).to_contain_text("1 tap is kept")

    page.reload()
    expect(page.locator(".station .status")).to_contain_text("1 tap is kept")
    expect(page.locator(".station .cue")).to_be_visible()
    known = house.passing().seq

    page.context.set_offline(False)
    expect(page.locator(".station .status")).not_to_contain_text("kept", timeout=15_000)
    expect(page.locator(".station .cue h2")).not_to_have_text(before, use_inner_text=True)
    assert house.passing().seq > known
    page.context.close()


def test_a_tap_taken_back_out_of_touch_changes_nothing_once_it_is_back(
    house: House, browser: Browser, phone: Page
) -> None:
    before, started = cue(phone), starts(house)
    phone.context.set_offline(True)
    phone.locator(".dock .big").tap()
    phone.get_by_role("button", name="Undo").tap()
    expect(phone.locator(".station .cue h2")).to_have_text(before, use_inner_text=True)
    phone.context.set_offline(False)
    expect(phone.locator(".station .status")).not_to_contain_text("kept", timeout=15_000)
    expect(phone.locator(".station .cue h2")).to_have_text(before, use_inner_text=True)
    for _ in range(150):  # a busy machine may take seconds until both have come in
        undone = sum(isinstance(entry.event, Struck) for entry in house.log.read("skerrymoot"))
        if undone:
            break
        phone.wait_for_timeout(100)
    assert (starts(house) - started, undone) in {(1, 1), (0, 1)}
    phone.context.close()


def test_two_phones_that_race_for_one_tap_start_it_once(house: House, browser: Browser) -> None:
    one, other = joined_at(house, browser, "larder"), joined_at(house, browser, "larder")
    assert cue(one) == cue(other)
    before, started = cue(one), starts(house)
    one.evaluate("document.querySelector('.dock .big').click()")
    other.evaluate("document.querySelector('.dock .big').click()")
    for page in (one, other):
        expect(page.locator(".station .cue h2, .station .free h2").first).not_to_have_text(before, use_inner_text=True)
        page.context.close()
    assert starts(house) - started <= 1


def test_a_page_loaded_anew_in_mid_cue_shows_the_same_cue_without_joining_again(phone: Page) -> None:
    before = cue(phone)
    phone.reload()
    expect(phone.locator(".station .cue h2")).to_have_text(before, use_inner_text=True)
    phone.context.close()


def test_a_phone_that_slept_has_the_kitchens_time_again_when_it_wakes(house: House, browser: Browser) -> None:
    page = open_on(browser, PHONE, touch=True)
    page.clock.install()
    page.goto(f"{house.url}/station/garnish")
    joined(page)
    clock = page.locator(".station header .clock")
    expect(clock).to_have_text("19:30:20")
    # Half an hour passes on the phone in which nothing of the page runs; in this kitchen no time has passed.
    page.clock.fast_forward("30:00")
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    page.clock.run_for(2000)
    expect(clock).to_have_text(re.compile("19:30:2[0-3]"))
    expect(page.locator(".station header .touch")).to_have_text("in touch")
    page.context.close()


def test_a_cook_turns_the_language_and_the_phone_remembers_it(phone: Page) -> None:
    phone.get_by_role("button", name="Set").tap()
    phone.get_by_label("Language").select_option("pl")
    phone.get_by_role("button", name="Zamknij").tap()
    expect(phone.locator(".dock .big")).to_have_text(re.compile("Zaczęte|Gotowe"))
    assert phone.evaluate("document.documentElement.lang") == "pl-PL"
    phone.reload()
    expect(phone.locator(".dock .big")).to_have_text(re.compile("Zaczęte|Gotowe"))
    phone.context.close()


def test_a_phone_locked_for_wiping_takes_no_touch_until_a_finger_is_held(phone: Page) -> None:
    before = cue(phone)
    phone.get_by_role("button", name="Wipe").tap()
    box = phone.locator(".dock .big").bounding_box()
    assert box is not None
    phone.touchscreen.tap(box["x"] + 20, box["y"] + 4)
    phone.get_by_role("button", name="Hold here to go on").tap()
    expect(phone.locator(".wipe")).to_be_visible()
    assert cue(phone) == before
    phone.get_by_role("button", name="Hold here to go on").dispatch_event("pointerdown", {"isPrimary": True})
    expect(phone.locator(".wipe")).to_have_count(0)
    assert cue(phone) == before
    phone.context.close()


def test_one_phone_serves_two_stations(house: House, browser: Browser) -> None:
    page = joined_at(house, browser, "garnish+fry")
    expect(page.locator(".station header h1")).to_have_text("Garnish and Fry")
    house.until(
        lambda: all(station.devices for station in house.passing().stations if station.id in ("garnish", "fry"))
    )
    text = page.locator(".station .cue, .station .others").all_inner_texts()
    assert any("fritter" in one for one in text)
    page.context.close()


def test_an_order_is_taken_by_keyboard_alone(house: House, browser: Browser) -> None:
    page = open_on(browser, (1280, 800))
    page.goto(f"{house.url}/order")
    expect(page.get_by_label("Table", exact=True)).to_be_focused()
    for line in ("30", "2 bee", ""):
        page.keyboard.type(line)
        page.keyboard.press("Enter")
    page.keyboard.press("n")
    page.keyboard.press("Enter")
    expect(page.get_by_role("status").filter(has_text="Table 30 is taken")).to_be_visible()
    assert "30" in [course.table for course in house.passing().courses]
    page.context.close()
