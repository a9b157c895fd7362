"""Files that are wrong, full, locked, older or newer: one sentence, and everything as it was."""

import contextlib
import hashlib
import os
import shutil
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from store_bench import KIM, fill, indexer, kept, living, open_store, plain

from ticket.job.errors import InputError, StoreError
from ticket.job.field_specs import specs
from ticket.job.kinds import KINDS, Found, Note
from ticket.job.ticket import Header
from ticket.job.values import Limits, Run, Value
from ticket.store import driver, lock, table_version, transition
from ticket.store.migrate import bring_up_to_date
from ticket.store.store import NewEntry, Store
from ticket.store.ticket_list import open_tickets
from ticket.store.views import views_file, views_sql

ROOT = Path(__file__).parents[2]


def digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def everything(path: Path) -> list[object]:
    """All definitions and rows of a file."""
    with plain(path) as connection:
        tables = connection.execute("SELECT name, sql FROM sqlite_schema ORDER BY name").fetchall()
        names = [name for name, sql in tables if sql and sql.startswith("CREATE TABLE")]
        rows = [connection.execute(f'SELECT * FROM "{name}"').fetchall() for name in names]
        return [connection.execute("PRAGMA user_version").fetchone(), tables, *rows]


def closed_shop(path: Path) -> Path:
    with open_store(path) as store:
        fill(store)
    return path


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    return closed_shop(tmp_path / "shop.db")


# --- what every connection and every file is ---


def test_settings_of_the_connection_and_the_file(tmp_path: Path) -> None:
    with open_store(tmp_path / "shop.db") as store:

        def ask(name: str) -> object:
            return store._session.db.execute(f"PRAGMA {name}").fetchone()[0]

        wanted = {
            "journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "recursive_triggers": 1, "secure_delete": 1,
            "trusted_schema": 0, "busy_timeout": 5000, "mmap_size": 0, "application_id": table_version.APPLICATION_ID,
            "user_version": table_version.newest(),
        }  # fmt: skip
        assert {name: ask(name) for name in wanted} == wanted
        loose = "SELECT name FROM pragma_table_list WHERE schema='main' AND type='table' AND strict=0"
        names = {row[0] for row in store._session.db.execute(loose).fetchall()}
        assert names <= {"sqlite_schema", "sqlite_sequence", "sqlite_stat1"}


def test_one_library_for_everybody() -> None:
    import sqlite_utils.db

    assert sqlite_utils.db.sqlite3 is driver.sqlite3  # type: ignore[attr-defined]


@pytest.mark.parametrize(("there", "picked"), [(("sqlean",), "sqlean"), ((), "sqlite3")])
def test_where_the_first_wheel_is_missing_the_next_library_is_taken_by_everybody(
    there: tuple[str, ...], picked: str
) -> None:
    """As on Linux on ARM: a second library in the process would lose the locks of the first."""
    code = f"""
import sqlite3, sys, types
for name in ("pysqlite3", "sqlean"):
    sys.modules[name] = None
for name in {there!r}:
    made = sys.modules[name] = types.ModuleType(name)
    made.__dict__.update(sqlite3.__dict__, __name__=name)
from ticket.store import driver
import sqlite_utils.db
assert driver.sqlite3.__name__ == {picked!r}, driver.sqlite3
assert sqlite_utils.db.sqlite3 is driver.sqlite3
"""
    subprocess.run([sys.executable, "-c", code], check=True, cwd=ROOT)


@pytest.mark.parametrize("found", [(3, 42, 0), (3, 40, 1)])
def test_an_old_library_is_refused_with_its_version_and_the_cure(found: tuple[int, ...]) -> None:
    with pytest.raises(StoreError, match=rf"SQLite {found[0]}\.{found[1]}.*3\.43 or later.*pip install pysqlite3"):
        driver.check_version(found)
    driver.check_version((3, 43, 0))


def test_the_list_needs_neither_kinds_nor_sqlite_utils(shop: Path) -> None:
    code = (
        "import sys; from pathlib import Path; from ticket.store.ticket_list import open_tickets; "
        "rows = open_tickets(Path(sys.argv[1])).rows; assert rows[0].customer == 'Ada Fenn', rows; "
        "heavy = {'sqlite_utils', 'ticket.job.kinds', 'textual'} & set(sys.modules); assert not heavy, heavy"
    )
    subprocess.run([sys.executable, "-c", code, shop], check=True, cwd=ROOT)


