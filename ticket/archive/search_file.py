"""The file that answers questions over an archive: derived from its records, sorted, and made anew when they change."""

# ruff: noqa: S608 - the SQL is made of constants of this room; what was typed is bound

import json
import os
from collections.abc import Iterator, Mapping
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ticket.archive import manifest
from ticket.archive.engine import opened, quoted_path
from ticket.archive.gathering import read_part
from ticket.archive.manifest import Manifest
from ticket.job.errors import InputError
from ticket.job.progress import counted
from ticket.job.text import fold, one_line
from ticket.job.ticket import Ticket
from ticket.job.ticket_document import from_document
from ticket.shop.past import kept_of
from ticket.store.file_modes import make_file
from ticket.store.index import word_row

if TYPE_CHECKING:
    import duckdb

Row = dict[str, Any]
SHAPES: Mapping[str, tuple[str, str]] = {
    "jobs": (
        "job BIGINT, shop INTEGER, number BIGINT, opened BIGINT, closed BIGINT, label VARCHAR, distance BIGINT,"
        " state VARCHAR, worked BOOLEAN, hours DOUBLE, pays VARCHAR, total BIGINT, agreed BIGINT, over BOOLEAN,"
        " vehicle VARCHAR, said VARCHAR, codes VARCHAR, causes VARCHAR, work VARCHAR, techs VARCHAR",
        "job",
    ),
    "codes": ("code VARCHAR, sub VARCHAR, job BIGINT, vehicle VARCHAR, opened BIGINT, first BOOLEAN", "code, sub, job"),
    "causes": (
        "code VARCHAR, sub VARCHAR, job BIGINT, i INTEGER, number BIGINT, cause VARCHAR, text VARCHAR, state VARCHAR,"
        " closed BIGINT, opened BIGINT, hours DOUBLE, part VARCHAR, worked BOOLEAN, vehicle VARCHAR",
        "code, sub, job",
    ),
    "fixes": (
        "code VARCHAR, sub VARCHAR, job BIGINT, number BIGINT, fix VARCHAR, text VARCHAR, state VARCHAR",
        "code, job",
    ),
    "parts": ("part VARCHAR, job BIGINT", "part, job"),
    "techs": ("tech VARCHAR, job BIGINT", "tech, job"),
    "words": ("word VARCHAR, job BIGINT", "word, job"),
}
"""The columns of each table that is made of records, and what it is sorted by."""
TABLES: Mapping[str, tuple[str, str]] = {
    **SHAPES, "came": ("code VARCHAR, sub VARCHAR, job BIGINT, back_days BIGINT", "code, sub, job"),
    "part_names": ("part VARCHAR", "part"),
}  # fmt: skip
"""All tables; the last ones are made of the others."""
DAY_SHIFT, SHOP_SHIFT = 48, 32
"""A job's key: its day, its shop, its number; it sorts by time, and days become ranges of it."""


_MEANING = 1
"""Raised where a row comes to mean something else under the same names of columns."""


def search_path(archive: Path, generation: int) -> Path:
    """The search file of a generation, of the form this program asks: one of another form is made anew beside it."""
    form = sha256(json.dumps([_MEANING, dict(TABLES)]).encode()).hexdigest()[:8]
    return archive / f"search-{generation}-{form}.duckdb"


def current(archive: Path) -> Path:
    """The search file of an archive as it stands, made where there is none of this generation.

    Raises:
        InputError: nothing was ever gathered there; no folder is made.
    """
    if not manifest.is_there(archive):
        raise InputError(f"{one_line(str(archive))} is no archive: ticket gather makes one.")
    state = manifest.read(archive)
    path = search_path(archive, state.generation)
    if not path.exists():
        with manifest.locked(archive):
            _make(archive, state, path)
    return path


def _make(archive: Path, state: Manifest, path: Path) -> None:
    aside = path.with_name(f"{path.name}.{os.getpid()}.tmp")
    files = {name: aside.with_name(f"{aside.name}.{name}.jsonl") for name in SHAPES}
    try:
        outs = {name: os.fdopen(make_file(file), "w", encoding="utf-8") for name, file in files.items()}
        try:
            for table, row in _rows(archive, state):
                outs[table].write(json.dumps(row, ensure_ascii=False) + "\n")
        finally:
            for out in outs.values():
                out.close()
        with opened(aside, write=True) as db:
            for name, (columns, order) in SHAPES.items():
                told = ", ".join(f"{column.split()[0]}: '{column.split()[1]}'" for column in columns.split(", "))
                db.execute(
                    f"CREATE TABLE {name} AS SELECT * FROM read_json({quoted_path(files[name])},"
                    f" format='newline_delimited', columns={{{told}}}) ORDER BY {order}"
                )
            derive(db)
        manifest.rename(aside, path)
    finally:
        for file in (*files.values(), aside):
            file.unlink(missing_ok=True)
    for older in archive.glob("search-*.duckdb"):
        if older != path:
            older.unlink(missing_ok=True)


