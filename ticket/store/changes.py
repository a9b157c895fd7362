"""Facts changed, struck, moved, followed up; undo and redo."""

from collections.abc import Sequence
from datetime import date, datetime
from typing import Any

from ticket.job.codec import Json, encode, encode_fact, private_paths
from ticket.job.entry import Entry
from ticket.job.errors import ConflictError, InputError, NotFoundError, SealedError
from ticket.job.field_specs import specs
from ticket.job.follow import FOLLOWING
from ticket.job.kinds import KINDS, Fact
from ticket.job.picture import Picture
from ticket.job.progress import counted
from ticket.job.roles import ROLES
from ticket.job.text import clean
from ticket.job.ticket import STATUSES, Header, Person
from ticket.store import journal, kept_jobs, picture_rows, state, stored_values, undo
from ticket.store.additions import as_concern
from ticket.store.event_words import in_words
from ticket.store.index_rows import JOB_SETTING
from ticket.store.session import Session
from ticket.store.setting_then import Then
from ticket.store.state import EntryState, TicketState
from ticket.store.transition import STRUCK, FieldChange

_KEPT_KEYS = ("uid", "canon", "schema")  # name the file, not the shop's taste


def set_header(session: Session, number: int, new: Header, by: str, *, expected_rev: int | None = None) -> None:
    """Change the header; the journal holds each changed field with what it was."""
    new = stored_values.tidy_header(new)
    with session.writing() as db:
        before = _unsigned(session, state.load(db, number))
        if expected_rev not in (None, before.rev):
            raise ConflictError(f"ticket {number} changed while you read it: nothing was written; look again")
        old_values, new_values = encode(session.assembled(before).header), encode(new)
        changes = []
        for field in stored_values.HEADER_FIELDS:
            value = stored_values.get(new_values, field)
            if value == stored_values.get(old_values, field):
                continue
            if value is not None and stored_values.is_private(field):
                value = session.identify(field.replace("/", "."), value)
            changes.append(FieldChange(field, stored_values.get(before.header, field), value))
        _make(session, before, "ticket.set", changes, by)


def set_status(session: Session, number: int, status: str, by: str) -> None:
    """Say where the ticket stands; signing is :meth:`~ticket.store.store.Store.sign`."""
    if status not in STATUSES or status == "signed":
        raise InputError(f"{status!r} is no status to set: one of {', '.join(STATUSES[:-1])}")
    with session.writing() as db:
        before = _unsigned(session, state.load(db, number))
        _make(session, before, "ticket.set", [FieldChange("status", before.status, status)], by)


def edit(
    session: Session,
    number: int,
    no: int,
    new: Fact,
    by: str,
    *,
    expected: Fact | None = None,
    held: Sequence[Picture] = (),
) -> Entry:
    """Change an entry; only changed fields are written, so two people can change different ones."""
    new = stored_values.tidy(new)
    with session.writing() as db:
        before = _unsigned(session, state.load(db, number))
        picture_rows.keep(db, held)
        picture_rows.check(db, [new])
        entry = _standing(session, before, no)
        current = next(item.fact for item in session.assembled(before).entries if item.no == no)
        base = stored_values.tidy(expected) if expected else current
        if type(new) is type(base) is type(current):
            changes = _field_changes(session, before, entry, base, new, current)
        elif current != base:
            raise ConflictError(_changed_since(session, before, no))
        else:
            old = {"kind": entry.kind, "fact": entry.data}
            whole = {"kind": new.kind, "fact": stored_values.store_fact(new, session.identify)}
            changes = [FieldChange("fact", old, whole, no)]
        _make(session, before, "edit", changes, by)
        return next(item for item in session.assembled(before).entries if item.no == no)


