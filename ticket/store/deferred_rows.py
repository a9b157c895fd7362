"""Deferred work: what still waits, and what became of it."""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlite_utils import Database

from ticket.store import state
from ticket.store.index_rows import ANSWERED, SETTLED


@dataclass(frozen=True, slots=True)
class DueRow:
    """Deferred work that waits.

    Attributes:
        number: its ticket.
        no: its entry.
        due_date: ISO date, or ``None``.
        due_metres: reading of the odometer in metres, or ``None``.
        entered: when it was typed, as stored.
        reading: odometer of its ticket, as typed, with its unit; empty where there is none.
    """

    number: int
    no: int
    state: str
    due_date: str | None
    due_metres: int | None
    entered: str = ""
    reading: tuple[str, str] = ("", "")


@dataclass(frozen=True, slots=True)
class FollowUp:
    """The newest word on deferred work.

    Attributes:
        no: the entry.
        what: ``call``, ``new date``, ``done`` or ``declined``.
        at: when it was recorded; carries a zone.
    """

    no: int
    what: str
    person: str
    at: datetime
    date: str = ""
    note: str = ""


def _marks(words: tuple[str, ...]) -> str:
    return ", ".join(f"'{word}'" for word in words)


# An item is settled by its state, or by a living entry of another ticket that refers to it and answers it: for
# good, or by letting it wait anew with a date or distance of its own, which then counts instead.
_OPEN = f"""
SELECT t.number, d.no, d.state, d.due_date, d.due_metres, own.at,
  coalesce(json_extract(t.header, '$.odometer_out.number'), json_extract(t.header, '$.odometer_in.number'), ''),
  coalesce(json_extract(t.header, '$.odometer_out.unit'), json_extract(t.header, '$.odometer_in.unit'), '')
FROM entry_due AS d JOIN ticket AS t ON t.id = d.ticket_id
JOIN entry AS own ON own.ticket_id = d.ticket_id AND own.no = d.no
WHERE d.state NOT IN ({_marks(SETTLED)})
  AND coalesce(json_extract(own.data, '$.answer'), '') NOT IN ({_marks(ANSWERED)})
  AND NOT (json_extract(own.data, '$.answer') IS NOT NULL AND d.due_date IS NULL AND d.due_metres IS NULL)
  AND NOT EXISTS (
    SELECT 1 FROM entry_ref AS r JOIN entry AS e ON e.ticket_id = r.ticket_id AND e.no = r.no
    WHERE r.to_ticket = t.number AND r.to_no = d.no AND r.ticket_id <> d.ticket_id AND e.kind = 'later'
      AND (json_extract(e.data, '$.answer') IN ({_marks(ANSWERED)})
        OR (json_extract(e.data, '$.answer') IS NOT NULL AND EXISTS (
          SELECT 1 FROM entry_due AS x WHERE x.ticket_id = r.ticket_id AND x.no = r.no
            AND (x.due_date IS NOT NULL OR x.due_metres IS NOT NULL)))))
  AND (? IS NULL OR d.ticket_id IN (SELECT id FROM ticket WHERE number IN (SELECT value FROM json_each(?))))
ORDER BY d.due_date IS NULL, d.due_date, d.due_metres IS NULL, d.due_metres, t.number, d.no
"""  # noqa: S608 - constants of this package


def open_items(db: Database, numbers: Iterable[int] | None = None) -> list[DueRow]:
    """What waits, soonest date first; on some tickets only, where their numbers are given."""
    some = None if numbers is None else json.dumps(list(numbers))
    return [
        DueRow(number, no, state, day, metres, entered, (reading, unit))
        for number, no, state, day, metres, entered, reading, unit in db.execute(_OPEN, [some, some]).fetchall()
    ]


def follow_ups(db: Database, number: int) -> tuple[FollowUp, ...]:
    """The newest word on each entry of a ticket that was followed up."""
    names = state.people(db)
    return tuple(_follow_up(no, data, names) for no, data in state.load(db, number).follows.items())


def _follow_up(no: int, data: dict[str, Any], names: dict[int, str]) -> FollowUp:
    return FollowUp(
        no, data["what"], names[data["person"]], state.moment(data["at"]), data.get("date", ""), data.get("note", "")
    )  # fmt: skip
