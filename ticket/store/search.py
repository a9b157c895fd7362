"""Past jobs by what is known of them. Whatever a user types becomes a quoted term or a bound value, never syntax."""

# ruff: noqa: S608 - the SQL is made of constants of this module; what was typed is bound

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from typing import Any

from sqlite_utils import Database

from ticket.job.codec import instant
from ticket.job.regex import Regex
from ticket.job.text import fold
from ticket.store.additions import DAY_BITS, day_id
from ticket.store.asked import WORD_FIELDS, Clause, Query, Term
from ticket.store.index import SHIFT, code_token
from ticket.store.same_vehicle import plain

_DAY = timedelta(days=1)
CAP = 1001  # an exact count of a common word costs more than anybody learns from it while typing
PIECE = 3
"""Letters and figures of a piece of a plate or a number that can be looked for."""
_PIECES_ASKED = 4
_GAP = ("-", " ", "")
_GAPS = Regex(r"[ \-\u2010\u2011\u2013]+")
_NOTHING = "0"


@dataclass(frozen=True, slots=True)
class FoundTickets:
    """What was found.

    Attributes:
        total: how many tickets; :data:`CAP` means more than a thousand unless all were counted.
        numbers: of those asked for, newest or best first.
    """

    total: int
    numbers: tuple[int, ...]


@dataclass(slots=True)
class _Parts:
    """The pieces of a statement: what the word index and the index of pieces match, and what else must hold."""

    match: list[str] = field(default_factory=list)
    never: list[str] = field(default_factory=list)
    pieces: list[str] = field(default_factory=list)
    where: list[str] = field(default_factory=list)
    values: list[Any] = field(default_factory=list)

    def add(self, where: str, values: Sequence[Any]) -> None:
        self.where.append(where)
        self.values += values


Condition = tuple[str, list[Any]]


@dataclass(frozen=True, slots=True)
class Statement:
    """The SQL of a query: the keys of the jobs as ``id``.

    Attributes:
        sql: in any order.
        order: what puts the newest first.
        values: what it binds.
    """

    sql: str
    order: str
    values: list[Any]

    @property
    def newest_first(self) -> str:
        """The SQL with its order."""
        return f"{self.sql} ORDER BY {self.order}"

    @property
    def listed(self) -> bool:
        """Whether long lists are looked up before the first job is found."""
        return "(SELECT rowid" in self.sql or _CUSTOMERS in self.sql


def quoted(term: str) -> str:
    """A word as a term of the word index, or nothing where it holds no letter and no digit."""
    stem = term.rstrip("*")
    if not any(map(str.isalnum, stem)):
        return ""
    plain_text = stem.replace("\x00", " ").encode("utf-8", "replace").decode().replace('"', '""')
    return f'"{plain_text}" *' if term.endswith("*") else f'"{plain_text}"'


def find(db: Database, query: Query) -> FoundTickets:
    """Look. The word index must be up to date."""
    limit, offset = max(0, min(query.limit, 2**40)), max(query.offset, 0)
    asked = statement(query)
    most = max(limit + offset, CAP - 1 if query.best else 0)
    if query.counted and asked.listed:
        # What stands in a list is looked up before the first job is found: a second question would look it up again.
        rows = db.execute(
            f"WITH all_found AS MATERIALIZED ({asked.sql}) SELECT {_NUMBER}, (SELECT count(*) FROM all_found)"
            " FROM (SELECT id FROM all_found ORDER BY id DESC LIMIT ?) AS found ORDER BY found.id DESC",
            [*asked.values, max(most, 1)],
        ).fetchall()
        numbers, total = [row[0] for row in rows[:most]], rows[0][1] if rows else 0
    else:
        rows = db.execute(
            f"SELECT {_NUMBER} FROM ({asked.newest_first} LIMIT ?) AS found", [*asked.values, most + 1]
        ).fetchall()
        numbers = [row[0] for row in rows]
        total = len(numbers) if len(numbers) <= most else _total(db, asked, counted=query.counted)
    if query.best and (match := _match_of(query)):
        numbers = _ranked(db, match, numbers[: CAP - 1]) + numbers[CAP - 1 :]
    return FoundTickets(total, tuple(numbers[offset : offset + limit]))


_NUMBER = "(SELECT number FROM ticket WHERE id = found.id)"


