"""Jobs in a few words each, read without putting whole tickets together: what a list of results shows and counts."""

import json
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlite_utils import Database

from ticket.job.errors import DataError
from ticket.store import state
from ticket.store.same_vehicle import vehicle_key


@dataclass(frozen=True, slots=True)
class Brief:
    """A job in a few words.

    Attributes:
        vehicle: the shortest words that tell which vehicle is meant.
        label: what people call the vehicle; empty where nobody said.
        odometer: reading at arrival with its unit, as typed.
        codes: (code, sub-code or empty), each once.
        causes: texts of its living causes.
        work: texts of its living labour.
        said: the first complaint.
        vehicle_key: equal for jobs of one vehicle; empty where the vehicle is not known by number or plate.
    """

    number: int
    status: str
    opened: datetime
    vehicle: str
    label: str
    odometer: str
    codes: tuple[tuple[str, str], ...] = ()
    causes: tuple[str, ...] = ()
    work: tuple[str, ...] = ()
    said: str = ""
    vehicle_key: str = ""


_HEADS = f"""
SELECT t.id, t.number, t.status, t.opened,
  coalesce(json_extract(t.header, '$.vehicle.label'), json_extract(t.header, '$.vehicle.plate'),
           json_extract(t.header, '$.vehicle.vin'), ''),
  coalesce(json_extract(t.header, '$.vehicle.label'), ''),
  trim(coalesce(json_extract(t.header, '$.odometer_in.number'), '') || ' '
    || coalesce(json_extract(t.header, '$.odometer_in.unit'), '')),
  coalesce({vehicle_key("vin")}, {vehicle_key("plate")}, '')
FROM ticket AS t WHERE t.number IN (SELECT value FROM json_each(?)) ORDER BY t.id DESC
"""  # noqa: S608 - constants of this package
_CODES = """
SELECT DISTINCT ticket_id, code, sub FROM entry_code
WHERE ticket_id IN (SELECT value FROM json_each(?)) ORDER BY ticket_id, no, i
"""
_TEXTS = """
SELECT e.ticket_id, e.kind, json_extract(e.data, '$.text') FROM entry AS e
WHERE e.ticket_id IN (SELECT value FROM json_each(?)) AND e.kind IN ('says', 'cause', 'did') AND e.struck = 0
  AND NOT EXISTS (SELECT 1 FROM entry AS a WHERE a.ticket_id = e.ticket_id AND a.replaces = e.no AND a.struck = 0)
ORDER BY e.ticket_id, e.no
"""


def briefs(db: Database, numbers: Iterable[int]) -> list[Brief]:
    """The jobs with these numbers, newest first; numbers that are no ticket's are left out."""
    heads = db.execute(_HEADS, [json.dumps(list(numbers))]).fetchall()
    ids = json.dumps([head[0] for head in heads])
    codes: dict[int, list[tuple[str, str]]] = defaultdict(list)
    for ticket, code, sub in db.execute(_CODES, [ids]).fetchall():
        codes[ticket].append((code, sub))
    texts: dict[tuple[int, str], list[str]] = defaultdict(list)
    for ticket, kind, text in db.execute(_TEXTS, [ids]).fetchall():
        texts[ticket, kind].append(text or "")
    return [_brief(head, codes[head[0]], texts) for head in heads if _readable(head)]


def _readable(head: Sequence[str]) -> bool:
    """Whether a ticket's row holds what the list needs; one that does not is shown as damaged where all are listed."""
    try:
        return bool(state.moment(head[3])) and all(isinstance(cell, str) for cell in head[2:])
    except DataError:
        return False


def _brief(
    head: Sequence[str], codes: list[tuple[str, str]], texts: dict[tuple[int, str], list[str]]
) -> Brief:  # fmt: skip
    found, number, status, opened, vehicle, label, odometer, key = head
    said = texts[int(found), "says"]
    return Brief(
        number=int(number), status=status, opened=state.moment(opened), vehicle=vehicle, label=label,
        odometer=odometer, codes=tuple(dict.fromkeys(codes)), causes=tuple(texts[int(found), "cause"]),
        work=tuple(texts[int(found), "did"]), said=said[0] if said else "", vehicle_key=key,
    )  # fmt: skip


def visits(db: Database, vin: str, plate: str) -> tuple[int, ...]:
    """Numbers of the tickets of a vehicle known by its identification number, else by its plate, newest first.

    The number may be its last 8 or 6 characters.
    """
    for part, text in (("vin", vin), ("plate", plate)):
        key = "".join(text.split()).replace("-", "").upper()
        if key:
            held = vehicle_key(part)
            if part == "vin" and len(key) in (6, 8):
                held = f"substr({held},-{len(key)})"
            rows = db.execute(
                f"SELECT t.number FROM ticket AS t WHERE {held} = ? ORDER BY t.id DESC",  # noqa: S608
                [key.encode("utf-8", "replace").decode()],
            ).fetchall()
            if rows:
                return tuple(row[0] for row in rows)
    return ()


def of_vehicles(db: Database, numbers: Iterable[int]) -> set[int]:
    """Numbers of every ticket of the vehicles of some tickets: by identification number, and by plate."""
    wanted = json.dumps(list(numbers))
    found: set[int] = set()
    for part in ("vin", "plate"):
        mine, other = vehicle_key(part), vehicle_key(part).replace("t.header", "o.header")
        rows = db.execute(
            f"SELECT DISTINCT o.number FROM ticket AS t JOIN ticket AS o ON {other} = {mine} "  # noqa: S608
            f"WHERE t.number IN (SELECT value FROM json_each(?)) AND {mine} <> ''",
            [wanted],
        )
        found |= {row[0] for row in rows.fetchall()}
    return found
