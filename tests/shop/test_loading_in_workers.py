"""Documents that other processes read give the very same database as documents that this one reads."""

import itertools
import json
import os
import shutil
import signal
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from ticket.job.errors import InputError, StoreError
from ticket.job.ticket_document import to_document
from ticket.scratch_shop import fill
from ticket.shop import decoding_pool
from ticket.shop.changing import load_documents
from ticket.shop.opening import Shop
from ticket.store.driver import connect

NOW = datetime(2026, 3, 2, 9, tzinfo=UTC)
Documents = list[dict[str, Any]]


@pytest.fixture(scope="module")
def documents(tmp_path_factory: pytest.TempPathFactory) -> Documents:
    """The demo jobs, as another shop writes them out."""
    with Shop.open(tmp_path_factory.mktemp("demo") / "demo.db", "Bram Tolliver", now=lambda: NOW) as shop:
        fill(shop)
        return [to_document(ticket) for ticket in shop.store.tickets(shop.store.numbers())]


@pytest.fixture
def small(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(decoding_pool, "FEW", 2)
    monkeypatch.setattr(decoding_pool, "_CHUNK", 2)


def _shops(folder: Path) -> Iterator[Path]:
    """Copies of one empty shop, which differ in nothing."""
    with Shop.open(folder / "empty.db", "Bram Tolliver", now=lambda: NOW):
        pass
    for number in itertools.count():
        yield Path(shutil.copyfile(folder / "empty.db", folder / f"{number}.db"))


def _load(path: Path, documents: Documents, workers: int) -> None:
    """Load with random numbers that are none."""
    drawn = itertools.count()

    def token_bytes(count: int) -> bytes:
        return next(drawn).to_bytes(count, "big")

    with Shop.open(path, "Bram Tolliver", now=lambda: NOW) as shop:
        shop.store._session.token_bytes = token_bytes
        shop.store._session.sitting = "one"
        load_documents(shop, [("jobs", json.dumps(documents))], workers)


def _rows(path: Path) -> dict[str, list[tuple[object, ...]]]:
    db = connect(path)
    try:
        tables = db.execute("SELECT name FROM sqlite_schema WHERE type = 'table' AND sql NOT LIKE 'CREATE VIRTUAL%'")
        return {
            name: sorted((tuple(row) for row in db.execute(f"SELECT * FROM '{name}'").fetchall()), key=repr)
            for (name,) in tables.fetchall()
        }
    finally:
        db.close()


class _Here:
    """Stands in for the pool: the same functions with the same chunks, in this process."""

    def __init__(self, *_: object, initializer: Callable[..., None], initargs: tuple[Any, Any]) -> None:
        decoding_pool._given = initargs

    def submit(self, do: Callable[[Any], Any], chunk: Any) -> "_Here":
        self.made = [do(chunk), *getattr(self, "made", [])]
        return self

    def result(self) -> Any:
        return self.made.pop()

    def shutdown(self, *, cancel_futures: bool) -> None: ...


@pytest.mark.parametrize("real", [pytest.param(True, marks=pytest.mark.slow), False])
@pytest.mark.usefixtures("small")
def test_rows_are_the_same_whoever_reads(
    tmp_path: Path, documents: Documents, monkeypatch: pytest.MonkeyPatch, real: bool
) -> None:
    shops = _shops(tmp_path)
    alone, shared = next(shops), next(shops)
    _load(alone, documents, 0)
    if not real:
        monkeypatch.setattr(decoding_pool, "ProcessPoolExecutor", _Here)
    _load(shared, documents, 2)
    wanted = _rows(alone)
    assert _rows(shared) == wanted
    assert len(wanted["ticket"]) == len(documents) > 6
    with Shop.open(shared, "Bram Tolliver", now=lambda: NOW) as shop:
        assert shop.store.audit(deep=True).ok


@pytest.mark.slow
@pytest.mark.usefixtures("small")
def test_a_document_that_cannot_be_read_is_named_and_nothing_is_loaded(tmp_path: Path, documents: Documents) -> None:
    broken = [*documents, documents[0] | {"number": "seven"}]
    told = []
    for path, workers in zip(_shops(tmp_path), (0, 1), strict=False):
        with pytest.raises(InputError) as caught:
            _load(path, broken, workers)
        told.append(str(caught.value))
        assert not _rows(path)["ticket"]
    assert told[0] == told[1]
    assert f"document {len(broken)}" in told[0]


def _no_means(*_: object, **__: object) -> None:
    raise OSError(38, "Function not implemented")


@pytest.mark.usefixtures("small")
def test_a_machine_without_means_for_processes_reads_by_itself(
    tmp_path: Path, documents: Documents, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(decoding_pool, "ProcessPoolExecutor", _no_means)
    path = next(_shops(tmp_path))
    _load(path, documents, 2)
    assert len(_rows(path)["ticket"]) == len(documents)


class _Killed(ProcessPoolExecutor):
    """Whoever reads is ended from outside."""

    def submit(self, do: Callable[..., Any], /, *given: Any, **named: Any) -> Any:
        return super().submit(_end)


def _end(*_: object) -> None:
    os.kill(os.getpid(), signal.SIGKILL)


@pytest.mark.slow
@pytest.mark.usefixtures("small")
def test_a_killed_reader_leaves_nothing_behind(
    tmp_path: Path, documents: Documents, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(decoding_pool, "ProcessPoolExecutor", _Killed)
    path = next(_shops(tmp_path))
    with pytest.raises(StoreError, match="ended from outside; nothing was loaded"):
        _load(path, documents, 1)
    assert not _rows(path)["ticket"]
    _load(path, documents, 0)
    assert len(_rows(path)["ticket"]) == len(documents)
