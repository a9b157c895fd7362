"""Keeps the side tables and the word index. They are functions of the entries and can be rebuilt at any time."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping

from sqlite_utils import Database

from ticket.job.entry import Entry, refs_of
from ticket.job.text import fold
from ticket.job.ticket import Ticket
from ticket.store.index_rows import WORD_COLUMNS, Indexer
from ticket.store.state import TicketState, Touched

SIDE_TABLES = {
    "entry_code": ("i", "code", "sub"),
    "entry_part": ("i", "part"),
    "entry_reading": ("i", "what", "label", "dim", "value"),
    "entry_phrase": ("i", "kind", "folded", "text", "amount", "ahead", "behind", "open"),
    "entry_piece": ("i", "piece"),
    "entry_ref": ("role", "to_ticket", "to_no"),
}
SHIFT = 1 << 40
_BIG = 2**63

Cells = tuple[str | int | float | None, ...]


def side_rows(ticket: Ticket, entry: Entry, indexer: Indexer) -> dict[str, list[Cells]]:
    """The rows of each side table for a living entry, without ticket and number."""
    rows = indexer(ticket, entry)
    refs = {(role, ref.ticket or ticket.number, ref.no) for role, ref in refs_of(entry.fact)}
    return {
        "entry_code": [(i, code, sub) for i, (code, sub) in enumerate(rows.codes)],
        "entry_part": [(i, part) for i, part in enumerate(rows.parts)],
        "entry_reading": [(i, *reading) for i, reading in enumerate(rows.readings)],
        "entry_phrase": [
            (i, item.kind, fold(item.text), item.text, item.amount, item.ahead, item.behind, int(item.open))
            for i, item in enumerate(rows.phrases)
        ],
        "entry_piece": [(i, piece) for i, piece in enumerate(rows.pieces)],
        # A number that fits no column points at nothing here.
        "entry_ref": sorted(ref for ref in refs if 0 < ref[1] < _BIG and 0 < ref[2] < _BIG),
    }


def affected(state: TicketState, touched: Touched) -> set[int]:
    """Entries whose rows an action may change: new ones, what they refer to or replace; else the whole ticket."""
    if not touched.born:
        return set(state.entries)
    return touched.born | {entry.replaces for no in touched.born if (entry := state.entries[no]).replaces}


def write_side_rows(
    db: Database, ticket: Ticket, state: TicketState, numbers: Iterable[int], indexer: Indexer
) -> None:  # fmt: skip
    """Replace the rows of some entries; struck and replaced entries have none. Marks the ticket's words as behind."""
    wanted = set(numbers)
    wanted |= {
        ref.no for entry in ticket.entries if entry.no in wanted for _, ref in refs_of(entry.fact) if not ref.ticket
    }
    keys = [(state.id, no) for no in wanted if 0 < no < _BIG]
    for table in SIDE_TABLES:
        db.conn.executemany(f"DELETE FROM {table} WHERE ticket_id = ? AND no = ?", keys)  # noqa: S608
    for entry in ticket.living:
        if entry.no in wanted:
            _insert(db, state, entry.no, side_rows(ticket, entry, indexer))
    db.execute("INSERT OR IGNORE INTO dirty VALUES(?)", [state.id])


def _insert(db: Database, state: TicketState, no: int, rows: dict[str, list[Cells]]) -> None:
    for table, found in rows.items():
        columns = SIDE_TABLES[table]
        marks = ", ".join("?" * (len(columns) + 2))
        db.conn.executemany(
            f"INSERT INTO {table}(ticket_id, no, {', '.join(columns)}) VALUES({marks})",
            [(state.id, no, *cells) for cells in found],
        )


def expected_rows(ticket: Ticket, indexer: Indexer) -> Iterator[tuple[str, Cells]]:
    """Every row the side tables should hold for a ticket, as (table, cells from the number on)."""
    for entry in ticket.living:
        for table, rows in side_rows(ticket, entry, indexer).items():
            for cells in rows:
                yield table, (entry.no, *cells)


def code_token(code: str, sub: str = "") -> str:
    """A code, or a code with its sub-code, as one token of the word index; empty if nothing is left of it."""
    plain = "".join(filter(str.isalnum, code))
    tail = "".join(filter(str.isalnum, sub))
    return f"{plain}x{tail}" if plain and tail else plain


def word_row(ticket: Ticket, indexer: Indexer) -> tuple[str, ...]:
    """The texts of a ticket for the word index, in the order of its columns."""
    found: dict[str, list[str]] = defaultdict(list)
    vehicle = ticket.header.vehicle
    found["vehicle"] = [vehicle.label, vehicle.vin, vehicle.plate]
    for entry in ticket.living:
        rows = indexer(ticket, entry)
        for code, sub in rows.codes:
            found["codes"] += dict.fromkeys((code_token(code), code_token(code, sub)))
        for column, text in rows.words.items():
            found[column].append(text)
    unknown = set(found) - set(WORD_COLUMNS)
    if unknown:
        raise ValueError(f"no such column of the word index: {', '.join(sorted(unknown))}")
    return tuple("\n".join(filter(None, found[column])) for column in WORD_COLUMNS)


def write_new_words(db: Database, words: Mapping[int, tuple[str, ...]]) -> None:
    """Put the texts of tickets that were just made into the word index, by their keys: none of them is behind then."""
    marks, columns = ", ".join("?" * len(WORD_COLUMNS)), ", ".join(WORD_COLUMNS)
    # Newest first, so that the rowids of the index rise: it writes those fast.
    rows = [(SHIFT - made, *words[made]) for made in sorted(words, reverse=True)]
    db.conn.executemany(f"INSERT INTO ticket_fts(rowid, {columns}) VALUES(?, {marks})", rows)
    db.conn.executemany("DELETE FROM dirty WHERE ticket_id = ?", [(made,) for made in words])


def write_words(db: Database, state: TicketState, words: tuple[str, ...], table: str = "ticket_fts") -> None:
    """Put a ticket's texts into the word index."""
    db.execute(f"DELETE FROM {table} WHERE rowid = ?", [SHIFT - state.id])  # noqa: S608
    marks = ", ".join("?" * len(WORD_COLUMNS))
    columns = ", ".join(WORD_COLUMNS)
    db.execute(f"INSERT INTO {table}(rowid, {columns}) VALUES(?, {marks})", [SHIFT - state.id, *words])
