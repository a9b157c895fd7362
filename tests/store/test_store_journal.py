"""The chain: what it is made of, and that neither row nor guard can be got round unseen."""

import dataclasses
import hashlib
import json
import os
import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from sqlite_utils import Database
from store_bench import FACTS, KIM, MO, fill, kept, open_store, plain

from ticket.job.errors import ConflictError
from ticket.job.kinds import Code, Found, Note, Says
from ticket.store import driver, journal, state
from ticket.store.audit import audit
from ticket.store.blanking import blank
from ticket.store.canonical import canonical, packed, promise
from ticket.store.erasable import MASK, Words, alike, join, split
from ticket.store.proof.finding import Audit
from ticket.store.replay import Replay
from ticket.store.store import NewEntry, Query

FULL = bool(os.environ.get("TICKET_FULL"))
COLUMNS = ("seq", "at", "person_id", "sitting", "ticket_id", "verb", "of", "body", "words", "salt", "promise", "hash")
CHAIN = "seq,at,person_id,sitting,ticket_id,verb,of,body,promise,hash"


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A job that was edited, undone, signed, amended and followed up; read by many tests, changed by none."""
    path = tmp_path_factory.mktemp("journal") / "shop.db"
    with open_store(path) as store:
        number = fill(store)
        store.edit(number, 3, Found(what="reservoir level", seen="black"), MO)
        store.undo(number, MO)
        store.redo(number, MO)
        store.set_shop("zone", "UTC", KIM)
        store.sign(number, store.ticket(number).rev, MO, {"hurried": "customer waits"})
        store.amend(number, [NewEntry(Note(text="seal is here"))], "news", KIM)
        store.follow(number, 10, "new date", KIM, date="2026-08-01", note="Ada agrees")
        second = store.open_ticket(store.ticket(number).header, KIM)
        store.add(second, [NewEntry(Note(text="one")), NewEntry(Note(text="two"))], KIM)
    return path


def copy_of(path: Path) -> driver.Connection:
    """The database in memory, its guards taken away, so that anything can be written to it."""
    memory = driver.sqlite3.connect(":memory:", isolation_level=None)
    with plain(path) as source:
        source.backup(memory)
    memory.execute("PRAGMA ignore_check_constraints=ON")
    for (name,) in memory.execute("SELECT name FROM sqlite_schema WHERE type='trigger'").fetchall():
        memory.execute(f"DROP TRIGGER {name}")
    return memory


@pytest.fixture
def memory(shop: Path) -> Iterator[driver.Connection]:
    connection = copy_of(shop)
    yield connection
    connection.close()


def check(connection: driver.Connection, *, deep: bool = False) -> Audit:
    """What an audit says of it, but for the guards that were taken away."""
    found = audit(Database(connection, execute_plugins=False), deep=deep)
    others = (one for one in found.differences if not one.where.startswith("schema trigger"))
    return dataclasses.replace(found, differences=tuple(others))


def test_promise_is_sha_256_of_salt_and_content() -> None:
    # FIPS 180-4, appendix example: SHA-256("abc").
    assert promise(b"a", b"bc").hex() == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


def test_canonical_bytes_are_those_of_rfc_8785() -> None:
    # RFC 8785 (JSON Canonicalization Scheme), section 3.2: the text and the literals of its example, from memory.
    given = json.loads(
        '{"string": "\\u20ac$\\u000F\\u000aA\'\\u0042\\u0022\\u005c\\\\\\"\\/", "literals": [null, true, false]}'
    )
    assert canonical(given) == '{"literals":[null,true,false],"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'.encode()


def test_the_chain_is_recomputed_from_its_description(shop: Path) -> None:
    """A second implementation, from the words of the schema alone: typed, length-prefixed, each on the one before."""

    def lp(value: Any) -> bytes:
        kind = {bytes: b"b", str: b"s", int: b"i", type(None): b"-"}[type(value)]
        raw = value if isinstance(value, bytes) else b"" if value is None else str(value).encode()
        return kind + len(raw).to_bytes(8, "big") + raw

    previous = bytes(32)
    with plain(shop) as connection:
        rows = connection.execute(f"SELECT {CHAIN}, words, salt FROM journal ORDER BY seq").fetchall()
    assert len(rows) > 10
    for *fields, kept_promise, digest, words, salt in rows:
        parts = ["ticket-journal-1", previous, *fields, kept_promise]
        previous = hashlib.sha256(b"".join(map(lp, parts))).digest()
        assert previous == digest
        assert json.dumps(json.loads(fields[7]), sort_keys=True, separators=(",", ":"), ensure_ascii=False) == fields[7]
        assert (words is None) == (kept_promise is None)
        assert salt is None
        if words is not None:
            texts = {
                path: hashlib.sha256(b"ticket-text-2" + own.encode() + b"\0" + text.encode()).hexdigest()
                for path, (own, text) in json.loads(words).items()
            }
            plain_json = json.dumps(texts, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
            assert hashlib.sha256(plain_json.encode()).digest() == kept_promise


def test_no_two_lists_of_parts_share_their_bytes() -> None:
    lists: list[list[Any]] = [
        ["a", "bc"],
        ["ab", "c"],
        ["abc"],
        ["abc", None],
        ["abc", ""],
        [b"abc"],
        ["1"],
        [1],
        [None],
    ]
    assert len({packed(*parts) for parts in lists}) == len(lists)


def test_words_are_taken_out_and_put_back() -> None:
    body = {"births": [{"fact": {"text": Words("roars"), "refs": [{"no": 3}]}, "raw": Words("")}], "v": 1}
    facts, words = split(body)
    assert facts == {"births": [{"fact": {"text": None, "refs": [{"no": 3}]}, "raw": None}], "v": 1}
    assert words == {"births/0/fact/text": "roars", "births/0/raw": ""}
    assert join(facts, words) == body
    masked = join(facts, None)
    assert masked["births"][0]["fact"]["text"] == MASK
    assert alike(masked, body)
    assert not alike(masked, join(facts, words) | {"v": 2})


def test_an_untouched_journal_proves_itself(memory: driver.Connection) -> None:
    found = check(memory, deep=True)
    assert (found.ok, found.first_bad, found.reason) == (True, None, "")
    seq, digest = memory.execute("SELECT seq, hash FROM journal ORDER BY seq DESC").fetchone()
    assert found.head == f"{seq}-{digest.hex()[:16]}"
    assert found.rows == seq


def _mutants(value: Any, rng: random.Random) -> list[Any]:
    """Every byte of a value changed in one bit (in each of its bits with TICKET_FULL); numbers changed likewise."""
    if value is None:
        return [1]
    if isinstance(value, int):
        return [value + 1, -value, *(value ^ 1 << bit for bit in range(40))]
    raw = value if isinstance(value, bytes) else value.encode()
    bits = range(8) if FULL else [rng.randrange(8)]
    return [raw[:i] + bytes([raw[i] ^ 1 << bit]) + raw[i + 1 :] for i in range(len(raw)) for bit in bits] + [raw + b"x"]


@pytest.mark.slow
def test_one_changed_byte_is_named(memory: driver.Connection) -> None:
    """Any one byte of any row: all of them with TICKET_FULL set, else a handful from each column of each row."""
    rng = random.Random(8)
    tried = 0
    rows = memory.execute(f"SELECT {','.join(COLUMNS)} FROM journal ORDER BY seq").fetchall()
    text = {"at", "sitting", "verb", "body", "words"}
    last = rows[-1][0]
    for row in rows:
        for column, value in zip(COLUMNS, row, strict=True):
            if value is None and column in text | {"salt", "promise"}:
                continue
            mutants = _mutants(value, rng)
            for mutant in mutants if FULL else rng.sample(mutants, min(2, len(mutants))):
                if mutant == value or (column == "seq" and 1 <= mutant <= last):
                    continue  # a sequence taken by another row cannot be written
                memory.execute("SAVEPOINT mutation")
                place = "CAST(? AS TEXT)" if column in text else "?"
                memory.execute(f"UPDATE journal SET {column} = {place} WHERE seq = ?", [mutant, row[0]])
                found = check(memory)
                assert (found.ok, found.first_bad) == (False, row[0]), (column, row[0], mutant, found)
                memory.execute("ROLLBACK TO mutation")
                memory.execute("RELEASE mutation")
                tried += 1
    assert tried > (50_000 if FULL else 200), tried
    assert check(memory).ok


@pytest.mark.parametrize(
    ("attack", "first_bad"),
    [
        ("DELETE FROM journal WHERE seq = 5", 5),
        ("DELETE FROM journal WHERE seq = 1", 1),
        ("UPDATE journal SET words = NULL, salt = NULL WHERE seq = 4", 4),
        ("UPDATE journal SET words = '{}', salt = x'00' WHERE seq = 1", 1),
        ("UPDATE identity SET value = 'Somebody Else' WHERE id = 1", 3),
        ("UPDATE identity SET value = NULL, salt = NULL WHERE id = 1", 3),
        ("DELETE FROM identity WHERE id = 2", 3),
    ],
)
def test_missing_rows_words_and_customers_are_named(memory: driver.Connection, attack: str, first_bad: int) -> None:
    memory.execute("PRAGMA foreign_keys=OFF")
    memory.execute(attack)
    found = check(memory)
    assert (found.ok, found.first_bad) == (False, first_bad)
    assert found.reason


@pytest.mark.parametrize(
    ("attack", "reason"),
    [
        ("UPDATE entry SET data = json_set(data, '$.text', 'fan is fine') WHERE no = 1", "ticket 1 entry 1: what it"),
        ("UPDATE entry SET struck = 1 WHERE no = 3", "ticket 1 entry 3: whether it is struck differs"),
        ("UPDATE entry SET masked = 1 WHERE no = 3", "ticket 1 entry 3: what was blanked differs"),
        ("DELETE FROM entry WHERE no = 9", "ticket 1 entry 9: it is missing in the table"),
        ("UPDATE ticket SET header = json_set(header, '$.vehicle.vin', 'X') WHERE number = 1", "ticket 1: its header"),
        ("UPDATE ticket SET closed = '2026-01-01T00:00:00.000Z' WHERE number = 1", "ticket 1: when it was closed"),
        ("UPDATE ticket SET status = 'open', seal = '' WHERE number = 1", "ticket 1: status differs"),
        ("DELETE FROM ticket WHERE number = 2", "ticket 2: it is missing in the table"),
        ("UPDATE follow SET data = json_set(data, '$.date', '2030-01-01')", "followed on entry 10: differs"),
        ("UPDATE person SET name = 'Bo Karst' WHERE id = 1", "name or role differ from the journal"),
        ("UPDATE shop SET value = 'Mars' WHERE key = 'zone'", "setting zone: differs from the journal"),
    ],
)  # fmt: skip
def test_a_change_of_the_tables_is_told_apart_from_one_of_the_journal(
    memory: driver.Connection, attack: str, reason: str
) -> None:
    memory.execute("PRAGMA foreign_keys=OFF")
    memory.execute(attack)
    found = check(memory)
    assert not found.ok
    assert reason in found.reason
    assert not [one for one in found.differences if one.where.startswith("journal")]


def test_a_rehashed_history_still_breaks_the_seal(memory: driver.Connection) -> None:
    """Whoever rewrites a row and every hash after it must also forge the seal: its digest covers the whole ticket."""
    memory.execute('UPDATE journal SET body = replace(body, \'"sub":"7B"\', \'"sub":"7C"\') WHERE verb = \'add\'')
    memory.execute("UPDATE entry SET data = replace(data, '\"7B\"', '\"7C\"') WHERE kind = 'code'")
    previous = bytes(32)
    for *fields, kept_promise, _ in memory.execute(f"SELECT {CHAIN} FROM journal ORDER BY seq").fetchall():
        previous = hashlib.sha256(packed("ticket-journal-1", previous, *fields, kept_promise)).digest()
        memory.execute("UPDATE journal SET hash = ? WHERE seq = ?", [previous, fields[0]])
    memory.execute(
        "UPDATE ticket SET seal = (SELECT seq || '-' || lower(substr(hex(hash), 1, 16)) FROM journal"
        " WHERE verb IN ('sign', 'amend') AND ticket_id = ticket.id ORDER BY seq DESC LIMIT 1) WHERE status = 'signed'"
    )
    assert check(memory).ok
    found = check(memory, deep=True)
    assert not found.ok
    assert "does not fit the ticket it sealed" in found.reason


def test_a_cut_off_end_shows_in_the_head_only(memory: driver.Connection) -> None:
    before = check(memory)
    seq, ticket = memory.execute("SELECT seq, ticket_id FROM journal ORDER BY seq DESC LIMIT 1").fetchone()
    memory.execute("DELETE FROM journal WHERE seq = ?", [seq])
    memory.execute("DELETE FROM entry WHERE ticket_id = ?", [ticket])
    opened = "(SELECT max(at) FROM journal WHERE ticket_id = ticket.id)"
    memory.execute(f"UPDATE ticket SET rev = 1, updated = {opened} WHERE id = ?", [ticket])
    after = check(memory)
    assert after.ok
    assert after.head != before.head


SEALED = "signed: amend instead"
ATTACKS = [
    ("UPDATE journal SET body = '{}' WHERE seq = 3", "append-only"),
    ("UPDATE journal SET words = '{}' WHERE seq = 4", "append-only"),
    ("UPDATE journal SET words = NULL WHERE seq = 4", "append-only"),
    ("UPDATE journal SET words = NULL, salt = NULL WHERE seq = 4", "append-only"),
    ("UPDATE journal SET words = json_set(words, '$.\"births/0/fact/text\"', 'x') WHERE seq = 4", "append-only"),
    ("UPDATE journal SET words = json_remove(words, '$.\"births/0/fact/text\"') WHERE seq = 4", "append-only"),
    ("UPDATE journal SET words = json_set(words, '$.new', printf('%064d', 1)) WHERE seq = 4", "append-only"),
    ("UPDATE journal SET words = NULL, salt = NULL, of = 1 WHERE seq = 4", "append-only"),
    ("UPDATE OR REPLACE journal SET seq = 2 WHERE seq = 3", "append-only"),
    ("DELETE FROM journal", "append-only"),
    ("INSERT OR REPLACE INTO journal SELECT seq,at,9,sitting,ticket_id,verb,of,body,words,salt,promise,hash "
     "FROM journal WHERE seq = 2", "seq must be next"),
    ("INSERT INTO journal SELECT seq+50,at,9,sitting,ticket_id,verb,of,body,words,salt,promise,hash "
     "FROM journal WHERE seq = 2", "seq must be next"),
    ("DELETE FROM entry", "struck, not deleted"),
    ("INSERT OR REPLACE INTO entry SELECT * FROM entry WHERE {second} AND no = 2", "entry number taken"),
    ("REPLACE INTO entry(ticket_id,no,kind,person_id,at,data,amend) "
     "SELECT id,1,'note',1,'x','{}',1 FROM ticket WHERE number = 1", "entry number taken"),
    ("UPDATE OR REPLACE entry SET no = 1 WHERE {second} AND no = 2", "keeps its number"),
    ("UPDATE entry SET data = '{}' WHERE no = 2", SEALED),
    ("UPDATE entry SET struck = 1 WHERE no = 2", SEALED),
    ("INSERT INTO entry(ticket_id,no,kind,person_id,at,data) "
     "SELECT id,99,'note',1,'x','{}' FROM ticket WHERE number = 1", SEALED),
    ("DELETE FROM ticket", "not deleted"),
    ("INSERT OR REPLACE INTO ticket SELECT * FROM ticket WHERE number = 1", "ticket number taken"),
    ("INSERT OR REPLACE INTO ticket(id,number,status,opened,updated,header) VALUES(5,1,'open','x','x','{}')",
     "ticket number taken"),
    ("UPDATE OR REPLACE ticket SET number = 1 WHERE number = 2", "keeps its number"),
    ("UPDATE ticket SET status = 'open', seal = '' WHERE number = 1", SEALED),
    ("UPDATE ticket SET header = '{}' WHERE number = 1", SEALED),
    ("UPDATE ticket SET closed = '2026-01-01T00:00:00.000Z' WHERE number = 1", SEALED),
    ("UPDATE ticket SET seal = '1-0000000000000000' WHERE number = 1", SEALED),
    ("UPDATE ticket SET seal = (SELECT seq||'-'||lower(substr(hex(hash),1,16)) FROM journal WHERE verb='sign') "
     "WHERE number = 1", SEALED),
    ("INSERT INTO entry(ticket_id,no,kind,person_id,at,data) "
     "SELECT id,50,'says',1,'x','{' FROM ticket WHERE number = 2", "constraint"),
    ("INSERT INTO entry(ticket_id,no,kind,person_id,at,data,concern) "
     "SELECT id,50,'says',1,'x','{}','I' FROM ticket WHERE number = 2", "constraint"),
    ("UPDATE ticket SET status = 'lost' WHERE number = 2", "constraint"),
]  # fmt: skip


@pytest.mark.parametrize("recursive", [True, False], ids=["recursive", "plain"])
@pytest.mark.parametrize(("attack", "reason"), ATTACKS)
def test_guards_hold_against_raw_sql(shop: Path, attack: str, reason: str, recursive: bool) -> None:
    with open_store(shop) as store:
        before = kept(store)
        with plain(shop, recursive=recursive) as connection, pytest.raises(driver.Error, match=reason):
            connection.execute(attack.replace("{second}", "ticket_id = (SELECT id FROM ticket WHERE number = 2)"))
        assert kept(store) == before


@pytest.mark.parametrize("signed", [False, True])
def test_words_may_be_blanked_once_if_a_later_row_names_them(tmp_path: Path, signed: bool) -> None:
    """Done here by hand as the forgetting of a customer will do it: the chain, the replay and the seal allow for it."""
    path = tmp_path / "shop.db"
    with open_store(path) as store:
        number = fill(store)
        store.edit(number, 1, Says(text="fan is loud"), KIM)
        if signed:
            store.sign(number, store.ticket(number).rev, KIM)
        with plain(path) as connection:
            words = connection.execute("SELECT words FROM journal WHERE seq = 4").fetchone()[0]
            kept_one = "births/9/fact/text"
            paths = blank(Database(connection, execute_plugins=False), 4, set(json.loads(words)) - {kept_one})
            assert paths
            connection.execute("UPDATE identity SET value = NULL, salt = NULL WHERE id = 1")
            with pytest.raises(driver.Error, match="append-only"):
                connection.execute("UPDATE journal SET words = ? WHERE seq = 4", [words])
        found = store.audit()
        assert (found.ok, found.first_bad) == (False, 3)
        ticket_id = store._session.db.execute("SELECT id FROM ticket").fetchone()[0]
        numbers = list(range(1, 12))
        with store._session.writing() as db:
            body = {"paths": {"4": paths}, "identities": [1], "masked": numbers, "reason": Words("asked to")}
            store._session.append("forget", body, person=1, ticket=ticket_id)
            replay = Replay()
            for record in journal.read(db):
                replay.feed(record)
            state.save(db, replay.tickets[ticket_id], state.Touched(changed=set(numbers)))
        store.rebuild()
        assert store.audit(deep=True).ok, store.audit(deep=True)
        ticket = store.ticket(number)
        assert ticket.header.customer.name == MASK
        assert ticket.entries[0].fact == Says(text="fan is loud")  # written later, in a row of its own
        assert ticket.entries[2].fact == Found(what=MASK, run=FACTS[2].run, seen=MASK)  # type: ignore[attr-defined]
        assert ticket.entries[9].fact.text == "replace shaft seal"  # type: ignore[attr-defined]
        assert ticket.entries[1].fact == Code(code="P1A30", sub="7B", unit=MASK, status="stored")
        assert store.find(Query.of(words=("dark",))).numbers == ()
        if not signed:
            assert store.undo(number, KIM) == "changed 1 (text)"
            with pytest.raises(ConflictError, match="were blanked"):
                store.undo(number, KIM)
            assert store.ticket(number).entries[0].fact == FACTS[0]  # that row still says what it was
            assert store.audit(deep=True).ok
