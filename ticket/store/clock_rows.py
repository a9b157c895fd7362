"""Clock times: those of the same days on other tickets, and those that were changed after they were typed."""

import json
from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

from sqlite_utils import Database

from ticket.store import journal, state
from ticket.store.additions import DAY_BITS, day_id
from ticket.store.transition import changes_of

_OPEN_FOR = 31  # days a ticket may be old and still be worked on

Span = tuple[str, str]
Changed = tuple[int, tuple[Span, ...], tuple[Span, ...], str]
"""Number of the entry, its first clock times, the present ones, and who changed them."""


def spans_of(db: Database, number: int, first: date, last: date) -> Iterator[tuple[int, int]]:
    """Ticket and entry number of labour with clock times on other tickets, typed from ``first`` to ``last``.

    One day more on each side is searched, because the days of the shop's wall are not those of the record.
    """
    day = timedelta(days=1)
    rows = db.execute(
        "SELECT ticket.number, entry.no FROM ticket JOIN entry ON entry.ticket_id = ticket.id"
        " WHERE ticket.id >= ? AND ticket.id < ? AND ticket.number <> ? AND entry.kind = 'did' AND entry.struck = 0"
        " AND json_extract(entry.data, '$.clock') IS NOT NULL AND substr(entry.at, 1, 10) BETWEEN ? AND ?"
        " ORDER BY ticket.number, entry.no",
        [
            day_id(first - timedelta(days=_OPEN_FOR)), day_id(last + day) + (1 << DAY_BITS), number,
            (first - day).isoformat(), (last + day).isoformat(),
        ],
    )  # fmt: skip
    yield from rows.fetchall()


def changes(db: Database, number: int) -> list[Changed]:
    """For each entry whose clock times were changed: its number, the first times, the present ones, and who did it."""
    ticket = state.id_of(db, number)
    names = state.people(db)
    found: dict[int, tuple[tuple[Span, ...], tuple[Span, ...], str]] = {}
    rows = journal.read(db, "ticket_id = ? AND verb IN ('edit', 'undo', 'redo') AND body LIKE '%clock%'", [ticket])
    for record in rows:
        for change in changes_of(record.body):
            if change.f == "clock":
                first = found[change.no][0] if change.no in found else _spans(change.old)
                found[change.no] = first, _spans(change.new), names.get(record.person, "")
    return [(no, *rest) for no, rest in found.items() if rest[0] != rest[1]]


def _spans(raw: Any) -> tuple[Span, ...]:
    spans = json.loads(raw) if isinstance(raw, str) else raw or ()
    return tuple((span["start"], span["end"]) for span in spans)
