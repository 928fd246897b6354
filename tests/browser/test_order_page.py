"""The order page in a real browser: what it refuses, what it keeps, and how fast it is by touch."""

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Opens
from tests.server.served import Served

pytestmark = pytest.mark.browser


def touch_four(page: Page, table: str) -> None:
    """A table of one digit and four mains: five of the seven touches that such an order takes."""
    page.get_by_role("button", name=f"Table digit {table}").tap()
    for dish in ("Brill", "Duck", "Saffron", "Lamb"):
        page.get_by_role("button", name=f"Add {dish}").tap()


def test_an_order_cannot_be_taken_before_allergies_were_asked_for(calm_demo: Served, opens: Opens) -> None:
    page = opens(f"{calm_demo.url}/order", 768, 1024, touch=True)
    touch_four(page, "6")
    take = page.get_by_role("button", name="Take the order")
    expect(take).to_have_attribute("aria-disabled", "true")
    take.tap(force=True)
    expect(page.get_by_text("Still to say: were allergies asked for.")).to_be_visible()
    assert [one["table"] for one in calm_demo.get("/api/pass")["courses"]].count("6") == 0

    page.get_by_role("button", name="None").tap()
    take.tap()
    expect(page.get_by_role("status").filter(has_text="Table 6 is taken")).to_be_visible()


def test_what_is_typed_outlives_a_reload(calm_demo: Served, opens: Opens) -> None:
    page = opens(f"{calm_demo.url}/order", 768, 1024, touch=True)
    touch_four(page, "5")
    page.reload()
    expect(page.locator(".line")).to_have_count(4)
    expect(page.get_by_label("Table", exact=True)).to_have_value("5")


def test_a_taken_order_can_be_taken_back_and_typed_on(calm_demo: Served, opens: Opens) -> None:
    page = opens(f"{calm_demo.url}/order", 768, 1024, touch=True)
    touch_four(page, "3")
    page.get_by_role("button", name="None").tap()
    page.get_by_role("button", name="Take the order").tap()
    page.get_by_role("status").filter(has_text="Table 3 is taken").get_by_role("button", name="Undo").tap()
    expect(page.locator(".line")).to_have_count(4)
    assert "3" not in [one["table"] for one in calm_demo.get("/api/pass")["courses"]]


@pytest.mark.parametrize("path", ["/order", "/station/garnish"])
def test_everything_to_touch_is_large_enough_on_the_smallest_phone(calm_demo: Served, opens: Opens, path: str) -> None:
    # 44 px: WCAG 2.2, success criterion 2.5.5 Target Size (Enhanced), level AAA; AA asks for 24 px.
    page = opens(calm_demo.url + path, 360, 740, touch=True)
    if path == "/order":
        touch_four(page, "6")
        page.get_by_role("button", name="Note, seat, allergies: Brill").tap()
    else:
        page.get_by_role("button", name="Join Garnish").tap()
        expect(page.locator(".station .cue, .station .free").first).to_be_visible()
    small = page.evaluate(
        """() => [...document.querySelectorAll('button, input, select, a')]
          .filter((one) => one.offsetParent !== null && one.type !== 'checkbox')
          .map((one) => [one.textContent || one.id, one.getBoundingClientRect()])
          .filter(([, box]) => box.width < 44 || box.height < 44)
          .map(([name, box]) => `${name}: ${box.width} x ${box.height}`)"""
    )
    assert small == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
