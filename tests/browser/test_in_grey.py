"""The score printed in grey: states of a note are told apart by shape alone, on the very pictures of the screens.

Chromium itself takes the colours away (achromatopsia, as its own tools for designers emulate it).
"""

import base64
from itertools import combinations

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.device import in_grey, open_on
from tests.browser.house import House

pytestmark = pytest.mark.browser

GREYS = """async (png) => {
  const image = new Image();
  image.src = `data:image/png;base64,${png}`;
  await image.decode();
  const canvas = new OffscreenCanvas(image.width, image.height);
  const pen = canvas.getContext('2d');
  pen.drawImage(image, 0, 0);
  const { data } = pen.getImageData(0, 0, image.width, image.height);
  const greys = [];
  let colourful = 0;
  for (let at = 0; at < data.length; at += 4) {
    colourful = Math.max(colourful, Math.abs(data[at] - data[at + 1]), Math.abs(data[at] - data[at + 2]));
    greys.push(data[at]);
  }
  return { greys, colourful };
}"""

PLAIN = 40
"""Levels of grey, of 255, by which two points differ plainly."""

SHAPE = 20
"""Points that have to differ plainly: a twentieth of a legend's note; on the pass a note is five times as large."""


def greys_of(page: Page, png: bytes) -> list[int]:
    """A picture's levels of grey, point by point; it must have no colour left in it."""
    seen = page.evaluate(GREYS, base64.b64encode(png).decode())
    assert seen["colourful"] <= 2, "there is colour in it"
    greys: list[int] = seen["greys"]
    return greys


def plainly_apart(one: list[int], other: list[int]) -> int:
    """How many points of two pictures of one size differ plainly."""
    assert len(one) == len(other)
    return sum(abs(a - b) > PLAIN for a, b in zip(one, other, strict=True))


def alone(page: Page, sample: Locator) -> bytes:
    """A picture of one note at the same place of the screen as any other, so that only its shape can differ."""
    sample.evaluate("one => one.style.cssText = 'position: fixed; left: 8px; top: 8px; background: var(--ground)'")
    picture = page.screenshot(clip={"x": 8, "y": 8, "width": 34, "height": 20})
    sample.evaluate("one => one.style.cssText = ''")
    return picture


@pytest.mark.parametrize("theme", ["dark", "light"])
def test_the_states_of_a_note_differ_in_grey(house: House, browser: Browser, theme: str) -> None:
    page = open_on(browser, (1280, 800), theme=theme)
    page.goto(f"{house.url}/pass")
    in_grey(page)
    samples = page.locator(".legend .sample")
    expect(samples).to_have_count(5)
    pictures = [greys_of(page, alone(page, sample)) for sample in samples.all()]
    least = min(plainly_apart(one, other) for one, other in combinations(pictures, 2))
    page.context.close()
    assert least >= SHAPE, "two states look nearly alike without colour"


A_NOTE = 30
"""Pixels of a note that must be in the picture."""


@pytest.mark.parametrize("theme", ["dark", "light"])
def test_every_stations_notes_stand_out_of_the_ground_in_grey(house: House, browser: Browser, theme: str) -> None:
    page = open_on(browser, (1280, 800), theme=theme)
    page.goto(f"{house.url}/pass")
    page.get_by_role("button", name="By station").click()
    in_grey(page)
    drawn = 0
    for row in page.locator(".station-row").all():
        cell = row.locator(".score-cell").bounding_box()
        assert cell is not None
        boxes = [box for note in row.locator(".note").all() if (box := note.bounding_box()) is not None]
        ends = cell["x"] + cell["width"]
        # A note of which only the first few pixels have come into the picture is none yet.
        if not any(box["x"] < ends - A_NOTE and box["x"] + box["width"] > cell["x"] + A_NOTE for box in boxes):
            continue
        row.scroll_into_view_if_needed()
        shot = greys_of(page, row.locator(".score-cell").screenshot())
        ground = max(set(shot), key=shot.count)
        # WCAG 2.2, 1.4.11 Non-text Contrast: 3:1 for what has to be seen to understand a picture.
        clear = sum(contrast(grey, ground) >= 3 for grey in shot)
        assert clear > 0.01 * len(shot), row.get_attribute("data-station")
        drawn += 1
    page.context.close()
    assert drawn >= 3


def contrast(one: int, other: int) -> float:
    """Contrast of two greys, 1 to 21, as WCAG 2.2 defines it."""

    def light(grey: int) -> float:
        part = grey / 255
        return part / 12.92 if part <= 0.04045 else float(((part + 0.055) / 1.055) ** 2.4)

    high, low = sorted((light(one), light(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)
