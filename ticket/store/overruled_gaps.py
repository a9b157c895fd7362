"""What a ticket was signed in spite of: the reasons stand in the journal row that signed it."""

from dataclasses import dataclass

from sqlite_utils import Database

from ticket.store import journal, state


@dataclass(frozen=True, slots=True)
class Overruled:
    """One question that was left open on purpose.

    Attributes:
        gap: id of the rule that asked it.
        reason: as typed.
        by: who signed.
    """

    gap: str
    reason: str
    by: str


def overruled(db: Database, ticket: int) -> tuple[Overruled, ...]:
    """The reasons given when a ticket (its internal id) was signed; nothing for one that is open."""
    names = state.people(db)
    return tuple(
        Overruled(str(item["gap"]), str(item["reason"]), names.get(record.person, ""))
        for record in journal.read(db, "ticket_id = ? AND verb = 'sign'", [ticket])
        for item in record.body.get("overruled", ())
    )
