"""Many tickets taken in at once: each is journaled by itself, rows are written by the hundred from what is at hand."""

from dataclasses import replace

from ticket.job.codec import Json
from ticket.job.errors import ConflictError
from ticket.job.ticket import Ticket
from ticket.store import kept_jobs, reindexing, state
from ticket.store.index_rows import JOB_SETTING
from ticket.store.session import Session
from ticket.store.setting_then import Then, text_now, zone_now
from ticket.store.state import TicketState, Touched
from ticket.store.transition import apply_row

_AT_ONCE = 500  # tickets in memory


class Loading:
    """One load inside one action: nothing of it is there before :meth:`end`.

    Attributes:
        numbers: of the tickets taken so far.
    """

    def __init__(self, session: Session) -> None:
        self._session = session
        self._waiting: list[tuple[TicketState, Touched, Ticket]] = []
        self._last: dict[int, int] = {}
        self._keys: list[int] = []
        self.numbers: set[int] = set()

    def key(self, first: int, last: int, taken: int) -> int:
        """The next free key of a day, of whose keys one is taken in the tables."""
        found = max(taken, self._last.get(first, first)) + 1
        if found > last:
            raise ConflictError("no more tickets can be opened on one day")
        self._last[first] = found
        return found

    def take(self, key: int, ticket: Ticket, body: Json, person: int) -> None:
        """Journal a ticket; its rows follow with those of others."""
        record = self._session.append("shop.load", body, person=person, ticket=key)
        after, touched = apply_row(None, record)
        closed = state.moment(after.closed) if after.closed else None
        self._waiting.append((after, touched, replace(ticket, closed=closed)))
        self._keys.append(key)
        self.numbers.add(ticket.number)
        if len(self._waiting) == _AT_ONCE:
            self._write()

    def end(self) -> None:
        """Write what waits, and what hangs on several tickets."""
        self._write()
        kept_jobs.link(self._session.db, kept_jobs.group(self._session.db, self._keys))
        self._session.touch_vehicles(self._keys)

    def _write(self) -> None:
        db = self._session.db
        state.save_fresh(db, [(after, touched) for after, touched, _ in self._waiting])
        made = {after.id: ticket for after, _, ticket in self._waiting}
        then = Then(text_now(db, JOB_SETTING), {}, [], zone_now(db))  # they are signed here by the list of today
        reindexing.write(db, made, self._session.indexer, self._session.of_job, then)
        self._waiting = []