def _total(db: Database, asked: Statement, *, counted: bool) -> int:
    """How many fit, in whatever order costs least: all of them, or up to :data:`CAP`."""
    limit = "" if counted else f" LIMIT {CAP}"
    return int(db.execute(f"SELECT count(*) FROM ({asked.sql}{limit})", asked.values).fetchone()[0])


def _match_of(query: Query) -> str:
    return _matched(_parts(query))


def _ranked(db: Database, match: str, numbers: list[int]) -> list[int]:
    """Some jobs by how well their words fit."""
    rows = db.execute(
        "SELECT t.number FROM ticket_fts AS f JOIN ticket AS t ON t.id = ? - f.rowid WHERE f.ticket_fts MATCH ? AND"
        " f.rowid IN (SELECT ? - id FROM ticket WHERE number IN (SELECT value FROM json_each(?)))"
        " ORDER BY bm25(ticket_fts), f.rowid",
        [SHIFT, match, SHIFT, json.dumps(numbers)],
    )
    return [row[0] for row in rows.fetchall()]


def statement(query: Query) -> Statement:
    """The SQL of a query.

    What finds few jobs leads: pieces of numbers, then words, read upwards, then a code, who worked, whose vehicle it
    is; else the jobs.
    """
    leading, days = _leading(query), _days(query)
    parts = _parts(query, leading)
    where = "".join(f" AND {condition}" for condition in parts.where)
    match, pieces = _matched(parts), " AND ".join(parts.pieces)
    if pieces or match:
        if pieces and match:
            # The plus keeps SQLite from asking the index of pieces once for each job that holds the words.
            where = f" AND +f.rowid IN (SELECT rowid FROM ticket_fts WHERE ticket_fts MATCH ?){where}"
        table, asked = ("fragment", [pieces]) if pieces else ("ticket_fts", [match])
        joined, where = _joined(f"{_between_days('f.rowid', days)}{where}", _KEY)
        return Statement(
            f"SELECT {_KEY} AS id FROM {table} AS f{joined} WHERE f.{table} MATCH ?{where}", "f.rowid",
            [*asked, *(SHIFT - key for key in reversed(days)), *([match] if pieces and match else []), *parts.values],
        )  # fmt: skip
    if leading is not None:
        source, held = _SOURCES[leading.field]
        condition, values = held(leading)
        joined, where = _joined(f"{_between_days('d.ticket_id', days)}{where}", "d.ticket_id")
        return Statement(
            f"SELECT {source} AS d{joined} WHERE {condition}{where}", "d.ticket_id DESC",
            [*values, *days, *parts.values],
        )  # fmt: skip
    table, key = "ticket AS t", "t.id"
    if "j." in where and not _OF_TICKET.search(where):
        table, key = "job AS j", "j.ticket_id"
    elif "j." in where:
        table = "ticket AS t JOIN job AS j ON j.ticket_id = t.id"
    where = f"{_between_days(key, days)}{where.replace('t.id', key)}"
    return Statement(f"SELECT {key} AS id FROM {table} WHERE 1{where}", f"{key} DESC", [*days, *parts.values])


def _between_days(key: str, days: Sequence[int]) -> str:
    return f" AND {key} BETWEEN ? AND ?" if days else ""


_KEY = f"({SHIFT} - f.rowid)"
_OF_TICKET = Regex(r"\bt\.(?!id\b)")
"""A column of the ticket itself but its key: else its long rows need not be read."""


def _joined(where: str, key: str) -> tuple[str, str]:
    """What has to be joined for some conditions, and the conditions with it."""
    ticket = f" JOIN ticket AS t ON t.id = {key}" if _OF_TICKET.search(where) else ""
    job = f" JOIN job AS j ON j.ticket_id = {key}" if "j." in where else ""
    return f"{ticket}{job}", where.replace("t.id", key)


def _leading(query: Query) -> Term | None:
    """What finds the jobs where no words and no pieces of numbers are looked for: a code, somebody, or a customer."""
    if any(_by_index(term) for clause in query.clauses for term in clause):
        return None
    sure = [clause[0] for clause in query.clauses if len(clause) == 1 and not clause[0].without]
    found = {term.field: term for term in reversed(sure) if term.field != "tech" or term.whole}
    code = found.get("code")
    if code is not None and (code.text.endswith("*") or not code.text):
        found.pop("code")
    return next((found[field] for field in _SOURCES if field in found), None)


def _by_index(term: Term) -> bool:
    """Whether the index of words or of pieces of numbers finds it."""
    return term.field in WORD_FIELDS or (term.field in _PIECES and not term.whole)


