"""Jobs in a few words each, read without putting whole tickets together: what a list of results shows and counts."""

import json
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlite_utils import Database

from ticket.job.errors import DataError
from ticket.store import state
from ticket.store.same_vehicle import vehicle_key

NEVER = 10**6
"""Days after which nothing comes back any more."""


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
        customer: the name, as far as it is not erased.
        entries: how many stand.
        state: ``open``, ``finished`` or ``declined``.
        total: of the bill, in cents; ``None`` where the shop has no price list.
        agreed: the sum the customer agreed to, in cents.
        over: the customer's bill is above it.
        billed: what the customer is billed as that sum was told, in cents; ``None`` where the shop has no price list.
        base: how it was told: ``with tax`` or ``before tax``.
        hours: billed.
        techs: who worked on it.
        back: number of the ticket it came back as; 0 where it did not.
        back_days: how soon.
        closed: when it was signed, in seconds since 1970; ``None`` while it is open.
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
    customer: str = ""
    entries: int = 0
    state: str = "open"
    total: int | None = None
    agreed: int | None = None
    over: bool = False
    billed: int | None = None
    base: str = ""
    hours: float = 0.0
    techs: tuple[str, ...] = ()
    back: int = 0
    back_days: int = 0
    closed: int | None = None

    @property
    def difference(self) -> int | None:
        """What the customer is billed beyond what they agreed to, like with like; ``None`` where one is not known."""
        return None if self.billed is None or self.agreed is None else self.billed - self.agreed


_LIVING = (
    "e.struck = 0 AND NOT EXISTS"
    " (SELECT 1 FROM entry AS a WHERE a.ticket_id = e.ticket_id AND a.replaces = e.no AND a.struck = 0)"
)
_TECHS = "SELECT ticket_id, name FROM job_tech WHERE ticket_id IN (SELECT value FROM json_each(?)) ORDER BY name"
_HEADS = f"""
SELECT t.id, t.number, t.status, t.opened,
  coalesce(json_extract(t.header, '$.vehicle.label'), json_extract(t.header, '$.vehicle.plate'),
           json_extract(t.header, '$.vehicle.vin'), ''),
  coalesce(json_extract(t.header, '$.vehicle.label'), ''),
  trim(coalesce(json_extract(t.header, '$.odometer_in.number'), '') || ' '
    || coalesce(json_extract(t.header, '$.odometer_in.unit'), '')),
  coalesce((SELECT value FROM identity WHERE id = json_extract(t.header, '$.customer.name.identity')), ''),
  (SELECT count(*) FROM entry AS e WHERE e.ticket_id = t.id AND {_LIVING}),
  coalesce(j.state, 'open'), j.total, j.agreed, coalesce(j.over, 0), j.billed, coalesce(j.base, ''),
  coalesce(j.hours, 0),
  coalesce((SELECT number FROM ticket WHERE id = j.back), 0), coalesce(j.back_days, 0), coalesce(j.back_told, 0),
  j.closed
FROM ticket AS t LEFT JOIN job AS j ON j.ticket_id = t.id
WHERE t.number IN (SELECT value FROM json_each(?)) ORDER BY t.id DESC
"""  # noqa: S608 - constants of this package
_CODES = """
SELECT DISTINCT ticket_id, code, sub FROM entry_code
WHERE ticket_id IN (SELECT value FROM json_each(?)) ORDER BY ticket_id, no, i
"""
_TEXTS = f"""
SELECT e.ticket_id, e.kind, CAST(json_extract(e.data, '$.text') AS BLOB) FROM entry AS e
WHERE e.ticket_id IN (SELECT value FROM json_each(?)) AND e.kind IN ('says', 'cause', 'did') AND {_LIVING}
ORDER BY e.ticket_id, e.no
"""  # noqa: S608 - constants of this package


def briefs(db: Database, numbers: Iterable[int], days: int = NEVER) -> list[Brief]:
    """The jobs with these numbers, newest first; numbers that are no ticket's are left out.

    A job that came back later than after so many days did not come back, unless somebody said so.
    """
    heads = db.execute(_HEADS, [json.dumps(list(numbers))]).fetchall()
    ids = json.dumps([head[0] for head in heads])
    codes: dict[int, list[tuple[str, str]]] = defaultdict(list)
    for ticket, code, sub in db.execute(_CODES, [ids]).fetchall():
        codes[ticket].append((code, sub))
    texts: dict[tuple[int, str], list[str]] = defaultdict(list)
    for ticket, kind, text in db.execute(_TEXTS, [ids]).fetchall():
        texts[ticket, kind].append((text or b"").decode(errors="replace"))  # one bad byte takes no list down
    techs: dict[int, list[str]] = defaultdict(list)
    for ticket, name in db.execute(_TECHS, [ids]).fetchall():
        techs[ticket].append(name)
    return [_brief(head, codes[head[0]], texts, techs[head[0]], days) for head in heads if _readable(head)]


def _readable(head: Sequence[Any]) -> bool:
    """Whether a ticket's row holds what the list needs; one that does not is shown as damaged where all are listed."""
    try:
        return bool(state.moment(head[3])) and all(isinstance(cell, str) for cell in head[2:8])
    except DataError:
        return False


def _brief(
    head: Sequence[Any], codes: list[tuple[str, str]], texts: dict[tuple[int, str], list[str]], techs: list[str],
    days: int,
) -> Brief:  # fmt: skip
    found, number, status, opened, vehicle, label, odometer, customer, entries, *job = head
    state_word, total, agreed, over, billed, base, hours, back, back_days, back_told, closed = job
    is_back = back and (back_told or back_days <= days)
    said = texts[int(found), "says"]
    return Brief(
        number=int(number), status=status, opened=state.moment(opened), vehicle=vehicle, label=label,
        odometer=odometer, codes=tuple(dict.fromkeys(codes)), causes=tuple(texts[int(found), "cause"]),
        work=tuple(texts[int(found), "did"]), said=said[0] if said else "", customer=customer,
        entries=entries, state=state_word, total=total, agreed=agreed,
        over=bool(over), billed=billed, base=base, hours=hours, techs=tuple(techs), back=back if is_back else 0,
        back_days=back_days if is_back else 0, closed=closed,
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
