"""How long a line of ``ticket talk`` takes, from the typed line to its answer, by how long the ticket is.

``python benchmarks/talk.py [--entries 60]`` types the example of every kind, over and over, into a scratch shop of the
demo jobs, and prints medians in milliseconds of processor time for each stretch of ticket, beside the time of the
clock, and how often that is the processor time of a bare transaction: one row put on the same disk as safely, with
nothing around it, measured between the lines. That ratio moves less with what else the machine does. Asked are 5 ms a
line. Nothing is asserted: a loaded machine must not fail a test.
"""

import argparse
import itertools
import tempfile
import time
from pathlib import Path
from statistics import median

from ticket.cli.talk_command import Talk
from ticket.job.kinds import KINDS, Photo
from ticket.scratch_shop import fill
from ticket.shop.changing import new_ticket
from ticket.shop.opening import Shop
from ticket.store import driver

_STRETCH = 15  # entries of a row


def main() -> None:
    """Print a row a stretch."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--entries", type=int, default=60)
    count = options.parse_args().entries
    examples = [kind.example for kind in KINDS.values() if kind is not Photo]
    with tempfile.TemporaryDirectory() as folder, Shop.open(Path(folder) / "talk.db", "K. Orlo", scratch=True) as shop:
        fill(shop)
        warm, held = (Talk(shop, new_ticket(shop), as_json=False) for _ in range(2))
        for line in examples:
            list(warm.answer(line))
        bare = driver.connect(Path(folder) / "bare.db", "rwc")
        bare.execute("PRAGMA journal_mode=WAL")
        bare.execute("CREATE TABLE line(text TEXT)")
        took: list[tuple[float, float, float]] = []
        for line in itertools.islice(itertools.cycle(examples), count):
            clock, processor = time.perf_counter(), time.process_time()
            list(held.answer(line))
            answered, told = time.process_time(), time.perf_counter()
            bare.execute("BEGIN IMMEDIATE")
            bare.execute("INSERT INTO line VALUES(?)", [line])
            bare.execute("COMMIT")
            took.append((answered - processor, told - clock, time.process_time() - answered))
        bare.close()
    for start in range(0, count, _STRETCH):
        stretch = took[start : start + _STRETCH]
        processor, clock, least = (1000 * median(one) for one in zip(*stretch, strict=True))
        print(
            f"entries {start + 1:>3} to {start + len(stretch):>3}: {processor:5.1f} ms of the processor,"
            f" {clock:5.1f} ms by the clock, {processor / least:4.0f} bare transactions of {least:.2f} ms"
        )


if __name__ == "__main__":
    main()