def _field_changes(
    session: Session, before: TicketState, entry: EntryState, base: Fact, new: Fact, current: Fact
) -> list[FieldChange]:
    was, wanted, now = encode_fact(base), encode_fact(new), encode_fact(current)
    changes = []
    for name in sorted(was.keys() | wanted.keys()):
        value: Any = wanted.get(name)
        if value in (was.get(name), now.get(name)):
            continue
        if now.get(name) != was.get(name):
            raise ConflictError(_changed_since(session, before, entry.no, name))
        if value and name in private_paths(entry.kind):
            value = session.identify(f"{entry.kind}.{name}", value)
        changes.append(FieldChange(name, entry.data.get(name), value, entry.no))
    return changes


def move(session: Session, number: int, no: int, concern: str, by: str) -> None:
    """Put an entry under another concern; it keeps its number."""
    _set(session, number, no, by, verb="move", field="concern", value=as_concern(concern))


def mark_shop_only(session: Session, number: int, no: int, by: str, *, shop_only: bool = True) -> None:
    """Keep an entry from the customer's copy, or let it on again."""
    _set(session, number, no, by, verb="edit", field="shop_only", value=shop_only)


def strike(session: Session, number: int, no: int, by: str) -> None:
    """Take an entry back; it stays, shown struck. Raises :class:`ConflictError` where it is struck already."""
    _set(session, number, no, by, verb="strike", field=STRUCK, value=True)


def unstrike(session: Session, number: int, no: int, by: str) -> None:
    """Let a struck entry stand again."""
    _set(session, number, no, by, verb="unstrike", field=STRUCK, value=False)


def _set(session: Session, number: int, no: int, by: str, *, verb: str, field: str, value: Any) -> None:
    with session.writing() as db:
        before = _unsigned(session, state.load(db, number))
        entry = _entry(before, no) if verb == "unstrike" else _standing(session, before, no)
        old = {STRUCK: entry.struck, "concern": entry.concern, "shop_only": entry.shop_only}[field]
        if verb == "unstrike" and not entry.struck:
            raise ConflictError(f"entry {no} of ticket {number} is not struck")
        _make(session, before, verb, [FieldChange(field, old, value, no)], by)


def follow(session: Session, number: int, no: int, what: str, by: str, *, note: str = "", date: str = "") -> None:
    """Record what became of deferred work: ``call``, ``new date``, ``done`` or ``declined``. Allowed after signing."""
    if what not in FOLLOWING:
        raise InputError(f"{what!r} is no follow-up: one of {', '.join(FOLLOWING)}")
    date = _day(date, needed=what == "new date")
    with session.writing() as db:
        before = state.load(db, number)
        entry = _standing(session, before, no)
        if entry.kind != "later":
            raise ConflictError(f"entry {no} of ticket {number} is no deferred work")
        new: Json = {"what": what, "at": session.moment(), "person": session.person(by)}
        new |= {name: text for name, text in (("date", date), ("note", clean(note))) if text}
        _make(session, before, "follow", [FieldChange("follow", before.follows.get(no), new, no)], by)


def back_and_forth(session: Session, number: int, by: str, verb: str) -> str:
    """Take back the newest action of the sitting on a ticket (``undo``), or do it again (``redo``)."""
    with session.writing() as db:
        before = state.load(db, number)
        found = undo.undo_stack(db, before.id, session.sitting)
        rows = found.done if verb == "undo" else found.undone
        if not rows:
            why = "it was signed since" if found.signed else "nothing of this sitting is left"
            raise ConflictError(
                f"ticket {number}: nothing to {verb}, {why if verb == 'undo' else 'nothing was undone'}"
            )
        action = next(journal.read(db, "seq = ?", [rows[-1]]))
        if action.forgotten:
            raise ConflictError(f"ticket {number}: the words of that deed were blanked, it cannot be taken back")
        changed = undo.moved_on(before, action)
        if changed is not None:
            raise ConflictError(_changed_since(session, before, *changed))
        changes = undo.inverse(action)
        if verb == "undo" and (resting := undo.rests_on(db, before, changes)):
            raise ConflictError(f"ticket {number}: {resting}: nothing was undone")
        _make(session, before, verb, list(changes), by, of=action.seq)
        return in_words(undo.original(db, action))


