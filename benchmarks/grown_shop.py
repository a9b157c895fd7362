"""A shop of a million jobs for questions alone: the jobs of a loaded shop ten times over, by copying rows.

    python benchmarks/invented_jobs.py 100000 jobs.jsonl && ticket load --db big.db jobs.jsonl
    cp big.db million.db && PYTHONPATH=. python benchmarks/grown_shop.py million.db --times 10

Each job stands there so many times on its own day, with numbers and vehicles of its own and the same words. Only what
questions read is copied: the journal, phrases and what waits on vehicles are not, so such a file proves nothing, and
nothing should be added to it. To load a million takes hours, to copy them half an hour.
"""

# The keys of a day have room for 131,072 jobs (ticket/store/additions.py).

import argparse
import time
from pathlib import Path

from ticket.store.driver import Connection, connect
from ticket.store.index import SHIFT, WORD_TABLES

COPIED = (
    "ticket", "entry", "entry_code", "entry_part", "entry_reading", "entry_ref", "job", "job_cause", "job_fix",
    "job_tech", "job_labour",
)  # fmt: skip
STEP = 2048  # between the keys of a job and of its copy on the same day: more than any invented day has jobs
VIN, PLATE = """'"vin":"ZZ9INV'""", """'"plate":"'"""  # as a header begins them
FIRST = ord("K")  # the letter that tells vehicles of the copies apart


def cell(table: str, column: str, numbers: int) -> str:
    """A column of the k-th copy."""
    letter = f"char({FIRST} + k)"
    moved = {
        "id": f"id + k * {STEP}", "ticket_id": f"ticket_id + k * {STEP}", "back": f"back + k * {STEP}",
        "number": f"number + k * {numbers}", "to_ticket": f"to_ticket + k * {numbers}",
        "back_from": f"back_from + k * {numbers}", "plate": f"{letter} || plate",
        "vin": f"replace(vin, 'INV', 'IN' || {letter})",
        "header": f"replace(replace(header, {VIN}, {VIN[:-2]}' || {letter}), {PLATE}, {PLATE} || {letter})",
    }  # fmt: skip
    return moved.get(column, column) if table != "entry" or column == "ticket_id" else column


def grow(path: Path, times: int) -> None:
    """Copy the rows, and make the indexes of words and of pieces anew."""
    db = connect(path, "rw")
    for pragma in ("foreign_keys = OFF", "synchronous = OFF", "cache_size = -400000", "journal_mode = OFF"):
        db.execute(f"PRAGMA {pragma}").fetchall()
    (numbers,) = db.execute("SELECT count(*) FROM ticket").fetchone()
    made = db.execute(
        "SELECT type, name, tbl_name, sql FROM sqlite_schema WHERE type IN ('trigger', 'index') AND sql IS NOT NULL"
    ).fetchall()
    later = [(kind, name, sql) for kind, name, table, sql in made if kind == "trigger" or table in COPIED]
    for kind, name, _ in later:
        db.execute(f"DROP {kind} {name}")
    words = kept_words(db)
    more = f"UNION ALL SELECT k + 1 FROM ks WHERE k < {times - 1}"
    copies = f"(WITH RECURSIVE ks(k) AS (SELECT {{}} {more}) SELECT k FROM ks)"
    for table in COPIED:
        told = db.execute(f"PRAGMA table_info({table})").fetchall()
        names = [row[1] for row in told]
        order = ", ".join(row[1] for row in told if row[5])
        db.execute(f"CREATE TEMP TABLE old AS SELECT * FROM {table}")
        cells = ", ".join(f"{cell(table, name, numbers)} AS {name}" for name in names)
        db.execute(f"INSERT INTO {table} SELECT {cells} FROM old, {copies.format(1)} ORDER BY {order}")
        db.execute("DROP TABLE old")
        print(f"{time.process_time():6.0f} s  {table}", flush=True)
    for table in WORD_TABLES:
        db.execute(f"INSERT INTO {table}({table}) VALUES('delete-all')")
    vehicle = f"CASE k WHEN 0 THEN vehicle ELSE replace(vehicle, 'inv', 'in' || lower(char({FIRST} + k))) END"
    cells = ", ".join(vehicle if name == "vehicle" else name for name in words)
    db.execute(
        f"INSERT INTO ticket_fts(rowid, {', '.join(words)}) SELECT doc - k * {STEP}, {cells} FROM words,"
        f" {copies.format(0)} ORDER BY 1"
    )
    db.execute(
        f"INSERT INTO fragment(rowid, vin, plate, parts) SELECT {SHIFT} - ticket_id, vin, plate, coalesce((SELECT"
        " group_concat(upper(replace(replace(part, ' ', ''), '-', '')), char(10)) FROM entry_part AS p"
        " WHERE p.ticket_id = job.ticket_id), '') FROM job ORDER BY 1"
    )
    for _, _, sql in later:
        db.execute(sql)
    db.execute("PRAGMA journal_mode = WAL").fetchone()
    db.close()


def kept_words(db: Connection) -> list[str]:
    """Read the words of each job out of the index, which keeps no texts, into a table; its columns."""
    columns = list(WORD_TABLES["ticket_fts"])
    db.execute("CREATE VIRTUAL TABLE temp.told USING fts5vocab(main, ticket_fts, instance)")
    db.execute(
        "CREATE TEMP TABLE token AS SELECT doc, col, group_concat(term, ' ') AS words FROM"
        " (SELECT doc, col, offset, term FROM temp.told ORDER BY doc, col, offset) GROUP BY doc, col"
    )
    told = ", ".join(f"max(CASE col WHEN '{name}' THEN words ELSE '' END) AS {name}" for name in columns)
    db.execute(f"CREATE TEMP TABLE words AS SELECT doc, {told} FROM token GROUP BY doc")
    db.execute("DROP TABLE token")
    return columns


def main() -> None:
    """Grow the file that is given."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("path", type=Path)
    parser.add_argument("--times", type=int, default=10)
    given = parser.parse_args()
    grow(given.path, given.times)


if __name__ == "__main__":
    main()
