"""Whether what is derived from the entries, side tables and word index, is what the entries say."""

import contextlib
from collections import Counter
from collections.abc import Iterable, Mapping

from sqlite_utils import Database

from ticket.job.entry import Entry
from ticket.job.errors import DamagedError
from ticket.job.progress import counted
from ticket.job.ticket import Ticket
from ticket.store import index, kept_jobs, phrase_history, state, stored_values, vehicles
from ticket.store.index_rows import (
    JOB_SETTING,
    Indexer,
    JobIndexer,
    VehicleIndexer,
    no_job,
)
from ticket.store.setting_then import Then
from ticket.store.state import TicketState


def assembled(db: Database, of: TicketState, known: Mapping[int, Entry] | None = None) -> Ticket:
    """The ticket of the job model, with its customer's values; ``known`` as for :func:`ticket.store.state.assemble`.

    Raises:
        DamagedError: its rows are no ticket.
    """
    ids: Iterable[int] = (
        found["identity"] for item in of.values(known or ()) for found in stored_values.identities(item)
    )
    return state.assemble(of, state.people(db), state.revealer(db, ids), known)


def refresh(db: Database, number: int, indexer: Indexer, beside: str = "") -> None:
    """Put a ticket's words into the word index and the index of pieces, or into those whose names begin so."""
    with contextlib.suppress(DamagedError):  # its old words stay; whoever asks for the ticket is told
        loaded = state.load(db, number)
        ticket = assembled(db, loaded)
        words = index.word_row(ticket, index.entry_rows(ticket, indexer))
        index.write_words(db, {loaded.id: words}, beside)


def differences(
    db: Database, indexer: Indexer, of_vehicle: VehicleIndexer, of_job: JobIndexer = no_job, newest: int | None = None
) -> list[str]:  # fmt: skip
    """One sentence for each difference between the entries and what is derived from them.

    Args:
        db: the database.
        indexer: computes what makes an entry quick to find.
        of_vehicle: computes what is kept of a vehicle over all its tickets.
        of_job: computes the row kept of a job.
        newest: look at so many of the newest tickets only, and at no words where there are more.
    """
    rows = db.execute("SELECT id, number FROM ticket ORDER BY id DESC").fetchall()
    whole = newest is None or len(rows) <= newest
    looked_at = counted(rows[:newest], "check", len(rows[:newest]))
    then = Then.read(db, JOB_SETTING)
    found = [line for _, number in looked_at if (line := _side_difference(db, number, indexer, of_job, then))]
    known = dict(rows[:newest])
    found += [f"ticket {known[key]}: as what it came back differs" for key in kept_jobs.unlinked(db, known)]
    if not whole:
        return found
    for table in (*index.SIDE_TABLES, *kept_jobs.TABLES):
        held = {row[0] for row in db.execute(f"SELECT DISTINCT ticket_id FROM {table}").fetchall()}  # noqa: S608
        found += [f"{table} holds rows of no ticket"] * bool(held - set(known))
    found += [f"what is kept of {name[1:]} differs" for name in vehicles.differing(db, of_vehicle)]
    found += ["the phrases are not what the entries add up to"] * phrase_history.differs(db)
    return found + _word_differences(db, known, indexer)


def _side_difference(db: Database, number: int, indexer: Indexer, of_job: JobIndexer, then: Then) -> str:
    try:
        loaded = state.load(db, number)
        ticket = assembled(db, loaded)
        wanted = Counter(index.expected_rows(ticket, indexer))
    except DamagedError:
        return f"ticket {number} cannot be read"
    held: Counter[tuple[str, index.Cells]] = Counter()
    for table, columns in index.SIDE_TABLES.items():
        rows = db.execute(f"SELECT no, {', '.join(columns)} FROM {table} WHERE ticket_id = ?", [loaded.id])  # noqa: S608
        held.update((table, tuple(row)) for row in rows.fetchall())
    wrong = sorted({table for table, _ in (wanted - held) + (held - wanted)})
    row = kept_jobs.row_of(loaded.id, ticket, then, of_job)
    wrong += kept_jobs.differing(db, loaded.id, ticket, row)
    verb = "differs" if len(wrong) == 1 else "differ"
    return f"ticket {number}: what is kept of it {verb} from its entries: {', '.join(wrong)}" if wrong else ""


def _word_differences(db: Database, numbers: dict[int, int], indexer: Indexer) -> list[str]:
    """The indexes of words and pieces keep no texts, so others are made beside them and read word by word."""
    behind = {row[0] for row in db.execute("SELECT ticket_id FROM dirty").fetchall()}
    for table, columns in index.WORD_TABLES.items():
        how = "tokenize='trigram', detail='column', " if columns == index.FRAGMENTS else ""
        db.execute(
            f"CREATE VIRTUAL TABLE temp.wanted_{table} USING"
            f" fts5({', '.join(columns)}, {how}content='', contentless_delete=1)"
        )
    for key, number in numbers.items():
        if key not in behind:
            refresh(db, number, indexer, "temp.wanted_")
    found = []
    for table, name in (("ticket_fts", "the word index"), ("fragment", "the index of pieces")):
        differing = _differing_words(db, table) - behind
        found += [
            f"ticket {numbers[key]}: {name} differs from its entries" if key in numbers
            else f"{name} holds words of no ticket"
            for key in sorted(differing)
        ]  # fmt: skip
    return found


def _differing_words(db: Database, table: str) -> set[int]:
    """Keys of the tickets of which one of the two indexes holds a word, at a place, that the other does not."""
    db.execute(f"CREATE VIRTUAL TABLE temp.right_{table} USING fts5vocab(temp, wanted_{table}, instance)")
    db.execute(f"CREATE VIRTUAL TABLE temp.held_{table} USING fts5vocab(main, {table}, instance)")
    found: set[int] = set()
    for one, other in ((f"right_{table}", f"held_{table}"), (f"held_{table}", f"right_{table}")):
        rows = db.execute(
            f"SELECT doc FROM (SELECT term, doc, col, offset FROM {one} "  # noqa: S608
            f"EXCEPT SELECT term, doc, col, offset FROM {other})"
        )
        found |= {index.SHIFT - row[0] for row in rows.fetchall()}
    return found
