"""An archive of millions of jobs, made straight in the form that answers: of one that was gathered, so many times over.

    ticket gather big.db --to archive
    PYTHONPATH=. python benchmarks/grown_archive.py archive grown --times 50
    PYTHONPATH=. python benchmarks/archive_questions.py grown

Every shop of the archive stands there so many times, each time under numbers of its own and with vehicles of its own;
what its jobs say is the same. Only the search file is made, by the same steps as the program's own; records there are
none, so nothing can be gathered into it.
"""

import argparse
import os
import time
from pathlib import Path

from ticket.archive import manifest
from ticket.archive.engine import opened, quoted_path
from ticket.archive.manifest import Manifest
from ticket.archive.search_file import SHAPES, SHOP_SHIFT, current, derive, search_path
from ticket.store.file_modes import make_folder

GENERATION = 1


def grow(source: Path, archive: Path, times: int) -> Path:
    """Make a folder that answers as an archive of so many times as many shops; its search file."""
    held = manifest.read(source)
    shops = max(held.shops.values())
    make_folder(archive)
    names = {f"{name}-{k}": number + k * shops for k in range(times) for name, number in held.shops.items()}
    target = search_path(archive, GENERATION)
    aside = target.with_name(f"{target.name}.{os.getpid()}.tmp")
    with opened(aside, write=True) as db:
        db.execute(f"SET memory_limit = '8GB'; SET temp_directory = {quoted_path(archive / 'spilled')}")
        db.execute(f"ATTACH {quoted_path(current(source))} AS one (READ_ONLY)")
        for table, (columns, order) in SHAPES.items():
            cells = ", ".join(_cell(column.split()[0], shops) for column in columns.split(", "))
            db.execute(
                f"CREATE TABLE {table} AS SELECT {cells} FROM one.{table}, range({times}) AS t(k) ORDER BY {order}"
            )
        derive(db)
    manifest.rename(aside, target)
    manifest.write(archive, Manifest(GENERATION, names))
    return target


def _cell(name: str, shops: int) -> str:
    """A column of the shop that stands there for the k-th time."""
    if name == "job":
        return f"job + ((k * {shops}) << {SHOP_SHIFT}) AS job"
    if name == "shop":
        return f"CAST(shop + k * {shops} AS INTEGER) AS shop"
    if name == "vehicle":
        return "CASE WHEN vehicle = '' OR k = 0 THEN vehicle ELSE vehicle || '-' || k END AS vehicle"
    return name


def main() -> None:
    """Make it and say how large it is."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("source", type=Path)
    parser.add_argument("archive", type=Path)
    parser.add_argument("--times", type=int, default=50)
    given = parser.parse_args()
    begun, used = time.monotonic(), time.process_time()
    made = grow(given.source, given.archive, given.times)
    with opened(made) as db:
        (jobs,) = db.execute("SELECT count(*) FROM jobs").fetchone() or (0,)
    print(
        f"{jobs:,} jobs, {made.stat().st_size / 1e6:,.0f} MB, {time.monotonic() - begun:.0f} s,"
        f" {time.process_time() - used:.0f} s of the processor"
    )


if __name__ == "__main__":
    main()
