"""Shops that many tests begin with: made once for all of them, then copied, which costs a hundredth of making one."""

from collections.abc import Callable
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from support.clock import BEGIN, Clock
from ticket.shop.opening import Shop

LATER = BEGIN + timedelta(hours=12)  # no shop takes as long to make


@cache
def _made(fill: Callable[[Shop], object], person: str, begin: datetime) -> bytes:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "shop.db"
        with Shop.open(path, person, now=Clock(begin)) as shop:
            fill(shop)
        assert not path.with_name("shop.db-wal").exists(), "all of it stands in the one file"
        return path.read_bytes()


def copy_shop(path: Path, fill: Callable[[Shop], object], person: str, begin: datetime = BEGIN) -> None:
    """The file of a shop that somebody filled from a moment on."""
    path.parent.mkdir(mode=0o700, exist_ok=True)
    path.touch(mode=0o600)  # as the shop makes it
    path.write_bytes(_made(fill, person, begin))


def filled_shop(path: Path, fill: Callable[[Shop], object], person: str) -> Shop:
    """The shop itself, open, hours after it was filled."""
    copy_shop(path, fill, person)
    return Shop.open(path, person, now=Clock(LATER))
