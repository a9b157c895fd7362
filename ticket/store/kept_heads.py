"""A record, a head or a copy that was kept elsewhere, held against this journal."""

import json
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from sqlite_utils import Database

from ticket.job.codec import Json
from ticket.job.errors import StoreError
from ticket.job.regex import Regex
from ticket.store import signed_heads
from ticket.store.driver import plain_errors
from ticket.store.proof.read_only import opened_to_read
from ticket.store.signed_heads import Head

Journal = Database
"""An open file that is only read."""

RECORD = Regex(r"(?<![\w-])(\d{1,12})-([0-9a-f]{64}|[0-9a-f]{32}|[0-9a-f]{16})(?!\w)")
"""A row in print: its sequence, and the first 16, 32 or all 64 digits of its hash."""

_SHORT = 16
_SLIPS = 2  # digits that may be mistyped: two rows as alike by chance, or on purpose, are out of anybody's reach


@contextmanager
def opened_journal(path: Path) -> Iterator[Journal]:
    """A shop's file, so that nothing of it changes. Raises :class:`~ticket.job.errors.StoreError`."""
    with plain_errors(path), opened_to_read(path) as connection:
        yield Database(connection, execute_plugins=False)


def file_name(path: Path) -> str:
    """The random name a shop's file bears; empty where it cannot say it."""
    try:
        with opened_journal(path) as db:
            return signed_heads.uid(db)
    except StoreError:
        return ""


def named_witnesses(path: Path) -> tuple[str, ...]:
    """The files elsewhere that a shop tells its signed rows to, as far as its file can still say so."""
    try:
        with opened_journal(path) as db:
            row = db.execute("SELECT value FROM shop WHERE key = 'witness'").fetchone()
            named = json.loads(row[0]) if row else []
    except (StoreError, ValueError, TypeError):
        return ()  # the audit itself says what of the file cannot be read
    return tuple(one for one in named if isinstance(one, str)) if isinstance(named, list) else ()


@dataclass(frozen=True, slots=True)
class Verdict:
    """What came of one thing that was kept elsewhere.

    Attributes:
        ok: this journal still says what it said then.
        says: one sentence.
        row: of the journal, where it is there and fits.
    """

    ok: bool
    says: str
    row: int | None = None


def record_verdict(db: Database, seq: int, digits: str, at: str = "", *, ours: bool = False) -> Verdict:
    """Whether a row is still the one a record was printed of.

    Args:
        db: the database.
        seq: of the row.
        digits: of its hash, as printed.
        at: when it was written, where the record says so.
        ours: it is known to be of this shop; a record alone, as printed, does not say whose it is.
    """
    head, newest = signed_heads.head_of(db, seq), signed_heads.head_of(db)
    day = f" of {_day(at)}" if at else ""
    lost = _lost(db, seq)
    if head is None:
        end = newest.seq if newest else 0
        return Verdict(False, lost or _missing(db, seq, digits, day, end, own=bool(at) or ours))
    if not head.hash.startswith(digits):
        return Verdict(False, lost or _another(db, head, digits, day, own=bool(at) or ours))
    short = ""
    if len(digits) == _SHORT:
        short = " It is a short record: it shows later changes, not a pair prepared beforehand."
    return Verdict(True, f"Record {seq}-{digits[:32]} is row {seq}{_told(db, seq)}.{short}", seq)


def _another(db: Database, row: Head, digits: str, day: str, *, own: bool) -> str:
    """Why a row is not the one a record names: mistyped, of another shop, or of a journal written anew since."""
    wrong = sum(one != other for one, other in zip(row.hash, digits, strict=False))
    if wrong <= _SLIPS:
        slips = "one digit of the record was" if wrong == 1 else f"{wrong} digits of the record were"
        return f"Row {row.seq} is {row.seq}-{row.hash[: len(digits)]}: {slips} mistyped."
    if mistyped := _of_another_row(db, row.seq, digits):
        return mistyped
    if own:
        return f"Row {row.seq}{day} is another than the one signed then: the journal was written anew from some row on."
    return (
        f"Row {row.seq} is another here than this record names: it is of another shop, or this journal was written anew"
        f" from some row on. {_WHOSE}"
    )


_WHOSE = "A head, a ticket document, a page of HTML or a PDF says of which shop it is."


def _missing(db: Database, seq: int, digits: str, day: str, end: int, *, own: bool) -> str:
    """Why a row is not there: mistyped, of another shop, or of an end that was cut off."""
    if mistyped := _of_another_row(db, seq, digits):
        return mistyped
    if own:
        gone = f"Row {seq}{day} is missing: the journal ends at row {end}."
        return f"{gone} Its end was cut off, or an older copy was put back."
    return (
        f"Row {seq} is not here, where the journal ends at row {end}: this record is of another shop, its number was"
        f" mistyped, or the end was cut off or an older copy put back. {_WHOSE}"
    )


def _of_another_row(db: Database, seq: int, digits: str) -> str:
    """That digits are those of another row than the one named; empty where they are of none."""
    there = db.execute(
        "SELECT seq FROM journal WHERE substr(lower(hex(hash)), 1, ?) = ?", [len(digits), digits]
    ).fetchone()
    return f"These digits are those of row {there[0]}, not of row {seq}: its number was mistyped." if there else ""


