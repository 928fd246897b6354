"""The compiled search is made ready before the first test of a folder whose conftest.py has this fixture."""

import pytest

from kitchen_timer.plan.swift.ready import get_ready


@pytest.fixture(autouse=True, scope="session")
def compiled_search() -> None:
    get_ready()
