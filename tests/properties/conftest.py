"""The compiled search is made ready before the first of these tests, whichever that is."""

import pytest

from kitchen_timer.plan.swift.ready import get_ready


@pytest.fixture(autouse=True, scope="session")
def _compiled_search() -> None:
    get_ready()