def derive(db: "duckdb.DuckDBPyConnection") -> None:
    """Make what is made of other tables, once those stand sorted."""
    db.execute(_BACK)
    db.execute("CREATE TABLE part_names AS SELECT DISTINCT part FROM parts ORDER BY part")
    db.execute("CREATE UNIQUE INDEX jobs_job ON jobs(job)")


# The next job of the same vehicle with the same code in any shop, as the table job_cause of one shop has it.
_BACK = """
CREATE TABLE came AS SELECT c.code, c.sub, c.job,
  min(CASE WHEN o.opened >= coalesce(c.closed, c.opened)
    THEN (o.opened - coalesce(c.closed, c.opened)) // 86400 END) AS back_days
FROM (SELECT DISTINCT code, sub, job, vehicle, closed, opened, worked FROM causes) AS c
JOIN codes AS o ON o.vehicle = c.vehicle AND o.code = c.code AND o.opened > c.opened
WHERE c.worked AND c.vehicle <> '' GROUP BY c.code, c.sub, c.job HAVING back_days IS NOT NULL
ORDER BY c.code, c.sub, c.job
"""


def job_key(day: int, shop: int, number: int) -> int:
    """The key of a job."""
    return day << DAY_SHIFT | shop << SHOP_SHIFT | number % (1 << SHOP_SHIFT)


def _rows(archive: Path, state: Manifest) -> Iterator[tuple[str, Row]]:
    """Every row of every table, as (table, row)."""
    parts = sorted(state.parts.values(), key=lambda part: (part.month, part.shop))
    for part in counted(parts, "explode", len(parts)):
        for record in read_part(archive, part).values():
            ticket = from_document(json.loads(record.doc))
            yield from rows_of(ticket, part.shop, record.vehicle, json.loads(record.sums))


def rows_of(ticket: Ticket, shop: int, vehicle: str, sums: list[Any]) -> Iterator[tuple[str, Row]]:
    """The rows of one ticket; the same facts as its own shop keeps of it."""
    row, entries = kept_of(ticket)
    opened_at = int(ticket.opened.timestamp())
    closed = int(ticket.closed.timestamp()) if ticket.closed else None
    job = job_key(opened_at // 86400, shop, ticket.number)
    total, agreed, over = sums
    causes = list(dict.fromkeys(one.text for one in row.causes if one.text))
    fixes = list(dict.fromkeys(one.text for one in row.fixes))
    codes = list(dict.fromkeys((one.code, one.sub) for one in row.causes if one.code))
    said = next((entry.fact.text for entry in ticket.living if entry.kind == "says"), "")  # type: ignore[attr-defined]
    yield "jobs", {
        "job": job, "shop": shop, "number": ticket.number, "opened": opened_at, "closed": closed, "label": row.label,
        "distance": row.metres_in, "state": row.state, "worked": row.worked, "hours": row.hours, "pays": row.pays,
        "total": total, "agreed": agreed if agreed is not None else row.agreed, "over": bool(over), "vehicle": vehicle,
        "said": said, "codes": ", ".join(f"{code}-{sub}" if sub else code for code, sub in codes),
        "causes": "; ".join(causes), "work": "; ".join(fixes), "techs": ", ".join(name for _, name in row.techs),
    }  # fmt: skip
    met: set[str] = set()
    for code, sub in codes:
        name = as_asked(code)
        yield "codes", {
            "code": name, "sub": as_asked(sub), "job": job, "vehicle": vehicle, "opened": opened_at,
            "first": name not in met,
        }  # fmt: skip
        met.add(name)
    for one in row.causes:
        yield "causes", {
            "code": as_asked(one.code), "sub": as_asked(one.sub), "job": job, "i": one.i, "number": ticket.number,
            "cause": one.cause, "text": one.text, "state": one.state, "closed": closed, "opened": opened_at,
            "hours": one.hours, "part": one.part, "worked": row.worked, "vehicle": vehicle,
        }  # fmt: skip
    for fix in row.fixes:
        yield "fixes", {
            "code": as_asked(fix.code), "sub": as_asked(fix.sub), "job": job, "number": ticket.number, "fix": fix.fix,
            "text": fix.text, "state": fix.state,
        }  # fmt: skip
    for part in dict.fromkeys(part.upper() for _, rows in entries for part in rows.parts):
        yield "parts", {"part": "".join(filter(str.isalnum, part)), "job": job}
    for tech, _ in row.techs:
        yield "techs", {"tech": tech, "job": job}
    texts = " ".join(word_row(ticket, entries).texts)
    for word in dict.fromkeys(words(texts)):
        yield "words", {"word": word, "job": job}


def as_asked(code: str) -> str:
    """A code or a sub-code as the archive compares it, however large its letters are."""
    return code.lower()


def words(text: str) -> list[str]:
    """The words of a text as the archive compares them: folded, of two signs or more."""
    plain = "".join(char if char.isalnum() else " " for char in fold(text))
    return [word for word in plain.split() if len(word) > 1]
