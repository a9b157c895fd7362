"""A shop kept by a program whose findings held one run of readings: nothing of it changes, and work goes on in it.

``older_shop.db.gz`` and ``older_shop.json`` (its tickets as documents and as printed lines) were made by that program.
"""

import gzip
import json
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from store_bench import plain

from ticket.cli.ticket_commands import entry_line
from ticket.job.kinds import Found, Proof
from ticket.job.ticket_document import from_document, to_document
from ticket.readings.measured_groups import groups
from ticket.shop.changing import add_lines, load_documents
from ticket.shop.opening import Shop
from ticket.shop.reading import ticket_of
from ticket.store.driver import sqlite3

HERE = Path(__file__).parent
KEPT: dict[str, dict[str, Any]] = json.loads((HERE / "older_shop.json").read_text("utf-8"))
NUMBERS = [int(number) for number in KEPT]
COLUMNS = "no, what, label, number, unit, limits"
ENTRY_TABLE = "SELECT sql FROM sqlite_schema WHERE name = 'entry'"
SEAL = "16-684fc07c232899b0"


@pytest.fixture
def older(tmp_path: Path) -> Iterator[Shop]:
    database = tmp_path / "shop.db"
    database.write_bytes(gzip.decompress((HERE / "older_shop.db.gz").read_bytes()))
    with Shop.open(database, "Mo Vale", now=lambda: datetime(2026, 3, 3, 9, 0, tzinfo=UTC)) as shop:
        yield shop


def test_its_chain_seals_and_side_tables_still_verify(older: Shop) -> None:
    audit = older.store.audit(deep=True)
    assert audit.ok
    assert ticket_of(older, 1).seal == SEAL
    assert audit.rows == int(SEAL.partition("-")[0]) + 1, "the update of the tables is the one row behind its own"


def test_an_update_that_is_cut_off_is_made_whole_by_the_next_opening(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    database = tmp_path / "shop.db"
    database.write_bytes(gzip.decompress((HERE / "older_shop.db.gz").read_bytes()))
    with monkeypatch.context() as cut:
        cut.setattr("ticket.store.vehicles.keep_all", _cut_off)
        with pytest.raises(KeyboardInterrupt):
            Shop.open(database, "Mo Vale")
    with plain(database) as connection:
        assert connection.execute("SELECT count(*) FROM journal WHERE verb = 'shop.migrate'").fetchone() == (0,)
    with Shop.open(database, "Mo Vale") as shop:
        assert shop.store.check_index() == []
        assert shop.store.audit(deep=True).ok
    with plain(database) as connection:
        assert connection.execute("SELECT count(*) FROM journal WHERE verb = 'shop.migrate'").fetchone() == (1,)


def _cut_off(*_: object) -> None:
    raise KeyboardInterrupt


def test_the_table_of_entries_is_made_anew_around_the_same_rows(tmp_path: Path) -> None:
    database = tmp_path / "shop.db"
    database.write_bytes(gzip.decompress((HERE / "older_shop.db.gz").read_bytes()))
    tables = ("entry", "follow", "journal", "identity", "person")

    def rows() -> dict[str, list[Any]]:
        with plain(database) as connection:
            return {table: connection.execute(f"SELECT * FROM {table} ORDER BY 1, 2").fetchall() for table in tables}

    with plain(database) as connection:
        assert (
            "'told','proof','note'"
            in connection.execute("SELECT sql FROM sqlite_schema WHERE name='entry'").fetchone()[0]
        )
        ticket, no = connection.execute("SELECT ticket_id, no FROM entry WHERE kind = 'later' LIMIT 1").fetchone()
        connection.execute("INSERT INTO follow VALUES(?, ?, ?)", [ticket, no, '{"what": "call"}'])
        guards = connection.execute("SELECT name, sql FROM sqlite_schema WHERE tbl_name = 'entry' AND type = 'trigger'")
        held = sorted(guards.fetchall())
    before = rows()
    with Shop.open(database, "Mo Vale", now=lambda: datetime(2026, 3, 3, 9, 0, tzinfo=UTC)) as shop:
        change = "UPDATE entry SET data = '{}' WHERE ticket_id = (SELECT id FROM ticket WHERE number = 1)"
        with pytest.raises(sqlite3.IntegrityError, match="signed: amend instead"):
            shop.store._session.db.execute(change)
    after = rows()
    assert after["journal"][: len(before["journal"])] == before["journal"]
    assert after | {"journal": []} == before | {"journal": []}
    with plain(database) as connection:
        assert "proof" not in connection.execute(ENTRY_TABLE).fetchone()[0]
        guards = connection.execute("SELECT name, sql FROM sqlite_schema WHERE tbl_name = 'entry' AND type = 'trigger'")
        assert sorted(guards.fetchall()) == held, "the guards are the same"
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []


@pytest.mark.parametrize("number", NUMBERS)
def test_its_tickets_come_out_as_the_same_documents_and_lines(older: Shop, number: int) -> None:
    ticket = ticket_of(older, number)
    assert to_document(ticket) == KEPT[str(number)]["document"]
    assert [entry_line(entry, ticket) for entry in ticket.entries] == KEPT[str(number)]["lines"]


@pytest.mark.parametrize("number", NUMBERS)
def test_its_documents_load_into_a_new_shop_with_signatures_whole(tmp_path: Path, number: int) -> None:
    document = KEPT[str(number)]["document"]
    with Shop.open(tmp_path / "new.db", "Mo Vale") as shop:
        load_documents(shop, [("old.json", json.dumps(document))])
        ticket = ticket_of(shop, number)
        assert ticket.entries == from_document(document).entries
        assert ticket.elsewhere is None or ticket.elsewhere.fits == "yes"
        assert shop.store.audit(deep=True).ok


def test_work_goes_on_in_it_and_both_forms_stand_side_by_side(older: Shop, tmp_path: Path) -> None:
    add_lines(older, 1021, "proof: 2 now LF 32 RF 33\nfound: front pads LF 7 RF 2 mm (min 3 per maker), cracked")
    ticket = ticket_of(older, 1021)
    facts = [entry.fact for entry in ticket.entries if isinstance(entry.fact, Found | Proof)]
    assert [bool(fact.run) for fact in facts] == [True, True, False, False]
    assert [len(groups(fact)) for fact in facts] == [1, 1, 1, 1]
    assert older.store.audit(deep=True).ok
    with plain(tmp_path / "shop.db") as db:
        rows = db.execute(f"SELECT {COLUMNS} FROM v_reading WHERE ticket = 1021").fetchall()
    assert sorted(rows, key=lambda row: (row[0], row[2])) == [
        (2, "tire pressure", "LF", "28", "psi", "30 to 35 per maker"),
        (2, "tire pressure", "RF", "33", "psi", "30 to 35 per maker"),
        (3, None, "LF", "33", "", None),
        (5, None, "left front", "32", None, None),
        (5, None, "right front", "33", None, None),
        (6, "pads", "left front", "7", "mm", "min 3 per maker"),
        (6, "pads", "right front", "2", "mm", "min 3 per maker"),
    ]
