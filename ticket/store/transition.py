"""What one journal row does to a ticket. Pure, and the same for a live action and for a replay.

Every change states the old value it expects: all are checked, then all are made.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from ticket.job.codec import Json, free_paths
from ticket.job.errors import ConflictError, SealedError
from ticket.store.erasable import Words, alike
from ticket.store.journal import Record
from ticket.store.state import EntryState, TicketState, Touched
from ticket.store.stored_values import HEADER_FIELDS, HEADER_WORDS, SIDES, get, mark_fact, mark_wording, put

STRUCK = "!"
_OWN = {STRUCK: "struck", "concern": "concern", "shop_only": "shop_only"}  # fields of an entry that are not its fact
CHANGING = ("ticket.set", "edit", "move", "strike", "unstrike", "undo", "redo", "follow", "reword", "unreword")
CORRECTED = "corrected"  # of a row that amends: fields of the header before and after
WORDING = "wording/"  # and a slot: a rewording


@dataclass(frozen=True, slots=True)
class FieldChange:
    """One field, from what to what.

    Attributes:
        f: ``status`` or a header field (``vehicle/vin``) where ``no`` is 0; else a field of the entry's fact,
            ``fact`` for all of it with its kind, ``concern``, ``shop_only``, ``!`` (struck) or ``follow``. A
            rewording is ``wording/3``, with ``no`` 0.
        old: the value expected to be there, as stored; ``None`` where none is given.
        new: the value it gets.
    """

    f: str
    old: Any
    new: Any
    no: int = 0

    @property
    def slot(self) -> int:
        """The slot of the rewording it changes; 0 for any other change."""
        return int(self.f.removeprefix(WORDING)) if self.f.startswith(WORDING) else 0

    @property
    def inverse(self) -> "FieldChange":
        """The change that takes this one back."""
        return FieldChange(self.f, self.new, self.old, self.no)

    def document(self, kind: str) -> Json:
        """The change as the journal writes it; ``kind`` is the entry's, before the change."""
        plain: Json = {"f": self.f} | ({"no": self.no} if self.no else {})
        sides = {"old": self.old, "new": self.new}
        return plain | {name: self._marked(kind, value) for name, value in sides.items() if value is not None}

    def _marked(self, kind: str, value: Any) -> Any:
        if self.f == "fact":
            return value | {"fact": mark_fact(value["kind"], value["fact"])}
        if self.f == "follow":
            return value | ({"note": Words(value["note"])} if "note" in value else {})
        if self.f.startswith(WORDING):
            return mark_wording(value)
        free = self.f in free_paths(kind) if self.no else self.f in HEADER_WORDS
        return Words(value) if free else value


def changes_of(body: Json) -> tuple[FieldChange, ...]:
    """The changes a row holds."""
    return tuple(
        FieldChange(item["f"], item.get("old"), item.get("new"), item.get("no", 0)) for item in body.get("changes", ())
    )


def apply_row(state: TicketState | None, record: Record) -> tuple[TicketState, Touched]:
    """The ticket after a row of its journal; ``state`` is changed in place.

    Raises:
        ConflictError: a value is not what the row expects; nothing was changed.
        SealedError: the ticket is signed.
    """
    touched = Touched()
    body = record.body
    if record.verb in ("ticket.open", "shop.load"):
        state = _opened(record)
        _bear(state, record, touched)
        state.wordings = dict(enumerate(body.get("rewordings", ()), 1))
        touched.reworded.update(state.wordings)
        state.corrections = dict(enumerate(body.get("corrections", ()), 1))
        touched.corrected.update(state.corrections)
        return state, touched
    if state is None or record.ticket is None:
        raise ConflictError(f"row {record.seq} speaks of a ticket that was never opened")
    if record.verb in CHANGING:
        _change(state, changes_of(body), touched)
        rises = touched.followed == set() or bool(touched.changed)
    elif record.verb in ("add", "amend"):
        _grow(state, record, touched)
        rises = True
    elif record.verb == "sign":
        if state.signed:
            raise _sealed(state)
        state.status, state.closed, state.signed_by, state.seal = "signed", record.at, record.person, record.seal
        rises = True
    elif record.verb in ("look", "keep"):
        return state, touched
    elif record.verb == "forget":  # one row per ticket; which words are blank shows in the rows that held them
        for no in body.get("masked", ()):
            (state.entries[no] if no else state).masked += 1
        return state, touched
    else:
        raise ConflictError(f"row {record.seq} holds a verb this program does not know: {record.verb}")
    state.rev += 1 if rises else 0
    state.updated = record.at
    return state, touched


def _grow(state: TicketState, record: Record, touched: Touched) -> None:
    """Add entries to an open ticket; or amend a signed one, with its seal: entries, or what is right in its header."""
    if state.signed != (record.verb == "amend"):
        raise _sealed(state) if state.signed else ConflictError(f"ticket {state.number} is not signed: add to it")
    if record.verb == "amend" and CORRECTED in record.body:
        _correct(state, record, touched)
    _bear(state, record, touched)
    state.seal = record.seal if record.verb == "amend" else state.seal


