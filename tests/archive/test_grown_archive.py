"""The archive that benchmarks grow is, row for row, one that was gathered of so many shops with the same jobs."""

import sys
from pathlib import Path

import pytest

pytest.importorskip("duckdb")
sys.path.insert(0, str(Path(__file__).parents[2] / "benchmarks"))

from grown_archive import grow

from support.chain import KEY, NOW, job
from ticket.archive.archive_search import find
from ticket.archive.engine import opened
from ticket.archive.gathering import gather
from ticket.archive.search_file import TABLES, current
from ticket.past.query import Here, parse_query
from ticket.shop.opening import Shop


def _rows(search: Path, table: str) -> list[tuple[object, ...]]:
    """All rows; vehicles by the order in which the oldest jobs name them, since each has its own digest."""
    names = [column.split()[0] for column in TABLES[table][0].split(", ")]
    with opened(search) as db:
        seen = db.execute("SELECT vehicle FROM jobs ORDER BY job").fetchall()
        order = {name: place for place, (name,) in enumerate(dict.fromkeys(seen))}
        rows = db.execute(f"SELECT {', '.join(names)} FROM {table} ORDER BY ALL").fetchall()
    at = names.index("vehicle") if "vehicle" in names else None
    plain = [row if at is None else (*row[:at], order[row[at]], *row[at + 1 :]) for row in rows]
    return sorted(plain, key=repr)


def test_a_grown_archive_is_one_of_so_many_shops(tmp_path: Path) -> None:
    for k, name in enumerate(("a", "b", "c")):
        with Shop.open(tmp_path / f"{name}.db", "K. Orlo", now=lambda: NOW) as shop:
            jobs = [job(i + 1, i * 9, i, f"KDE {i % 3}{'LMN'[k] * k}") for i in range(9)]
            shop.store.load(jobs, "K. Orlo", "jobs")
    gather([tmp_path / "a.db"], tmp_path / "one", KEY)
    gather([tmp_path / f"{name}.db" for name in "abc"], tmp_path / "three", KEY)
    grown, gathered = grow(tmp_path / "one", tmp_path / "grown", 3), current(tmp_path / "three")
    for table in TABLES:
        assert _rows(grown, table) == _rows(gathered, table), table
    total, found = find(tmp_path / "grown", parse_query("P0562 cable", Here()))
    assert (total, len({one.shop for one in found})) == (len(found), 3)
    assert _rows(current(tmp_path / "one"), "came"), "some came back, so that what is derived is compared too"
