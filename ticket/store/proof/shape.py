"""The file's own shape: its pages, and every table, index, guard and view against those this program makes."""

from collections.abc import Iterable
from functools import cache
from pathlib import Path

from ticket.store.driver import Connection, Error, sqlite3
from ticket.store.proof.finding import Findings

_MADE_BY = "v_made_by"  # says which version of the program made the views
_PAGES = 100  # sentences about pages at most


def has_table(connection: Connection, name: str) -> bool:
    """Whether a table is there: older files lack the newest. Whether it should be is :func:`check_schema`'s to say."""
    return connection.execute("SELECT 1 FROM sqlite_schema WHERE name = ?", [name]).fetchone() is not None


def check_pages(connection: Connection, found: Findings) -> None:
    """What SQLite itself finds wrong with the pages and the order of its indexes."""
    try:
        rows = connection.execute(f"PRAGMA integrity_check({_PAGES})").fetchall()
    except Error as error:
        found.add("pages", str(error))
        return
    for (line,) in rows:
        text = line.decode(errors="replace") if isinstance(line, bytes) else str(line)
        if text != "ok":
            found.add("pages", " ".join(text.split()))


def check_schema(connection: Connection, found: Findings, scripts: Iterable[Path], views: tuple[str, ...]) -> None:
    """Every part of the schema against the numbered SQL files up to the file's version, and this program's views."""
    version = int(connection.execute("PRAGMA user_version").fetchone()[0])
    files = tuple(scripts)
    wanted = _made(files[:version], ()) | {name: sql for name, sql in _made(files, views).items() if name[0] == "view"}
    try:
        held = _parts(connection)
    except Error as error:
        found.add("schema", f"it cannot be read: {error}")
        return
    if older := version < len(files):
        found.remarks.append(f"its tables are of version {version}, this program's are of {len(files)}")
    for kind, name in sorted(held.keys() | wanted.keys()):
        if name == _MADE_BY:
            continue
        where = f"schema {kind} {name}"
        if (kind, name) not in wanted:
            found.add(where, "is none of this program's")
        elif (kind, name) not in held:
            found.add(where, "is missing") if kind != "view" or not older else None
        elif held[kind, name] != wanted[kind, name] and not (kind == "view" and older):
            found.add(where, "says something else than this program's")


@cache
def _made(scripts: tuple[Path, ...], views: tuple[str, ...]) -> dict[tuple[str, str], str]:
    memory = sqlite3.connect(":memory:", isolation_level=None)
    try:
        for script in scripts:
            memory.executescript(script.read_text(encoding="utf-8"))
        for view in views:
            memory.execute(view)
        return _parts(memory)
    finally:
        memory.close()


def _parts(connection: Connection) -> dict[tuple[str, str], str]:
    """Each part by kind and name, its SQL with its spaces folded; those SQLite keeps for itself are left out."""
    rows = connection.execute("SELECT type, name, sql FROM sqlite_schema WHERE name NOT LIKE 'sqlite_%'").fetchall()
    texts = ([cell.decode(errors="replace") if isinstance(cell, bytes) else str(cell) for cell in row] for row in rows)
    return {(kind, name): " ".join(sql.split()) for kind, name, sql in texts}
