"""Past jobs by what is known of them. Whatever a user types becomes a quoted term or a bound value, never syntax."""

from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from typing import Any

from sqlite_utils import Database

from ticket.job.codec import instant
from ticket.job.regex import Regex
from ticket.store.additions import DAY_BITS, day_id
from ticket.store.index import SHIFT, code_token
from ticket.store.same_vehicle import vehicle_key

_DAY = timedelta(days=1)
CAP = 1001  # an exact count of a common word costs more than anybody learns from it


_GAP = ("-", " ", "")
_GAPS = Regex(r"[ \-\u2010\u2011\u2013]+")


@dataclass(frozen=True, slots=True)
class Query:
    """What to look for; everything given must hold.

    Attributes:
        codes: (code, sub-code or empty for any); a code that ends in ``*`` stands for all that begin so.
        words: single words in any text of the ticket; one that ends in ``*`` stands for all that begin so.
        parts: whole part numbers, in any case, with spaces or dashes or neither.
        vehicle: words of the vehicle's label.
        plate: whole plate; case, spaces and dashes do not matter.
        vin: whole identification number, or its end.
        since: opened on this day or later.
        until: opened on this day or earlier.
        signed: only signed tickets, or only unsigned ones.
        limit: how many numbers to give.
    """

    codes: tuple[tuple[str, str], ...] = ()
    words: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    vehicle: str = ""
    plate: str = ""
    vin: str = ""
    since: date | None = None
    until: date | None = None
    number: int | None = None
    signed: bool | None = None
    limit: int = 50


@dataclass(frozen=True, slots=True)
class FoundTickets:
    """What was found.

    Attributes:
        total: how many tickets; :data:`CAP` means more than a thousand.
        numbers: of the newest, newest first.
    """

    total: int
    numbers: tuple[int, ...]


@dataclass(slots=True)
class _Parts:
    match: list[str] = field(default_factory=list)
    where: list[str] = field(default_factory=list)
    values: list[Any] = field(default_factory=list)

    def add(self, where: str, *values: Any) -> None:
        self.where.append(where)
        self.values += values


def quoted(term: str) -> str:
    """A word as a term of the word index, or nothing where it holds no letter and no digit."""
    stem = term.rstrip("*")
    if not any(map(str.isalnum, stem)):
        return ""
    plain = stem.replace("\x00", " ").encode("utf-8", "replace").decode().replace('"', '""')
    return f'"{plain}" *' if term.endswith("*") else f'"{plain}"'


def find(db: Database, query: Query) -> FoundTickets:
    """Look, newest first. The word index must be up to date."""
    sql, values = statement(query)
    numbers = [row[0] for row in db.execute(sql, values).fetchall()]
    return FoundTickets(len(numbers), tuple(numbers[: max(0, min(query.limit, CAP - 1))]))


def statement(query: Query) -> tuple[str, list[Any]]:
    """The SQL of a query. With words or codes the word index leads, read upwards; else the tickets do."""
    parts = _Parts()
    for code, sub in query.codes:
        _code(parts, code, sub)
    terms = list(filter(None, map(quoted, query.words)))
    parts.match += terms + [f"vehicle : {term}" for term in filter(None, map(quoted, query.vehicle.split()))]
    for part in query.parts:
        forms = _forms(part)
        held = f"SELECT 1 FROM entry_part AS p WHERE p.ticket_id = t.id AND p.part IN ({_marks(forms)})"  # noqa: S608
        parts.add(f"EXISTS ({held})", *forms)
    if query.plate:
        parts.add(f"{vehicle_key('plate')} = {_KEY_OF_VALUE}", _bound(query.plate))
    if query.vin:
        _vin(parts, query.vin)
    if query.number is not None:
        parts.add("t.number = ?", query.number if 0 < query.number < 2**53 else 0)
    if query.signed is not None:
        parts.add("t.status = 'signed'" if query.signed else "t.status <> 'signed'")
    asked = (*query.words, *query.vehicle.split())
    if asked and not (parts.match or parts.where):
        parts.add("0")  # nothing in it can be looked for, so nothing is found
    _opened(parts, query)
    return _led_by_words(query, parts) if parts.match else _led_by_tickets(query, parts)