def _by_code(term: Term) -> Condition:
    sub = " AND d.sub = ? COLLATE NOCASE" if term.sub else ""
    return f"d.code = ? COLLATE NOCASE{sub}", [_bound(one) for one in (term.text, term.sub) if one]


_OWN_CUSTOMER = "json_extract(n.header, '$.customer.name.identity') = +i.id"  # the plus lets the index answer
_CUSTOMERS = (
    f"SELECT n.id AS ticket_id FROM identity AS i CROSS JOIN ticket AS n ON {_OWN_CUSTOMER}"
    " WHERE i.part = 'customer.name' AND instr(lower(i.value), ?)"
)
_SOURCES: dict[str, tuple[str, Callable[[Term], Condition]]] = {
    "code": ("DISTINCT d.ticket_id AS id FROM entry_code", _by_code),
    "tech": ("d.ticket_id AS id FROM job_tech", lambda term: ("d.tech = ?", [_bound(fold(term.text))])),
    "customer": (f"d.ticket_id AS id FROM ({_CUSTOMERS})", lambda term: ("1", [_bound(term.text.lower())])),
}
"""What may lead: where it stands, and what must hold of it there."""
_PIECES = {"part": "parts", "vin": "vin", "plate": "plate"}
"""Fields a piece of which can be looked for, and their column of the index of pieces."""


def _matched(parts: _Parts) -> str:
    """The expression for the word index; what must not match needs something that does."""
    found = " AND ".join(f"({one})" for one in parts.match)
    return f"({found}) NOT ({' OR '.join(parts.never)})" if parts.never and found else found


def _parts(query: Query, leading: Term | None = None) -> _Parts:
    """The pieces of a statement; what leads needs no condition."""
    parts = _Parts()
    asked = False
    for clause in query.clauses:
        if clause != (leading,):
            asked = _add(parts, clause, leads=leading is None) or asked
    if asked and not (parts.match or parts.pieces or parts.where):
        parts.add(_NOTHING, [])  # nothing in it can be looked for, so nothing is found
    if parts.never and not parts.match:
        parts.add(f"NOT {_IN_WORDS}", [SHIFT, " OR ".join(parts.never)])
        parts.never = []
    return parts


# In this order the list rises, and a list that rises is made in half the time.
_IN_PIECES = "? - t.id IN (SELECT rowid FROM fragment WHERE fragment MATCH ?)"
_IN_WORDS = "? - t.id IN (SELECT rowid FROM ticket_fts WHERE ticket_fts MATCH ?)"


def _add(parts: _Parts, clause: Clause, *, leads: bool) -> bool:
    """Put a clause in; whether it was about words. ``leads``: an index of words may be asked for it first."""
    if all(term.field in WORD_FIELDS and not term.without for term in clause):
        found = [one for term in clause if (one := _words(term))]
        parts.match += [" OR ".join(found)] if found else []
        return True
    if len(clause) > 1:
        conditions = _either(clause)
        joined = " OR ".join(f"coalesce({sql}, 0)" for sql, _ in conditions)
        parts.add(f"({joined})", [value for _, values in conditions for value in values])
        return False
    term = clause[0]
    if term.field in WORD_FIELDS:
        parts.never += [one] if (one := _words(term)) else []
        return False
    leads = leads and not term.without
    if leads:
        _lead(parts, term)
    parts.add(*_condition(term, leading=leads))
    return False


def _either(clause: Clause) -> list[Condition]:
    """What must hold of one term or another; all words are asked for in one go."""
    worded = [term for term in clause if term.field in WORD_FIELDS and not term.without]
    words = [one for term in worded if (one := _words(term))]
    rest = [_condition(term) for term in clause if term not in worded]
    return [*rest, (_IN_WORDS, [SHIFT, " OR ".join(words)])] if words else rest or [(_NOTHING, [])]


def _lead(parts: _Parts, term: Term) -> None:
    """What finds a term fast; its condition makes sure."""
    if term.field == "code" and (token := _code_words(term)):
        parts.match.append(token)
    column = _PIECES.get(term.field)
    text = _bound(plain(term.text)).replace("\x00", " ")
    if column and not term.whole:
        parts.pieces += _pieces(column, text)


def _code_words(term: Term) -> str:
    """What the word index must hold where a job has a code; empty where nothing of it can be looked for."""
    stem = term.text.rstrip("*")
    token = f"{code_token(stem)}*" if term.text.endswith("*") else code_token(stem, term.sub)
    return f"codes : {quoted(token)}" if token.strip("*") else ""


