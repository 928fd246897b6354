"""A real browser on a real server: the program itself on a free port, the system's own Chromium."""

from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright

from kitchen_timer.server.screens import built_screens
from tests.browser.device import ARGUMENTS, chromium
from tests.browser.house import House
from tests.server.served import Served


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """One browser for all tests; skipped where the system has none."""
    path = chromium()
    if path is None:
        pytest.skip("no Chromium found: install it (apt-get install chromium) or name it in CHROMIUM")
    expect.set_options(timeout=15_000)  # what comes, comes at once; a busy machine may take longer
    with sync_playwright() as playwright:
        running = playwright.chromium.launch(executable_path=path, args=list(ARGUMENTS))
        yield running
        running.close()


@pytest.fixture(scope="session")
def _screens() -> None:
    if built_screens() is None:
        pytest.fail("the screens are not built: cd web && npm ci && npm run build")


@pytest.fixture(scope="module")
def calm_demo(_screens: None, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """The demo's evening at the speed of life, for tests that look at one moment; shared by the tests of a file."""
    served = Served(tmp_path_factory.mktemp("data"), "--demo", "--fresh")
    yield served
    served.end()


@pytest.fixture(scope="module")
def house(_screens: None) -> Iterator[House]:
    """The same kitchen at half past seven under a clock that stands, shared by the tests of a file."""
    standing = House()
    standing.turn_to("19:30:20")
    yield standing
    standing.close()


Opens = Callable[..., Page]


@pytest.fixture
def opens(browser: Browser) -> Iterator[Opens]:
    """Opens a page as a device of its own; a fault in its script fails the test."""
    contexts: list[BrowserContext] = []
    faults: list[str] = []

    def open_page(url: str, width: int, height: int, *, touch: bool = False) -> Page:
        context = browser.new_context(
            viewport={"width": width, "height": height},
            has_touch=touch,
            is_mobile=touch,
            # Several pages moving sixty times a second, drawn without a graphics card, would starve the kitchen itself.
            reduced_motion="reduce",
        )
        contexts.append(context)
        page = context.new_page()
        page.on("pageerror", lambda fault: faults.append(f"{url}: {fault}"))
        page.goto(url)
        return page

    yield open_page
    for context in contexts:
        context.close()
    assert not faults