def _correct(state: TicketState, record: Record, touched: Touched) -> None:
    """Put right what was signed wrong in the header; what stood there is kept beside it."""
    was, now = (record.body[CORRECTED][side] for side in SIDES)
    if not all(alike(get(was, field), get(state.header, field)) for field in _named(was)):
        raise ConflictError(f"ticket {state.number}: its header was corrected meanwhile: nothing was written")
    for field in dict.fromkeys((*_named(was), *_named(now))):
        put(state.header, field, get(now, field))
    no = max(state.corrections, default=0) + 1
    held = {"was": was, "now": now, "person": record.person, "at": record.at, "reason": record.body["reason"]}
    state.corrections[no] = held
    touched.corrected.add(no)


def _named(part: Json) -> list[str]:
    return [field for field in HEADER_FIELDS if get(part, field) is not None]


def _opened(record: Record) -> TicketState:
    body = record.body
    state = TicketState(
        id=record.ticket or 0, number=body["number"], opened=body["opened"], updated=record.at,
        header=body["header"], rev=body.get("rev", 1), status=body.get("status", "open"),
    )  # fmt: skip
    if state.signed:
        state.closed, state.signed_by, state.seal = body["closed"], body["signed_by"], record.seal
        if "fits" in body:  # kept since the tables have a place for it
            state.was_seal, state.was_fits = body["was"], body["fits"]
    state.was_proof = body.get("proof", "")
    return state


def _bear(state: TicketState, record: Record, touched: Touched) -> None:
    for birth in record.body.get("births", ()):
        entry = born(birth, record)
        if entry.no in state.entries:
            raise ConflictError(f"ticket {state.number} has an entry {entry.no} already: nothing was added")
        state.entries[entry.no] = entry
        touched.born.add(entry.no)


def born(birth: Json, record: Record) -> EntryState:
    """The entry a birth makes."""
    amended = record.verb == "amend" or birth.get("amended", False)
    return EntryState(
        no=birth["no"], kind=birth["kind"], person_id=birth.get("person", record.person), at=birth["at"],
        data=birth["fact"], concern=birth.get("concern", ""), shop_only=birth.get("shop_only", False),
        struck=birth.get("struck", False), replaces=birth.get("replaces"),
        amend=record.seq if amended else None, reason=birth.get("reason") or record.body.get("reason") or "",
    )  # fmt: skip


def _change(state: TicketState, changes: Sequence[FieldChange], touched: Touched) -> None:
    if state.signed and any(change.f != "follow" for change in changes):
        raise _sealed(state)
    for change in changes:
        if not alike(change.old, value(state, change)):
            raise ConflictError(f"{name_of(state, change)} was changed meanwhile: nothing was written")
    for change in changes:
        _set(state, change)
        if change.f == "follow":
            touched.followed.add(change.no)
        elif change.slot:
            touched.reworded.add(change.slot)
        elif change.no:
            touched.changed.add(change.no)


def value(state: TicketState, change: FieldChange) -> Any:
    """What stands now where a change points.

    Raises:
        ConflictError: there is no such place.
    """
    if not change.no:
        if change.f == "status":
            return state.status
        if change.slot:
            return state.wordings.get(change.slot)
        if change.f in HEADER_FIELDS:
            return get(state.header, change.f)
        raise ConflictError(f"a ticket has no field {change.f!r}")
    entry = state.entries.get(change.no)
    if entry is None:
        raise ConflictError(f"ticket {state.number} has no entry {change.no}")
    if change.f in _OWN:
        return getattr(entry, _OWN[change.f])
    if change.f == "fact":
        return {"kind": entry.kind, "fact": entry.data}
    return state.follows.get(change.no) if change.f == "follow" else entry.data.get(change.f)


def _set(state: TicketState, change: FieldChange) -> None:
    if not change.no:
        if change.f == "status":
            state.status = change.new
        elif change.slot:
            state.wordings.pop(change.slot, None)
            if change.new is not None:
                state.wordings[change.slot] = change.new
        else:
            put(state.header, change.f, change.new)
        return
    entry = state.entries[change.no]
    if change.f in _OWN:
        setattr(entry, _OWN[change.f], change.new)
    elif change.f == "fact":
        entry.kind, entry.data = change.new["kind"], change.new["fact"]
    elif change.f == "follow":
        state.follows.pop(change.no, None)
        if change.new is not None:
            state.follows[change.no] = change.new
    else:
        entry.data = {name: kept for name, kept in entry.data.items() if name != change.f}
        if change.new is not None:
            entry.data[change.f] = change.new


def name_of(state: TicketState, change: FieldChange) -> str:
    """What a change is about, for a sentence."""
    if change.slot:
        return f"a rewording of ticket {state.number}"
    what = {STRUCK: "its being struck", "fact": "its text", "follow": "its follow-up"}.get(change.f, change.f)
    where = f"entry {change.no} of ticket {state.number}" if change.no else f"ticket {state.number}"
    return f"{where} ({what.replace('/', ' ').replace('_', ' ')})"


def _sealed(state: TicketState) -> SealedError:
    return SealedError(f"ticket {state.number} is signed: amend it instead")