def _pieces(column: str, text: str) -> list[str]:
    """What the index of pieces must hold where a column holds a text; the column itself is read to make sure.

    Numbers begin alike and differ at their ends, and each piece costs: so a few from the end, none over another.
    """
    ends = range(len(text), 0, -PIECE)[:_PIECES_ASKED] if len(text) >= PIECE else ()
    pieces = [text[max(end - PIECE, 0) : max(end, PIECE)].replace('"', '""') for end in ends]
    return [f'{column} : "{piece}"' for piece in pieces]


def _narrowed(term: Term) -> Condition:
    """What an index says of a term that does not lead, so that few jobs are looked at; empty where it says nothing."""
    text = _bound(plain(term.text)).replace("\x00", " ")
    if term.field == "code" and (token := _code_words(term)):
        return f"{_IN_WORDS} AND ", [SHIFT, token]
    if term.field == "part" and not term.whole and len(text) >= PIECE:
        return f"{_IN_PIECES} AND ", [SHIFT, " AND ".join(_pieces("parts", text))]
    return "", []


def _words(term: Term) -> str:
    found = quoted(term.text)
    column = WORD_FIELDS[term.field]
    return f"{column} : {found}" if found and column else found


def _condition(term: Term, *, leading: bool = False) -> Condition:
    """What must hold of a ticket ``t`` with its job ``j``; ``leading``: an index was asked for it already."""
    if term.field in WORD_FIELDS:
        found = _words(term)
        sql, values = (_IN_WORDS, [SHIFT, found]) if found else (_NOTHING, [])
    else:
        sql, values = _CONDITIONS[term.field](term)
        if not leading:
            narrowed, more = _narrowed(term)
            sql, values = f"({narrowed}{sql})", [*more, *values]
    return (f"NOT coalesce({sql}, 0)", values) if term.without else (sql, values)


def _code(term: Term) -> Condition:
    """A code and its sub-code, however large its letters are."""
    stem = term.text.rstrip("*")
    begins = term.text.endswith("*")
    wanted = "substr(c.code, 1, length(?)) = ?" if begins else "c.code = ?"
    values: list[Any] = [_bound(stem)] * (2 if begins else 1)
    if term.sub:
        wanted += " COLLATE NOCASE AND c.sub = ?"
        values.append(_bound(term.sub))
    return f"EXISTS (SELECT 1 FROM entry_code AS c WHERE c.ticket_id = t.id AND {wanted} COLLATE NOCASE)", values


def _part(term: Term) -> Condition:
    if term.whole:
        forms = _forms(term.text)
        held = f"SELECT ticket_id FROM entry_part WHERE part IN ({', '.join('?' * len(forms))})"
        return f"t.id IN ({held})", list(forms)
    held = "instr(upper(replace(replace(p.part, ' ', ''), '-', '')), ?)"
    return f"EXISTS (SELECT 1 FROM entry_part AS p WHERE p.ticket_id = t.id AND {held})", [_bound(plain(term.text))]


def _forms(part: str) -> tuple[str, ...]:
    """A part number as asked for, and with its spaces and dashes written in the other ways people write them."""
    pieces = [piece for piece in _GAPS.split(part.strip()) if piece]
    return tuple(dict.fromkeys(_bound(form) for form in (part, *(gap.join(pieces) for gap in _GAP))))


def _plate(term: Term) -> Condition:
    text = _bound(plain(term.text))
    return ("j.plate = ?", [text]) if term.whole else ("instr(j.plate, ?)", [text])


def _vin(term: Term) -> Condition:
    """A piece of a vehicle's number; asked for as a whole, the number itself or its end."""
    text = _bound(plain(term.text))
    if not term.whole:
        return "instr(j.vin, ?)", [text]
    if len(text) >= 17 or not text:
        return "j.vin = ?", [text]
    if len(text) in (6, 8):  # as the indexes have it
        own = "substr(upper(replace(replace(json_extract(v.header,'$.vehicle.vin'),' ',''),'-','')),-{})"
        return f"t.id IN (SELECT v.id FROM ticket AS v WHERE {own.format(len(text))} = ?)", [text]
    return "substr(j.vin, -?) = ?", [len(text), text]


