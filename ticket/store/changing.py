"""Facts changed, struck, moved, followed up; undo and redo."""

from collections.abc import Sequence
from datetime import date, datetime
from typing import Any

from ticket.job.codec import Json, encode, encode_fact, private_paths
from ticket.job.entry import Entry
from ticket.job.errors import ConflictError, InputError, NotFoundError, SealedError
from ticket.job.fields import specs
from ticket.job.follow import FOLLOWING
from ticket.job.kinds import KINDS, Fact
from ticket.job.picture import Picture
from ticket.job.text import clean
from ticket.job.ticket import ROLES, STATUSES, Header, Person
from ticket.store import journal, pictures, state, stored, undo
from ticket.store.adding import as_concern
from ticket.store.describe import told
from ticket.store.session import Session
from ticket.store.state import EntryState, TicketState
from ticket.store.step import STRUCK, Change

_KEPT_KEYS = ("uid", "canon", "schema")  # name the file, not the shop's taste


class Changing(Session):
    """The verbs that change what stands on a ticket."""

    def set_header(self, number: int, new: Header, by: str, *, expected_rev: int | None = None) -> None:
        """Change the header; the journal holds each changed field with what it was.

        Raises:
            ConflictError: ``expected_rev`` is given and the ticket has changed since.
        """
        new = stored.tidy_header(new)
        with self._writing() as db:
            before = self._unsigned(state.load(db, number))
            if expected_rev not in (None, before.rev):
                raise ConflictError(f"ticket {number} changed while you read it: nothing was written; look again")
            old_values, new_values = encode(self._assembled(before).header), encode(new)
            changes = []
            for field in stored.HEADER_FIELDS:
                value = stored.get(new_values, field)
                if value == stored.get(old_values, field):
                    continue
                if value is not None and stored.is_private(field):
                    value = self._identify(field.replace("/", "."), value)
                changes.append(Change(field, stored.get(before.header, field), value))
            self._make(before, "ticket.set", changes, by)

    def set_status(self, number: int, status: str, by: str) -> None:
        """Say where the ticket stands; signing is :meth:`~ticket.store.store.Store.sign`."""
        if status not in STATUSES or status == "signed":
            raise InputError(f"{status!r} is no status to set: one of {', '.join(STATUSES[:-1])}")
        with self._writing() as db:
            before = self._unsigned(state.load(db, number))
            self._make(before, "ticket.set", [Change("status", before.status, status)], by)

    def edit(
        self, number: int, no: int, new: Fact, by: str, *, expected: Fact | None = None, held: Sequence[Picture] = ()
    ) -> Entry:  # fmt: skip
        """Change an entry; only changed fields are written, so two people can change different ones.

        Args:
            number: the ticket.
            no: the entry.
            new: the fact as it should be; of another kind, the whole fact is replaced.
            by: who changes it.
            expected: the fact the change was made from, where another terminal may have changed it since.
            held: the pictures it names, as far as they are not here already.

        Raises:
            ConflictError: somebody changed the same field since, or the entry is struck.
        """
        new = stored.tidy(new)
        with self._writing() as db:
            before = self._unsigned(state.load(db, number))
            pictures.keep(db, held)
            pictures.check(db, [new])
            entry = self._standing(before, no)
            current = next(item.fact for item in self._assembled(before).entries if item.no == no)
            base = stored.tidy(expected) if expected else current
            if type(new) is type(base) is type(current):
                changes = self._field_changes(before, entry, base, new, current)
            elif current != base:
                raise ConflictError(self._changed_since(before, no))
            else:
                old = {"kind": entry.kind, "fact": entry.data}
                whole = {"kind": new.kind, "fact": stored.store_fact(new, self._identify)}
                changes = [Change("fact", old, whole, no)]
            self._make(before, "edit", changes, by)
            return next(item for item in self._assembled(before).entries if item.no == no)

    def _field_changes(
        self, before: TicketState, entry: EntryState, base: Fact, new: Fact, current: Fact
    ) -> list[Change]:  # fmt: skip
        was, wanted, now = encode_fact(base), encode_fact(new), encode_fact(current)
        changes = []
        for name in sorted(was.keys() | wanted.keys()):
            value: Any = wanted.get(name)
            if value in (was.get(name), now.get(name)):
                continue
            if now.get(name) != was.get(name):
                raise ConflictError(self._changed_since(before, entry.no, name))
            if value and name in private_paths(entry.kind):
                value = self._identify(f"{entry.kind}.{name}", value)
            changes.append(Change(name, entry.data.get(name), value, entry.no))
        return changes

    def move(self, number: int, no: int, concern: str, by: str) -> None:
        """Put an entry under another concern; it keeps its number."""
        self._set(number, no, by, verb="move", field="concern", value=as_concern(concern))

    def mark_shop_only(self, number: int, no: int, by: str, *, shop_only: bool = True) -> None:
        """Keep an entry from the customer's copy, or let it on again."""
        self._set(number, no, by, verb="edit", field="shop_only", value=shop_only)

    def strike(self, number: int, no: int, by: str) -> None:
        """Take an entry back; it stays, shown struck. Raises :class:`ConflictError` where it is struck already."""
        self._set(number, no, by, verb="strike", field=STRUCK, value=True)

    def unstrike(self, number: int, no: int, by: str) -> None:
        """Let a struck entry stand again."""
        self._set(number, no, by, verb="unstrike", field=STRUCK, value=False)

    def _set(self, number: int, no: int, by: str, *, verb: str, field: str, value: Any) -> None:
        with self._writing() as db:
            before = self._unsigned(state.load(db, number))
            entry = _entry(before, no) if verb == "unstrike" else self._standing(before, no)
            old = {STRUCK: entry.struck, "concern": entry.concern, "shop_only": entry.shop_only}[field]
            if verb == "unstrike" and not entry.struck:
                raise ConflictError(f"entry {no} of ticket {number} is not struck")
            self._make(before, verb, [Change(field, old, value, no)], by)

    def follow(self, number: int, no: int, what: str, by: str, *, note: str = "", date: str = "") -> None:
        """Record what became of deferred work: ``call``, ``new date``, ``done`` or ``declined``. Allowed after signing.

        Raises:
            InputError: another word, or a new date that is no date.
            ConflictError: the entry is not living deferred work.
        """
        if what not in FOLLOWING:
            raise InputError(f"{what!r} is no follow-up: one of {', '.join(FOLLOWING)}")
        date = _day(date, needed=what == "new date")
        with self._writing() as db:
            before = state.load(db, number)
            entry = self._standing(before, no)
            if entry.kind != "later":
                raise ConflictError(f"entry {no} of ticket {number} is no deferred work")
            new: Json = {"what": what, "at": self._moment(), "person": self._person(by)}
            new |= {name: text for name, text in (("date", date), ("note", clean(note))) if text}
            self._make(before, "follow", [Change("follow", before.follows.get(no), new, no)], by)

    def undo(self, number: int, by: str) -> str:
        """Take back the newest deed of this sitting on this ticket.

        Returns:
            What was taken back, in words.

        Raises:
            ConflictError: there is none, something changed since, or a living entry rests on what would vanish.
        """
        return self._back_and_forth(number, by, "undo")

    def redo(self, number: int, by: str) -> str:
        """Do again what was taken back last; open until the sitting's next deed on this ticket."""
        return self._back_and_forth(number, by, "redo")

    def _back_and_forth(self, number: int, by: str, verb: str) -> str:
        with self._writing() as db:
            before = state.load(db, number)
            found = undo.deeds(db, before.id, self.sitting)
            rows = found.done if verb == "undo" else found.undone
            if not rows:
                why = "it was signed since" if found.signed else "nothing of this sitting is left"
                raise ConflictError(
                    f"ticket {number}: nothing to {verb}, {why if verb == 'undo' else 'nothing was undone'}"
                )
            deed = next(journal.read(db, "seq = ?", [rows[-1]]))
            if deed.forgotten:
                raise ConflictError(f"ticket {number}: the words of that deed were blanked, it cannot be taken back")
            changed = undo.moved_on(before, deed)
            if changed is not None:
                raise ConflictError(self._changed_since(before, *changed))
            changes = undo.inverse(deed)
            if verb == "undo" and (resting := undo.rests_on(db, before, changes)):
                raise ConflictError(f"ticket {number}: {resting}: nothing was undone")
            self._make(before, verb, list(changes), by, of=deed.seq)
            return told(undo.original(db, deed))

    def set_shop(self, key: str, value: str, by: str) -> None:
        """Change a setting of the shop."""
        key, value = clean(key), clean(value)
        if not key or key in _KEPT_KEYS:
            raise InputError(f"{key!r} is no setting")
        with self._writing() as db:
            row = db.execute("SELECT value FROM shop WHERE key = ?", [key]).fetchone()
            if row and row[0] == value:
                return
            body: Json = {"key": key, "new": value} | ({"old": row[0]} if row else {})
            self._append("shop.set", body, person=self._person(by))
            db.execute("DELETE FROM shop WHERE key = ?", [key])
            db.execute("INSERT INTO shop VALUES(?, ?)", [key, value])

    def add_person(self, person: Person, by: str) -> None:
        """Add somebody of the shop, or change their role."""
        if person.role not in ROLES:
            raise InputError(f"{person.role!r} is no role: one of {', '.join(ROLES)}")
        with self._writing():
            self._person(by)
            self._person(person.name, person.role)

    def _make(self, before: TicketState, verb: str, changes: list[Change], by: str, *, of: int | None = None) -> None:
        """Write the changes that change anything; no row where none does. ``before`` becomes what is after."""
        changes = [change for change in changes if change.old != change.new]
        if changes:
            body = {"changes": [change.document(_kind(before, change)) for change in changes]}
            self._act(before, verb, body, by, of=of)

    def _unsigned(self, before: TicketState) -> TicketState:
        if before.signed:
            raise SealedError(f"ticket {before.number} is signed: amend it instead")
        return before

    def _standing(self, before: TicketState, no: int) -> EntryState:
        entry = _entry(before, no)
        if entry.struck:
            raise ConflictError(f"entry {no} of ticket {before.number} is struck")
        return entry

    def _changed_since(self, before: TicketState, no: int, field: str = "") -> str:
        record = undo.last_touch(self._db, before.id, no, field)
        what = "that sentence" if field else "the header"
        if no:
            what = f"entry {no}" + (f" ({_title(before.entries[no].kind, field)})" if field else "")
        if record is None:
            return f"ticket {before.number}: {what} has changed since: nothing was written"
        who = state.people(self._db).get(record.person, "somebody")
        when = f"{datetime.fromisoformat(record.at).astimezone():%H:%M}"
        return f"ticket {before.number}: {what} was changed by {who} at {when}: nothing was written"


def _entry(before: TicketState, no: int) -> EntryState:
    entry = before.entries.get(no)
    if entry is None:
        raise NotFoundError(f"ticket {before.number} has no entry {no}")
    return entry


def _kind(before: TicketState, change: Change) -> str:
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
