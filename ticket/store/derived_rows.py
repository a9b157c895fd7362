"""All that is derived from one ticket alone, as rows made once from the ticket in hand, and written by the hundred."""

from collections.abc import Mapping
from dataclasses import dataclass

from sqlite_utils import Database

from ticket.job.ticket import Ticket
from ticket.store import index, kept_jobs
from ticket.store.index_rows import Indexer, JobRow


@dataclass(frozen=True, slots=True)
class DerivedRows:
    """Rows without the ticket's key.

    Attributes:
        side: of the side tables, by table.
        words: of the word index.
        job: of the tables kept of jobs, by table.
    """

    side: dict[str, list[index.Cells]]
    words: index.Words
    job: dict[str, list[kept_jobs.Cells]]


def of_ticket(ticket: Ticket, indexer: Indexer, row: JobRow, *, overruled: bool = False) -> DerivedRows:
    """The rows of a ticket; ``overruled`` says that it was signed in spite of a question."""
    entries = index.entry_rows(ticket, indexer)
    return DerivedRows(
        index.side_rows(ticket, entries),
        index.word_row(ticket, entries),
        kept_jobs.cells_of(ticket, row, overruled=overruled),
    )


def write(db: Database, rows: Mapping[int, DerivedRows]) -> None:
    """Write the rows of tickets that have none, by their keys. The caller holds the transaction."""
    index.write_fresh_rows(db, [(key, one.side) for key, one in rows.items()])
    index.write_words(db, {key: one.words for key, one in rows.items()}, fresh=True)
    kept_jobs.write(db, [(key, one.job) for key, one in rows.items()])
