"""The whole job in a real browser: an order is typed, its cues are followed, its plates are sent.

The kitchen, its cooks and its guests are invented. The clock is turned from cue to cue, so that a busy machine makes
nobody late.
"""

import logging
import re
from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Browser, Page, TimeoutError, expect

from kitchen_timer.service.views import CourseView
from tests.browser.device import open_on
from tests.browser.house import House

pytestmark = pytest.mark.browser

_log = logging.getLogger(__name__)

TABLE = "21"

LONGEST_S = 2700
"""Kitchen seconds that this table may take: its duck alone needs 25 minutes, and others are before it."""

LATE_S = 2
"""Kitchen seconds by which a tap, and so a part, may be late: a phone's clock is right to the second."""

DUE = """() => {
  const count = document.querySelector('.station .countdown');
  const words = count === null ? '' : count.textContent;
  return words.startsWith('0:00') || words.includes('late');
}"""

BOUNCE_MS = 420
"""A second tap within 400 ms of the first is a wet finger's bounce, and is not taken."""

WAKE = "document.dispatchEvent(new Event('visibilitychange'))"
"""What a page hears when it is looked at again: it asks the kitchen for the time."""


@pytest.fixture
def evening(_screens: None) -> Iterator[House]:
    """Half past seven. At fish and fry stand the cooks of this test, elsewhere invented ones."""
    house = House()
    house.turn_to("19:30:20")
    house.by_hand |= {"fish", "fry"}
    yield house
    house.close()


def course_of(house: House) -> CourseView:
    """Our table's course on the pass board."""
    return next(course for course in house.passing().courses if course.table == TABLE)


def test_a_table_of_four_ordered_in_the_browser_lands_together_and_is_sent(
    evening: House, browser: Browser, record_property: Callable[[str, object], None]
) -> None:
    fish = open_on(browser, (360, 740), touch=True)
    fry = open_on(browser, (768, 1024))
    fish.goto(f"{evening.url}/station/fish")
    fry.goto(f"{evening.url}/station/fry")
    fish.get_by_role("button", name="Join Fish").tap()
    fry.get_by_role("button", name="Join Fry").click()

    others = {course.table for course in evening.passing().courses} - {TABLE}
    assert len(others) >= 3, "three other tables are under way"

    order = open_on(browser, (1280, 800))
    order.goto(f"{evening.url}/order")
    take_the_order(order)
    order.context.close()
    past = kept_within(follow_the_cues(evening, fish, fry))
    fish.context.close()
    fry.context.close()

    passing = open_on(browser, (1920, 1080))
    passing.goto(f"{evening.url}/pass")
    row = passing.locator(f'[data-course="{TABLE}/mains"]')
    expect(row.get_by_text("GLUTEN").first).to_be_visible()
    row.get_by_role("button", name="Sent").click()
    gone = passing.get_by_text(f"{TABLE} mains").locator("..")
    expect(gone).to_contain_text(re.compile(r"landed together within \d+ s|landed \d+:\d\d apart"))
    passing.context.close()

    sent = next(one for one in evening.passing().sent if one.table == TABLE)
    assert sent.past_keeps == len(past)
    assert sent.plates == 4
    record_property("spread_s", sent.spread_s)
    record_property("late_s", sent.late_s)
    _log.info("table %s: spread %s s, %s s behind", TABLE, sent.spread_s, sent.late_s)


