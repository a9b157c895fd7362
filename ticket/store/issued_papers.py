"""Papers the shop handed out: which versions of an estimate there were, and the numbers of invoices.

What is kept of them names no customer: the row of the journal they were made at, and a number. Their words are made
again from the ticket and the settings as they stood at that row, so nothing of a customer stands here a second time.
"""

import json
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any

from sqlite_utils import Database

from ticket.job.errors import NotFoundError
from ticket.job.ticket import Ticket
from ticket.store import journal, signed_heads, state
from ticket.store.changes import put_setting
from ticket.store.derived import assembled
from ticket.store.session import Session
from ticket.store.state import TicketState
from ticket.store.transition import apply_row

ESTIMATE, INVOICE = "issued estimate", "issued invoice"
"""How the keys begin under which they stand beside the settings; behind them stands the number of the ticket."""


@dataclass(frozen=True, slots=True, kw_only=True)
class IssuedEstimate:
    """One version of an estimate: its number on the ticket, the row it was made at, when, and in which language.

    ``shop`` is the random name of the file whose journal holds that row: a rescued shop counts its rows anew.
    """

    version: int
    shop: str
    seq: int
    at: str
    language: str

    @property
    def moment(self) -> datetime:
        """When it was handed out."""
        return datetime.fromisoformat(self.at)


@dataclass(frozen=True, slots=True, kw_only=True)
class IssuedInvoice:
    """An invoice: its number in its series, when, the seal of the ticket it is of, and the one it stands in for."""

    number: str
    series: str
    count: int
    at: str
    seal: str
    corrects: str = ""

    @property
    def moment(self) -> datetime:
        """When it was handed out."""
        return datetime.fromisoformat(self.at)


def invoices_of_row(db: Database, row: int) -> tuple[IssuedInvoice, ...]:
    """The invoices of the ticket that a row of the journal is of, oldest first; in a file that is only read."""
    found = db.execute(
        "SELECT value FROM shop WHERE key = (SELECT ? || t.number FROM journal AS j JOIN ticket AS t"
        " ON t.id = j.ticket_id WHERE j.seq = ?)",
        [f"{INVOICE} ", row],
    ).fetchone()
    return tuple(IssuedInvoice(**one) for one in json.loads(found[0])) if found else ()


class IssuedPapers:
    """The questions and the two steps that write, for one open database."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def estimates(self, number: int) -> tuple[IssuedEstimate, ...]:
        """The versions of a ticket's estimate, oldest first."""
        return tuple(IssuedEstimate(**one) for one in self._held(ESTIMATE, number))

    def invoices(self, number: int) -> tuple[IssuedInvoice, ...]:
        """The invoices of a ticket, oldest first."""
        return tuple(IssuedInvoice(**one) for one in self._held(INVOICE, number))

    def _held(self, kind: str, number: int) -> list[dict[str, Any]]:
        with self._session.reading() as db:
            row = db.execute("SELECT value FROM shop WHERE key = ?", [f"{kind} {number}"]).fetchone()
        found: list[dict[str, Any]] = json.loads(row[0]) if row else []
        return found

    def add_estimate(self, number: int, language: str, by: str) -> IssuedEstimate:
        """Keep that the estimate of a ticket was handed out as it stands now."""
        with self._session.writing() as db:
            held = self._held(ESTIMATE, number)
            made = IssuedEstimate(
                version=len(held) + 1, shop=signed_heads.uid(db), seq=journal.head(db)[0], at=self._now(),
                language=language,
            )  # fmt: skip
            self._write(ESTIMATE, number, [*held, asdict(made)], by)
        return made

    def add_invoice(self, number: int, seal: str, series: str, first: int, width: int, by: str) -> IssuedInvoice:
        """Give a signed ticket the next number of a series; the one it has where it was not changed since.

        Two terminals never get the same one: the number is looked for and written in one action.

        Args:
            number: the ticket.
            seal: its seal, which an amendment changes.
            series: what stands before and behind the figures, with ``{}`` in their place.
            first: the first number of the series.
            width: figures it has at least.
            by: who hands it out.
        """
        with self._session.writing() as db:
            held = self.invoices(number)
            if held and held[-1].seal == seal:
                return held[-1]
            rows = db.execute(
                "SELECT json_extract(one.value, '$.number'), json_extract(one.value, '$.series'),"
                " json_extract(one.value, '$.count') FROM shop, json_each(shop.value) AS one WHERE shop.key GLOB ?",
                [f"{INVOICE} *"],
            ).fetchall()
            given = {row[0] for row in rows}
            count = max([row[2] + 1 for row in rows if row[1] == series] + [first])
            while (text := series.replace("{}", f"{count:0{width}d}")) in given:
                count += 1
            made = IssuedInvoice(
                number=text, series=series, count=count, at=self._now(), seal=seal,
                corrects=held[-1].number if held else "",
            )  # fmt: skip
            self._write(INVOICE, number, [*map(asdict, held), asdict(made)], by)
        return made

    def _now(self) -> str:
        return self._session.now().isoformat(timespec="seconds")

    def _write(self, kind: str, number: int, value: list[dict[str, Any]], by: str) -> None:
        """Within an action: the whole list anew, as a setting is written, so that audit and rescue know its row."""
        key = f"{kind} {number}"
        row = self._session.db.execute("SELECT value FROM shop WHERE key = ?", [key]).fetchone()
        put_setting(self._session, key, json.dumps(value), row[0] if row else None, by)

    def ticket_at(self, number: int, seq: int) -> Ticket:
        """A ticket as it stood at a row of the journal; what was forgotten since is gone here too.

        Raises:
            NotFoundError: it was not there yet.
        """
        found: TicketState | None = None
        with self._session.reading() as db:
            key = state.id_of(db, number)
            for record in journal.read(db, "ticket_id = ? AND seq <= ?", [key, seq]):
                found, _ = apply_row(found, record)
            if found is None:
                raise NotFoundError(f"Ticket {number} was not there at row {seq}.")
            return assembled(db, found)

    def settings_at(self, seq: int) -> dict[str, str]:
        """The settings as they stood at a row of the journal, JSON by their key."""
        with self._session.reading() as db:
            rows = db.execute(
                "SELECT json_extract(body, '$.key'), json_extract(body, '$.new') FROM journal"
                " WHERE ticket_id IS NULL AND verb = 'shop.set' AND seq <= ?"
                " AND json_extract(body, '$.key') NOT GLOB 'issued *' ORDER BY seq",
                [seq],
            )
            return dict(rows.fetchall())
