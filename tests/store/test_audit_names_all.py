"""The small audit: every changed value is named, it goes on after the first, and it needs nothing of what it proves."""

import ast
import os
import random
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from sqlite_utils import Database
from store_bench import KIM, MO, fill, indexer, open_store, plain

import ticket.store.proof
from support.clock import Clock
from ticket.cli.main import main
from ticket.job.kinds import Note
from ticket.shop.changing import add_lines, amend_ticket, new_ticket, sign_ticket
from ticket.shop.indexer import index_rows
from ticket.shop.job_row import job_row
from ticket.shop.opening import Shop
from ticket.shop.reading import unanswered
from ticket.shop.vehicle_rows import vehicle_rows
from ticket.store import driver
from ticket.store.audit import audit, audit_file
from ticket.store.proof.finding import Audit
from ticket.store.store import NewEntry

CHANGES = 2000 if os.environ.get("TICKET_FULL") else 300
LINES = """says: fan roars
code: P1A30-7B fan control, stored
found: LF pad 4.1 mm (min 3.0)
later: look at the pads again; in 500 mi or 3 weeks
used: 1 x belt FB-2281; 12.00
did: 1 h replaced the fan; on 8:00-9:00"""
KEPT_BY_SQLITE = ("sqlite_", "ticket_fts", "fragment", "dirty")  # nothing of these is shown by any command


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop with something in every table that a command shows; read by many tests, changed by none."""
    from ticket.job.book_entry import BookEntry
    from ticket.job.ticket import Customer, Header, Vehicle

    path = tmp_path_factory.mktemp("audited") / "shop.db"
    with Shop.open(path, "K. Orlo", now=Clock()) as opened:
        header = Header(vehicle=Vehicle("Corvane Alder", plate="FEN-204"), customer=Customer(name="Ada Fenn"))
        number = new_ticket(opened, header)
        add_lines(opened, number, LINES)
        add_lines(opened, new_ticket(opened, header), LINES)
        store = opened.store
        store.set_shop("zone", '"UTC"', KIM)
        store.follow(number, 4, "call", MO, note="rang twice")
        store.keep_phrases([BookEntry("en", "word", "thing", "swivel", "swivel")], KIM)
        sign_ticket(opened, number, overruled={gap.id: "customer waits" for gap in unanswered(opened, number)})
        amend_ticket(opened, number, "note: the old belt is in the boot", "was left out")
    return path


@pytest.fixture
def memory(shop: Path) -> Iterator[driver.Connection]:
    """The shop in memory without its guards, so that anything can be written to it."""
    held = driver.sqlite3.connect(":memory:", isolation_level=None)
    with plain(shop) as source:
        source.backup(held)
    held.execute("PRAGMA ignore_check_constraints=ON")
    for (name,) in held.execute("SELECT name FROM sqlite_schema WHERE type='trigger'").fetchall():
        held.execute(f"DROP TRIGGER {name}")
    yield held
    held.close()


def differences(connection: driver.Connection) -> list[str]:
    found = audit(Database(connection, execute_plugins=False), index_rows, vehicle_rows, job_row)
    return [str(one) for one in found.differences if not one.where.startswith("schema trigger")]


def changed(value: Any, rng: random.Random) -> Any:
    if value is None:
        return rng.choice([1, "x"])
    if isinstance(value, int):
        return value + rng.choice([1, -1, 1000])
    if isinstance(value, float):
        return value + 1
    if isinstance(value, bytes):
        place = rng.randrange(len(value))
        return value[:place] + bytes([value[place] ^ 1 << rng.randrange(8)]) + value[place + 1 :]
    place = rng.randrange(len(value) + 1)
    return value[:place] + rng.choice("axZ0 ") + value[place + rng.randrange(2) :]


@pytest.mark.slow
def test_every_changed_value_that_a_command_shows_is_named(memory: driver.Connection) -> None:
    rng = random.Random(16)
    tables = [
        name for (name,) in memory.execute("SELECT name FROM sqlite_schema WHERE type = 'table'").fetchall()
        if not name.startswith(KEPT_BY_SQLITE) and memory.execute(f"SELECT 1 FROM {name}").fetchone()
    ]  # fmt: skip
    assert len(tables) > 12
    assert differences(memory) == []
    tried = missed = 0
    while tried < CHANGES:
        table = rng.choice(tables)
        columns = [(row[1], row[5]) for row in memory.execute(f"PRAGMA table_info({table})").fetchall()]
        keys = [name for name, key in columns if key] or ["rowid"]
        column = rng.choice([name for name, _ in columns])
        if (table, column) == ("habit", "kept"):
            continue  # when it was worked out, which no command shows
        rows = memory.execute(f"SELECT {', '.join(keys)}, {column} FROM {table}").fetchall()
        *key, value = rng.choice(rows)
        new = changed(value, rng)
        if new == value:
            continue
        memory.execute("SAVEPOINT change")
        where = " AND ".join(f"{name} IS ?" for name in keys)
        try:
            memory.execute(f"UPDATE {table} SET {column} = ? WHERE {where}", [new, *key])
        except driver.Error:
            pass  # the table itself refuses it
        else:
            tried += 1
            missed += not differences(memory)
            assert not missed, (table, column, value, new)
        memory.execute("ROLLBACK TO change")
        memory.execute("RELEASE change")


def test_a_file_that_no_audit_can_read_is_sent_to_the_rescue(
    shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    half = tmp_path / "half.db"
    half.write_bytes(shop.read_bytes()[: shop.stat().st_size // 2])
    assert main(["audit", "--db", str(half)]) == 2
    told = capsys.readouterr().err
    assert f"ticket rescue {half} NEW" in told
    assert "ticket audit names" not in told, "that is what was asked"


def test_all_changes_are_named_in_one_go(memory: driver.Connection) -> None:
    memory.execute("UPDATE journal SET at = replace(at, '2026', '2019') WHERE seq IN (3, 6)")
    memory.execute("UPDATE entry SET data = json_set(data, '$.text', 'fan is fine') WHERE no = 1")
    memory.execute("UPDATE person SET role = 'auditor' WHERE id = 1")
    memory.execute("UPDATE shop SET value = '\"Europe/Paris\"' WHERE key = 'zone'")
    memory.execute("CREATE VIEW v_extra AS SELECT 1 AS one")
    memory.execute("DROP INDEX ticket_vin")
    said = "\n".join(differences(memory))
    for words in (
        "journal 3: its hash does not fit", "journal 6: its hash does not fit", "ticket 1 entry 1: what it says",
        'ticket 2 entry 1: what it says differs between table and journal: text is "fan is fine", the journal has "fan',
        'name or role differ from the journal: role is "auditor", the journal has "', "setting zone: differs from the"
        ' journal: it is "Europe/Paris", the journal has "UTC"', "schema view v_extra: is none of this program's",
        "schema index ticket_vin: is missing",
    ):  # fmt: skip
        assert words in said, words
    assert "journal 4" not in said, "a row behind a changed one is not to blame"


def test_a_changed_guard_is_named(shop: Path, tmp_path: Path) -> None:
    path = Path(shutil.copy(shop, tmp_path / "shop.db"))
    with plain(path) as connection:
        connection.execute("DROP TRIGGER entry_keep")
        connection.execute("CREATE TRIGGER helper AFTER INSERT ON entry BEGIN DELETE FROM dirty; END")
    said = [str(one) for one in audit_file(path, index_rows, vehicle_rows, job_row).differences]
    assert said == [
        "schema trigger entry_keep: is missing", "schema trigger helper: is none of this program's"
    ]  # fmt: skip


def test_rows_back_in_time_are_a_remark_and_no_difference(tmp_path: Path) -> None:
    from datetime import UTC, datetime

    path = tmp_path / "shop.db"
    with open_store(path) as store:
        number = fill(store)
        store._session.now = lambda: datetime(2019, 5, 1, tzinfo=UTC)
        store.add(number, [NewEntry(Note(text="the clock is wrong"))], KIM)
    found = audit_file(path, indexer)
    assert found.ok
    assert "of 2019: the clock was set back" in found.times[0]


# -- damage -------------------------------------------------------------------------------------------------------


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["zeros", "noise"])
def test_a_damaged_page_ends_in_sentences_and_names_what_can_be_read(
    shop: Path, tmp_path: Path, kind: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every tenth page: the commands end in 0, 1 or 2 with one sentence, and the audit says what is wrong."""
    monkeypatch.setenv("TICKET_NOW", "2026-03-02T14:10:00+00:00")
    size, path, silent = 4096, tmp_path / "shop.db", 0
    rng = random.Random(7)
    pages = range(1, shop.stat().st_size // size, 10)
    for page in pages:
        for ending in ("-wal", "-shm"):
            path.with_name(path.name + ending).unlink(missing_ok=True)
        content = bytearray(shop.read_bytes())
        content[page * size : (page + 1) * size] = bytes(size) if kind == "zeros" else rng.randbytes(size)
        path.write_bytes(content)
        for words in ("audit", "list --all", "show 1", "paper 1", "past fan"):
            code = main([*words.split(), "--db", str(path)])
            shown = capsys.readouterr()
            assert code in (0, 1, 2), (page, words)
            if code == 2:
                assert len(shown.err.strip().split("\n")[-1]) < 700
            silent += words == "audit" and code == 0
    assert silent < len(pages) / 3, "pages nobody uses, and those only the planner reads, are all that may go unseen"


@pytest.mark.slow
def test_the_audit_goes_on_behind_a_bad_ticket_and_says_which_can_be_read(tmp_path: Path) -> None:
    path = tmp_path / "shop.db"
    with open_store(path) as store:
        for _ in range(40):
            fill(store)
    content = path.read_bytes()
    pages = [content[at : at + 4096] for at in range(0, len(content), 4096)]
    # A leaf of an index-organised table (SQLite file format, section 1.6: type 10) that holds facts.
    at = next(i for i, page in enumerate(pages) if page[0] == 10 and page.count(b'"what":') > 1)
    path.write_bytes(b"".join([*pages[:at], bytes(4096), *pages[at + 1 :]]))
    found = audit_file(path, indexer)
    bad = [one.where for one in found.differences if "rows cannot be read" in one.says]
    assert 0 < len(bad) < 40
    assert "tickets can be read whole" in found.remarks[-1]


def test_a_damaged_word_index_is_named_and_made_anew(
    shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = Path(shutil.copy(shop, tmp_path / "shop.db"))
    with plain(path) as connection:
        connection.execute("PRAGMA ignore_check_constraints=ON")
        connection.execute("UPDATE ticket_fts_data SET block = x'ffffffffffffffffffff'")
        connection.commit()
    assert main(["past", "fan", "--db", str(path)]) == 2
    assert "ticket index --rebuild" in capsys.readouterr().err
    assert main(["add", "2", "note: work goes on", "--db", str(path)]) == 0
    assert main(["audit", "--db", str(path)]) == 1
    assert main(["index", "--rebuild", "--db", str(path)]) == 0
    assert main(["index", "--check", "--db", str(path)]) == 0
    assert main(["past", "fan", "--db", str(path)]) == 0
    assert main(["audit", "--deep", "--db", str(path)]) == 0


# -- nothing is written, nothing is shared ------------------------------------------------------------------------


def test_an_audit_changes_nothing_of_the_file_and_takes_no_lock(shop: Path, tmp_path: Path) -> None:
    path = Path(shutil.copy(shop, tmp_path / "shop.db"))
    before = path.read_bytes()
    assert main(["audit", "--deep", "--db", str(path)]) == 0
    assert path.read_bytes() == before
    assert not path.with_name("shop.db.lock").exists()


def test_the_newest_rows_in_a_log_beside_the_file_are_not_missed(tmp_path: Path) -> None:
    """Where the folder lets nobody write, file and log are read from copies: the log holds what came last."""
    folder = tmp_path / "shop"
    folder.mkdir()
    with open_store(folder / "shop.db") as store:
        fill(store)
        (tmp_path / "kept").mkdir()
        for ending in ("", "-wal"):
            shutil.copy(folder / f"shop.db{ending}", tmp_path / "kept" / f"shop.db{ending}")
        head = store.audit().head
    assert audit_file(tmp_path / "kept" / "shop.db", indexer).head == head


def test_the_small_audit_imports_the_library_and_two_modules_only() -> None:
    allowed = {"ticket.store.driver", "ticket.store.canonical"}
    for file in Path(ticket.store.proof.__file__).parent.glob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            names = [node.module] if isinstance(node, ast.ImportFrom) else []
            names += [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            for name in names:
                assert name is not None
                top = name.split(".")[0]
                assert top in sys.stdlib_module_names or name in allowed or name.startswith("ticket.store.proof"), name


def test_an_untouched_shop_has_no_difference(shop: Path) -> None:
    found = audit_file(shop, index_rows, vehicle_rows, job_row, deep=True)
    claims = "2 signatures are under a name that is a claim: no PIN was asked"
    assert found == Audit(found.rows, found.head, remarks=(claims,))
