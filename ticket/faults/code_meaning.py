"""What a code means: system, who controls its number, words for customer and technician, sub-code, failure mode."""

from dataclasses import dataclass
from functools import cache

from ticket.faults import fault_tables
from ticket.faults.layout import CODE, SUB
from ticket.faults.table import CodeTable, builtin

SYSTEMS = {"P": "powertrain", "C": "chassis", "B": "body", "U": "network"}
ISO, MAKER_OLD, UNKNOWN = "iso", "maker-old", "unknown"
OLD_UNTIL = 2010  # before that model year a maker's older table of sub-codes was in use


@dataclass(frozen=True, slots=True)
class Meaning:
    """What is known about one fault; every text may be empty where nothing is known.

    Attributes:
        code: canonical code.
        sub: canonical sub-code.
        system: powertrain, chassis, body, network or truck.
        control: who controls the number: ``standard``, ``maker`` or ``reserved``.
        area: part of the vehicle.
        words: for the customer: a lower-case noun group that fits after "which stands for".
        trade: for the technician.
        source: standing of the words, or where the shop has them from.
        sub_scheme: table the sub-code was read by: ``iso``, ``maker-old``, ``unknown``; empty without a sub-code.
        sub_category: category of the sub-code, from its first digit.
        sub_words: for the customer; fits after "The sub-code narrows it down to".
        sub_trade: for the technician.
        what: truck: the thing named by the SPN, as in "It means that {what} ...".
        failure: truck: the failure mode, as in "... was too low, to a medium degree".
        notes: remarks a technician should see, one sentence each.
    """

    code: str
    sub: str = ""
    system: str = ""
    control: str = ""
    area: str = ""
    words: str = ""
    trade: str = ""
    source: str = ""
    sub_scheme: str = ""
    sub_category: str = ""
    sub_words: str = ""
    sub_trade: str = ""
    what: str = ""
    failure: str = ""
    notes: tuple[str, ...] = ()


def meaning(
    code: str, sub: str = "", table: CodeTable | None = None, *, scheme: str = "", year: int | None = None
) -> Meaning:
    """What a fault means. Total: an unknown code gives empty words, never a guess.

    Args:
        code: canonical code, as :func:`ticket.faults.written.parse` gives it.
        sub: canonical sub-code, or empty.
        table: the shop's table; the built-in one where left out.
        scheme: table of sub-codes where it is known to apply (``iso`` or ``maker-old``); ``unknown`` for no words.
        year: model year of the vehicle, where known: makers used numbers and sub-codes differently before 2010.
    """
    known = builtin() if table is None else table
    if code.startswith("SPN "):
        return _truck(code, sub, known)
    if CODE.match(code) is None or (sub and SUB.match(sub) is None):
        return Meaning(code, sub)
    exact = known.get(code, sub) if sub else None
    row = exact or known.get(code)
    control = group(code)
    scheme = _scheme(code, sub, scheme, control, year)
    category, words, trade = _sub(sub, scheme)
    return Meaning(
        code, sub, SYSTEMS[code[0]], control,
        row.area if row and row.area else _area(code),
        row.plain if row else "", row.trade if row else "", row.source if row else "",
        scheme, category, "" if exact else words, trade,
        notes=_notes(code, sub, scheme, control, year),
    )  # fmt: skip


@cache
def group(code: str) -> str:
    """Who controls the number of a canonical five-character code: ``standard``, ``maker``, ``reserved``."""
    return _in_range("groups.tsv", code)


def _area(code: str) -> str:
    return _in_range("areas.tsv", code)


def _in_range(name: str, code: str) -> str:
    return next((row[2] for row in fault_tables.rows(name) if row[0] <= code <= row[1]), "")


def _scheme(code: str, sub: str, asked: str, control: str, year: int | None) -> str:
    if not sub:
        return ""
    if asked in (ISO, MAKER_OLD, UNKNOWN):
        return asked
    if code[0] not in "CB" and control == "standard":
        return ISO
    if year is None:
        return UNKNOWN if (MAKER_OLD, sub) in _subcodes() else ISO
    return UNKNOWN if year < OLD_UNTIL else ISO


def _sub(sub: str, scheme: str) -> tuple[str, str, str]:
    """Category, customer's words and technician's words; nothing is told by a table that may not apply."""
    if not sub or scheme not in (ISO, MAKER_OLD):
        return "", "", ""
    category = _categories().get(sub[0], "") if scheme == ISO and sub != "00" else ""
    plain, trade = _subcodes().get((scheme, sub), ("", ""))
    return category, plain, trade


@cache
def _subcodes() -> dict[tuple[str, str], tuple[str, str]]:
    return {(row[0], row[1]): (row[2], row[3]) for row in fault_tables.rows("subcodes.tsv")}


@cache
def _categories() -> dict[str, str]:
    return {row[0]: row[1] for row in fault_tables.rows("categories.tsv")}


def _notes(code: str, sub: str, scheme: str, control: str, year: int | None) -> tuple[str, ...]:
    notes = []
    if code == "P0000":
        notes.append("P0000 means that there is no code.")
    if control == "maker":
        notes.append("The maker decides what this number means: look it up in the maker's manual.")
    if control == "reserved":
        notes.append("This number is reserved in the standard: look it up in the maker's manual.")
    if control == "standard" and code[0] in "CB" and (year is None or year < OLD_UNTIL):
        notes.append(f"Before about {OLD_UNTIL} makers used standard C and B numbers in their own way: mind the year.")
    if scheme == UNKNOWN:
        notes.append("It is not known which table this sub-code belongs to: see the maker's manual.")
    elif sub and sub != "00" and (scheme, sub) not in _subcodes():
        notes.append(f"Sub-code {sub} is not in the table; only its category is known.")
    return tuple(notes)


def _truck(code: str, sub: str, table: CodeTable) -> Meaning:
    exact = table.get(code, sub) if sub else None
    row = exact or table.get(code)
    what, trade, source = (row.plain, row.trade, row.source) if row else _spns().get(code[4:], ("", "", ""))
    number = sub.removeprefix("FMI ")
    plain, mode = _fmis().get(number, ("", ""))
    notes = (f"{sub} is reserved or the maker's own: see the maker's manual.",) if sub and not plain else ()
    return Meaning(
        code, sub, "truck", area=row.area if row else "", words=exact.plain if exact else "",
        trade="; ".join(part for part in (trade, mode) if part), source=source,
        what=what if not exact else "", failure=plain if not exact else "", notes=notes,
    )  # fmt: skip


@cache
def _spns() -> dict[str, tuple[str, str, str]]:
    return {row[0]: (row[1], row[2], row[3]) for row in fault_tables.rows("spn.tsv")}


@cache
def _fmis() -> dict[str, tuple[str, str]]:
    return {row[0]: (row[1], row[2]) for row in fault_tables.rows("fmi.tsv")}
