"""Servers that tests of this folder share: the demo, and a kitchen so small that every second of it is known."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.server.served import Served, write_small_kitchen


@pytest.fixture(scope="session")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """The demo, open at half past seven."""
    server = Served(tmp_path_factory.mktemp("demo"), "--demo")
    yield server
    server.end()


@pytest.fixture(scope="session")
def small_kitchen(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a kitchen with one fryer and one dish."""
    return write_small_kitchen(tmp_path_factory.mktemp("small"))


@pytest.fixture(scope="session")
def small(tmp_path_factory: pytest.TempPathFactory, small_kitchen: Path) -> Iterator[Served]:
    """The small kitchen, served in real time."""
    server = Served(tmp_path_factory.mktemp("small-data"), "--kitchen", str(small_kitchen))
    yield server
    server.end()
