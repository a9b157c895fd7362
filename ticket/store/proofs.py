"""What is asked about proofs: heads of the journal, keys, and the papers of signed tickets."""

from collections.abc import Sequence

from ticket.job.codec import Json
from ticket.store import journal, kept_rows, signed_heads, state
from ticket.store.kept_rows import KeptPaper
from ticket.store.session import Session
from ticket.store.signed_heads import Head


class Proofs:
    """The questions, put to one open database."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def uid(self) -> str:
        """The random name of the file."""
        with self._session.reading() as db:
            return signed_heads.uid(db)

    def head(self) -> Head | None:
        """The newest row of the journal, to be kept elsewhere; ``None`` where there is none."""
        with self._session.reading() as db:
            return signed_heads.head_of(db)

    def public_keys(self) -> dict[str, Json]:
        """The public keys of the shop, as they were journaled."""
        with self._session.reading() as db:
            return signed_heads.public_keys(db)

    def kept_papers(self, number: int) -> tuple[KeptPaper, ...]:
        """The papers of a signed ticket as they were signed; none where they were not kept yet in those days."""
        with self._session.reading() as db:
            return kept_rows.papers(db, state.id_of(db, number))

    def kept_under(self, row: int) -> Json:
        """What a row that signed a ticket says its papers rest on."""
        with self._session.reading() as db:
            return kept_rows.signed_under(db, row)

    def newest_rows(self, numbers: Sequence[int]) -> dict[int, int]:
        """The newest row of the journal for each of some tickets."""
        with self._session.reading() as db:
            return journal.newest(db, numbers)

    def signing_rows(self, number: int | None = None) -> dict[int, int]:
        """For each signed ticket, or one of them, the journal row that signed it or took it in signed."""
        where, values = ("", []) if number is None else (" AND t.number = ?", [number])
        with self._session.reading() as db:
            rows = db.execute(
                "SELECT t.number, min(j.seq) FROM ticket AS t JOIN journal AS j ON j.ticket_id = t.id"  # noqa: S608
                f" WHERE t.status = 'signed' AND j.verb IN ('sign', 'shop.load'){where} GROUP BY t.number",
                values,
            )
            return {row[0]: row[1] for row in rows.fetchall()}
