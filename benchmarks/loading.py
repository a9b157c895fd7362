"""How fast jobs are loaded, against ``executemany`` of ready rows into the same tables, in one run.

    python benchmarks/loading.py [--jobs 2000]

The same invented jobs go into an empty shop: by one process, and with worker processes that decode. Then every row that
came of it goes by ``executemany`` into the tables of another empty shop, in one transaction, with its triggers,
guards and indexes: no loader of the same tables can be faster. Jobs a second of processor time and of wall time; with
workers the processor time is that of this process, which alone writes, and of all together.
"""

import argparse
import resource
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from invented_jobs import write

from ticket.machine.json_file import JsonFile
from ticket.shop.changing import load_documents
from ticket.shop.indexer import index_rows
from ticket.shop.opening import Shop
from ticket.store import index, state
from ticket.store.driver import Connection, connect
from ticket.store.index_rows import WORD_COLUMNS

WORDS = {"ticket_fts": WORD_COLUMNS, "fragment": index.FRAGMENTS}
KEPT_BY_TRIGGERS = ("phrase",)
Rows = list[tuple[str, list[tuple[object, ...]]]]


def used(who: int) -> float:
    """Seconds of processor time of this process, or of the children that ended."""
    found = resource.getrusage(who)
    return found.ru_utime + found.ru_stime


def told(name: str, jobs: int, do: Callable[[], object]) -> float:
    """Do it and print how fast it was; jobs a second of this process's own processor time."""
    own, others, begun = used(resource.RUSAGE_SELF), used(resource.RUSAGE_CHILDREN), time.monotonic()
    do()
    wall = time.monotonic() - begun
    own, others = used(resource.RUSAGE_SELF) - own, used(resource.RUSAGE_CHILDREN) - others
    print(f"{name:<34} {jobs / own:8.0f} {jobs / (own + others):8.0f} {jobs / wall:8.0f}", flush=True)
    return jobs / own


def load(path: Path, source: Path, workers: int) -> None:
    """Load the file into a new shop."""
    with Shop.open(path, "K. Orlo", create=True) as shop:
        _ = shop.kept
        load_documents(shop, [("jobs", JsonFile(source, "jobs"))], workers=workers)


def ready_rows(path: Path) -> Rows:
    """Every row of a shop by its table, in the order they can be put in again."""
    with Shop.open(path, "K. Orlo", create=False) as shop:
        keys = {number: state.id_of(shop.store._session.db, number) for number in shop.store.numbers()}
        words = {}
        for ticket in shop.store.tickets(list(keys)):
            words[keys[ticket.number]] = index.word_row(ticket, index.entry_rows(ticket, index_rows))
    db = connect(path, "ro")
    names = [
        name
        for (name,) in db.execute(
            "SELECT name FROM sqlite_schema WHERE type = 'table' AND sql NOT LIKE 'CREATE VIRTUAL%'"
            " AND name NOT LIKE 'ticket_fts%' AND name NOT LIKE 'fragment%' AND name NOT LIKE 'sqlite%'"
            " AND name <> 'shop' ORDER BY rowid"
        ).fetchall()
        if name not in KEPT_BY_TRIGGERS
    ]
    first = "UPDATE ticket"
    found: Rows = []
    for name in names:
        rows = db.execute(f"SELECT * FROM {name}").fetchall()
        if name == "ticket":  # unsigned first, as its guards want it
            columns = [column for _, column, *_ in db.execute("PRAGMA table_info(ticket)").fetchall()]
            closing = [columns.index(one) for one in ("status", "closed", "signed_by", "seal")]
            at = columns.index("id")
            found.append((first, [(*(row[i] for i in closing), row[at]) for row in rows if row[closing[0]] != "open"]))
            rows = [tuple(_unsigned(column, cell) for column, cell in zip(columns, row, strict=True)) for row in rows]
        found.append((name, rows))
    db.close()
    keyed = sorted(words, reverse=True)
    found.append(("ticket_fts", [(index.SHIFT - key, *words[key].texts) for key in keyed]))
    found.append(("fragment", [(index.SHIFT - key, *words[key].pieces) for key in keyed]))
    order = {"person": 0, "identity": 1, "journal": 2, "ticket": 3, "entry": 4, first: 6}
    return sorted(found, key=lambda one: order.get(one[0], 5))


def _unsigned(column: str, cell: object) -> object:
    plain = {"status": "open", "closed": None, "signed_by": None, "seal": ""}
    return plain.get(column, cell)


def put(db: Connection, rows: Rows) -> None:
    """All rows in one transaction."""
    db.execute("BEGIN IMMEDIATE")
    for table, cells in rows:
        if not cells:
            continue
        if table.startswith("UPDATE"):
            sql = "UPDATE ticket SET status = ?, closed = ?, signed_by = ?, seal = ? WHERE id = ?"
        else:
            names = f"{table}(rowid, {', '.join(WORDS[table])})" if table in WORDS else table
            clause = "OR IGNORE " if table == "person" else ""
            sql = f"INSERT {clause}INTO {names} VALUES({', '.join('?' * len(cells[0]))})"
        db.executemany(sql, cells)
    db.execute("COMMIT")


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--jobs", type=int, default=2000)
    parser.add_argument("--workers", type=int, default=2)
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        write(folder / "jobs.jsonl", given.jobs)
        print(f"{given.jobs:,} jobs: jobs a second of  {'process':>8} {'all':>8} {'wall':>8}")
        ours = told("loaded by one process", given.jobs, lambda: load(folder / "one.db", folder / "jobs.jsonl", 0))
        told(
            f"with {given.workers} workers",
            given.jobs,
            lambda: load(folder / "two.db", folder / "jobs.jsonl", given.workers),
        )
        rows = ready_rows(folder / "one.db")
        print(f"{sum(len(cells) for _, cells in rows) / given.jobs:.1f} rows a job")
        with Shop.open(folder / "bare.db", "K. Orlo", create=True):
            pass
        db = connect(folder / "bare.db")
        db.execute("DELETE FROM person")
        for (trigger,) in db.execute("SELECT name FROM sqlite_schema WHERE name = 'journal_keep'").fetchall():
            kept = db.execute("SELECT sql FROM sqlite_schema WHERE name = ?", [trigger]).fetchone()[0]
            db.execute(f"DROP TRIGGER {trigger}")
            db.execute("DELETE FROM journal")
            db.execute(kept)
        bare = told("ready rows by executemany", given.jobs, lambda: put(db, rows))
        db.close()
        print(f"executemany is {bare / ours:.1f} times as fast as one process")


if __name__ == "__main__":
    main()
