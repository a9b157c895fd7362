"""The shop's database: every action is one transaction that holds its journal row and the state it leads to."""

import secrets
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Self

from ticket import __version__
from ticket.job.ticket import Ticket
from ticket.store.adding import Adding, Birth
from ticket.store.asking import Asking
from ticket.store.booked import Booked
from ticket.store.changing import Changing
from ticket.store.due import DueRow, FollowUp
from ticket.store.indexing import Indexer, IndexRows, Phrase
from ticket.store.journal import Event
from ticket.store.light import TicketRow
from ticket.store.pictures import Pictures
from ticket.store.proof.finding import Audit
from ticket.store.rewording import Rewordings
from ticket.store.search import Found, Query

__all__ = [
    "Audit", "Birth", "DueRow", "Event", "FollowUp", "Found", "IndexRows", "Indexer", "Phrase", "Query", "Store",
    "Ticket", "TicketRow",
]  # fmt: skip


class Store(Adding, Changing, Rewordings, Booked, Pictures, Asking):
    """One shop's tickets. Every method that changes something is one durable action, or raises and changes nothing.

    Besides what each method names, all raise :class:`~ticket.job.errors.StoreError` when the file cannot be used,
    :class:`~ticket.job.errors.NotFoundError` for a ticket or entry that is not there, and
    :class:`~ticket.job.errors.SealedError` for a change to a signed ticket. ``by`` is the name of who does it,
    added to the shop's people when new. A store belongs to the thread that opened it.
    """

    @classmethod
    def open(
        cls, path: Path, *, indexer: Indexer, now: Callable[[], datetime],
        token_bytes: Callable[[int], bytes] = secrets.token_bytes, create: bool = True, version: str = __version__,
    ) -> Self:  # fmt: skip
        """Open a database, make it where there is none, and bring it up to date where it is older.

        Args:
            path: the file; its folder is made too.
            indexer: computes what makes an entry quick to find.
            now: the clock; its times carry a zone.
            token_bytes: where salts and the name of the sitting come from.
            create: whether a missing file is made.
            version: the program's version; the views are remade when it differs.
        """
        store = cls._open(path, indexer=indexer, now=now, token_bytes=token_bytes, create=create, version=version)
        if store.migrated:
            store.rebuild()  # a newer version may keep more quick to find than the entries were indexed for
        return store
