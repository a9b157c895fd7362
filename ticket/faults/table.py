"""The shop's table of codes: what ships with the program, and what the shop brings in from its own list.

A list comes as CSV by ``schemas/code-table.json``. Nothing is overwritten silently: a row that says something else
about a code that is there already is a conflict, and stays out until it is accepted by name.
"""

import csv
from collections.abc import Collection, Iterable
from dataclasses import dataclass, field
from functools import cache

from ticket.faults import fault_tables
from ticket.faults.trucks import FMI_MAX, SPN_MAX
from ticket.faults.written import parse
from ticket.job.errors import DataError
from ticket.job.regex import Regex

COLUMNS = ("code", "plain", "trade", "area", "source")
REQUIRED = ("code", "plain")
TEXT_MAX = 200  # characters in one field
ROWS_MAX = 20_000
_KEY = Regex(r"[PCBU][0-3][0-9A-F]{3}(?:-[0-9A-F]{2})?\Z|SPN (0|[1-9][0-9]{0,5})(?: FMI (0|[1-9][0-9]?))?\Z")
_HIDDEN = Regex("[\x00-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff]")


@dataclass(frozen=True, slots=True)
class CodeRow:
    """What is known about one code.

    Attributes:
        code: ``P0562``, with a sub-code ``P1A30-7B``, for trucks ``SPN 102`` or ``SPN 102 FMI 18``.
        plain: for the customer; a lower-case noun group that fits after "which stands for".
        trade: for the technician.
        area: the system it belongs to.
        source: where it is from, or how sure it is.
    """

    code: str
    plain: str
    trade: str = ""
    area: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True)
class CodeTable:
    """Rows by code."""

    by_code: dict[str, CodeRow] = field(default_factory=dict)

    def get(self, code: str, sub: str = "") -> CodeRow | None:
        """The row of exactly this code and sub-code; the caller falls back to the bare code."""
        return self.by_code.get(key(code, sub))

    def __len__(self) -> int:
        return len(self.by_code)


@dataclass(frozen=True, slots=True)
class Conflict:
    """Two rows that say different things about one code."""

    there: CodeRow
    new: CodeRow


@dataclass(frozen=True, slots=True)
class Merge:
    """What became of an import.

    Attributes:
        table: the base with the added (and accepted) rows.
        added: rows whose code was not there before, and conflicting rows that were accepted.
        conflicts: rows left out because the table says something else.
    """

    table: CodeTable
    added: tuple[CodeRow, ...]
    conflicts: tuple[Conflict, ...]


def key(code: str, sub: str = "") -> str:
    """A code and sub-code in one piece, as they stand in the column ``code``."""
    if not sub:
        return code
    return f"{code} {sub}" if code.startswith("SPN") else f"{code}-{sub}"


@cache
def builtin() -> CodeTable:
    """The table that ships with the program; see the first lines of ``codes.tsv`` for its standing."""
    return CodeTable({row[0]: CodeRow(*row) for row in fault_tables.rows("codes.tsv")})


@cache
def with_own(rows: tuple[tuple[str, ...], ...]) -> CodeTable:
    """The built-in table with a shop's own rows, which win: the shop accepted them one by one."""
    return CodeTable(builtin().by_code | {row[0]: CodeRow(*row) for row in rows}) if rows else builtin()


def load_csv(text: str) -> tuple[CodeRow, ...]:
    """The rows of a shop's own list.

    Args:
        text: CSV with a first line of column names (``code`` and ``plain`` must be there, ``trade``, ``area`` and
            ``source`` may be), separated by comma, semicolon or tab. Lines that begin with ``#`` are comments.

    Raises:
        DataError: naming the line, the column and what to do; nothing is half-loaded.
    """
    kept = text.removeprefix("\ufeff").splitlines(keepends=True)  # a break inside a field must be seen
    lines = ["\n" if line.startswith("#") else line for line in kept]
    head = next((line for line in lines if line.strip()), "")
    if not head or (lines[0] == kept[0] and not lines[0].strip()):
        raise DataError("line 1", "expected the column names, such as code,plain,trade,area,source")
    delimiter = max(",;\t", key=head.count)
    reader = csv.reader(lines, delimiter=delimiter, strict=True)
    names: list[str] = []
    rows: list[CodeRow] = []
    try:
        for cells in reader:
            if not any(cell.strip() for cell in cells):
                continue
            if not names:
                names = _header(cells)
            else:
                rows.append(_row(names, cells, f"line {reader.line_num}"))
    except csv.Error as error:
        raise DataError(f"line {reader.line_num}", f"not readable as CSV: {error}") from None
    return _single(rows)


def merge(base: CodeTable, rows: Iterable[CodeRow], accept: Collection[str] = ()) -> Merge:
    """A table with new rows; ``accept`` names the codes whose new row may replace one that says otherwise."""
    by_code = dict(base.by_code)
    added: list[CodeRow] = []
    conflicts: list[Conflict] = []
    for row in rows:
        there = by_code.get(row.code)
        if there is not None and (there.plain, there.trade) == (row.plain, row.trade):
            continue
        if there is not None and row.code not in accept:
            conflicts.append(Conflict(there, row))
            continue
        by_code[row.code] = row
        added.append(row)
    return Merge(CodeTable(by_code), tuple(added), tuple(conflicts))


def _header(cells: list[str]) -> list[str]:
    names = [cell.strip().casefold() for cell in cells]
    for name in names:
        if name not in COLUMNS:
            raise DataError("line 1", f"unknown column {name!r}; known are {', '.join(COLUMNS)}")
        if names.count(name) > 1:
            raise DataError("line 1", f"the column {name!r} stands there twice")
    for name in REQUIRED:
        if name not in names:
            raise DataError("line 1", f"the column {name!r} is missing")
    return names


def _row(names: list[str], cells: list[str], where: str) -> CodeRow:
    if len(cells) != len(names):
        raise DataError(where, f"expected {len(names)} fields, found {len(cells)}")
    values = dict(zip(names, (cell.strip() for cell in cells), strict=True))
    for name, value in values.items():
        if len(value) > TEXT_MAX:
            raise DataError(f"{where}/{name}", f"longer than {TEXT_MAX} characters")
        if _HIDDEN.search(value):
            raise DataError(f"{where}/{name}", "holds a control character")
    _check_code(values["code"], f"{where}/code")
    if not values["plain"]:
        raise DataError(f"{where}/plain", "missing")
    return CodeRow(**values)


def _check_code(code: str, where: str) -> None:
    match = _KEY.match(code)
    if match is None:
        read = parse(code)
        hint = key(read.code, read.sub) if read.scheme in ("obd", "truck") and read.certain else ""
        raise DataError(where, f"not a code: {code!r}; write {hint or 'it as P0562, P1A30-7B or SPN 102 FMI 18'}")
    spn, fmi = match.groups()
    if int(spn or 0) > SPN_MAX or int(fmi or 0) > FMI_MAX:
        raise DataError(where, f"an SPN is at most {SPN_MAX} and an FMI at most {FMI_MAX}")


def _single(rows: list[CodeRow]) -> tuple[CodeRow, ...]:
    """The rows without repetitions; two that disagree are an error of the file itself."""
    if len(rows) > ROWS_MAX:
        raise DataError("", f"more than {ROWS_MAX} rows")
    seen: dict[str, CodeRow] = {}
    for row in rows:
        if seen.setdefault(row.code, row) != row:
            raise DataError(row.code, "two rows of the file say different things about this code")
    return tuple(seen.values())