def take_the_order(page: Page) -> None:
    """By keyboard alone: table 21, one each of four mains, gluten allergy at seat 2's risotto."""
    expect(page.get_by_label("Table", exact=True)).to_be_focused()
    strokes = 0
    for line in (TABLE, "bri", "duc", "saf !glu @2", "lam", ""):
        page.keyboard.type(line)
        page.keyboard.press("Enter")
        strokes += len(line) + 1
    # An allergy on a plate has answered the question, so that the empty line led to the button. Four covers in ten
    # seconds: a clerk types five strokes a second (200 to 300 a minute, common practice, no source).
    assert strokes + 1 <= 50
    expect(page.locator(".line")).to_have_count(4)
    expect(page.locator(".line .allergy")).to_contain_text("GLUTEN")

    quote = page.get_by_role("region", name="What it would get")
    expect(quote.locator(".promised")).to_have_count(1)
    expect(quote.locator(".promised .lands b")).to_have_text(re.compile(r"^\d\d:\d\d$"))
    expect(quote.locator(".warnings")).to_contain_text("gluten")
    expect(quote.locator(".firing li").first).to_be_visible()
    expect(quote.locator(".delays")).to_be_visible()

    page.keyboard.press("Enter")
    expect(page.get_by_role("status").filter(has_text=f"Table {TABLE} is taken")).to_be_visible()
    expect(page.locator(".line")).to_have_count(0)


def follow_the_cues(house: House, fish: Page, fry: Page) -> CourseView:
    """Taps the big action of both stations at its second until the table is at the pass; returns its course."""
    seen: set[str] = set()
    pages = {"fish": fish, "fry": fry}
    gives_up = house.clock.now() + LONGEST_S
    while house.clock.now() < gives_up:
        if course_of(house).at_pass:
            assert seen == {"fish", "fry"}, "both stations were cued for this table"
            return course_of(house)
        next_cues = {station: cue for station in pages if (cue := house.next_of(station)) is not None}
        due_at = min((cue.due_at for cue in next_cues.values()), default=house.clock.now() + 10)
        if due_at > house.clock.now():
            # Not past what others may change meanwhile: somebody's tap can bring a cue forward.
            house.turn(min(due_at - house.clock.now(), 10))
            continue
        house.turn(1)
        for station, cue in next_cues.items():
            if cue.due_at <= house.clock.now() and TABLE in tap(house, station, pages[station]):
                seen.add(station)
    pytest.fail(f"table {TABLE} was not at the pass after {LONGEST_S} s")


def tap(house: House, station: str, page: Page) -> str:
    """One tap of what is due there, by touch or by key; the words that stood over it."""
    page.evaluate(WAKE)
    try:
        page.wait_for_function(DUE, timeout=4000)
    except TimeoutError:
        cue = house.next_of(station)
        assert cue is None or cue.due_at > house.clock.now(), f"{station}'s phone does not show what is due: {cue}"
        return ""  # the tap before has moved it: the cook does what the phone shows
    words = page.locator(".station .cue").inner_text().replace("\n", " ")
    if TABLE in words and "Courgette" in words:
        assert "GLUTEN · seat 2" in words, "the allergy stands on every cue it touches"
    known = house.passing().seq
    page.wait_for_timeout(BOUNCE_MS)
    if station == "fish":
        page.locator(".dock .big").tap()
    else:
        page.keyboard.press("Space")
    for _ in range(400):
        if house.passing().seq > known:  # nothing else moves while the clock stands
            return words
        page.wait_for_timeout(25)
    raise AssertionError(f"the tap of {words!r} never came in")


def kept_within(course: CourseView) -> list[str]:
    """Every component stood no longer than it keeps (rule 4): each load's last note says until when it is good.

    Returns those that a tap within the second made stand a little longer.
    """
    past = []
    last = [note for note in course.notes if note.last]
    assert len({note.load_id for note in last}) >= 12, "the four dishes have at least twelve components"
    for note in last:
        assert note.state == "done", note.load_id
        assert note.stands_until is not None
        assert note.keeps_until is not None
        over_s = note.stands_until - note.keeps_until
        if over_s > 0:
            past.append(note.component_name)
        if over_s > LATE_S:
            # The plans of this house are the quick ones: what they let stand too long has to be said before it is sent.
            said = [line.words for line in course.checks if line.words.startswith(note.component_name)]
            assert any("past what it keeps" in words for words in said), f"{note.component_name}: {over_s} s, unsaid"
    assert course.spread_s is not None
    return past
