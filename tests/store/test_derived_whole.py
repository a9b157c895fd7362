"""Every column of what is kept to find, list and count jobs is compared with the entries, so none changes unseen."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from sqlite_utils import Database

from ticket.job.ticket import Header, Vehicle
from ticket.job.values import Quantity
from ticket.shop.changing import add_lines
from ticket.shop.indexer import index_rows
from ticket.shop.job_row import job_row
from ticket.shop.opening import Shop
from ticket.shop.vehicle_rows import vehicle_rows
from ticket.store import driver, index, kept_jobs, table_version
from ticket.store.audit import audit

LINES = (
    "code: P1A30-7B fan control, stored", "cause: corroded fan plug; from 1; certain", "did: 1.2 h replaced fan plug",
    "used: 1 x belt FB-2281; 12.00", "found: LF pad 4.1 mm (min 3.0)", "later: pads; in 500 mi or 3 weeks",
)  # fmt: skip
KEPT = (*kept_jobs.TABLES, *index.SIDE_TABLES, "habit", "thread", "phrase")
NOT_SHOWN = {("habit", "kept")}  # when it was worked out


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A job that came back after 34 days and 900 km, and the one it came back as."""
    made = tmp_path_factory.mktemp("kept") / "shop.db"
    days = [datetime(2026, 3, 2, 9, tzinfo=UTC)]
    with Shop.open(made, "Bram Tolliver", now=lambda: days[-1]) as shop:
        for reading in ("10,000", "10,900"):
            header = Header(vehicle=Vehicle(plate="KDE 4102"), odometer_in=Quantity(reading, "km"))
            number = shop.store.open_ticket(header, shop.person)
            add_lines(shop, number, "\n".join(LINES))
            shop.store.sign(number, shop.store.ticket(number).rev, shop.person)
            days.append(days[-1] + timedelta(days=34))
    return made


@pytest.fixture
def memory(path: Path) -> Iterator[driver.Connection]:
    held = driver.sqlite3.connect(":memory:", isolation_level=None)
    source = driver.connect(path)
    source.backup(held)
    source.close()
    held.execute("PRAGMA ignore_check_constraints=ON")
    yield held
    held.close()


def told(connection: driver.Connection) -> list[str]:
    found = audit(Database(connection, execute_plugins=False), index_rows, vehicle_rows, job_row)
    return [one.says for one in found.differences if one.where == "index"]


def test_a_change_of_any_column_that_is_kept_is_named(memory: driver.Connection) -> None:
    assert told(memory) == []
    for table in KEPT:
        for _, column, kind, *_ in memory.execute(f"PRAGMA table_info({table})").fetchall():
            if column == "ticket_id" or (table, column) in NOT_SHOWN:
                continue
            assert memory.execute(f"SELECT 1 FROM {table}").fetchone(), f"nothing in {table}: this would prove nothing"
            new = f"coalesce({column}, '') || 'x'" if kind == "TEXT" else f"coalesce({column}, 3) + 1000"
            memory.execute("SAVEPOINT change")
            try:
                memory.execute(f"UPDATE {table} SET {column} = {new}")
                assert told(memory), (table, column)
            finally:
                memory.execute("ROLLBACK TO change")
                memory.execute("RELEASE change")


def test_tables_that_were_only_just_brought_up_to_date_are_no_difference(memory: driver.Connection) -> None:
    """The list alone does so, and leaves it to the next command to make anew what stands in them."""
    older = str(table_version.newest() - 1)
    memory.execute("UPDATE job SET billed = NULL, base = ''")
    memory.execute("UPDATE job SET hours = 9")
    assert told(memory)
    memory.execute("UPDATE shop SET value = ? WHERE key = 'schema'", [older])
    found = audit(Database(memory, execute_plugins=False), index_rows, vehicle_rows, job_row)
    assert not [one for one in found.differences if one.where == "index"]
    assert any("made anew when the shop is opened" in one for one in found.remarks)
    assert any("schema" in str(one) for one in found.differences), "who hides a change so is found by the setting"


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ("UPDATE job SET back = NULL, back_days = NULL WHERE back IS NOT NULL", "as what it came back differs"),
        ("UPDATE job SET back = ticket_id, back_days = 3 WHERE back IS NULL", "as what it came back differs"),
        ("UPDATE job SET hours = 9", "job (hours is 9.0, not 1.2)"),
        ("DELETE FROM fragment", "the index of pieces differs from its entries"),
        ("DELETE FROM ticket_fts", "the word index differs from its entries"),
    ],
)  # fmt: skip
def test_a_come_back_struck_out_or_invented_and_an_emptied_index_are_named(
    memory: driver.Connection, change: str, words: str
) -> None:
    memory.execute(change)
    assert any(words in one for one in told(memory))
