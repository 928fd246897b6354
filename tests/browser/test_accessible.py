"""Every page in its main states: axe finds nothing, what must be read reads, what must be touched is large enough.

Rules: WCAG 2.2, levels A and AA, as axe-core checks them; beyond it 7:1 for cue and countdown (success criterion 1.4.6,
AAA) and targets of 44 px (2.5.5, AAA). Widths: 320 px is 1280 at 400 % (1.4.10 Reflow), 640 is 1280 at 200 %.
"""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from kitchen_timer.kitchen.table import Plate
from tests.browser import states
from tests.browser.device import open_on
from tests.browser.house import House
from tests.browser.pictures import SIZES

pytestmark = pytest.mark.browser

AXE = Path(__file__).parent.parent.parent / "web" / "node_modules" / "axe-core" / "axe.min.js"

Shows = Callable[[Page], None]

PAGES: tuple[tuple[str, str, str, Shows], ...] = (
    ("/", "desk", "light", states.front),
    ("/pass", "pass", "dark", states.passing),
    ("/pass", "phone", "light", states.course_opened),
    ("/order", "tablet", "dark", states.typed("2 bri !milk @3", "saf !glu @2")),
    ("/order", "phone", "light", states.typed("99 cra")),
    ("/station/fry", "phone", "dark", states.joining),
    ("/station/fry", "phone", "light", states.joined),
    ("/station/fry+garnish", "tablet", "dark", states.settings),
    ("/station/fry", "phone", "dark", states.wiping),
    ("/pass", "desk", "light", states.by_station),
    ("/pass", "tablet", "dark", states.all_day),
    ("/pass", "phone", "dark", states.changing),
    ("/pass", "tablet", "light", states.part_opened("Allergy")),
    ("/pass", "phone", "light", states.station_opened),
    ("/book", "phone", "dark", states.dish_opened("Saffron risotto")),
)
"""Each in one light and one size. On the pass: a course to check with an allergy, one behind, one held."""

WIDTHS = (320, 360, 640, 768, 1280, 1920)

RUN_AXE = """async () => {
  const tags = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
  const found = await axe.run(document, { runOnly: tags, resultTypes: ['violations'] });
  return found.violations.map((one) => `${one.id}: ${one.nodes.map((node) => node.target.join(' ')).join(' | ')}`);
}"""

SMALL_TARGETS = """() => [...document.querySelectorAll('button, input, select, a, summary')]
  .filter((one) => one.checkVisibility() && !one.closest('[inert]') && one.type !== 'checkbox')
  .filter((one) => !document.querySelector('dialog[open]') || one.closest('dialog[open]'))
  .map((one) => [one.textContent || one.id || one.type, one.getBoundingClientRect()])
  .filter(([, box]) => box.width < 43.9 || box.height < 43.9)
  .map(([name, box]) => `${name}: ${box.width} x ${box.height}`)"""

FAINT = """(selector) => {
  const numbers = (colour) => (colour.match(/[\\d.]+/g) ?? []).map(Number);
  const lightness = (rgb) => {
    const [r, g, b] = rgb.slice(0, 3).map((v) => {
      const part = v / 255;
      return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const ground = (one) => {
    for (let at = one; at !== null; at = at.parentElement) {
      const own = numbers(getComputedStyle(at).backgroundColor);
      if (own.length === 3 || own[3] === 1) return own;
    }
    return [255, 255, 255];
  };
  return [...document.querySelectorAll(selector)].map((one) => {
    const [ink, paper] = [lightness(numbers(getComputedStyle(one).color)), lightness(ground(one))];
    const ratio = (Math.max(ink, paper) + 0.05) / (Math.min(ink, paper) + 0.05);
    return [`${one.className} ${one.textContent}`, ratio];
  });
}"""

TWICE = """() => {
  const all = [...document.body.querySelectorAll('*')].filter((one) => one.closest('svg') === null);
  const sizes = all.map((one) => parseFloat(getComputedStyle(one).fontSize));
  for (const [at, one] of all.entries()) one.style.fontSize = `${2 * sizes[at]}px`;
}"""
"""What a phone's large text does: every text twice as large, the screen as it was."""

