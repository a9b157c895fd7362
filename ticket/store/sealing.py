"""What a seal adds to the row that signs or amends: proved by the journal, never by the tables alone."""

import copy
from dataclasses import dataclass

from sqlite_utils import Database

from ticket.job.codec import Json
from ticket.job.errors import StoreError
from ticket.store import journal, kept_rows, seal
from ticket.store.derived import assembled
from ticket.store.journal import Record, TokenBytes
from ticket.store.kept_rows import Keeper
from ticket.store.signed_heads import Signer
from ticket.store.state import TicketState
from ticket.store.transition import apply_row

ASKED, CLAIM = "pin", "claim"
"""A PIN was asked for, or somebody only gave a name."""


@dataclass(frozen=True, slots=True)
class Signing:
    """What goes with a signature.

    Attributes:
        keeper: makes the papers that are kept with it.
        signer: the key that signs its row.
        who: how it is known who signs: :data:`ASKED` or :data:`CLAIM`.
        clock: why it is signed though the clock is behind what was written already.
    """

    keeper: Keeper | None = None
    signer: Signer | None = None
    who: str = CLAIM
    clock: str = ""


PLAIN = Signing()


def ticket_state(db: Database, ticket: int, *, last: int | None = None) -> TicketState:
    """One ticket as its rows lead to it, its texts marked with what is promised of them.

    Args:
        db: the database.
        ticket: its key.
        last: the row behind which none counts; left out, all of them do.

    Raises:
        StoreError: there is no such ticket in the journal, or a row cannot be read.
    """
    found: TicketState | None = None
    for record in journal.read(db, "ticket_id = ? AND seq <= ?", [ticket, last or 2**62], proved=True):
        found, _ = apply_row(found, record)
    if found is None:
        raise StoreError(f"the journal holds no ticket with key {ticket}: run ticket audit")
    return found


def sealed(
    db: Database, now_state: TicketState, verb: str, body: Json, *, person: int, at: str, sitting: str,
    keeper: Keeper | None, salts: TokenBytes,
) -> Json:  # fmt: skip
    """The body with digests of the ticket as it will stand, and with what it is signed as.

    Args:
        db: the database.
        now_state: the ticket as its tables have it.
        verb: ``sign`` or ``amend``.
        body: of the row, its texts salted.
        person: who signs.
        at: when, as stored.
        sitting: of the row.
        keeper: makes the papers to keep.
        salts: for them.

    Raises:
        StoreError: the tables say something else than the journal: somebody changed them behind it.
    """
    proved = ticket_state(db, now_state.id)
    if proved != now_state:
        raise StoreError(
            f"ticket {now_state.number}: its tables differ from the journal; nothing was signed: run ticket audit"
        )
    seq = journal.head(db)[0] + 1
    record = Record(seq, at, person, sitting, proved.id, verb, None, body, seal=f"{seq}-")
    after = apply_row(copy.deepcopy(proved), record)[0]
    ticket = assembled(db, after)
    body |= {"closed": after.closed, "rev": after.rev, "signer": ticket.signed_by} | seal.digests(ticket, after)
    return body if keeper is None else body | kept_rows.keep(db, keeper(ticket), after.id, seq, salts)