def foreign_verdict(db: Database, shop: str, what: str) -> Verdict | None:
    """The verdict on something that says it is of another shop; ``None`` for one of this shop, or that does not say."""
    own = signed_heads.uid(db)
    if shop in ("", own):
        return None
    return Verdict(False, f"This {what} is of shop {shop[:8]}…, not of this one ({own[:8]}…).")


def head_verdict(db: Database, head: Head) -> Verdict:
    """Whether a kept head is of this journal, and was signed by it where it is signed."""
    if (foreign := foreign_verdict(db, head.shop, "head")) is not None:
        return foreign
    found = record_verdict(db, head.seq, head.hash, head.at, ours=True)
    if not found.ok or not head.key:
        return found
    public = signed_heads.public_keys(db).get(head.key)
    if public is None or not signed_heads.fits(head, public["public"]):
        return Verdict(False, f"Head {head.seq} was not signed by a key of this shop.")
    return Verdict(True, f"{found.says} It was signed with key {signed_heads.shown(head.key)}.", found.row)


def all_verdicts(db: Database, heads: Iterable[Head]) -> list[Verdict]:
    """The verdicts on many heads; where some fit no more, the last that fits is named."""
    found = [head_verdict(db, head) for head in sorted(heads, key=lambda one: one.seq)]
    bad = [one for one in found if not one.ok]
    good = [one.row for one in found if one.row is not None]
    if not bad:
        fit = f"{len(found):,} heads fit, the last of" if len(found) > 1 else "1 head fits, of"
        return [Verdict(True, f"{fit} row {good[-1]}.", good[-1])] if found else []
    last = f" The last kept head that fits is of row {good[-1]}." if good else " No kept head fits."
    return [Verdict(False, one.says + last) for one in bad]


def keys_verdicts(db: Database, kept: Json) -> list[Verdict]:
    """Whether the public keys an auditor kept are still the shop's, and which came since.

    Args:
        db: the database.
        kept: the keys as ``ticket head --keys`` writes them out.
    """
    if (foreign := foreign_verdict(db, str(kept.get("shop", "")), "list of keys")) is not None:
        return [foreign]
    now = signed_heads.public_keys(db)
    held = {str(one.get("id")): one for one in kept["keys"] if isinstance(one, dict)}
    found = [
        Verdict(False, f"Key {signed_heads.shown(key)}, which was kept, is not the one of this journal.")
        for key, one in held.items()
        if key not in now or any(now[key].get(name) != one.get(name) for name in ("public", "row", "login"))
    ]
    fit = f"{len(held):,} kept {'key is' if len(held) == 1 else 'keys are'} in this journal as kept."
    found = found or [Verdict(True, fit)]
    return found + [
        Verdict(True, f"Key {signed_heads.shown(key)} came since, in row {one['row']}: ask who made it, and keep it.")
        for key, one in now.items()
        if key not in held
    ]


def copy_verdict(db: Database, copy: Database) -> Verdict:
    """Whether a copy of the file is an earlier state of it: its last row must be a row here."""
    head = signed_heads.head_of(copy)
    if head is None:
        return Verdict(False, "The copy holds no row.")
    found = head_verdict(db, head)
    return Verdict(found.ok, f"The copy ends at row {head.seq}. {found.says}", found.row)


def _told(db: Database, seq: int) -> str:
    """What a row did, by whom and when."""
    row = db.execute(
        "SELECT j.verb, t.number, j.at, p.name, json_extract(j.body, '$.by'), json_extract(j.body, '$.who'),"
        " j.ticket_id FROM journal AS j LEFT JOIN ticket AS t ON t.id = j.ticket_id"
        " LEFT JOIN person AS p ON p.id = j.person_id WHERE j.seq = ?",
        [seq],
    ).fetchone()
    verb, number, at, name, by, who, ticket = row
    did = {"sign": "signed", "amend": "amended", "shop.load": "loaded", "shop.day": "begun"}.get(verb, "written")
    subject = f": ticket {number}, " if number is not None else ": "
    checked = ", PIN asked" if who == "pin" else ""
    later = db.execute(
        "SELECT min(seq) FROM journal WHERE ticket_id = ? AND verb = 'amend' AND seq > ?", [ticket, seq]
    ).fetchone()[0]  # fmt: skip
    since = f". It was amended since, in row {later}; the paper is right for row {seq}" if later else ""
    return f"{subject}{did} by {by or name or 'the program'} on {_day(at)}{checked}{since}"


def _lost(db: Database, seq: int) -> str:
    found = signed_heads.lost_in_restore(db, seq)
    if found is None:
        return ""
    at, first, last = found
    return f"Row {seq} lies in what the restore of {_day(at)} lost (rows {first + 1}-{last})."


def _day(at: str) -> str:
    try:
        moment = datetime.fromisoformat(at).astimezone()
    except ValueError:
        return at
    return f"{moment:%B} {moment.day}, {moment.year}, {moment:%H:%M}"