def set_shop(session: Session, key: str, value: str, by: str) -> None:
    """Change a setting of the shop."""
    key, value = clean(key), clean(value)
    if not key or key in _KEPT_KEYS:
        raise InputError(f"{key!r} is no setting")
    with session.writing() as db:
        row = db.execute("SELECT value FROM shop WHERE key = ?", [key]).fetchone()
        if row and row[0] == value:
            return
        put_setting(session, key, value, row[0] if row else None, by)
        if key == JOB_SETTING:  # a signed ticket keeps the list it was signed under, where one stood then
            then = Then.read(db, key)
            found = db.execute("SELECT number, id, status = 'signed' FROM ticket").fetchall()
            rows = [number for number, ticket, signed in found if not (signed and then.stood(ticket))]
            moving = (state.load(db, number) for number in counted(rows, "price", len(rows)))
            kept_jobs.reprice(db, ((one.id, session.assembled(one)) for one in moving), session.of_job)


def put_setting(session: Session, key: str, value: str, old: str | None, by: str) -> None:
    """Within an action: a value beside the tickets, with its row of the journal."""
    body: Json = {"key": key, "new": value} | ({} if old is None else {"old": old})
    session.append("shop.set", body, person=session.person(by))
    session.db.execute("DELETE FROM shop WHERE key = ?", [key])
    session.db.execute("INSERT INTO shop VALUES(?, ?)", [key, value])


def add_person(session: Session, person: Person, by: str) -> None:
    """Add somebody of the shop, or change their role."""
    if person.role not in ROLES:
        raise InputError(f"{person.role!r} is no role: one of {', '.join(ROLES)}")
    with session.writing():
        session.person(by)
        session.person(person.name, person.role)


def _make(
    session: Session, before: TicketState, verb: str, changes: list[FieldChange], by: str, *, of: int | None = None
) -> None:
    """Write the changes that change anything; no row where none does. ``before`` becomes what is after."""
    changes = [change for change in changes if change.old != change.new]
    if changes:
        body = {"changes": [change.document(_kind(before, change)) for change in changes]}
        session.act(before, verb, body, by, of=of)


def _unsigned(session: Session, before: TicketState) -> TicketState:
    if before.signed:
        raise SealedError(f"ticket {before.number} is signed: amend it instead")
    return before


def _standing(session: Session, before: TicketState, no: int) -> EntryState:
    entry = _entry(before, no)
    if entry.struck:
        raise ConflictError(f"entry {no} of ticket {before.number} is struck")
    return entry


def _changed_since(session: Session, before: TicketState, no: int, field: str = "") -> str:
    record = undo.last_touch(session.db, before.id, no, field)
    what = "that sentence" if field else "the header"
    if no:
        what = f"entry {no}" + (f" ({_title(before.entries[no].kind, field)})" if field else "")
    if record is None:
        return f"ticket {before.number}: {what} has changed since: nothing was written"
    who = state.people(session.db).get(record.person, "somebody")
    when = f"{datetime.fromisoformat(record.at).astimezone():%H:%M}"
    return f"ticket {before.number}: {what} was changed by {who} at {when}: nothing was written"


def _entry(before: TicketState, no: int) -> EntryState:
    entry = before.entries.get(no)
    if entry is None:
        raise NotFoundError(f"ticket {before.number} has no entry {no}")
    return entry


def _kind(before: TicketState, change: FieldChange) -> str:
    return before.entries[change.no].kind if change.no else ""


def _title(kind: str, field: str) -> str:
    """What forms call a field."""
    return next((spec.title for spec in specs(KINDS[kind]) if spec.name == field), field)


def _day(text: str, *, needed: bool) -> str:
    if not text and not needed:
        return ""
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError:
        raise InputError(f"{text!r} is no date: write it as 2026-03-02") from None