def test_the_list_is_the_same_both_ways(shop: Path) -> None:
    with open_store(shop) as store:
        second = store.open_ticket(Header(), KIM)
        assert open_tickets(shop).rows == store.rows() == store.rows(signed=False)
        store.sign(second, 1, KIM)
        assert [row.number for row in open_tickets(shop).rows] == [1]
        assert open_tickets(shop, all=True).rows == store.rows()
        assert [row.number for row in store.rows(signed=True)] == [second]


# --- files that are not what they should be ---


def test_a_file_that_is_no_database_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "shop.db"
    path.write_bytes(b"minutes of the meeting\n" * 400)
    before = digest(path)
    for call in (lambda: open_store(path), lambda: open_tickets(path)):
        with pytest.raises(StoreError, match="is not a ticket database"):
            call()
    assert digest(path) == before


def test_another_programs_database_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "shop.db"
    with plain(path) as connection:
        connection.execute("CREATE TABLE recipes(name)")
    before = digest(path)
    with pytest.raises(StoreError, match="belongs to another program"):
        open_store(path)
    assert digest(path) == before


def test_a_newer_database_is_refused_untouched(shop: Path) -> None:
    with plain(shop) as connection:
        connection.execute("PRAGMA user_version=99")
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchall()
    before = digest(shop)
    for call in (lambda: open_store(shop), lambda: open_tickets(shop)):
        with pytest.raises(StoreError, match=r"newer version of this program \(tables 99, this one knows "):
            call()
    assert digest(shop) == before


def test_an_empty_file_becomes_a_database(tmp_path: Path) -> None:
    path = tmp_path / "shop.db"
    path.touch()
    for call in (lambda: open_tickets(path), lambda: open_store(path, create=False)):
        with pytest.raises(StoreError, match="There is no shop at"):
            call()
    assert path.stat().st_size == 0
    with open_store(path) as store:
        assert fill(store) == 1


def test_nothing_is_made_where_nothing_should_be(tmp_path: Path) -> None:
    path = tmp_path / "shop.db"
    with pytest.raises(StoreError, match="There is no shop at"):
        open_store(path, create=False)
    with pytest.raises(StoreError, match="There is no shop at"):
        open_tickets(path)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(sys.platform == "win32", reason="an open file keeps its name there")
@pytest.mark.parametrize("replaced", [False, True])
def test_nothing_is_written_into_a_file_that_lost_its_name(shop: Path, tmp_path: Path, replaced: bool) -> None:
    """What is written to a removed file is gone with the last terminal that has it open."""
    other = closed_shop(tmp_path / "other.db")
    with open_store(shop) as store:
        rows = store._session.db.execute("SELECT count(*) FROM journal").fetchone()
        if replaced:
            other.replace(shop)
        else:
            shop.unlink()
        with pytest.raises(StoreError, match="is gone or another file by now: nothing was written"):
            store.add(1, [NewEntry(Note(text="x"))], KIM)
        assert store._session.db.execute("SELECT count(*) FROM journal").fetchone() == rows


def test_places_that_cannot_hold_a_database(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    (tmp_path / "folder").mkdir()
    for path in (tmp_path / "file" / "shop.db", tmp_path / "folder", tmp_path / ("x" * 300), tmp_path / "a\0b"):
        with pytest.raises(StoreError, match=r"cannot be|is a folder|could not be"):
            open_store(path)


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="the superuser may write anywhere")
def test_a_read_only_folder_and_a_read_only_file(shop: Path) -> None:
    before = digest(shop)
    shop.chmod(0o400)
    with open_store(shop) as store:
        assert store.numbers() == [1]
        with pytest.raises(StoreError, match="may be read but not written: nothing was changed"):
            store.add(1, [NewEntry(Note(text="x"))], KIM)
    shop.chmod(0o600)
    shop.parent.chmod(0o500)
    try:
        with pytest.raises(StoreError, match="cannot be opened"):
            open_store(shop.parent / "new.db")
    finally:
        shop.parent.chmod(0o700)
    assert digest(shop) == before


def test_a_connection_without_the_right_to_write(shop: Path) -> None:
    with open_store(shop) as store:
        before = kept(store)
        store._session.db.execute("PRAGMA query_only=ON")
        with pytest.raises(StoreError, match="may be read but not written: nothing was changed"):
            store.add(1, [NewEntry(Note(text="x"))], KIM)
        store._session.db.execute("PRAGMA query_only=OFF")
        assert kept(store) == before


