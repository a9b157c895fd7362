"""One fixed world for every test: home, clock zone, terminal size and hypothesis profile."""

import gc
import itertools
import os
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, Phase, settings
from hypothesis.internal.conjecture import providers

from support.clock import Clock
from ticket.shop.opening import set_setting

if TYPE_CHECKING:
    from ticket.shop.opening import Shop

# An installed program has its bytecode; without it each of hundreds of processes would compile the program anew.
sys.dont_write_bytecode = False
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)

# A failing ticket is shown as it was drawn: making it smaller may take five minutes, which the long profile has.
for _name, _draws in (("suite", 20), ("more", 40)):  # more: what CI draws of every property
    settings.register_profile(
        _name, max_examples=_draws, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow],
        phases=[Phase.explicit, Phase.generate],
    )  # fmt: skip
settings.register_profile("long", max_examples=3000, deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "suite"))
if os.environ.get("HYPOTHESIS_PROFILE") != "long" and hasattr(providers, "_get_local_constants"):
    # What is drawn would depend on which modules a process has loaded, and to look through them costs seconds in each.
    providers._get_local_constants = lambda: providers._local_constants


def pytest_collection_finish() -> None:
    """What thousands of tests brought in is there to stay: no need to look through it again for what may go."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 20, 50)


@pytest.fixture(scope="session")
def without_numpy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder for ``PYTHONPATH`` that hides NumPy: a shop has none, only a library that tests compare with brings it.

    sqlite-utils would import it into every process that is started.
    """
    folder = tmp_path_factory.mktemp("without")
    (folder / "numpy.py").write_text('raise ImportError("a shop has no NumPy")\n', encoding="utf-8")
    folder.chmod(0o755)  # other logins start processes too
    return folder


@dataclass
class World:
    """What is the same for every test; a home that a test wrote into is followed by a new one."""

    homes: Iterator[Path]
    home: Path

    def enter(self) -> None:
        """Point every variable to a home in which nothing stands."""
        self.home = next(self.homes)
        self.home.mkdir(mode=0o700)
        for name in ("HOME", "XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_CONFIG_HOME"):
            os.environ[name] = str(self.home)


@pytest.fixture(scope="session")
def world(tmp_path_factory: pytest.TempPathFactory, without_numpy: Path) -> Iterator[World]:
    """UTC, a plain locale and an 80x24 terminal, so that no test sees the machine it runs on."""
    folder = tmp_path_factory.mktemp("homes")
    with pytest.MonkeyPatch.context() as patch:
        for name in ("TICKET_DB", "TICKET_NOW", "TICKET_PERSON", "NO_COLOR"):
            patch.delenv(name, raising=False)
        patch.setenv("PYTHONPATH", str(without_numpy))
        patch.setenv("TICKET_TRACE", "1")  # a fault of the program shows where it is
        patch.setenv("TZ", "UTC")
        patch.setenv("LC_ALL", "C.UTF-8")
        patch.setenv("COLUMNS", "80")
        patch.setenv("LINES", "24")
        patch.setenv("TEXTUAL_ANIMATIONS", "none")
        for name in ("HOME", "XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_CONFIG_HOME"):
            patch.setenv(name, str(folder))
        made = World((folder / str(number) for number in itertools.count()), folder)
        made.enter()
        yield made


@pytest.fixture(autouse=True)
def fixed_world(world: World) -> Path:
    """An empty home for this test; thousands of tests share one, as long as none of them puts anything there."""
    if os.listdir(world.home):  # noqa: PTH208  thousands of times: the quickest look
        world.enter()
    if os.environ.get("TZ") != "UTC" or time.tzname[0] != "UTC":  # a shop with a zone of its own has set another one
        os.environ["TZ"] = "UTC"
        time.tzset()
    return world.home


@pytest.fixture(autouse=True, scope="module")
def quick_pilot() -> None:
    """Textual's pilot waits three times 20 ms a key; a constant of its own, so only where it still exists."""
    wait = sys.modules.get("textual._wait")
    if hasattr(wait, "SLEEP_GRANULARITY"):
        vars(wait)["SLEEP_GRANULARITY"] = 0.004


@pytest.fixture
def database(tmp_path: Path) -> Path:
    """An empty shop's file with one person in it."""
    path = tmp_path / "shop.db"
    path.touch(mode=0o600)  # as the shop makes it
    path.write_bytes(empty_shop())
    return path


@cache
def empty_shop() -> bytes:
    """Made once: making one takes far longer than copying it."""
    from ticket.shop.opening import Shop

    with TemporaryDirectory() as folder:
        path = Path(folder) / "shop.db"
        with Shop.open(path, "K. Orlo", now=Clock()) as shop:
            set_setting(shop, "rates", ["electrical"])
        assert not path.with_name("shop.db-wal").exists(), "all of it stands in the one file"
        return path.read_bytes()


@pytest.fixture
def shop(database: Path) -> "Iterator[Shop]":
    """The shop, open."""
    from ticket.shop.opening import Shop

    with Shop.open(database, "K. Orlo", now=Clock()) as opened:
        yield opened


@pytest.fixture
def demo(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The file of a shop of the demo jobs, on a fixed day."""
    from support.screens_desk import DAY, demo_shop

    monkeypatch.setenv("TICKET_NOW", DAY.isoformat())
    path = tmp_path / "demo.db"
    demo_shop(path).close()
    return path