def _forms(part: str) -> tuple[str, ...]:
    """A part number as asked for, and with its spaces and dashes written in the other ways people write them."""
    pieces = [piece for piece in _GAPS.split(part.strip()) if piece]
    return tuple(dict.fromkeys(_bound(form) for form in (part, *(gap.join(pieces) for gap in _GAP))))


def _marks(forms: tuple[str, ...]) -> str:
    return ", ".join("?" * len(forms))


def _led_by_words(query: Query, parts: _Parts) -> tuple[str, list[Any]]:
    low, high = _days(query)
    where = "".join(f" AND {condition}" for condition in parts.where)
    sql = (
        "SELECT t.number FROM ticket_fts AS f JOIN ticket AS t ON t.id = ? - f.rowid "  # noqa: S608
        f"WHERE f.ticket_fts MATCH ? AND f.rowid BETWEEN ? AND ?{where} ORDER BY f.rowid LIMIT {CAP}"
    )
    return sql, [SHIFT, " AND ".join(parts.match), SHIFT - high, SHIFT - low, *parts.values]


def _led_by_tickets(query: Query, parts: _Parts) -> tuple[str, list[Any]]:
    low, high = _days(query)
    if query.parts:  # few tickets hold a part: start from them
        forms = _forms(query.parts[0])
        held = f"SELECT ticket_id FROM entry_part WHERE part IN ({_marks(forms)})"  # noqa: S608
        parts.add(f"t.id IN ({held})", *forms)
    where = "".join(f" AND {condition}" for condition in parts.where)
    sql = f"SELECT t.number FROM ticket AS t WHERE t.id BETWEEN ? AND ?{where} ORDER BY t.id DESC LIMIT {CAP}"  # noqa: S608
    return sql, [low, high, *parts.values]


def _days(query: Query) -> tuple[int, int]:
    """The identities asked for. They count days of UTC, so a day more on either side; :func:`_opened` is exact."""
    low = day_id(query.since - _DAY) if query.since and query.since > date.min else 0
    high = query.until + _DAY if query.until and query.until < date.max else date.max
    return low, day_id(high) + (1 << DAY_BITS) - 1


def _opened(parts: _Parts, query: Query) -> None:
    """The days on the shop's wall, as moments."""
    if query.since and query.since - date.min > _DAY:
        parts.add("t.opened >= ?", instant(datetime.combine(query.since, time()).astimezone()))
    if query.until and date.max - query.until > 2 * _DAY:
        parts.add("t.opened < ?", instant(datetime.combine(query.until + _DAY, time()).astimezone()))


def _code(parts: _Parts, code: str, sub: str) -> None:
    """The token finds it fast; the side table makes sure, since a token loses dashes and spaces."""
    stem = code.rstrip("*")
    begins = code.endswith("*")
    if token := code_token(stem, "" if begins else sub):
        parts.match.append(f"codes : {quoted(token + '*' * begins)}")
    wanted = "substr(c.code, 1, length(?)) = ?" if begins else "c.code = ?"
    values: list[Any] = [_bound(stem)] * (2 if begins else 1)
    if sub:
        wanted += " COLLATE NOCASE AND c.sub = ?"
        values.append(_bound(sub))
    parts.add(
        f"EXISTS (SELECT 1 FROM entry_code AS c WHERE c.ticket_id = t.id AND {wanted} COLLATE NOCASE)",  # noqa: S608
        *values,
    )


_KEY_OF_VALUE = "upper(replace(replace(?,' ',''),'-',''))"


def _vin(parts: _Parts, vin: str) -> None:
    plain = "".join(filter(str.isalnum, vin))
    if len(plain) in (6, 8):
        parts.add(f"substr({vehicle_key('vin')},-{len(plain)}) = {_KEY_OF_VALUE}", _bound(plain))
    elif len(plain) >= 17 or not plain:
        parts.add(f"{vehicle_key('vin')} = {_KEY_OF_VALUE}", _bound(vin))
    else:
        parts.add(f"substr({vehicle_key('vin')},-?) = {_KEY_OF_VALUE}", len(plain), _bound(plain))


def _bound(text: str) -> str:
    """Text the driver can bind."""
    return text.encode("utf-8", "replace").decode()
