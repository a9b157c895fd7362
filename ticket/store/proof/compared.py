"""Second pass: ticket by ticket, what the journal leads to against what the tables say."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from hashlib import sha256
from typing import Any

from ticket.store.canonical import canonical
from ticket.store.driver import Connection, Error
from ticket.store.proof.finding import Findings, Tell, runs, untold
from ticket.store.proof.shape import has_table
from ticket.store.proof.texts import COLUMNS
from ticket.store.proof.ticket_fold import Folded
from ticket.store.proof.told_apart import told_apart

_TICKET = (
    "id", "number", "status", "opened", "closed", "signed_by", "seal", "rev", "updated", "masked", "header", "was_seal",
    "was_fits", "was_proof",
)  # fmt: skip
_ENTRY = ("kind", "concern", "person_id", "at", "shop_only", "struck", "replaces", "amend", "reason", "masked", "data")
_NAMED = {
    "data": "what it says", "person_id": "who typed it", "at": "when it was typed", "shop_only": "who may read it",
    "struck": "whether it is struck", "replaces": "what it replaces", "amend": "whether it was added after signing",
    "reason": "its reason", "masked": "what was blanked", "concern": "its concern", "kind": "its kind",
    "header": "its header", "signed_by": "who signed it", "closed": "when it was closed",
    "was_seal": "the seal it came with", "was_fits": "how it came", "was_proof": "whether it was proved",
}  # fmt: skip
_FAULTS = (ValueError, TypeError, KeyError, IndexError, AttributeError)


@dataclass(slots=True)
class Pictures:
    """Pictures whose content is what their digest says, and the fields of entries that name one, by kind.

    ``forgotten`` went with a customer, as the journal says.

    ``columns`` are those of a ticket's row: a file that was not opened by this version yet lacks the newest.
    """

    fields: Mapping[str, tuple[str, ...]]
    columns: tuple[str, ...] = _TICKET
    whole: set[str] = field(default_factory=set)
    altered: set[str] = field(default_factory=set)
    forgotten: set[str] = field(default_factory=set)


@dataclass(slots=True)
class Compared:
    """Which tickets could be read, and which could not."""

    good: list[int] = field(default_factory=list)
    bad: list[int] = field(default_factory=list)


def compare_tickets(
    connection: Connection, found: Findings, pictures: Mapping[str, tuple[str, ...]], tell: Tell = untold
) -> Compared:
    """Every ticket with its entries, follow-ups, rewordings and pictures; a damaged one is named, the others go on."""
    done = Compared()
    held = _pictures(connection, found, pictures)
    keys = _keys(connection, found)
    for at, key in enumerate(keys, 1):
        tell("check tickets", at, len(keys))
        before = found.count
        number = 0
        try:
            number = _ticket(connection, key, found, held)
        except Error as error:
            number = _number(connection, key)
            found.add(f"ticket {number or f'with key {key}'}", f"its rows cannot be read: {error}")
        if number:
            (done.good if found.count == before else done.bad).append(number)
    _strays(connection, found)
    if done.bad and done.good:
        found.remarks.append(f"{len(done.good)} tickets can be read whole: {runs(sorted(done.good))}")
    return done


def _keys(connection: Connection, found: Findings) -> list[int]:
    keys: set[int] = set()
    for table, sql in (
        ("ticket", "SELECT id FROM ticket"),
        ("journal", "SELECT DISTINCT ticket_id FROM journal WHERE ticket_id IS NOT NULL"),
    ):
        try:
            for (key,) in connection.execute(sql):
                keys.add(key)
        except Error as error:
            found.add(f"table {table}", f"its list of tickets cannot be read: {error}")
    return sorted(keys)


def _number(connection: Connection, key: int) -> int:
    try:
        row = connection.execute("SELECT number FROM ticket WHERE id = ?", [key]).fetchone()
    except Error:
        return 0
    return int(row[0]) if row else 0


def _ticket(connection: Connection, key: int, found: Findings, pictures: Pictures) -> int:
    folded = Folded()
    rows = connection.execute(f"SELECT {COLUMNS} FROM journal WHERE ticket_id = ? ORDER BY seq", [key])  # noqa: S608
    columns = ", ".join(pictures.columns)
    held = connection.execute(f"SELECT {columns} FROM ticket WHERE id = ?", [key]).fetchone()  # noqa: S608
    number = int(held[1]) if held else 0
    for row in rows:
        try:
            folded.feed(row)
        except _FAULTS as error:
            found.add(f"journal {row[0]}", f"it does not fit what stands before it: {error}", row[0])
            return number
    number = number or int(folded.ticket.get("number", 0))
    name = f"ticket {number}"
    if held is None or not folded.ticket:
        found.add(name, "it is missing in the table" if held is None else "it is not in the journal")
        return number
    for column, values in _differing(pictures.columns, held, folded.ticket, "header"):
        found.add(name, f"{_NAMED.get(column, column)} differs between table and journal{values}")
    _entries(connection, key, name, folded, found, pictures)
    _sides(connection, key, name, folded, found)
    return number


def _differing(
    columns: tuple[str, ...], held: tuple[Any, ...], wanted: Mapping[str, Any], json: str
) -> Iterator[tuple[str, str]]:
    """Each column that differs, with what stands in it and what should."""
    for column, value in zip(columns, held, strict=True):
        said = wanted[column]
        if column == json:
            said = canonical(said)
        elif isinstance(said, str):
            said = said.encode()
        if value != said:
            yield column, told_apart(value, said)


def _entries(
    connection: Connection, key: int, name: str, folded: Folded, found: Findings, pictures: Pictures
) -> None:  # fmt: skip
    seen = set()
    rows = connection.execute(f"SELECT no, {', '.join(_ENTRY)} FROM entry WHERE ticket_id = ?", [key])  # noqa: S608
    for no, *cells in rows:
        seen.add(no)
        wanted = folded.entries.get(no)
        where = f"{name} entry {no}"
        if wanted is None:
            found.add(where, "it is not in the journal")
            continue
        for column, values in _differing(_ENTRY, tuple(cells), wanted, "data"):
            found.add(where, f"{_NAMED[column]} differs between table and journal{values}")
        for picture in pictures.fields.get(wanted["kind"], ()):
            _picture(where, wanted["data"].get(picture), found, pictures)
    for no in sorted(folded.entries.keys() - seen):
        found.add(f"{name} entry {no}", "it is missing in the table")


def _sides(connection: Connection, key: int, name: str, folded: Folded, found: Findings) -> None:
    for what, table, column, wanted in (
        ("what followed on entry", "follow", "no", folded.follows),
        ("rewording", "rewording", "slot", folded.wordings),
        ("correction", "correction", "no", folded.corrections),
    ):
        if not wanted and not has_table(connection, table):
            continue
        held = dict(connection.execute(f"SELECT {column}, data FROM {table} WHERE ticket_id = ?", [key]))  # noqa: S608
        for no in sorted(held.keys() | wanted.keys()):
            said = canonical(wanted[no]) if no in wanted else None
            if said is None or held.get(no) != said:
                values = told_apart(held.get(no), said)
                found.add(f"{name} {what} {no}", f"differs between table and journal{values}")


def _pictures(connection: Connection, found: Findings, fields: Mapping[str, tuple[str, ...]]) -> Pictures:
    there = {name for (name,) in connection.execute("SELECT CAST(name AS BLOB) FROM pragma_table_info('ticket')")}
    held = Pictures(fields, tuple(name for name in _TICKET if name.encode() in there))
    if not has_table(connection, "picture"):
        return held
    try:
        for digest, content in connection.execute("SELECT digest, content FROM picture"):
            good = sha256(content).hexdigest().encode() == digest
            (held.whole if good else held.altered).add(digest.decode(errors="replace"))
        gone = (
            "SELECT value FROM journal, json_each(CASE WHEN json_valid(body) THEN body ELSE '{}' END, '$.pictures')"
            " WHERE verb = 'forget'"
        )
        held.forgotten.update(digest.decode(errors="replace") for (digest,) in connection.execute(gone))
    except Error as error:
        found.add("table picture", f"it cannot be read: {error}")
    return held


def _picture(where: str, digest: Any, found: Findings, pictures: Pictures) -> None:
    held = pictures.whole | (pictures.forgotten - pictures.altered)
    if digest and digest not in held:
        gone = (
            "was altered: it is not the one the entry was written with" if digest in pictures.altered else "is missing"
        )
        found.add(where, f"its picture {str(digest)[:12]} {gone}")


def _strays(connection: Connection, found: Findings) -> None:
    for table in ("entry", "follow", "rewording", "correction"):
        try:
            rows = connection.execute(
                f"SELECT DISTINCT ticket_id FROM {table} WHERE ticket_id NOT IN (SELECT id FROM ticket)"  # noqa: S608
            ).fetchall()
        except Error:
            continue  # named where its ticket was read, or by the check of the pages
        for (key,) in rows:
            found.add(f"table {table}", f"it holds rows of no ticket (key {key})")
