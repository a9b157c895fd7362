"""A shop for screen tests, and a pilot that does not wait longer than it must."""

from collections.abc import Iterator
from pathlib import Path

import pytest
import textual
from textual import _wait

from support.clock import Clock
from ticket.shop.shop import Shop


@pytest.fixture(autouse=True)
def quick_pilot(monkeypatch: pytest.MonkeyPatch) -> None:
    """Textual's pilot waits three times 20 ms a key; a constant of its own, so only where it still exists."""
    if textual.__version__.startswith("8.") and hasattr(_wait, "SLEEP_GRANULARITY"):
        monkeypatch.setattr(_wait, "SLEEP_GRANULARITY", 0.004)


@pytest.fixture
def database(tmp_path: Path) -> Path:
    """An empty shop's file with one person in it."""
    path = tmp_path / "shop.db"
    with Shop.open(path, "K. Orlo", now=Clock()) as shop:
        shop.set_setting("rates", ["electrical"])
    return path


@pytest.fixture
def shop(database: Path) -> Iterator[Shop]:
    """The shop, open."""
    with Shop.open(database, "K. Orlo", now=Clock()) as opened:
        yield opened
