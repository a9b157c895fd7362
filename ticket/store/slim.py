"""Many tickets at once with only some fields of some kinds of entries, for counts over thousands of jobs.

What is left out stands as if it had never been typed, so these tickets are for counting and nothing else.
"""

import json
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping

from sqlite_utils import Database

from ticket.job.ticket import Ticket
from ticket.store import state
from ticket.store.words import MASK

_AT_ONCE = 500  # tickets of one question, so that memory stays small
_HEADER = ("vehicle", "odometer_in", "odometer_out")

Fields = Mapping[str, Collection[str]]
"""The fields to read of each kind of entry; kinds not named are left out."""


def of_code(db: Database, code: str, sub: str = "") -> tuple[int, ...]:
    """Numbers of all tickets with a fault code, newest first; of those with its sub-code where one is given."""
    with_sub = " AND sub = ? COLLATE NOCASE" if sub else ""
    held = f"SELECT ticket_id FROM entry_code WHERE code = ?{with_sub}"  # noqa: S608
    rows = db.execute(
        f"SELECT number FROM ticket WHERE id IN ({held}) ORDER BY id DESC",  # noqa: S608
        [code.encode("utf-8", "replace").decode(), *([sub.encode("utf-8", "replace").decode()] if sub else [])],
    )
    return tuple(row[0] for row in rows.fetchall())


def tickets(db: Database, numbers: Iterable[int], wanted: Fields) -> Iterator[Ticket]:
    """The tickets with these numbers, newest first, with these fields of their living entries and their vehicle."""
    every = sorted(set(numbers), reverse=True)
    names = state.people(db)
    for start in range(0, len(every), _AT_ONCE):
        for held in _states(db, every[start : start + _AT_ONCE], wanted):
            yield state.assemble(held, names, lambda _: MASK)


def _states(db: Database, numbers: list[int], wanted: Fields) -> list[state.TicketState]:
    rows = db.execute(
        f"SELECT {', '.join(state.TICKET)} FROM ticket WHERE number IN (SELECT value FROM json_each(?))"  # noqa: S608
        " ORDER BY id DESC",
        [json.dumps(numbers)],
    )
    found = {held.id: held for held in map(state.ticket_row, rows.fetchall())}
    entries: dict[int, dict[int, state.EntryState]] = defaultdict(dict)
    rows = db.execute(
        f"SELECT e.ticket_id, {', '.join(f'e.{name}' for name in state.ENTRY)} FROM entry AS e"  # noqa: S608
        " WHERE e.ticket_id IN (SELECT value FROM json_each(?)) AND e.kind IN (SELECT value FROM json_each(?))"
        " AND e.struck = 0 AND NOT EXISTS"
        " (SELECT 1 FROM entry AS a WHERE a.ticket_id = e.ticket_id AND a.replaces = e.no AND a.struck = 0)"
        " ORDER BY e.no",
        [json.dumps(list(found)), json.dumps(sorted(wanted))],
    )
    for ticket, *row in rows.fetchall():
        entry = state.entry_row(tuple(row))
        entry.data = {name: entry.data[name] for name in wanted[entry.kind] if name in entry.data}
        entries[ticket][entry.no] = entry
    for key, held in found.items():
        held.entries = entries[key]
        held.header = {name: held.header[name] for name in _HEADER if name in held.header}
    return list(found.values())
