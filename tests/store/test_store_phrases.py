"""Phrases for completion: counted on living entries, as typed last, kept with every action."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from store_bench import FACTS, HEADER, KIM, fill, open_store, plain

from ticket.job.kinds import Used
from ticket.store.store import NewEntry, Store

(WASHER,) = (fact for fact in FACTS if isinstance(fact, Used))


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with open_store(tmp_path / "shop.db") as opened:
        yield opened


def test_a_phrase_is_counted_on_living_entries_and_stands_as_it_was_typed_last(store: Store) -> None:
    """Worked out by hand: two uses, one struck, taken back, then both gone."""
    first, second = fill(store), fill(store)
    store.edit(second, 8, replace(WASHER, price="2.05"), KIM)
    (phrase,) = store.phrases("used", "Drain W")
    assert (phrase.text, phrase.amount, phrase.ahead, phrase.behind) == ("drain washer", "1 x", "4410-77", " @ 2.05")
    assert phrase.uses == 2
    store.strike(second, 8, KIM)
    (phrase,) = store.phrases("used", "dr")
    assert (phrase.behind, phrase.uses) == (" @ 1.85", 1)
    store.undo(second, KIM)
    assert store.phrases("used", "drain")[0].behind == " @ 2.05"
    store.strike(first, 8, KIM)
    store.strike(second, 8, KIM)
    assert store.phrases("used", "drain") == []
    assert store.check_index() == []
    store.rebuild()
    assert store.check_index() == []


def test_phrases_beside_a_code_come_from_tickets_that_hold_it(store: Store) -> None:
    fill(store)
    fill(store)
    other = store.open_ticket(HEADER, KIM)
    store.add(other, [NewEntry(Used(amount="1", unit="x", part="9", text="something else"))], KIM)
    assert [(item.text, item.uses) for item in store.phrases_beside("P1A30", "7B")] == [("drain washer", 2)]
    assert store.phrases_beside("P1A30", "00") == []


def test_a_changed_table_of_phrases_is_noticed(store: Store) -> None:
    fill(store)
    with plain(store.path) as connection:
        connection.execute("UPDATE phrase SET uses = 9")
    assert store.check_index() == ["the phrases are not what the entries add up to"]


def test_a_database_from_before_phrases_has_them_when_it_is_opened(tmp_path: Path) -> None:
    path = tmp_path / "older.db"
    with open_store(path) as store:
        fill(store)
    with plain(path) as connection:
        connection.executescript("DROP TABLE entry_phrase; DROP TABLE phrase; DROP TRIGGER ticket_came;")
        connection.executescript(
            "DROP TABLE correction; DROP TABLE phrasebook; DROP TABLE entry_piece; DROP TABLE picture;"
        )
        connection.executescript(
            "DROP TABLE habit; DROP TABLE thread; DROP TABLE job; DROP TABLE job_cause;"
            "DROP TABLE job_fix; DROP TABLE job_tech; DROP TABLE job_labour; DROP INDEX ticket_customer;"
            "DROP INDEX identity_customer;"
            "DROP TABLE fragment; CREATE TABLE entry_due(ticket_id INTEGER);"
        )
        connection.executescript("DROP TABLE kept; DROP TABLE paper; DROP TABLE signature; DROP TABLE pin;")
        connection.executescript("DROP TRIGGER ticket_proved; ALTER TABLE ticket DROP COLUMN was_proof;")
        connection.executescript("ALTER TABLE ticket DROP COLUMN was_seal; ALTER TABLE ticket DROP COLUMN was_fits;")
        connection.execute("UPDATE shop SET value = '2' WHERE key = 'schema'")
        connection.execute("PRAGMA user_version=2")
    with open_store(path) as store:
        assert [item.text for item in store.phrases("used", "drain")] == ["drain washer"]
        assert store.audit(deep=True).ok
