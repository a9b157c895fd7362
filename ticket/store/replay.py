"""Replays the journal from its first row, and says where the tables differ from what it leads to."""

from dataclasses import dataclass, field
from typing import Any

from sqlite_utils import Database

from ticket.job.errors import ConflictError, TicketError
from ticket.store import phrasebook_rows, seal, state, stored_values
from ticket.store.erasable import alike
from ticket.store.journal import Record, read
from ticket.store.state import TicketState
from ticket.store.transition import apply_row


@dataclass(slots=True)
class Replay:
    """What the journal leads to, up to the row reached."""

    tickets: dict[int, TicketState] = field(default_factory=dict)
    people: dict[int, tuple[str, str]] = field(default_factory=dict)
    settings: dict[str, str] = field(default_factory=dict)
    phrasebook: dict[int, Any] = field(default_factory=dict)
    last: dict[int, int] = field(default_factory=dict)

    def feed(self, record: Record) -> None:
        """Apply one row.

        Raises:
            TicketError: it does not fit what stands before it.
        """
        body = record.body
        if record.verb == "shop.start":
            self.settings |= {key: body[key] for key in ("uid", "canon", "schema")}
        elif record.verb == "shop.migrate":
            self.settings["schema"] = body["to"]
        elif record.verb == "shop.set":
            if self.settings.get(body["key"]) != body.get("old"):
                raise ConflictError(f"the setting {body['key']} was not what row {record.seq} expects")
            self.settings[body["key"]] = body["new"]
        elif record.verb == "shop.person":
            self.people[body["id"]] = (body["name"], body["role"])
        elif record.verb in (phrasebook_rows.KEEP, phrasebook_rows.LOOK):
            phrasebook_rows.apply_book_row(self.phrasebook, record)
        elif record.ticket is not None:
            after, _ = apply_row(self.tickets.get(record.ticket), record)
            self.tickets[record.ticket] = after
            self.last[record.ticket] = record.seq
        elif record.verb not in ("forget", "look"):
            raise ConflictError(f"a verb this program does not know: {record.verb}")


def first_difference(db: Database) -> tuple[int | None, str]:
    """Replay and compare; (row, sentence) of the first difference, or ``(None, "")``.

    Seals are compared at the row that set them, tables at the end.
    """
    replay = Replay()
    for record in read(db):
        try:
            replay.feed(record)
            if "facts" in record.body and not _seal_holds(db, replay, record):
                return record.seq, f"the seal of row {record.seq} does not fit the ticket it sealed"
        except (TicketError, KeyError, TypeError, ValueError, AttributeError) as error:
            return record.seq, f"row {record.seq} cannot be replayed: {error}"
    return _compared(db, replay)


def _seal_holds(db: Database, replay: Replay, record: Record) -> bool:
    after = replay.tickets[record.ticket or 0]
    salt = db.execute("SELECT salt FROM journal WHERE seq = ?", [record.seq]).fetchone()[0]
    values: list[Any] = [after.header, *(entry.data for entry in after.entries.values())]
    ids = (found["identity"] for item in values for found in stored_values.identities(item))
    names = {number: name for number, (name, _) in replay.people.items()}
    return seal.holds(state.assemble(after, names, state.revealer(db, ids)), record.body, salt)


def _compared(db: Database, replay: Replay) -> tuple[int | None, str]:
    people = {number: (name, role) for number, name, role in db.execute("SELECT id, name, role FROM person").fetchall()}
    if people != replay.people:
        return None, "the list of people differs from the journal"
    if dict(db.execute("SELECT key, value FROM shop").fetchall()) != replay.settings:
        return None, "the settings differ from the journal"
    if not alike(phrasebook_rows.stored_entries(db), replay.phrasebook):
        return None, "the phrasebook differs from the journal"
    numbers = dict(db.execute("SELECT id, number FROM ticket").fetchall())
    for number in sorted(numbers.keys() | replay.tickets.keys()):
        if number not in numbers:
            return replay.last[number], f"ticket {replay.tickets[number].number} is missing"
        if number not in replay.tickets:
            return None, f"ticket {numbers[number]} is not in the journal"
        if what := _differs(state.load(db, numbers[number]), replay.tickets[number]):
            return replay.last[number], f"ticket {numbers[number]}: {what} differs from the journal"
    stray = db.execute("SELECT ticket_id FROM entry WHERE ticket_id NOT IN (SELECT id FROM ticket)").fetchone()
    return (None, "there are entries of no ticket") if stray else (None, "")


def _differs(table: TicketState, folded: TicketState) -> str:
    if table == folded:
        return ""
    for no in sorted(table.entries.keys() | folded.entries.keys()):
        if table.entries.get(no) != folded.entries.get(no):
            return f"entry {no}"
    if table.wordings != folded.wordings:
        return "a rewording"
    return "its follow-ups" if table.follows != folded.follows else "its header"
