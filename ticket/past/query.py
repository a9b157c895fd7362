"""A typed search to a query of the store: codes, words and fields, with quotes, a minus and ``or``. Pure.

Any text gives a query, or one clear remark with its place in the text: :class:`QueryFault`.
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta

from ticket.faults.written import leading
from ticket.job.errors import InputError
from ticket.job.numbers import exact
from ticket.job.regex import Regex
from ticket.job.text import fold
from ticket.job.ticket import METRES, STATUSES
from ticket.job.values import PAYERS
from ticket.job.wall import FIRST_DAY, LAST_DAY
from ticket.past.word_forms import forms
from ticket.store.asked import Clause, Query, Term
from ticket.store.search import PIECE

_TOKEN = Regex(r'(?P<minus>-?)(?:(?P<field>[a-z]+):)?(?:"(?P<quoted>[^"]*)"?|(?P<plain>[^\s"]+))')
_VALUE = Regex(r'\s+(?:"(?P<quoted>[^"]*)"?|(?P<plain>[^\s"]+))')
_SPACE = Regex(r"[\s,;]*")
_UNIT_BEHIND = Regex(r" +(?:km|mi)(?=\s|\Z)")
_REST_OF_NUMBER = Regex(r" +[0-9]+(?=\s|\Z)")
_BEHIND = {"part": _REST_OF_NUMBER, "distance": _UNIT_BEHIND}
_NUMBER = Regex(r"\s*[0-9]{1,9}\s*\Z")
_AMOUNT = r"[0-9][0-9,]*(?:\.[0-9]+)?"
_RANGE = Regex(rf"(?P<sign>[<>]=?)?(?P<low>{_AMOUNT})(?:\.\.(?P<high>{_AMOUNT}))?(?P<unit>[a-z]*)\Z")
_OPEN = Regex(rf"\A(?:(?P<low>{_AMOUNT})\.\.|\.\.(?P<high>{_AMOUNT}))(?P<unit>[a-z]*)\Z")
_DAYS = Regex(r"(?P<days>[0-9]{1,5}) ?d?\Z")


class QueryFault(InputError):
    """What is wrong with a search, and where.

    Attributes:
        start: the first character of what is meant.
        end: the place behind its last one.
    """

    def __init__(self, said: str, start: int, end: int) -> None:
        super().__init__(f"{said} (at {start + 1})")
        self.start, self.end = start, end


@dataclass(frozen=True, slots=True)
class Here:
    """What a search is read by.

    Attributes:
        distance: the unit of distances without one.
        comeback_days: what ``comeback:yes`` means.
        synonyms: a word, and the word it stands for.
        techs: who ever worked here, folded.
        limit: how many jobs to give.
    """

    distance: str = "km"
    comeback_days: int = 90
    synonyms: Mapping[str, str] | None = None
    techs: tuple[str, ...] = ()
    limit: int = 50


@dataclass(frozen=True, slots=True)
class _Value:
    """What stands behind the colon of a field."""

    field: str
    text: str
    quoted: bool
    start: int
    end: int
    here: Here

    def fault(self, said: str) -> QueryFault:
        return QueryFault(f"{self.field}: {said}", self.start, self.end)


_YES_NO = ("yes", "no")
Reader = Callable[[_Value], tuple[Clause, ...]]


def _worded(value: _Value) -> tuple[Clause, ...]:
    """Words in one column: each must occur, or one behind the other where they are quoted."""
    words = [value.text] if value.quoted else value.text.split()
    found = [word for word in words if any(map(str.isalnum, word))]
    if not found:
        raise value.fault("a word belongs behind the colon")
    terms = [Term(value.field, word) for word in found]
    return tuple((term,) if value.quoted else _said(term, value.here) for term in terms)


def _piece(value: _Value) -> tuple[Clause, ...]:
    """Three characters or more of a number, or the whole of it in quotes."""
    plain = "".join(filter(str.isalnum, value.text))
    if len(plain) < (1 if value.quoted else PIECE):
        raise value.fault(f"give at least {PIECE} letters or figures of it")
    return ((Term(value.field, value.text, whole=value.quoted),),)


def _named(value: _Value) -> tuple[Clause, ...]:
    if not value.text.strip():
        raise value.fault("a name belongs behind the colon")
    return ((Term(value.field, value.text.strip(), whole=value.quoted),),)


def _worked(value: _Value) -> tuple[Clause, ...]:
    """Everybody whose name holds the text, by their whole names: those are found faster."""
    (((term,),)) = _named(value)
    names = [name for name in value.here.techs if fold(term.text) in name]
    return (tuple(Term("tech", name, whole=True) for name in names) or (term,),)


def _dated(value: _Value) -> tuple[Clause, ...]:
    day = _day(value.text, first=value.field == "since")
    if day is None:
        raise value.fault(f"{value.text[:40]!r} is no date: write 2026, 2026-03 or 2026-03-02")
    return ((Term(value.field, day=day),),)


def _signed_in(value: _Value) -> tuple[Clause, ...]:
    """Signed in that year, in that month, or on that day."""
    first, last = (_day(value.text, first=one) for one in (True, False))
    if first is None or last is None:
        raise value.fault(f"{value.text[:40]!r} is no date: write 2026, 2026-03 or 2026-03-02")
    return ((Term("signed", day=first, last=last),),)


def _signed(match: "re.Match[str]") -> str:
    """``60000..`` and ``..60000`` as a number with a sign."""
    return f"{'>=' if match['low'] else '<='}{match['low'] or match['high']}{match['unit']}"


def _measured(value: _Value) -> tuple[Clause, ...]:
    """``80000..120000``, ``>500``, ``<=5,000km``; one number alone is that number."""
    match = _RANGE.match(_OPEN.sub(_signed, value.text))
    distance = value.field == "distance"
    if match is None or (match["high"] and match["sign"]) or (match["unit"] and not distance):
        units = ", with km or mi behind it where it is not the shop's unit" if distance else ""
        raise value.fault(f"write 500, >500, <500, 500..900, 500.. or ..900{units}")
    unit = match["unit"] or value.here.distance
    if distance and unit not in METRES:
        raise value.fault(f"{unit} is no unit of distance: km or mi")
    return ((_between(value, match, METRES[unit] if distance else 100.0),),)


def _between(value: _Value, match: "re.Match[str]", size: float) -> Term:
    """The term of a range, in metres or cents: one that runs backwards fits nothing, and is refused."""
    low, high = (float(exact(match[name] or match["low"]) or 0) * size for name in ("low", "high"))
    if low > high:
        raise value.fault(f"{value.text} runs backwards: write {match['high']}..{match['low']}")
    sign = match["sign"] or ""
    # A sum above 500 begins a cent further, a distance a metre.
    ends = {"": (low, high), ">": (low + 1, None), ">=": (low, None), "<": (None, low - 1), "<=": (None, low)}[sign]
    return Term(value.field, low=ends[0], high=ends[1])


def _came_back(value: _Value) -> tuple[Clause, ...]:
    match = _DAYS.match(value.text)
    if match is None and value.text not in ("yes", "no"):
        raise value.fault("write yes, no, or days such as 90d")
    days = int(match["days"]) if match else value.here.comeback_days
    return ((Term("comeback", low=0, high=days, without=value.text == "no"),),)


def _yes_or_no(field: str, text: str = "") -> Reader:
    def read(value: _Value) -> tuple[Clause, ...]:
        said = next((word for word in _YES_NO if value.text and word.startswith(value.text.lower())), "")
        if not said:
            raise value.fault("write yes or no")
        return ((Term(field, text, without=said == "no"),),)

    return read


def _one_of(known: tuple[str, ...]) -> Reader:
    def read(value: _Value) -> tuple[Clause, ...]:
        wanted = value.text.replace("-", " ").lower()
        found = [one for one in known if wanted and one.startswith(wanted)]
        if not found:
            raise value.fault(f"one of {', '.join(known)}")
        return (tuple(Term(value.field, one) for one in found),)

    return read


@dataclass(frozen=True, slots=True)
class Field:
    """A field of a search.

    Attributes:
        read: what stands behind its colon, as terms.
        help: what it is for, with an example.
        values: what may stand there, where that is a closed list.
    """

    read: Reader
    help: str
    values: tuple[str, ...] = ()


FIELDS: Mapping[str, Field] = {
    "part": Field(_piece, "three or more characters of a part number, or all of it in quotes"),
    "plate": Field(_piece, "three or more characters of a plate"),
    "vin": Field(_piece, "three or more characters of a vehicle's number"),
    "vehicle": Field(_worded, "words of what people call the vehicle"),
    "cause": Field(_worded, "words of the cause"),
    "did": Field(_worded, "words of the work done"),
    "unit": Field(_worded, "words of the control unit"),
    "tech": Field(_worked, "who worked on it"),
    "customer": Field(_named, "a piece of the customer's name"),
    "since": Field(_dated, "opened (not signed) on this day or later: 2026, 2026-03, 2026-03-02"),
    "until": Field(_dated, "opened on this day or earlier"),
    "signed": Field(_signed_in, "signed in that year, month or day: 2026, 2026-03, 2026-03-02"),
    "distance": Field(_measured, "at arrival: 80000..120000, >80000"),
    "status": Field(_one_of(STATUSES), "where the ticket stands", STATUSES),
    "pays": Field(_one_of(PAYERS), "who pays a line", PAYERS),
    "total": Field(_measured, "of the bill: >500, 100..500"),
    "over": Field(_yes_or_no("over"), "billed above what was agreed", _YES_NO),
    "comeback": Field(_came_back, "came back: yes, no, 90d", _YES_NO),
    "declined": Field(_yes_or_no("state", "declined"), "the customer said no", _YES_NO),
    "overruled": Field(_yes_or_no("overruled"), "signed in spite of a question", _YES_NO),
    "amended": Field(_yes_or_no("amended"), "corrected or added to after signing", _YES_NO),
}
"""Every field by its word."""


def parse_query(text: str, here: Here = Here()) -> Query:
    """What to look for.

    A fault code in any written form is searched exactly, with its sub-code where one is given; a field narrows down;
    every other word must occur in one of its forms. ``-`` in front leaves out, ``or`` between two lets either do, and
    words in quotes stand behind each other. A number alone is a word, or the number of a ticket.

    Raises:
        QueryFault: what is wrong, and where.
    """
    if _NUMBER.match(text):  # a paper in somebody's hand shows its number first
        return Query(((Term("word", text.strip()), Term("number", low=int(text))),), here.limit)
    clauses: list[Clause] = []
    at, either = _SPACE.match(text).end(), False  # type: ignore[union-attr]
    while at < len(text):
        found, end = _next(text, at, here)
        if found is None:
            either = bool(clauses)
        elif either and len(found) == 1:
            clauses[-1] = (*clauses[-1], *found[0])
            either = False
        else:
            clauses += found
            either = False
        at = _SPACE.match(text, end).end()  # type: ignore[union-attr]
    if not clauses:
        raise QueryFault(
            "Search for what? Give a code, a word, or part:NUMBER, plate:TEXT, since:2026-03.", 0, len(text)
        )
    return Query(tuple(clauses), here.limit)


def _next(text: str, at: int, here: Here) -> tuple[tuple[Clause, ...] | None, int]:
    """What stands at a place, and the place behind it; ``None`` for an ``or``."""
    minus = text[at] == "-" and at + 1 < len(text) and not text[at + 1].isspace()
    fault = leading(text[at + minus :])
    if fault is not None and not text[at + minus + fault[2] :][:1].strip(" ,;"):
        return (((Term("code", fault[0], fault[1], without=minus),),), at + minus + fault[2])
    match = _TOKEN.match(text, at)
    if match is None:  # a lone quotation mark
        return (), at + 1
    if match.group() in ("or", "OR"):
        return None, match.end()
    field, value, quoted, end = _valued(text, match)
    if field not in FIELDS:
        return _without(_plain(match, quoted, here), minus), match.end()
    behind = _BEHIND.get(field)
    more = behind.match(text, end) if behind and not quoted else None
    end = more.end() if more else end
    value = value.rstrip() + (more[0].strip() if more and field == "distance" else more[0] if more else "")
    given = _Value(field, value, quoted, at + minus, end, here)
    return _without(FIELDS[field].read(given), minus), end


def _valued(text: str, match: "re.Match[str]") -> tuple[str, str, bool, int]:
    """Field, value, whether quoted, and the place behind it; a blank behind the colon of a field changes nothing."""
    quoted, end = match["quoted"] is not None, match.end()
    value = match["quoted"] if quoted else match["plain"]
    name = value.removesuffix(":")
    if match["field"] or quoted or name == value or name not in FIELDS:
        return match["field"] or "", value, quoted, end
    behind = _VALUE.match(text, end)
    if behind is None:  # still being typed: a word until something stands there
        return "", value, quoted, end
    quoted = behind["quoted"] is not None
    return name, behind["quoted"] if quoted else behind["plain"], quoted, behind.end()


def _plain(match: "re.Match[str]", quoted: bool, here: Here) -> tuple[Clause, ...]:
    """Words that name no field; in quotes they stand behind each other. Marks alone are no words."""
    text = match["quoted"] if quoted and not match["field"] else match.group().removeprefix("-")
    if match["field"] and not match["plain"] and not match["quoted"]:
        text = match["field"]
    if not any(map(str.isalnum, text)):
        return ()
    term = Term("word", text)
    return ((term,) if quoted else _said(term, here),)


def _without(clauses: tuple[Clause, ...], minus: bool) -> tuple[Clause, ...]:
    """None of it: what was joined by "or" is left out one by one."""
    if not minus:
        return clauses
    return tuple((replace(term, without=not term.without),) for clause in clauses for term in clause)


def _said(term: Term, here: Here) -> Clause:
    """A word in all its forms, and those the shop calls the same."""
    found = forms(term.text)
    synonyms = here.synonyms or {}
    for word in [one.lower() for one in found]:
        stands = synonyms.get(word, word)
        alike = [stands, *(one for one, other in synonyms.items() if other == stands)]
        found += tuple(form for one in alike if one != word for form in forms(one))
    return tuple(replace(term, text=one) for one in dict.fromkeys(found))


def typed_remarks(text: str) -> tuple[str, ...]:
    """What of a search is read otherwise than somebody may have meant it, each in one sentence."""
    found = [
        f"{name}: is no field ({', '.join(FIELDS)}); it is searched for as a word." for name in unknown_fields(text)
    ]
    if name := open_field(text):
        found.append(f"{name}: has no value behind its colon; it is searched for as a word.")
    if text.count('"') % 2:
        found.append("A quotation mark is not closed: all behind it is looked for word behind word.")
    return tuple(found)


def open_field(text: str) -> str:
    """The field a search ends in without a value behind its colon; it is searched for as a word. Empty for none."""
    last = text.rstrip().rpartition(" ")[2].removeprefix("-")
    return last[:-1] if last.endswith(":") and last[:-1] in FIELDS else ""


def unknown_fields(text: str) -> tuple[str, ...]:
    """Words in front of a colon that name no field; they are searched for as words like any other."""
    found = (match["field"] for match in _TOKEN.finditer(text) if match["field"] and match["field"] not in FIELDS)
    return tuple(dict.fromkeys(found))


def completions(text: str, names: tuple[str, ...] = ()) -> tuple[str, ...]:
    """What the last word of a search may go on as, as whole words: fields, and what may stand behind one.

    Args:
        text: the search as far as it is typed.
        names: who works here, for ``tech:``.
    """
    last = text.rpartition(" ")[2]
    minus = "-" if last.startswith("-") else ""
    field, colon, value = last.removeprefix("-").partition(":")
    if not colon:
        return tuple(f"{minus}{name}:" for name in FIELDS if field and name.startswith(field) and name != field)
    if field not in FIELDS:
        return ()
    known = names if field == "tech" else FIELDS[field].values
    shown = (one.replace(" ", "-") if field == "status" else f'"{one}"' if " " in one else one for one in known)
    return tuple(
        f"{minus}{field}:{one}" for one in shown if one.strip('"').lower().startswith(value.strip('"').lower())
        and one != value
    )  # fmt: skip


def _day(text: str, *, first: bool) -> date | None:
    """The first or last day of a year, month or day such as ``2026``, ``2026-03``, ``2026-03-02``."""
    try:
        parts = [int(part) for part in text.split("-")]
        if not FIRST_DAY.year <= parts[0] <= LAST_DAY.year:
            return None
        day = date(parts[0], parts[1] if len(parts) > 1 else 1, *(parts[2:] or [1]))
        if not first and len(parts) < 3:
            whole_year = len(parts) == 1 or day.month == 12
            following = date(day.year + 1, 1, 1) if whole_year else date(day.year, day.month + 1, 1)
            day = following - timedelta(days=1)
    except (ValueError, TypeError, OverflowError):  # no number of a month has so many figures
        return None
    return min(max(day, FIRST_DAY), LAST_DAY)
