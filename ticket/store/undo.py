"""Undo and redo: which action is meant, and what takes it back. Per sitting and ticket, never across a signature."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from sqlite_utils import Database

from ticket.store.erasable import alike
from ticket.store.journal import Record, read
from ticket.store.state import TicketState
from ticket.store.transition import CHANGING, STRUCK, WORDING, FieldChange, born, changes_of, value

_BARRIERS = ("sign", "amend", "ticket.open", "shop.load")


@dataclass(slots=True)
class UndoStack:
    """Rows of one sitting on one ticket: actions that can be undone, and undos that can be redone, newest last."""

    done: list[int] = field(default_factory=list)
    undone: list[int] = field(default_factory=list)
    signed: bool = False


def undo_stack(db: Database, ticket: int, sitting: str) -> UndoStack:
    """What this sitting could undo or redo."""
    rows = db.execute(
        "SELECT seq, verb, of FROM journal WHERE ticket_id = ? AND (sitting = ? OR verb IN ('sign', 'amend')) "
        "ORDER BY seq",
        [ticket, sitting],
    ).fetchall()
    found = UndoStack()
    for seq, verb, _ in rows:
        if verb in _BARRIERS:
            found = UndoStack(signed=found.signed or verb in ("sign", "amend"))
        elif verb == "undo":
            found.done.pop()
            found.undone.append(seq)
        elif verb == "redo":
            found.undone.pop()
            found.done.append(seq)
        elif verb in ("add", *CHANGING):
            found.done.append(seq)
            found.undone.clear()
    return found


def original(db: Database, record: Record) -> Record:
    """The action behind any number of undos and redos of it."""
    while record.verb in ("undo", "redo"):
        record = next(read(db, "seq = ?", [record.of]))
    return record


def inverse(record: Record) -> tuple[FieldChange, ...]:
    """The changes that take a row back: births are struck, changes swapped."""
    births = [FieldChange(STRUCK, False, True, birth["no"]) for birth in record.body.get("births", ())]
    return (*births, *(change.inverse for change in reversed(changes_of(record.body))))


def moved_on(state: TicketState, record: Record) -> tuple[int, str] | None:
    """What is no longer as the row left it; ``None`` if all is.

    The number of an entry (0: the ticket itself), and the field where that is a rewording.
    """
    for birth in record.body.get("births", ()):
        if state.entries.get(birth["no"]) != born(birth, record):
            return int(birth["no"]), ""
    for change in changes_of(record.body):
        if not alike(change.new, value(state, change)):
            return change.no, change.f if change.slot else ""
    return None


def rests_on(db: Database, state: TicketState, changes: Iterable[FieldChange]) -> str:
    """A sentence naming a living entry that refers to one these changes would strike; empty if none does."""
    vanishing = {change.no for change in changes if change.f == STRUCK and change.new}
    for no in sorted(vanishing):
        rows = db.execute(
            "SELECT r.no, t.number FROM entry_ref AS r JOIN ticket AS t ON t.id = r.ticket_id "
            "WHERE r.to_ticket = ? AND r.to_no = ?",
            [state.number, no],
        ).fetchall()
        for other, number in rows:
            if number != state.number:
                return f"entry {number}/{other} rests on {no}"
            if other not in vanishing:
                return f"entry {other} rests on {no}"
    return ""


def last_touch(db: Database, ticket: int, no: int, field: str = "") -> Record | None:
    """The newest row that changed an entry, or the ticket itself where ``no`` is 0; or only one field of it."""
    found = None
    for record in read(db, "ticket_id = ?", [ticket]):
        births = {birth["no"] for birth in record.body.get("births", ())}
        fields = {change.f for change in changes_of(record.body) if change.no == no and change.f != "follow"}
        fields -= {f for f in fields if f.startswith(WORDING) and f != field}
        if no in births or (fields & {field, "fact"} if field else fields):
            found = record
    return found
