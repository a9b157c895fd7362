"""The journal: one row per user action, each chained to the one before."""

import json
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlite_utils import Database

from ticket.job.codec import Json
from ticket.job.errors import StoreError
from ticket.store.canonical import GENESIS, canonical, promise, row_hash, seal_text
from ticket.store.erasable import join, split

TokenBytes = Callable[[int], bytes]


@dataclass(frozen=True, slots=True)
class Record:
    """One row of the journal, words put back into its body.

    Attributes:
        person: id of who did it; 0 is the program itself.
        sitting: one run of the program on one terminal.
        ticket: internal id of the ticket, or ``None``.
        of: the row an undo or redo answers.
        forgotten: its words were blanked; the body shows the mask where they stood.
        seal: the row in print.
    """

    seq: int
    at: str
    person: int
    sitting: str
    ticket: int | None
    verb: str
    of: int | None
    body: Json
    forgotten: bool = False
    seal: str = ""


@dataclass(frozen=True, slots=True)
class Event:
    """One action as a person reads it.

    Attributes:
        at: when; carries a zone.
        ticket: number of the ticket, or ``None``.
        summary: what was done, in words that hold no customer's data.
    """

    seq: int
    at: datetime
    person: str
    verb: str
    ticket: int | None
    summary: str


def head(db: Database) -> tuple[int, bytes]:
    """Sequence and hash of the last row."""
    row = db.execute("SELECT seq, hash FROM journal ORDER BY seq DESC LIMIT 1").fetchone()
    return (row[0], row[1]) if row else (0, GENESIS)


def newest(db: Database, numbers: Sequence[int]) -> dict[int, int]:
    """For each of some tickets the sequence of the last action on it; none for a ticket without any.

    Whatever changes how a ticket reads, forgetting its words too, has a row of that ticket.
    """
    rows = db.execute(
        "SELECT t.number, (SELECT max(seq) FROM journal WHERE ticket_id = t.id) AS last FROM ticket AS t"
        " WHERE t.number IN (SELECT value FROM json_each(?)) AND last IS NOT NULL",
        [json.dumps(numbers)],
    )
    return dict(rows.fetchall())


def append(
    db: Database, *, at: str, person: int, sitting: str, ticket: int | None, verb: str, body: Json,
    of: int | None = None, token_bytes: TokenBytes, salt: bytes | None = None,
) -> Record:  # fmt: skip
    """Write the next row. Texts marked as words go into their own column behind a salted promise.

    ``salt`` is given where the body already rests on it (seals); then words are always kept, if only an empty
    list, so that the salt stays with them.
    """
    last, previous = head(db)
    seq = last + 1
    facts, words = split({"v": 1} | body)
    raw = canonical(facts).decode()
    kept = text = None
    if words or salt:
        salt = salt or token_bytes(16)
        text = canonical(words).decode()
        kept = promise(salt, text.encode())
    digest = row_hash(
        previous, seq, at.encode(), person, sitting.encode(), ticket, verb.encode(), of, raw.encode(), kept
    )
    db.execute(
        "INSERT INTO journal(seq, at, person_id, sitting, ticket_id, verb, of, body, words, salt, promise, hash) "
        "VALUES(?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        [seq, at, person, sitting, ticket, verb, of, raw, text, salt if text is not None else None, kept, digest],
    )
    return Record(seq, at, person, sitting, ticket, verb, of, join(facts, words), seal=seal_text(seq, digest))


def read(db: Database, where: str = "1", parameters: list[Any] | None = None) -> Iterator[Record]:
    """Rows in their order. ``where`` is SQL of this package, never of a user."""
    rows = db.execute(
        "SELECT seq, at, person_id, sitting, ticket_id, verb, of, body, words, promise IS NOT NULL, hash "  # noqa: S608
        f"FROM journal WHERE {where} ORDER BY seq",
        parameters or [],
    )
    for seq, at, person, sitting, ticket, verb, of, body, words, promised, digest in rows:
        try:
            texts = json.loads(words) if words is not None else None if promised else {}
            whole = join(json.loads(body), texts)
        except ValueError as error:
            raise StoreError(f"row {seq} of the journal cannot be read: run the audit, put back a backup") from error
        yield Record(
            seq, at, person, sitting, ticket, verb, of, whole,
            forgotten=bool(promised) and words is None, seal=seal_text(seq, digest),
        )  # fmt: skip