@pytest.mark.parametrize("damage", ["cut", "zeroed"])
def test_a_damaged_file_is_called_damaged(shop: Path, damage: str) -> None:
    with open_store(shop) as store:
        for _ in range(12):
            fill(store)
    raw = shop.read_bytes()
    size = len(raw)
    shop.write_bytes(raw[: size // 2] if damage == "cut" else raw[:8192] + bytes(size - 16384) + raw[-8192:])

    def read_it_all() -> None:
        with open_store(shop) as store:
            for number in store.numbers():
                store.ticket(number)
            store.audit(deep=True)

    with pytest.raises(StoreError, match=r"is damaged|cannot be read|is not a ticket database"):
        read_it_all()


def test_a_row_that_makes_no_sense_is_named(shop: Path) -> None:
    with plain(shop) as connection:
        connection.execute("UPDATE entry SET data = '{\"what\": 5}' WHERE no = 3")
    with open_store(shop) as store, pytest.raises(StoreError, match=r"ticket 1 cannot be read .*what: expected text"):
        store.ticket(1)


def test_a_full_disk_changes_nothing(shop: Path) -> None:
    with open_store(shop) as store:
        before = kept(store)
        pages = store._session.db.execute("PRAGMA page_count").fetchone()[0]
        store._session.db.execute(f"PRAGMA max_page_count={pages}")
        with pytest.raises(StoreError, match=r"no room left on the disk .*nothing was written"):
            store.add(1, [NewEntry(Note(text="x" * 99_000))], KIM)
        assert kept(store) == before
        assert store.audit(deep=True).ok
        store._session.db.execute("PRAGMA max_page_count=1000000")
        store.add(1, [NewEntry(Note(text="x" * 9000))], KIM)


def test_no_half_made_file_is_left_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(*_: object) -> None:
        raise driver.sqlite3.OperationalError("database or disk is full")

    monkeypatch.setattr("ticket.store.session.remake_views", fails)
    with pytest.raises(StoreError):
        open_store(tmp_path / "shop.db")
    assert [path.name for path in tmp_path.iterdir()] == ["shop.db.lock"]


@pytest.mark.skipif(sys.platform == "win32", reason="limits of POSIX")
def test_a_disk_that_refuses_to_grow_keeps_what_was_said(shop: Path) -> None:
    """A limit on the size of files: SQLite then reports an I/O error, not a full disk."""
    code = """
import resource, sys
sys.path.insert(0, sys.argv[2])
from pathlib import Path
from store_bench import KIM, open_store
from ticket.job.errors import StoreError
from ticket.job.kinds import Note
from ticket.store.store import NewEntry
with open_store(Path(sys.argv[1])) as store:
    resource.setrlimit(resource.RLIMIT_FSIZE, (2_000_000, 2_000_000))
    try:
        while True:
            print(store.add(1, [NewEntry(Note(text="x" * 2000))], KIM)[0].no, flush=True)
    except StoreError as error:
        print(error)
"""
    run = subprocess.run(
        [sys.executable, "-c", code, shop, Path(__file__).parent], capture_output=True, text=True, check=True, cwd=ROOT
    )
    *said, sentence = run.stdout.splitlines()
    assert "nothing was" in sentence
    assert len(said) > 20
    with open_store(shop) as store:
        assert [str(entry.no) for entry in store.ticket(1).entries[11:]] == said
        assert store.audit(deep=True).ok


# --- held by others ---


def test_a_database_held_by_another_program(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(driver, "BUSY_MS", 50)
    with open_store(shop) as store, plain(shop) as connection:
        connection.execute("BEGIN IMMEDIATE")
        before = kept(store)
        with pytest.raises(StoreError, match="held by another program: nothing was changed; try again"):
            store.add(1, [NewEntry(Note(text="x"))], KIM)
        assert kept(store) == before
        assert store.ticket(1).entries  # reading goes on
        connection.execute("ROLLBACK")
        store.add(1, [NewEntry(Note(text="x"))], KIM)


@pytest.mark.skipif(sys.platform == "win32", reason="queues of POSIX")
def test_the_lock_is_waited_for_but_not_for_ever(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    held = lock.FileLock(shop)
    with open_store(shop) as store:
        monkeypatch.setattr(lock, "WAIT_SECONDS", 0.05)
        with held, pytest.raises(StoreError, match=r"another terminal has held .*nothing was changed"):
            store.add(1, [NewEntry(Note(text="x"))], KIM)
        monkeypatch.setattr(lock, "WAIT_SECONDS", 10)
        store.add(1, [NewEntry(Note(text="after giving up"))], KIM)
        released = threading.Timer(0.1, held.__exit__, (None, None, None))
        held.__enter__()
        released.start()
        store.add(1, [NewEntry(Note(text="after waiting"))], KIM)
        assert released.finished.is_set()  # it was written after the lock was free, not before
        with held:  # nobody who gave up or waited still holds it
            pass
        assert len(living(store.ticket(1))) == 13
    held.close()


# --- versions ---

NEWER = table_version.newest() + 1
EXTRA = """
-- A later version keeps a colour with each person.
ALTER TABLE person ADD COLUMN colour TEXT NOT NULL DEFAULT 'none';
CREATE TABLE bay(number INTEGER PRIMARY KEY, name TEXT NOT NULL) STRICT;
INSERT INTO bay VALUES(1, 'left; of the door');
"""


@pytest.fixture
def later(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A program with one more migration; write its SQL into the file given."""
    folder = tmp_path / "later"
    shutil.copytree(table_version.migrations_folder(), folder)
    extra = folder / f"{NEWER:04}-bays.sql"
    extra.write_text(EXTRA)
    monkeypatch.setattr(table_version, "migrations_folder", lambda: folder)
    table_version.migrations.cache_clear()
    yield extra
    table_version.migrations.cache_clear()


def test_an_older_database_is_copied_and_brought_up_to_date(shop: Path, later: Path) -> None:
    before = digest(shop)
    with open_store(shop) as store:
        (notice,) = store.notices
        assert store._session.db.execute("SELECT name FROM bay").fetchall() == [("left; of the door",)]
        assert store._session.db.execute("PRAGMA user_version").fetchone()[0] == NEWER
        assert store.history()[-1].summary == f"tables brought from version {NEWER - 1} to {NEWER}"
        store.add(1, [NewEntry(Note(text="goes on"))], KIM)
        assert store.audit(deep=True).ok
    copy = shop.with_name(f"shop.db.before-{NEWER}.1")
    assert str(copy) in notice
    with plain(copy) as connection:
        assert connection.execute("PRAGMA user_version").fetchone()[0] == NEWER - 1
        assert connection.execute("SELECT count(*) FROM entry").fetchone()[0] == 11
        assert connection.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
    assert digest(shop) != before
    with open_store(shop) as store:
        assert store.notices == ()
    assert later.exists()


def test_the_list_brings_an_older_database_up_to_date_too(shop: Path, later: Path) -> None:
    assert [row.number for row in open_tickets(shop).rows] == [1]
    assert bring_up_to_date(shop) is None
    assert shop.with_name(f"shop.db.before-{NEWER}.1").exists()
    with open_store(shop) as store:
        assert store.history()[-1].summary == f"tables brought from version {NEWER - 1} to {NEWER}"
        assert store.audit(deep=True).ok


@pytest.mark.parametrize(
    "broken",
    [
        EXTRA + "INSERT INTO bay VALUES(1, 'twice');",
        EXTRA + "UPDATE journal SET body = '{}';",
        EXTRA + "CREATE TABL oops(x);",
        EXTRA + "PRAGMA defer_foreign_keys=ON; UPDATE entry SET person_id = 77;",
    ],
)
def test_a_migration_that_fails_leaves_the_database_as_it_was(shop: Path, later: Path, broken: str) -> None:
    later.write_text(broken)
    before = everything(shop)
    with pytest.raises(StoreError, match=f"could not be brought to version {NEWER}"):
        open_store(shop)
    assert everything(shop) == before
    assert shop.with_name(f"shop.db.before-{NEWER}.1").exists()


def test_missing_migrations_are_said(tmp_path: Path, later: Path) -> None:
    later.rename(later.with_name(f"{NEWER + 1:04}-bays.sql"))
    table_version.migrations.cache_clear()
    with pytest.raises(StoreError, match="missing or out of order"):
        open_store(tmp_path / "shop.db")


def test_views_are_remade_for_another_version(shop: Path) -> None:
    with open_store(shop) as store:
        store._session.db.execute("DROP VIEW v_found")
        store._session.db.execute("CREATE VIEW v_found AS SELECT 1 AS gone")
    with open_store(shop) as store:
        assert store._session.db.execute("SELECT * FROM v_found").fetchall() == [(1,)]
    with open_store(shop, version="0.9.9") as store:
        assert store._session.db.execute("SELECT what, number, unit, limits FROM v_found").fetchall() == [
            ("reservoir level", "-14", "mm", "-3 to 0 per maker")
        ]


def test_views_are_written_down_and_cover_every_field() -> None:
    stored = (table_version.migrations_folder() / "views.sql").read_text(encoding="utf-8")
    assert stored == views_file(), "run: python -m ticket.store.views schemas/sql"
    for word, kind in KINDS.items():
        for spec in specs(kind):
            names = [
                f'AS "{spec.name}"',
                f'AS "{spec.name}_',
                'AS "limits"' if spec.shape in ("run", "measurements") else "\0",
            ]
            assert any(name in views_sql()[f"v_{word}"] for name in names), (word, spec.name)


@pytest.mark.parametrize(
    ("limits", "shown"),
    [
        (Limits(low="22.0"), "min 22.0"),
        (Limits(high="0.05", source="law"), "max 0.05 per law"),
        (Limits(nominal="9.6", tol="0.2", source="shop"), "9.6 +/- 0.2 per shop"),
        (Limits(low="140", spread="25", spread_unit="%"), "min 140, spread 25 %"),
        (Limits(spread="3"), "spread 3"),
        (None, None),
    ],
)
def test_limits_read_as_typed_in_the_views(tmp_path: Path, limits: Limits | None, shown: str | None) -> None:
    run = Run((Value("7", "LF inner"), Value("OL", "RF")), "mm", limits)
    with open_store(tmp_path / "shop.db") as store:
        store.open_ticket(Header(), KIM)
        store.add(1, [NewEntry(Found(what="pads", run=run))], KIM)
        rows = store._session.db.execute("SELECT number, unit, limits FROM v_found").fetchall()
        assert rows == [("LF inner 7, RF OL", "mm", shown)]
        rows = store._session.db.execute("SELECT what, label, number, limits FROM v_reading").fetchall()
        assert rows == [("pads", "LF inner", "7", shown), ("pads", "RF", "OL", shown)]


def test_views_show_refs_answers_and_customers(shop: Path) -> None:
    with open_store(shop) as store:
        ask = store._session.db.execute
        assert ask("SELECT who, way, answers FROM v_told").fetchall() == [("Ada Fenn", "phone", "yes 5")]
        assert ask("SELECT refs FROM v_offer").fetchall() == [("3, 4",)]
        assert ask('SELECT "of", number FROM v_proof').fetchall() == [("3", "-1")]
        assert ask("SELECT customer, plate, odometer_in FROM v_ticket").fetchall() == [("Ada Fenn", "GRN 04", "48,210")]
        for name in views_sql():
            ask(f"SELECT * FROM {name}").fetchall()


def test_no_field_of_an_entry_takes_a_name_of_its_bookkeeping() -> None:
    own = {"fact", "follow", *transition._OWN}
    assert not [(word, spec.name) for word, kind in KINDS.items() for spec in specs(kind) if spec.name in own]


# --- copies ---


def test_a_backup_is_one_file_that_proves_itself(shop: Path, tmp_path: Path) -> None:
    target = tmp_path / "copies" / "monday.db"
    with open_store(shop) as store:
        with pytest.raises(InputError, match="cannot be written"):
            store.backup(target)
        target.parent.mkdir()
        store.backup(target)
        with pytest.raises(InputError, match="is there already"):
            store.backup(target)
        with pytest.raises(InputError, match="belongs to the shop's own files"):
            store.backup(shop)
        head = store.audit().head
    assert [path.name for path in target.parent.iterdir()] == ["monday.db"]
    with contextlib.closing(driver.connect(target, "ro")) as connection:
        assert connection.execute("PRAGMA journal_mode").fetchone()[0] == "delete"
    with open_store(target) as copy:
        assert copy.audit(deep=True).head == head
        assert copy._session.db.execute("PRAGMA journal_mode").fetchone()[0] == "wal"
        assert fill(copy) == 2


def test_a_backup_onto_a_full_disk_leaves_nothing(shop: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    connect = driver.connect

    def small(path: Path, mode: str = "rw") -> driver.Connection:
        made = connect(path, mode)
        made.execute("PRAGMA max_page_count=3").fetchone()
        return made

    with open_store(shop) as store:
        monkeypatch.setattr(driver, "connect", small)
        with pytest.raises(StoreError, match=r"no room left on the disk of .*copy\.db"):
            store.backup(tmp_path / "copy.db")
    assert not list(tmp_path.glob("copy*"))


def test_a_forged_journal_is_not_backed_up_as_good(shop: Path, tmp_path: Path) -> None:
    with plain(shop) as connection:
        connection.execute("DROP TRIGGER journal_fix")
        connection.execute("UPDATE journal SET at = '2026-01-01T00:00:00.000Z' WHERE seq = 4")
    with open_store(shop) as store, pytest.raises(StoreError, match=r"does not prove itself .journal 4: its hash"):
        store.backup(tmp_path / "copy.db")
    assert not list(tmp_path.glob("copy*"))


def test_closing_twice_is_no_harm_and_a_closed_store_says_so(shop: Path) -> None:
    store = Store.open(shop, indexer=indexer, now=lambda: pytest.fail("no clock needed to read"))
    store.close()
    store.close()
    with pytest.raises(StoreError, match="closed"):
        store.numbers()
