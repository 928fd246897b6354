"""Makes a picture of every screen in its main states, for a person to look at.

    python -m tests.browser.pictures --readme
    python -m tests.browser.pictures --out DIR [--only pass station] [--sizes phone tablet pass] [--themes dark light]
        [--grey]

One evening of the invented kitchen, stopped where each state is to be seen. Clock, plans, people and type are the same
each time; only how the browser draws may differ from machine to machine.
"""

import argparse
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Browser, Page, expect, sync_playwright

from tests.browser.device import ARGUMENTS, chromium, in_grey, open_on
from tests.browser.states import State, evening

SIZES = {"phone": (360, 740), "tablet": (768, 1024), "desk": (1280, 800), "pass": (1920, 1080)}

THEMES = ("dark", "light")

README = Path(__file__).parent.parent.parent / "web" / "pictures"

FRONT_PAGE = (
    ("pass-service", "pass", "dark", 2 / 3),
    ("station-joined-cue", "phone", "dark", 1.0),
    ("order-typing", "desk", "light", 1.0),
    ("station-core-temperature", "phone", "light", 1.0),
)
"""The README's four: state, size, light, and picture px to screen px."""


@dataclass(frozen=True)
class Wanted:
    """Which pictures are asked for; empty: all."""

    only: tuple[str, ...] = ()
    sizes: tuple[str, ...] = ()
    themes: tuple[str, ...] = ()
    language: str = "en"
    grey: bool = False
    """Printed without colour, as somebody sees who sees none."""

    def has(self, state: State) -> bool:
        """Whether this state is asked for."""
        return not self.only or any(word in state.name for word in self.only)


def shoot(page: Page, path: Path, whole: bool) -> None:
    """One picture, once type and score have settled."""
    page.evaluate("document.fonts.ready")
    page.wait_for_timeout(120)
    page.screenshot(path=path, full_page=whole)


def make_front_page(browser: Browser) -> Iterator[Path]:
    """The README's pictures, in their place."""
    for state, house in evening(lambda state: state.name in {name for name, *_ in FRONT_PAGE}):
        for name, size, theme, scale in FRONT_PAGE:
            if name != state.name:
                continue
            page = open_on(browser, SIZES[size], theme=theme, touch=size == "phone", scale=scale)
            page.goto(house.url + state.path)
            state.show(page)
            path = README / f"{name}.png"
            shoot(page, path, whole=False)
            page.context.close()
            yield path


def make(browser: Browser, out: Path, wanted: Wanted) -> Iterator[Path]:
    """All pictures that are wanted, into ``out``; the path of each once it is made."""
    for state, house in evening(wanted.has):
        for size in state.sizes:
            if wanted.sizes and size not in wanted.sizes:
                continue
            for theme in wanted.themes or THEMES:
                page = open_on(browser, SIZES[size], theme=theme, touch=size == "phone", language=wanted.language)
                page.goto(house.url + state.path)
                state.show(page)
                if wanted.grey:
                    in_grey(page)
                path = out / f"{state.name}-{size}-{theme}{'-grey' if wanted.grey else ''}.png"
                shoot(page, path, whole=state.whole)
                page.context.close()
                yield path


def main() -> int:
    """The command."""
    parser = argparse.ArgumentParser(prog="python -m tests.browser.pictures", description=__doc__)
    where = parser.add_mutually_exclusive_group(required=True)
    where.add_argument("--out", type=Path, help="folder, made if need be")
    where.add_argument("--readme", action="store_true", help="only the four of the README, in their place")
    parser.add_argument("--only", nargs="*", default=[], help="states whose name has one of these words in it")
    parser.add_argument("--sizes", nargs="*", default=[], choices=SIZES)
    parser.add_argument("--themes", nargs="*", default=[], choices=THEMES)
    parser.add_argument("--language", default="en")
    parser.add_argument("--grey", action="store_true", help="without colour: is it told apart by shape alone?")
    args = parser.parse_args()
    path = chromium()
    if path is None:
        sys.exit("no Chromium found: install it (apt-get install chromium) or name it in CHROMIUM")
    (args.out or README).mkdir(parents=True, exist_ok=True)
    expect.set_options(timeout=20_000)  # a picture may take its time on a busy machine
    wanted = Wanted(tuple(args.only), tuple(args.sizes), tuple(args.themes), args.language, args.grey)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=list(ARGUMENTS))
        for made in make_front_page(browser) if args.readme else make(browser, args.out, wanted):
            print(made, flush=True)  # noqa: T201 - what a command says
        browser.close()
    return 0


if __name__ == "__main__":
    sys.exit(main())
