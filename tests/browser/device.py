"""The system's Chromium, and pages opened in it as devices of their own."""

import json
import os
import shutil
from typing import Literal

from playwright.sync_api import Browser, Page, Route

NAMES = ("chromium", "chromium-browser", "google-chrome")

ARGUMENTS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    # Several pages run side by side: none of them is to be slowed down for being behind another.
    "--disable-renderer-backgrounding",
    "--disable-background-timer-throttling",
    "--disable-backgrounding-occluded-windows",
)


def chromium() -> str | None:
    """The system's Chromium; ``CHROMIUM`` in the environment names another."""
    return os.environ.get("CHROMIUM") or next((found for name in NAMES if (found := shutil.which(name))), None)


def open_on(
    browser: Browser,
    size: tuple[int, int],
    *,
    theme: str = "dark",
    touch: bool = False,
    language: str = "en",
    motion: Literal["reduce", "no-preference"] = "reduce",
    keeps: bool = False,
    scale: float = 1.0,
) -> Page:
    """A page of a device of its own, nothing open in it yet. Its kitchen calls a clock that stands an ordinary one.

    ``keeps``: with its service worker, which no request may be answered in front of.
    """
    width, height = size
    context = browser.new_context(
        viewport={"width": width, "height": height},
        device_scale_factor=scale,
        has_touch=touch,
        is_mobile=touch,
        reduced_motion=motion,
        service_workers="allow" if keeps else "block",
    )
    kept = {"kitchen-timer.theme": theme, "kitchen-timer language": language}
    context.add_init_script(
        f"for (const [key, value] of Object.entries({json.dumps(kept)}))"
        " if (localStorage.getItem(key) === null) localStorage.setItem(key, value);"
    )
    if not keeps:
        context.route("**/api/kitchen", _at_the_speed_of_life)
    return context.new_page()


def in_grey(page: Page) -> None:
    """Takes the colours away from all that a page shows."""
    page.context.new_cdp_session(page).send("Emulation.setEmulatedVisionDeficiency", {"type": "achromatopsia"})


def _at_the_speed_of_life(route: Route) -> None:
    reply = route.fetch()
    route.fulfill(response=reply, json={**reply.json(), "speed": 1})
