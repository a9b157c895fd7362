"""The shop's phrasebook: entries kept, looked at, taken back. Each action is one row of the journal."""

import json
from collections.abc import Mapping, Sequence

from sqlite_utils import Database

from ticket.job.book_entry import BookEntry
from ticket.job.codec import Json, decode, encode
from ticket.job.errors import ConflictError, InputError, NotFoundError, StoreError
from ticket.job.text import clean
from ticket.store import driver, state
from ticket.store.canonical import canonical_text
from ticket.store.erasable import Words
from ticket.store.journal import Record
from ticket.store.session import Session

KEEP, LOOK = "book.keep", "book.look"
_PROSE = ("typed", "told", "plural", "told_plural", "past", "origin")
_GIVEN = ("no", "by", "at", "back_by", "back_at", "since", "until")  # by the action, never by its caller
_LARGEST = 2**53


def apply_book_row(entries: dict[int, Json], record: Record) -> list[int]:
    """Do to the stored entries what a row did; the numbers that it touched. The same for an action and for a replay.

    Raises:
        ConflictError: the row does not fit what stands before it.
    """
    if record.verb == KEEP:
        touched = []
        for given in record.body["entries"]:
            no = given["no"]
            if no in entries:
                raise ConflictError(f"the phrasebook has an entry {no} already")
            since = {} if given.get("state") == "waiting" else {"since": record.seq}
            entries[no] = given | {"person": record.person, "at": record.at} | since
            touched.append(no)
        return touched
    no, new = record.body["no"], record.body["new"]
    if no not in entries or entries[no].get("state", "kept") != record.body["old"]:
        raise ConflictError(f"entry {no} of the phrasebook is not what row {record.seq} expects")
    if new == "back":
        held = entries[no] | {"back_person": record.person, "back_at": record.at, "until": record.seq, "state": new}
    else:
        held = {name: value for name, value in entries[no].items() if name != "state"}
        held |= {"person": record.person, "at": record.at, "since": record.seq}
    entries[no] = held
    return [no]


def stored_entries(db: Database) -> dict[int, Json]:
    """The rows of the book by number, taken-back ones too. Raises :class:`StoreError` where one cannot be read."""
    try:
        return {no: json.loads(data) for no, data in db.execute("SELECT no, data FROM phrasebook ORDER BY no")}
    except ValueError as error:
        raise _damaged(error) from error
    except driver.Error as error:
        if "decode to UTF-8" not in str(error):
            raise
        raise _damaged(error) from error


def phrasebook(session: Session) -> tuple[BookEntry, ...]:
    """Every entry there ever was, oldest first."""
    with session.reading() as db:
        return _entries(stored_entries(db), state.people(db))


def keep_phrases(session: Session, entries: Sequence[BookEntry], by: str, *, instead_of: int = 0
) -> tuple[BookEntry, ...]:  # fmt: skip
    """Add entries as one action; one that says what a living entry says already is left out."""
    with session.writing() as db:
        held = stored_entries(db)
        before = _entries(held, state.people(db))
        others = [one for one in before if one.no != instead_of]
        known = {(one.key, one.says) for one in others if one.state != "back"}
        new = list({(one.key, one.says): one for one in entries if (one.key, one.says) not in known}.values())
        _refuse_rivals(new, others)
        if not new:
            return ()
        if instead_of:
            _look(session, db, held, instead_of, "back", by)
        first = max(held, default=0) + 1
        body: Json = {"entries": [_document(one, no) for no, one in enumerate(new, first)]}
        touched = _feed(session, db, held, KEEP, body, by)
        return _entries({no: held[no] for no in touched}, state.people(db))


def look_phrase(session: Session, no: int, new: str, by: str) -> BookEntry:
    """Let an imported entry in (``kept``), or take one back (``back``)."""
    with session.writing() as db:
        held = stored_entries(db)
        before = {one.no: one for one in _entries(held, state.people(db))}
        one = before.get(no)
        if one is None:
            raise NotFoundError(f"the shop's phrasebook has no entry {no}")
        if one.state in ("back", new):
            how = f"taken back by {one.back_by}" if one.state == "back" else f"let in by {one.by}"
            raise ConflictError(f"entry {no} of the phrasebook was {how} already: nothing was changed")
        if new == "kept" and (other := _rival(one, before)):
            raise ConflictError(
                f"entry {other.no} of the phrasebook tells “{one.typed}” as “{other.told}”: take it back first"
            )
        _look(session, db, held, no, new, by)
        return _entries({no: held[no]}, state.people(db))[0]


def _look(session: Session, db: Database, held: dict[int, Json], no: int, new: str, by: str) -> None:
    if no not in held:
        raise NotFoundError(f"the shop's phrasebook has no entry {no}")
    _feed(session, db, held, LOOK, {"no": no, "old": held[no].get("state", "kept"), "new": new}, by)


def _feed(session: Session, db: Database, held: dict[int, Json], verb: str, body: Json, by: str) -> list[int]:
    record = session.append(verb, body, person=session.person(by))
    touched = apply_book_row(held, record)
    for no in touched:
        data = canonical_text(held[no])
        if verb == KEEP:
            db.execute("INSERT INTO phrasebook VALUES(?, ?)", [no, data])
        else:
            db.execute("UPDATE phrasebook SET data = ? WHERE no = ?", [data, no])
    return touched


def _refuse_rivals(new: Sequence[BookEntry], others: Sequence[BookEntry]) -> None:
    living = {one.key: one for one in others if one.state == "kept"}
    for one in new:
        other = living.get(one.key)
        if other is not None and one.state == "kept":
            raise ConflictError(
                f"entry {other.no} of the phrasebook, by {other.by}, tells “{other.typed}” as “{other.told}”, "
                f"yours was “{one.told}”: nothing was kept; take entry {other.no} back first"
            )


def _rival(one: BookEntry, before: Mapping[int, BookEntry]) -> BookEntry | None:
    return next((other for other in before.values() if other.state == "kept" and other.key == one.key), None)


def _document(one: BookEntry, no: int) -> Json:
    """A new entry as the journal and the table hold it; what may be free text is marked."""
    if not 0 <= one.ticket < _LARGEST:
        raise InputError(f"{one.ticket} cannot be the number of a ticket")
    plain: Json = {name: value for name, value in encode(one).items() if name not in _GIVEN}
    words = {name: Words(clean(text)) for name in _PROSE if (text := plain.get(name))}
    return plain | words | {"no": no}


def _entries(held: Mapping[int, Json], names: Mapping[int, str]) -> tuple[BookEntry, ...]:
    try:
        return tuple(_entry(held[no], names) for no in sorted(held))
    except (InputError, KeyError, TypeError, AttributeError) as error:
        raise _damaged(error) from error


def _entry(data: Json, names: Mapping[int, str]) -> BookEntry:
    plain = {name: value for name, value in data.items() if name not in ("person", "back_person")}
    who = {"by": names[data["person"]]} | ({"back_by": names[data["back_person"]]} if "back_person" in data else {})
    return decode(BookEntry, plain | who, "phrasebook")


def _damaged(error: Exception) -> StoreError:
    return StoreError(f"the phrasebook cannot be read ({error}): run ticket audit, and put back a backup")
