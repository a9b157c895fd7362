"""The journal: one row per user action, each chained to the one before."""

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from typing import Any

from sqlite_utils import Database

from ticket.job.codec import Json
from ticket.job.errors import StoreError
from ticket.store.canonical import GENESIS, canonical_text, committed, row_hash, seal_text
from ticket.store.erasable import Words, held_texts, join, parted

TokenBytes = Callable[[int], bytes]
FORMAT = 2  # of new rows: each text is promised by itself
INSERT = (
    "INSERT INTO journal(seq, at, person_id, sitting, ticket_id, verb, of, body, words, salt, promise, hash) "
    "VALUES(?, ?, ?, ?, ?, ?, ?, ?, ?, NULL, ?, ?)"
)
"""A new row; its salts stand in its words."""


@dataclass(frozen=True, slots=True)
class Record:
    """One row of the journal, words put back into its body.

    Attributes:
        person: id of who did it; 0 is the program itself.
        sitting: one run of the program on one terminal.
        ticket: internal id of the ticket, or ``None``.
        of: the row an undo or redo answers.
        forgotten: words of it were blanked; the body shows the mask where they stood.
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
    of: int | None = None, token_bytes: TokenBytes,
) -> Record:  # fmt: skip
    """Write the next row. Texts marked as words go into their own column, each behind a salt of its own."""
    last, previous = head(db)
    seq = last + 1
    facts, whole, words = parted({"v": FORMAT} | body, token_bytes)
    raw = canonical_text(facts)
    held = {path: [one.salt, str(one)] for path, one in words.items()}
    kept, text = (committed(held), canonical_text(held)) if held else (None, None)
    digest = row_hash(
        previous, seq, at.encode(), person, sitting.encode(), ticket, verb.encode(), of, raw.encode(), kept
    )
    db.execute(INSERT, [seq, at, person, sitting, ticket, verb, of, raw, text, kept, digest])
    return Record(seq, at, person, sitting, ticket, verb, of, whole, seal=seal_text(seq, digest))


def read(
    db: Database, where: str = "1", parameters: list[Any] | None = None, *, proved: bool = False
) -> Iterator[Record]:  # fmt: skip
    """Rows in their order.

    Args:
        db: the database.
        where: SQL of this package, never of a user.
        parameters: for it.
        proved: texts come marked, each with what is promised of it.
    """
    rows = db.execute(
        "SELECT seq, at, person_id, sitting, ticket_id, verb, of, body, words, salt, promise IS NOT NULL, hash "  # noqa: S608
        f"FROM journal WHERE {where} ORDER BY seq",
        parameters or [],
    )
    for seq, at, person, sitting, ticket, verb, of, body, words, salt, promised, digest in rows:
        try:
            facts = json.loads(body)
            texts = _texts(facts, json.loads(words), salt) if words is not None else None if promised else {}
        except (ValueError, TypeError, AttributeError) as error:
            raise StoreError(f"row {seq} of the journal cannot be read: run the audit, put back a backup") from error
        forgotten = texts is None or any(one.commitment for one in texts.values())
        held: Mapping[str, str] | None = texts
        if texts is not None and not proved:
            held = {path: str(one) for path, one in texts.items()}
        yield Record(
            seq, at, person, sitting, ticket, verb, of, join(facts, held), forgotten, seal_text(seq, digest)
        )  # fmt: skip


def _texts(facts: Any, words: Any, salt: bytes | None) -> dict[str, Words]:
    """The texts of a row by their path. Those of format 1 share one salt: each gets one of its own made from it."""
    if facts.get("v") == FORMAT:
        return held_texts(words)
    return {path: Words(text, sha256((salt or b"") + path.encode()).hexdigest()) for path, text in words.items()}
