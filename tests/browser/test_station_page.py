"""A station's phone in a real browser: the tap that is taken back, the keypad, the cue that moves up."""

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Opens
from tests.server.served import Served

pytestmark = pytest.mark.browser


def joined(demo: Served, opens: Opens) -> Page:
    """Garnish's phone, joined by its first touch."""
    page = opens(f"{demo.url}/station/garnish", 360, 740, touch=True)
    page.get_by_role("button", name="Join Garnish").tap()
    expect(page.locator(".station .cue")).to_be_visible()
    return page


def cue(page: Page) -> str:
    return page.locator(".station .cue h2").inner_text()


def offered_again(page: Page, before: str) -> None:
    """In the big place, or right below it where the plan has brought something else forward meanwhile."""
    verb, food = before.splitlines()
    offered = page.locator(".station .cue h2, .station .others button")
    expect(offered.filter(has_text=verb).filter(has_text=food).first).to_be_visible()


def test_a_tap_moves_on_at_once_and_can_be_taken_back(calm_demo: Served, opens: Opens) -> None:
    page = joined(calm_demo, opens)
    before = cue(page)
    page.locator(".dock .big").tap()
    expect(page.locator(".station .cue h2")).not_to_have_text(before)
    page.get_by_role("button", name="Undo").tap()
    offered_again(page, before)


def test_a_keypad_does_what_the_big_button_does(calm_demo: Served, opens: Opens) -> None:
    page = joined(calm_demo, opens)
    before = cue(page)
    page.keyboard.press("Enter")
    expect(page.locator(".station .cue h2")).not_to_have_text(before)
    page.keyboard.press("Backspace")
    offered_again(page, before)


def test_what_follows_can_be_touched_up_into_the_big_place(calm_demo: Served, opens: Opens) -> None:
    page = joined(calm_demo, opens)
    before = cue(page)
    page.locator(".others button").first.tap()
    expect(page.locator(".station .cue h2")).not_to_have_text(before)
    assert before.splitlines()[0] in page.locator(".others").inner_text()


def test_an_unknown_station_offers_those_that_there_are(calm_demo: Served, opens: Opens) -> None:
    page = opens(f"{calm_demo.url}/station/grill", 360, 740)
    expect(page.get_by_role("heading", name="This kitchen has no station “grill”.")).to_be_visible()
    page.get_by_role("link", name="Fry").click()
    expect(page.get_by_role("button", name="Join Fry")).to_be_visible()
