"""A scratch database of very many jobs, for measuring: the demo jobs over and over, with other words here and there.

Rows are copied inside the file, past the journal, in a minute instead of an hour; such a file proves nothing to an
auditor and is thrown away.
"""

from pathlib import Path

from ticket.scratch_shop import fill
from ticket.shop.changing import add_lines, new_ticket
from ticket.shop.opening import Shop
from ticket.store.driver import Connection, connect

_COPIED = ("entry", "entry_code", "entry_part", "entry_reading", "entry_phrase")
_DROPPED = ("entry_sealed_add", "entry_once", "ticket_once", "phrase_more", "phrase_less")
_OTHER = 7  # one phrase in so many reads differently in each copy


def many(path: Path, jobs: int) -> int:
    """Make the file; the number of a new ticket in it with three hundred entries."""
    with Shop.open(path, "K. Orlo") as shop:
        numbers = fill(shop)
        number = new_ticket(shop)
        for start in range(0, 300, 50):
            add_lines(shop, number, "\n".join(line(i) for i in range(start, start + 50)))
    copies = max(jobs // len(numbers), 1)
    connection = connect(path)
    triggers = connection.execute("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'").fetchall()
    connection.execute("BEGIN IMMEDIATE")
    for name, _ in triggers:
        if name in _DROPPED:
            connection.execute(f"DROP TRIGGER {name}")
    connection.execute("CREATE TEMP TABLE copy(n INTEGER PRIMARY KEY)")
    connection.executemany("INSERT INTO copy VALUES(?)", [(n,) for n in range(1, copies)])
    connection.execute("CREATE TEMP TABLE was(id INTEGER PRIMARY KEY, place INTEGER)")
    connection.execute("INSERT INTO was SELECT id, row_number() OVER (ORDER BY id) FROM ticket WHERE status = 'signed'")
    # Ids fall with the copies: the demo jobs themselves stay the newest.
    moved = f"(SELECT min(id) FROM was) - n * {len(numbers) + 1} - place"
    # A vehicle each: none comes back four thousand times.
    header = "json_set(json_remove(header, '$.vehicle.vin'), '$.vehicle.plate', 'N ' || n || ' ' || place)"
    _copy(connection, "ticket", {"id": moved, "number": "number + n * 10000", "header": header}, "ticket.id")
    for table in _COPIED:
        new = {"ticket_id": moved}
        if table == "entry_phrase":
            other = f"(no + i) % {_OTHER} = n % {_OTHER}"
            new |= {name: f"iif({other}, {name} || ' ' || n, {name})" for name in ("folded", "text")}
        _copy(connection, table, new, "ticket_id")
    connection.execute("DELETE FROM phrase")
    connection.execute(
        "INSERT INTO phrase SELECT kind, folded, text, amount, ahead, behind, open, count(*), max(ticket_id), no"
        " FROM entry_phrase GROUP BY kind, folded"
    )
    for name, sql in triggers:
        if name in _DROPPED:
            connection.execute(sql)
    connection.execute("COMMIT")
    connection.execute("ANALYZE")
    connection.close()
    return number


def _copy(connection: Connection, table: str, new: dict[str, str], key: str) -> None:
    columns = [row[1] for row in connection.execute(f"PRAGMA table_info({table})").fetchall()]
    values = ", ".join(new.get(column, f"{table}.{column}") for column in columns)
    source = f"{table} JOIN was ON was.id = {key} CROSS JOIN copy"
    connection.execute(f"INSERT INTO {table}({', '.join(columns)}) SELECT {values} FROM {source}")


def line(i: int) -> str:
    """One of three hundred lines, of the kinds a long job has."""
    lines = (
        f"says: noise number {i} from below when turning", f"code: P{i % 4000:04}-16 unit {i % 9}, stored",
        f"found: plug {i} voltage 12.{i % 10} V (min 11.5 per maker)", f"found: clip {i} missing",
        f"maybe: worn bush {i}", f"used: 1 x CL-{1000 + i} clip, new @ 0.{i % 90 + 10}",
        f"did: 0.2 h fit clip {i}", f"# seen by two people, place {i}",
    )  # fmt: skip
    return lines[i % len(lines)] if i else lines[0]
