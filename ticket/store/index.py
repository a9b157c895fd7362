"""Keeps the side tables and the word index. They are functions of the entries and can be rebuilt at any time."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from sqlite_utils import Database

from ticket.job.entry import Entry, refs_of
from ticket.job.text import fold
from ticket.job.ticket import Ticket
from ticket.store.index_rows import WORD_COLUMNS, Indexer, IndexRows
from ticket.store.same_vehicle import plain
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
EntryRows = Sequence[tuple[Entry, IndexRows]]
"""Living entries of a ticket, each with what makes it quick to find."""
FRAGMENTS = ("vin", "plate", "parts")
WORD_TABLES = {"ticket_fts": WORD_COLUMNS, "fragment": FRAGMENTS}
"""The index of words and the index of pieces, each with its columns."""


def entry_rows(ticket: Ticket, indexer: Indexer) -> EntryRows:
    """What makes each living entry of a ticket quick to find: worked out once, for side tables and words alike."""
    return [(entry, indexer(ticket, entry)) for entry in ticket.living]


def side_rows(ticket: Ticket, entries: EntryRows) -> dict[str, list[Cells]]:
    """The rows of each side table for some living entries of a ticket, without the ticket's key."""
    found: dict[str, list[Cells]] = {table: [] for table in SIDE_TABLES}
    for entry, rows in entries:
        no = entry.no
        found["entry_code"] += [(no, i, code, sub) for i, (code, sub) in enumerate(rows.codes)]
        found["entry_part"] += [(no, i, part) for i, part in enumerate(rows.parts)]
        found["entry_reading"] += [(no, i, *reading) for i, reading in enumerate(rows.readings)]
        found["entry_phrase"] += [
            (no, i, item.kind, fold(item.text), item.text, item.amount, item.ahead, item.behind, int(item.open))
            for i, item in enumerate(rows.phrases)
        ]
        found["entry_piece"] += [(no, i, piece) for i, piece in enumerate(rows.pieces)]
        refs = {(role, ref.ticket or ticket.number, ref.no) for role, ref in refs_of(entry.fact)}
        # A number that fits no column points at nothing here.
        found["entry_ref"] += sorted((no, *ref) for ref in refs if 0 < ref[1] < _BIG and 0 < ref[2] < _BIG)
    return found


def affected(state: TicketState, touched: Touched) -> set[int]:
    """Entries whose rows an action may change: new ones, what they refer to or replace; else the whole ticket."""
    if not touched.born:
        return set(state.entries)
    return touched.born | {entry.replaces for no in touched.born if (entry := state.entries[no]).replaces}


def write_side_rows(
    db: Database, ticket: Ticket, state: TicketState, numbers: Iterable[int], indexer: Indexer,
    fresh: Collection[int] = (),
) -> None:  # fmt: skip
    """Replace the rows of some entries; struck and replaced entries have none. Marks the ticket's words as behind.

    ``fresh`` entries were just born and have no rows yet.
    """
    wanted = set(numbers)
    wanted |= {
        ref.no for entry in ticket.entries if entry.no in wanted for _, ref in refs_of(entry.fact) if not ref.ticket
    }
    keys = [(state.id, no) for no in wanted if 0 < no < _BIG and no not in fresh]
    for table in SIDE_TABLES if keys else ():
        db.conn.executemany(f"DELETE FROM {table} WHERE ticket_id = ? AND no = ?", keys)  # noqa: S608
    found = [(entry, indexer(ticket, entry)) for entry in ticket.living if entry.no in wanted]
    write_fresh_rows(db, [(state.id, side_rows(ticket, found))])
    db.execute("INSERT OR IGNORE INTO dirty VALUES(?)", [state.id])


_INSERTS = {
    table: f"INSERT INTO {table}(ticket_id, no, {', '.join(columns)}) VALUES(?, ?{', ?' * len(columns)})"
    for table, columns in SIDE_TABLES.items()
}


def write_fresh_rows(db: Database, tickets: Iterable[tuple[int, Mapping[str, Sequence[Cells]]]]) -> None:
    """Write the rows of entries that have none, ticket by ticket with its key."""
    held = list(tickets)
    for table, insert in _INSERTS.items():
        if made := [(key, *cells) for key, rows in held for cells in rows[table]]:
            db.conn.executemany(insert, made)


def expected_rows(ticket: Ticket, indexer: Indexer) -> Iterator[tuple[str, Cells]]:
    """Every row the side tables should hold for a ticket, as (table, cells from the number on)."""
    for table, rows in side_rows(ticket, entry_rows(ticket, indexer)).items():
        for cells in rows:
            yield table, cells


def code_token(code: str, sub: str = "") -> str:
    """A code, or a code with its sub-code, as one token of the word index; empty if nothing is left of it."""
    plain = "".join(filter(str.isalnum, code))
    tail = "".join(filter(str.isalnum, sub))
    return f"{plain}x{tail}" if plain and tail else plain


@dataclass(frozen=True, slots=True)
class Words:
    """What of a ticket is found by its words: texts in the order of the columns, and what is found by its pieces."""

    texts: tuple[str, ...]
    pieces: tuple[str, str, str]


def word_row(ticket: Ticket, entries: EntryRows) -> Words:
    """The words of a ticket for the word index."""
    found: dict[str, list[str]] = defaultdict(list)
    vehicle = ticket.header.vehicle
    found["vehicle"] = [vehicle.label, vehicle.vin, vehicle.plate]
    parts: list[str] = []
    for _, rows in entries:
        parts += rows.parts
        for code, sub in rows.codes:
            found["codes"] += dict.fromkeys((code_token(code), code_token(code, sub)))
        for column, text in rows.words.items():
            found[column].append(text)
    unknown = set(found) - set(WORD_COLUMNS)
    if unknown:
        raise ValueError(f"no such column of the word index: {', '.join(sorted(unknown))}")
    texts = tuple("\n".join(filter(None, found[column])) for column in WORD_COLUMNS)
    return Words(texts, (plain(vehicle.vin), plain(vehicle.plate), "\n".join(map(plain, parts))))


def write_words(db: Database, words: Mapping[int, Words], beside: str = "", *, fresh: bool = False) -> None:
    """Put the words of some tickets into the word index, and what is found by its pieces into the index of pieces.

    Args:
        db: the database.
        words: by the key of the ticket.
        beside: what the names of other such indexes begin with; empty for the shop's own.
        fresh: none of them is in it yet.
    """
    # Newest first, so that the rowids of the index rise: it writes those fast.
    keys = sorted(words, reverse=True)
    for table, columns in WORD_TABLES.items():
        rows = [(SHIFT - key, *getattr(words[key], "pieces" if columns == FRAGMENTS else "texts")) for key in keys]
        _write(db, f"{beside}{table}", columns, rows, fresh)


def _write(db: Database, table: str, columns: tuple[str, ...], rows: list[tuple[int | str, ...]], fresh: bool) -> None:
    if not fresh:
        db.conn.executemany(f"DELETE FROM {table} WHERE rowid = ?", [row[:1] for row in rows])  # noqa: S608
    marks = ", ".join("?" * (len(columns) + 1))
    db.conn.executemany(f"INSERT INTO {table}(rowid, {', '.join(columns)}) VALUES({marks})", rows)
