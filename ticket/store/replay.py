"""Replays the journal from its first row, as the program itself reads it, and proves its seals."""

from dataclasses import dataclass, field
from typing import Any

from sqlite_utils import Database

from ticket.job.errors import ConflictError, TicketError
from ticket.job.progress import counted
from ticket.store import phrasebook_rows, seal, state, stored_values
from ticket.store.journal import Record, read
from ticket.store.state import TicketState
from ticket.store.transition import apply_row

SILENT = ("forget", "look", "shop.key", "shop.key.end", "shop.restore", "shop.pin", "shop.trust", "shop.day")
"""Rows of the shop that change no setting, person or phrase."""


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
        elif record.verb not in SILENT:
            raise ConflictError(f"a verb this program does not know: {record.verb}")


def broken_seals(db: Database) -> list[tuple[int, str]]:
    """Replay every row, and prove each seal at the row that set it; the row and a sentence where one does not hold."""
    replay, broken = Replay(), []
    total = db.execute("SELECT count(*) FROM journal").fetchone()[0]
    for record in counted(read(db, proved=True), "replay", total):
        try:
            replay.feed(record)
            if "facts" in record.body and not _seal_holds(db, replay, record):
                broken.append((record.seq, "its seal does not fit the ticket it sealed"))
        except (TicketError, KeyError, TypeError, ValueError, AttributeError) as error:
            broken.append((record.seq, f"it cannot be replayed: {error}"))
            break
    return broken


def _seal_holds(db: Database, replay: Replay, record: Record) -> bool:
    after = replay.tickets[record.ticket or 0]
    salt = db.execute("SELECT salt FROM journal WHERE seq = ?", [record.seq]).fetchone()[0]
    names = {number: name for number, (name, _) in replay.people.items()}
    ids = (found["identity"] for item in after.values() for found in stored_values.identities(item))
    return seal.holds(state.assemble(after, names, state.revealer(db, ids)), after, record.body, salt)
