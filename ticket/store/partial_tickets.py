"""Many tickets at once with only some fields of some kinds of entries, for counts over thousands of jobs.

What is left out stands as if it had never been typed, so these tickets are for counting and nothing else.
"""

import json
from collections.abc import Collection, Iterable, Iterator, Mapping

from sqlite_utils import Database

from ticket.job.codec import Json
from ticket.job.errors import DamagedError
from ticket.job.ticket import Ticket
from ticket.store import driver, state, stored_values

_AT_ONCE = 500  # tickets of one question, so that memory stays small
_HEADER = ("vehicle", "odometer_in", "odometer_out", "odometer_reason", "warranty", "contract")

Fields = Mapping[str, Collection[str]]
"""The fields to read of each kind of entry; kinds not named are left out."""
ALL: Collection[str] = ("*",)
"""Every field of a kind."""


def tickets(
    db: Database, numbers: Iterable[int], wanted: Fields, damaged: list[DamagedError] | None = None
) -> Iterator[Ticket]:  # fmt: skip
    """The tickets with these numbers, newest first, with these fields of their entries, their vehicle and their payers.

    Args:
        db: the database.
        numbers: of the tickets.
        wanted: the fields.
        damaged: takes what is wrong with tickets that cannot be read, which are left out then.

    Raises:
        DamagedError: one cannot be read, and ``damaged`` is not given.
    """
    every = sorted(set(numbers), reverse=True)
    names = state.people(db)
    for start in range(0, len(every), _AT_ONCE):
        some = every[start : start + _AT_ONCE]
        try:
            found = _read(db, some, wanted, names)
        except (ValueError, TypeError, DamagedError, driver.Error):
            # One that cannot be read must not hide the others: each by itself then.
            found = [ticket for number in some for ticket in _alone(db, number, wanted, names, damaged)]
        yield from found


def _alone(
    db: Database, number: int, wanted: Fields, names: Mapping[int, str], damaged: list[DamagedError] | None
) -> list[Ticket]:  # fmt: skip
    try:
        with state.damage_of(number):
            return _read(db, [number], wanted, names)
    except DamagedError as error:
        if damaged is None:
            raise
        damaged.append(error)
        return []


def _read(db: Database, numbers: list[int], wanted: Fields, names: Mapping[int, str]) -> list[Ticket]:
    rows = db.execute(
        f"SELECT {', '.join(state.TICKET)} FROM ticket WHERE number IN (SELECT value FROM json_each(?))"  # noqa: S608
        " ORDER BY id DESC",
        [json.dumps(numbers)],
    )
    found = {held.id: held for held in map(state.ticket_row, rows.fetchall())}
    # An amendment of any kind is read, so that what it replaced does not live on; what it replaced is read too, because
    # answers are given to a wording.
    rows = db.execute(
        f"SELECT e.ticket_id, {', '.join(f'e.{name}' for name in state.ENTRY)} FROM entry AS e"  # noqa: S608
        " WHERE e.ticket_id IN (SELECT value FROM json_each(?)) AND e.struck = 0"
        " AND (e.kind IN (SELECT value FROM json_each(?)) OR e.replaces IS NOT NULL) ORDER BY e.no",
        [json.dumps(list(found)), json.dumps(sorted(wanted))],
    )
    ids: list[int] = []
    for ticket, *row in rows.fetchall():
        entry = state.entry_row(tuple(row))
        entry.data = _only(entry.data, wanted.get(entry.kind, entry.data))
        found[ticket].entries[entry.no] = entry
        ids += [identity["identity"] for identity in stored_values.identities(entry.data)]
    for held in found.values():
        held.header = _only(held.header, _HEADER)
    reveal = state.revealer(db, ids)
    return [state.assemble(held, names, reveal) for held in found.values()]


def _only(data: Json, names: Iterable[str]) -> Json:
    if not isinstance(data, dict):
        raise TypeError("its facts are no object")
    return data if names is ALL else {name: data[name] for name in names if name in data}