LOST = """() => {
  const own = (one) => [...one.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim() !== '');
  const seen = document.querySelector('dialog[open]') ?? document.body;
  const said = [...seen.querySelectorAll('*')]
    .filter((one) => own(one) && one.checkVisibility() && !one.closest('svg, .unseen, dialog:not([open])'));
  return said.flatMap((one) => {
    const box = one.getBoundingClientRect();
    if (box.left < -1 || box.right > innerWidth + 1) return [`beside the screen: ${one.textContent}`];
    for (let at = one; at !== document.body; at = at.parentElement) {
      const { overflowX, overflowY } = getComputedStyle(at);
      const edge = at.getBoundingClientRect();
      const cut = (overflowX === 'hidden' && (box.right > edge.right + 3 || box.left < edge.left - 3))
        || (overflowY === 'hidden' && (box.bottom > edge.bottom + 3 || box.top < edge.top - 3));
      if (cut) return [`cut off by ${at.className}: ${one.textContent}`];
    }
    return [];
  });
}"""

MUST_READ = ".cue .verb, .cue .component, .countdown b, .cue .allergies strong, .pass .count, .pass .stood, .allergy"


def faults_of(page: Page) -> list[str]:
    """What is wrong with a page as it stands."""
    page.evaluate(AXE.read_text(encoding="utf-8"))
    faults: list[str] = page.evaluate(RUN_AXE)
    faults += [f"too small to touch: {one}" for one in page.evaluate(SMALL_TARGETS)]
    read: list[tuple[str, float]] = page.evaluate(FAINT, MUST_READ)
    faults += [f"too faint, {ratio:.1f}:1: {words}" for words, ratio in read if ratio < 7]
    height = page.viewport_size["height"] if page.viewport_size else 800
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": height})
        wide: Any = page.evaluate("document.documentElement.scrollWidth")
        if wide > width:
            faults.append(f"{wide} px wide on a screen of {width}")
    return faults


@pytest.fixture(scope="module")
def busy(_screens: None) -> Iterator[House]:
    """19:27:30, and fry has a fritter for a table with an allergy next."""
    house = House()
    house.turn_to("19:27:30")
    house.by_hand |= {"fry"}
    house.order("21", "mains", Plate(dish="risotto", seat="1", allergies=("gluten",)))
    board = house.passing()
    assert any(course.at_pass and course.allergies for course in board.courses)
    assert any(course.late_s >= 60 and course.cause for course in board.courses)
    assert board.held
    cue = house.next_of("fry")
    assert cue is not None
    assert cue.allergies
    yield house
    house.close()


@pytest.mark.parametrize(("path", "size", "theme", "show"), PAGES)
def test_a_page_can_be_read_touched_and_heard(
    busy: House, browser: Browser, path: str, size: str, theme: str, show: Shows
) -> None:
    assert AXE.exists(), "axe-core is not there: cd web && npm ci"
    page = open_on(browser, SIZES[size], theme=theme)
    try:
        page.goto(busy.url + path)
        show(page)
        assert faults_of(page) == []
    finally:
        page.context.close()


@pytest.mark.parametrize(
    ("path", "size", "show"),
    [
        ("/station/fry", "phone", states.joined),
        ("/pass", "tablet", states.passing),
        ("/pass", "phone", states.passing),
        ("/pass", "phone", states.course_opened),
        ("/order", "tablet", states.typed("2 bri !milk @3")),
    ],
)
def test_text_twice_as_large_is_all_there(busy: House, browser: Browser, path: str, size: str, show: Shows) -> None:
    """WCAG 2.2, 1.4.4 Resize Text, on a screen that stays as large as it is."""
    page = open_on(browser, SIZES[size])
    try:
        page.goto(busy.url + path)
        show(page)
        page.evaluate(TWICE)
        page.wait_for_timeout(200)
        assert page.evaluate(LOST) == []
        assert page.evaluate("document.documentElement.scrollWidth") <= SIZES[size][0]
    finally:
        page.context.close()
