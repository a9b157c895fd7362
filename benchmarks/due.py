"""How long the list of deferred work takes in a large shop, cold and after a change, beside reading its rows alone.

    PYTHONPATH=. python benchmarks/due.py [--vehicles 50000] [--visits 10] [--keep FILE]

Times are those of the processor, so that a busy machine does not count. Rows are written past the journal, in a minute
instead of a day; such a file proves nothing and is thrown away. Every vehicle has one piece of work that waits.
"""

import argparse
import json
import subprocess
import sys
import tempfile
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random

from ticket.job.ticket import Header, Vehicle
from ticket.job.values import Quantity
from ticket.shop.changing import add_lines, new_ticket
from ticket.shop.due_board import board_of
from ticket.shop.opening import Shop
from ticket.store.additions import day_id
from ticket.store.driver import connect

NOW = datetime(2026, 3, 2, 12, tzinfo=UTC)
_COLD = """
import sys, time
from datetime import UTC, datetime, timedelta
from pathlib import Path
from ticket.shop.opening import Shop
from ticket.shop.deferred import due_items
from ticket.shop.due_board import board_of
shop = Shop.open(Path(sys.argv[1]), "K. Orlo", now=lambda: datetime(2026, 3, 2, 12, tzinfo=UTC))
start = time.process_time()
rows = shop.store.waiting.rows()
alone = time.process_time() - start
del rows
start = time.process_time()
board = board_of(shop)
whole = time.process_time() - start
start = time.process_time()
month = due_items(shop, shop.today + timedelta(days=30), to_call=True)
shown = time.process_time() - start
start = time.process_time()
first = due_items(shop, most=200)
print(alone, whole, shown, len(month), time.process_time() - start, len(board.lines))
"""


def fill(path: Path, vehicles: int, visits: int) -> None:
    """A shop of so many vehicles, each with so many visits and one deferred item on its last but one."""
    with Shop.open(path, "K. Orlo", now=lambda: NOW) as shop:
        new_ticket(shop, Header(Vehicle("First", "", "FIRST 1")))
    connection = connect(path)
    connection.execute("BEGIN IMMEDIATE")
    chance, tickets, entries, names = Random(7), [], [], []
    taken: dict[int, int] = {}
    number = identity = 100
    for vehicle in range(vehicles):
        identity += 1
        names.append((identity, "customer.name", b"x", f"Customer {vehicle}", "0" * 64))
        miles, a_day = chance.uniform(500, 90_000), chance.lognormvariate(3.2, 0.5)
        day = NOW - timedelta(days=visits * 100 + chance.randint(0, 90))
        for visit in range(visits):
            number += 1
            gap = chance.randint(40, 140)
            day, miles = day + timedelta(days=gap), miles + gap * a_day * chance.lognormvariate(0, 0.3)
            low = day_id(day.date())
            taken[low] = taken.get(low, 1) + 1
            header = {
                "vehicle": {"label": f"Corvane {vehicle}", "plate": f"V{vehicle}"},
                "customer": {"name": {"identity": identity, "promise": "0" * 64}},
                "odometer_in": {"number": f"{miles:.0f}", "unit": "mi"},
            }
            at = day.strftime("%Y-%m-%dT%H:%M:%S.000Z")
            key = low + taken[low]
            tickets.append((key, number, "open", at, "", 1, at, json.dumps(header)))
            if visit == visits - 2:
                data = {"text": "replace shaft seal", "judgement": "may wait", "because": "it only seeps"}
                data["due"] = {"distance": {"number": str(chance.choice((500, 3000, 8000))), "unit": "mi"}}
                entries.append((key, 1, "later", 1, at, json.dumps(data)))
    connection.executemany("INSERT INTO identity(id, part, salt, value, promise) VALUES(?, ?, ?, ?, ?)", names)
    connection.executemany(
        "INSERT INTO ticket(id, number, status, opened, seal, rev, updated, header) VALUES(?, ?, ?, ?, ?, ?, ?, ?)",
        sorted(tickets),
    )
    connection.executemany(
        "INSERT INTO entry(ticket_id, no, kind, person_id, at, data) VALUES(?, ?, ?, ?, ?, ?)", entries
    )
    connection.execute("COMMIT")
    connection.execute("ANALYZE")
    connection.close()


def measure(path: Path, vehicles: int, visits: int) -> None:
    """Print everything."""
    with Shop.open(path, "K. Orlo", now=lambda: NOW) as shop:
        start = time.process_time()
        shop.store.rebuild_vehicles()
        print(f"{vehicles} vehicles, {visits} visits each; kept anew: {time.process_time() - start:.1f} s")
    found = [_cold(path) for _ in range(3)]
    alone, whole, shown, month, first, lines = min(found, key=lambda one: one[1])
    print(f"rows alone {alone * 1000:.0f} ms")
    print(f"the list of {lines:.0f} cold {whole * 1000:.0f} ms ({whole / alone:.1f} times)")
    print(f"calls of a month ({month:.0f}) as shown {shown * 1000:.0f} ms")
    print(f"the first 200 as shown {first * 1000:.0f} ms")
    with Shop.open(path, "K. Orlo", now=lambda: NOW) as shop, Shop.open(path, "A. Fell", now=lambda: NOW) as other:
        board_of(other)
        took, followed = [], []
        for vehicle in range(0, vehicles, max(1, vehicles // 20)):
            header = Header(Vehicle("", "", f"V{vehicle}"), odometer_in=Quantity("150000", "mi"))
            start = time.process_time()
            number = new_ticket(shop, header)
            took.append(time.process_time() - start)
            add_lines(shop, number, "later: read level again; in 500 mi")
            start = time.process_time()
            board_of(other)
            followed.append(time.process_time() - start)
    took.sort()
    followed.sort()
    print(f"a ticket opened with a reading {took[len(took) // 2] * 1000:.1f} ms (worst {took[-1] * 1000:.1f})")
    print(f"an open list after a change {followed[len(followed) // 2] * 1000:.1f} ms (worst {followed[-1] * 1000:.1f})")


def _cold(path: Path) -> list[float]:
    done = subprocess.run([sys.executable, "-c", _COLD, str(path)], capture_output=True, text=True, check=True)
    return [float(part) for part in done.stdout.split()]


def main() -> None:
    """Fill a shop and measure it."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--vehicles", type=int, default=50_000)
    parser.add_argument("--visits", type=int, default=10)
    parser.add_argument("--keep", metavar="FILE", help="fill this file where it is not there, and leave it")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(options.keep) if options.keep else Path(folder) / "shop.db"
        if not path.exists():
            start = time.process_time()
            fill(path, options.vehicles, options.visits)
            print(f"filled in {time.process_time() - start:.0f} s")
        measure(path, options.vehicles, options.visits)


if __name__ == "__main__":
    main()