def _tech(term: Term) -> Condition:
    text = _bound(fold(term.text))
    wanted = "x.tech = ?" if term.whole else "instr(x.tech, ?)"
    return f"EXISTS (SELECT 1 FROM job_tech AS x WHERE x.ticket_id = t.id AND {wanted})", [text]


def _customer(term: Term) -> Condition:
    return f"t.id IN ({_CUSTOMERS})", [_bound(term.text.lower())]


def _opened(term: Term) -> Condition:
    """The days on the shop's wall, as moments."""
    day = term.day or date.min
    if term.field == "since":
        if day - date.min <= _DAY:
            return "1", []
        moment = instant(datetime.combine(day, time()).astimezone())
        return f"(t.id >= ? OR {_MOMENT} >= ?)", [day_id(day + _DAY), moment]
    if date.max - day <= 2 * _DAY:
        return "1", []
    return f"(t.id < ? OR {_MOMENT} < ?)", [day_id(day), instant(datetime.combine(day + _DAY, time()).astimezone())]


# Keys count days of UTC, which is less than a day from any wall: only jobs of the days beside the bound are read.
_MOMENT = "(SELECT o.opened FROM ticket AS o WHERE o.id = t.id)"


def _between(column: str) -> Callable[[Term], Condition]:
    def condition(term: Term) -> Condition:
        ends = [(f"{column} >= ?", term.low), (f"{column} <= ?", term.high)]
        given = [(sql, round(value)) for sql, value in ends if value is not None and abs(value) < 2**62]
        return " AND ".join([f"{column} IS NOT NULL", *(sql for sql, _ in given)]), [value for _, value in given]

    return condition


def _equal(column: str) -> Callable[[Term], Condition]:
    return lambda term: (f"{column} = ?", [_bound(term.text)])


def _status(term: Term) -> Condition:
    """Few tickets are not signed, and an index holds those."""
    living = "IN (SELECT s.id FROM ticket AS s WHERE s.status <> 'signed'"
    if term.text == "signed":
        return f"t.id NOT {living})", []
    return f"t.id {living} AND s.status = ?)", [_bound(term.text)]


def _flag(column: str) -> Callable[[Term], Condition]:
    return lambda _term: (f"{column} = 1", [])


def _signed_in(term: Term) -> Condition:
    """Signed between two days of this place, both of them counted."""
    ends = (datetime.combine(day, time()) for day in (term.day or date.min, (term.last or date.max) + _DAY))
    return "j.closed >= ? AND j.closed < ?", [int(end.astimezone().timestamp()) for end in ends]


def _number(term: Term) -> Condition:
    return "t.number = ?", [int(term.low or 0) if 0 < (term.low or 0) < 2**53 else 0]


_AMENDED = (
    "(EXISTS (SELECT 1 FROM entry AS e WHERE e.ticket_id = t.id AND e.amend IS NOT NULL)"
    " OR EXISTS (SELECT 1 FROM correction AS k WHERE k.ticket_id = t.id))"
)
_CONDITIONS: dict[str, Callable[[Term], Condition]] = {
    "code": _code, "part": _part, "plate": _plate, "vin": _vin, "tech": _tech, "customer": _customer,
    "since": _opened, "until": _opened, "distance": _between("j.metres_in"), "total": _between("j.total"),
    "comeback": _between("j.back_days"), "status": _status, "state": _equal("j.state"),
    "pays": lambda term: ("instr(' ' || j.pays || ' ', ?)", [f" {_bound(term.text)} "]),
    "over": _flag("j.over"), "overruled": _flag("j.overruled"), "number": _number, "signed": _signed_in,
    "amended": lambda _term: (_AMENDED, []),
}  # fmt: skip


def _days(query: Query) -> tuple[int, ...]:
    """The first and last key asked for; none where no days are asked for.

    Keys count days of UTC, so a day more on either side; the condition is exact.
    """
    sure = [clause[0] for clause in query.clauses if len(clause) == 1 and not clause[0].without]
    low = max((term.day for term in sure if term.field == "since" and term.day), default=date.min)
    high = min((term.day for term in sure if term.field == "until" and term.day), default=date.max)
    if (low, high) == (date.min, date.max):
        return ()
    first = day_id(low - _DAY) if low > date.min else 0
    last = high + _DAY if high < date.max else date.max
    return first, day_id(last) + (1 << DAY_BITS) - 1


def _bound(text: str) -> str:
    """Text the driver can bind."""
    return text.encode("utf-8", "replace").decode()
