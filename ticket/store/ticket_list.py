"""The list of tickets without anything else: the driver only, so that ``ticket list`` starts at once."""

from datetime import UTC, datetime, time
from pathlib import Path
from typing import Any, NamedTuple

from ticket.job.errors import NoShopError
from ticket.job.roles import AUDITOR
from ticket.job.wall import FIRST_DAY, in_bounds
from ticket.store import table_version
from ticket.store.driver import Connection, Error, check_version, connect, is_shop, plain_errors


class TicketRow(NamedTuple):
    """One line of the list.

    Attributes:
        vehicle: the shortest words that tell which vehicle is meant.
        plate: as typed, even where the vehicle is told by other words.
        customer: name, empty where not known or erased.
        odometer: reading at arrival with its unit, as typed.
        entries: how many stand on it, struck ones not counted.
        updated: the last action on it.
        ready_by: what was promised, as typed.
        codes: its fault codes with their sub-codes, one space between.
        back_from: the number of the ticket that a complaint says it came back from; 0 for none.
        damaged: its row cannot be read; only the number counts then, and its times are none.
    """

    number: int
    status: str
    vehicle: str
    plate: str
    customer: str
    opened: datetime
    closed: datetime | None
    odometer: str
    entries: int
    updated: datetime
    ready_by: str = ""
    codes: str = ""
    back_from: int = 0
    damaged: bool = False


_ROWS = """
SELECT number, status,
  coalesce(json_extract(header, '$.vehicle.label'), json_extract(header, '$.vehicle.plate'),
           json_extract(header, '$.vehicle.vin'), ''),
  coalesce(json_extract(header, '$.vehicle.plate'), ''),
  coalesce((SELECT value FROM identity WHERE id = json_extract(header, '$.customer.name.identity')), ''),
  opened, closed,
  trim(coalesce(json_extract(header, '$.odometer_in.number'), '') || ' '
    || coalesce(json_extract(header, '$.odometer_in.unit'), '')),
  (SELECT count(*) FROM entry WHERE ticket_id = ticket.id AND struck = 0), updated,
  coalesce(json_extract(header, '$.ready_by'), ''),
  coalesce((SELECT group_concat(code || iif(sub = '', '', '-' || sub), ' ') FROM entry_code
            WHERE ticket_id = ticket.id), ''),
  coalesce((SELECT back_from FROM job WHERE ticket_id = ticket.id), 0)
FROM ticket {where} ORDER BY id DESC
"""


def read_rows(connection: Connection, signed: bool | None = None) -> list[TicketRow]:
    """The list, newest first; only signed or only unsigned tickets where asked."""
    where = {None: "", True: "WHERE status = 'signed'", False: "WHERE status <> 'signed'"}[signed]
    try:
        return [_row(cells) for cells in connection.execute(_ROWS.format(where=where)).fetchall()]
    except Error:
        # One row that the library cannot even hand over must not hide the others: each by itself then.
        numbers = connection.execute(f"SELECT number FROM ticket {where} ORDER BY id DESC").fetchall()  # noqa: S608
        return [_alone(connection, number) for (number,) in numbers]


def _alone(connection: Connection, number: int) -> TicketRow:
    try:
        return _row(connection.execute(_ROWS.format(where="WHERE number = ?"), [number]).fetchone())
    except Error:
        return _damaged(number)


def _row(cells: tuple[Any, ...]) -> TicketRow:
    row = TicketRow(*cells)
    try:
        opened, updated = _moment(row.opened), _moment(row.updated)
        closed = _moment(row.closed) if row.closed else None
    except (TypeError, ValueError):
        return _damaged(row.number)
    words = (row.status, row.vehicle, row.plate, row.customer, row.odometer, row.ready_by, row.codes)
    if not all(isinstance(word, str) for word in words):
        return _damaged(row.number)
    return row._replace(opened=opened, closed=closed, updated=updated)


def _moment(text: Any) -> datetime:
    at = datetime.fromisoformat(text)
    if not in_bounds(at):
        raise ValueError("a time far from any day of work")
    return at


def _damaged(number: int) -> TicketRow:
    never = datetime.combine(FIRST_DAY, time(), UTC)
    return TicketRow(number, "damaged", "", "", "", never, None, "", 0, never, damaged=True)


class TicketList(NamedTuple):
    """What is shown of a shop before it is opened, read on one connection.

    Attributes:
        rows: tickets, newest first.
        shop: its name; empty where nobody set it.
        zone: the zone its days are told in; empty where nobody set it.
        auditors: names of the people who are shown no customer unless they ask for it.
    """

    rows: list[TicketRow]
    shop: str = ""
    zone: str = ""
    auditors: frozenset[str] = frozenset()


def open_tickets(path: Path, all: bool = False) -> TicketList:  # noqa: A002
    """The tickets not yet signed, or all of them, newest first, read without the right to write.

    Raises:
        StoreError: there is no shop, or it cannot be read.
    """
    check_version()
    if not is_shop(path):
        raise NoShopError(path)
    with plain_errors(path):
        connection = connect(path, "ro")
        try:
            found = table_version.version(connection, path)
            if found == table_version.newest():
                found_rows = read_rows(connection, None if all else False)
                texts = (_setting(connection, "shop"), _setting(connection, "zone"))
                return TicketList(found_rows, *texts, _auditors(connection))
        finally:
            connection.close()
    if found:
        from ticket.store.migrate import bring_up_to_date  # rare, and heavier than the rest

        bring_up_to_date(path)
        return open_tickets(path, all)
    return TicketList([])


def _setting(connection: Connection, key: str) -> str:
    """A setting of the shop that is a text; empty where nobody set it."""
    found = connection.execute(
        "SELECT CASE WHEN json_valid(value) THEN CASE json_type(value)"
        " WHEN 'text' THEN CAST(json_extract(value, '$') AS BLOB) END END FROM shop WHERE key = ?",
        [key],
    ).fetchone()
    try:
        return found[0].decode() if found and found[0] is not None else ""
    except UnicodeDecodeError:  # broken bytes: the commands that open the shop say so, the list goes on without
        return ""


def _auditors(connection: Connection) -> frozenset[str]:
    return frozenset(str(row[0]) for row in connection.execute("SELECT name FROM person WHERE role = ?", [AUDITOR]))


def any_ticket(path: Path) -> bool:
    """Whether there is a ticket in the database, open or signed; ``False`` where there is no database."""
    if not is_shop(path):
        return False
    with plain_errors(path):
        connection = connect(path, "ro")
        try:
            return bool(
                table_version.version(connection, path)
                and connection.execute("SELECT 1 FROM ticket LIMIT 1").fetchone()
            )
        finally:
            connection.close()
