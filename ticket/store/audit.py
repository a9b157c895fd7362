"""Recomputes the chain of the journal and names the first row that was altered."""

import json
from dataclasses import dataclass, field
from typing import Any

from sqlite_utils import Database

from ticket.store.canonical import GENESIS, promise, row_hash, seal_text
from ticket.store.picture_rows import wrong_pictures
from ticket.store.replay import first_difference
from ticket.store.stored_values import identities


@dataclass(frozen=True, slots=True)
class Audit:
    """What an audit found.

    Attributes:
        ok: nothing was altered, as far as the file itself can tell.
        events: rows of the journal.
        head: the last row in print; compare it with one on paper, since a cut-off end shows nowhere else.
        first_bad: sequence of the first row that is wrong, where one row can be named.
        reason: one sentence, empty when all is well.
    """

    ok: bool
    events: int
    head: str
    first_bad: int | None = None
    reason: str = ""


# Texts as bytes: an invalid UTF-8 byte would otherwise raise instead of being named.
_ROWS = (
    "SELECT seq, CAST(at AS BLOB), person_id, CAST(sitting AS BLOB), ticket_id, CAST(verb AS BLOB), of, "
    "CAST(body AS BLOB), CAST(words AS BLOB), salt, promise, hash FROM journal WHERE seq > 0 ORDER BY seq"
)


@dataclass(slots=True)
class _Pending:
    """What only the end of the journal can settle."""

    blanked: list[int] = field(default_factory=list)
    identities: list[tuple[int, int, str]] = field(default_factory=list)
    forgotten_rows: set[int] = field(default_factory=set)
    forgotten_identities: set[int] = field(default_factory=set)

    def note(self, seq: int, verb: bytes, body: bytes, *, blank: bool) -> None:
        if blank:
            self.blanked.append(seq)
        if verb == b"forget":
            told = json.loads(body)
            self.forgotten_rows.update(told.get("seqs", ()))
            self.forgotten_identities.update(told.get("identities", ()))
        if b'"identity":' in body:
            self.identities += [(seq, i["identity"], i["promise"]) for i in identities(json.loads(body))]


def audit(db: Database, *, deep: bool = False) -> Audit:
    """Check the chain, the promises of words and identities, and pictures; ``deep`` also replays and compares."""
    previous, last, pending = GENESIS, 0, _Pending()
    bad: list[tuple[int, str]] = []
    for row in db.execute(_ROWS):
        if reason := _wrong(row, previous, last + 1):
            bad.append((min(row[0], last + 1), reason))
            break
        last, previous = row[0], row[-1]
        pending.note(last, row[5], row[7], blank=row[10] is not None and row[8] is None)
    bad += [
        (seq, f"the words of row {seq} are gone, and no later row says why")
        for seq in pending.blanked
        if seq not in pending.forgotten_rows
    ]
    bad += _broken_identities(db, pending)
    if not bad and (stray := db.execute("SELECT min(seq) FROM journal WHERE seq < 1").fetchone()[0]) is not None:
        bad.append((last + 1, f"row {last + 1} is missing, and a row {stray} stands before the first"))
    head = seal_text(last, previous) if last else ""
    if bad:
        return Audit(False, last, head, *min(bad))
    at, reason = first_difference(db) if deep else (None, "")
    reason = reason or next(wrong_pictures(db), "")
    return Audit(not reason, last, head, at, reason)


def _wrong(row: tuple[Any, ...], previous: bytes, expected: int) -> str:
    seq, at, person, sitting, ticket, verb, of, body, words, salt, kept, digest = row
    if seq != expected:
        return f"row {expected} is missing"
    if row_hash(previous, seq, at, person, sitting, ticket, verb, of, body, kept) != digest:
        return f"row {seq} was altered: its hash does not fit"
    if (words is None) != (salt is None) or (kept is None and words is not None):
        return f"row {seq} was altered: its words and their promise do not belong together"
    if kept is not None and words is not None and promise(salt, words) != kept:
        return f"row {seq} was altered: its words are not those that were promised"
    return ""


def _broken_identities(db: Database, pending: _Pending) -> list[tuple[int, str]]:
    rows = db.execute("SELECT id, salt, CAST(value AS BLOB), promise FROM identity").fetchall()
    held = {number: (salt, value, kept) for number, salt, value, kept in rows}
    return [
        (seq, f"the customer's data behind row {seq} were altered")
        for seq, number, kept in pending.identities
        if not _identity_holds(held.get(number), kept, forgotten=number in pending.forgotten_identities)
    ]


def _identity_holds(row: tuple[bytes | None, bytes | None, str] | None, kept: str, *, forgotten: bool) -> bool:
    if row is None or row[2] != kept:
        return False
    salt, value, _ = row
    if salt is None or value is None:
        return forgotten
    return promise(salt, value).hex() == kept
