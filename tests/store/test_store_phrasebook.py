"""The phrasebook in the journal: kept, looked at, taken back; two writers; killed writers; replayed and compared."""

import multiprocessing
import os
import random
import signal
from dataclasses import replace
from pathlib import Path

import pytest
from store_bench import KIM, MO, open_store

from ticket.job.book_entry import BookEntry, Phrasebook
from ticket.job.errors import ConflictError, NotFoundError, StoreError
from ticket.store.driver import sqlite3
from ticket.store.store import Store

GROWLS = BookEntry("en", "clause", "found", "{thing} growls", "{thing} growled", ticket=31)
SWIVEL = BookEntry("en", "word", "thing", "swivel", "swivel", plural="swivels", told_plural="swivels")


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return open_store(tmp_path / "shop.db")


def test_an_entry_says_who_kept_it_and_when_and_where(store: Store) -> None:
    (kept,) = store.keep_phrases([GROWLS], KIM)
    assert (kept.no, kept.by, kept.ticket, kept.state, kept.bare) == (1, KIM, 31, "kept", GROWLS.bare)
    assert kept.at is not None
    assert kept.since > 0
    assert store.phrasebook() == (kept,)
    assert store.history()[-1].summary == "kept phrase 1"
    assert store.audit(deep=True).ok


def test_what_is_taken_back_stays_in_the_history_with_both_names(store: Store) -> None:
    store.keep_phrases([GROWLS, SWIVEL], KIM)
    back = store.look_phrase(1, "back", MO)
    assert (back.state, back.by, back.back_by) == ("back", KIM, MO)
    assert [one.state for one in store.phrasebook()] == ["back", "kept"]
    with pytest.raises(ConflictError, match="taken back by Mo Vale already"):
        store.look_phrase(1, "back", KIM)
    (again,) = store.keep_phrases([GROWLS], MO)
    assert again.no == 3
    assert store.audit(deep=True).ok
    with pytest.raises(NotFoundError, match="no entry 9"):
        store.look_phrase(9, "back", KIM)


def test_an_imported_entry_is_told_only_once_somebody_looked_at_it(store: Store) -> None:
    (waits,) = store.keep_phrases([replace(GROWLS, state="waiting", origin="taken by Ann")], KIM)
    assert (waits.state, waits.since, waits.origin) == ("waiting", 0, "taken by Ann")
    assert Phrasebook(store.phrasebook()).told == ()
    looked = store.look_phrase(1, "kept", MO)
    assert (looked.state, looked.by) == ("kept", MO)
    assert looked.since > waits.since
    assert store.audit(deep=True).ok


def test_one_phrase_has_one_living_wording(store: Store) -> None:
    store.keep_phrases([GROWLS], KIM)
    assert store.keep_phrases([GROWLS, GROWLS], MO) == ()
    other = replace(GROWLS, typed="{thing}  GROWLS", told="{thing} made a growling noise")
    with pytest.raises(ConflictError, match=r"entry 1 .* by Kim Arden, .* yours was “\{thing\} made a growling noise”"):
        store.keep_phrases([other], MO)
    (new,) = store.keep_phrases([other], MO, instead_of=1)
    assert [(one.no, one.state) for one in store.phrasebook()] == [(1, "back"), (new.no, "kept")]
    (imported,) = store.keep_phrases([replace(GROWLS, state="waiting")], MO)
    with pytest.raises(ConflictError, match=r"entry 2 .* take it back first"):
        store.look_phrase(imported.no, "kept", MO)
    assert store.audit(deep=True).ok


def test_the_book_of_a_signed_ticket_is_the_one_of_its_journal_row(store: Store) -> None:
    (growls,) = store.keep_phrases([GROWLS], KIM)
    (swivel,) = store.keep_phrases([SWIVEL], KIM)
    back = store.look_phrase(1, "back", KIM)
    book = Phrasebook(store.phrasebook())
    assert [one.no for one in book.at_row(growls.since).told] == []
    assert [one.no for one in book.at_row(swivel.since).told] == [1]
    assert [one.no for one in book.at_row(back.until).told] == [1, 2]
    assert [one.no for one in book.at_row(back.until + 1).told] == [2]


def test_a_changed_row_is_found_by_the_audit(store: Store) -> None:
    store.keep_phrases([GROWLS], KIM)
    store._session.db.execute("UPDATE phrasebook SET data = json_set(data, '$.told', '{thing} burst')")
    store._session.db.conn.commit()
    differs = 'phrase 1: differs from the journal: told is "{thing} burst", the journal has "{thing} growled"'
    assert store.audit(deep=True).reason == differs
    store._session.db.execute("UPDATE phrasebook SET data = '[]'")
    store._session.db.conn.commit()
    with pytest.raises(StoreError, match="phrasebook cannot be read"):
        store.phrasebook()
    with pytest.raises(sqlite3.IntegrityError, match="not deleted"):
        store._session.db.execute("DELETE FROM phrasebook")


def _write(path: Path, by: str, count: int) -> None:
    with open_store(path) as store:
        for i in range(count):
            store.keep_phrases([replace(GROWLS, typed=f"{{thing}} growls {by} {i}")], by)


def test_two_terminals_that_keep_at_once_lose_nothing(tmp_path: Path) -> None:
    path = tmp_path / "shop.db"
    open_store(path).close()
    both = [multiprocessing.get_context("fork").Process(target=_write, args=(path, by, 25)) for by in (KIM, MO)]
    for one in both:
        one.start()
    for one in both:
        one.join()
    with open_store(path) as store:
        book = store.phrasebook()
        assert [one.no for one in book] == list(range(1, 51))
        assert sorted(one.by for one in book) == sorted([KIM, MO] * 25)
        assert all(one.by in one.typed for one in book)
        assert store.audit(deep=True).ok


def _acknowledge(path: Path, out: int) -> None:
    with open_store(path) as store:
        for i in range(10_000):
            (kept,) = store.keep_phrases([replace(GROWLS, typed=f"{{thing}} growls {os.getpid()} {i}")], KIM)
            os.write(out, kept.no.to_bytes(4, "big"))
            if i % 3 == 0:
                store.look_phrase(kept.no, "back", KIM)


@pytest.mark.slow
def test_a_killed_writer_loses_nothing_it_acknowledged(tmp_path: Path) -> None:
    path = tmp_path / "shop.db"
    open_store(path).close()
    dice = random.Random(11)
    last = 0
    for _ in range(6):
        reading, writing = os.pipe()
        child = os.fork()
        if child == 0:
            os.close(reading)
            _acknowledge(path, writing)
            os._exit(0)
        os.close(writing)
        said = b""
        wanted = 4 * dice.randint(1, 12)
        while len(said) < wanted and (more := os.read(reading, wanted - len(said))):
            said += more
        os.kill(child, signal.SIGKILL)
        while more := os.read(reading, 65536):
            said += more
        os.waitpid(child, 0)
        os.close(reading)
        numbers = [int.from_bytes(said[i : i + 4], "big") for i in range(0, len(said) - len(said) % 4, 4)]
        last = max([last, *numbers])
        with open_store(path) as store:
            found = [one.no for one in store.phrasebook()]
            assert found == list(range(1, len(found) + 1))
            assert len(found) >= last
            assert store.audit(deep=True).ok
