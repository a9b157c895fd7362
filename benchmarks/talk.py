"""How long a line of ``ticket talk`` takes, from the typed line to its answer, by how long the ticket is.

``python benchmarks/talk.py [--entries 60]`` types the example of every kind, over and over, into a scratch shop of the
demo jobs, and prints medians in milliseconds of processor time for each stretch of ticket, beside the time of the
clock. Asked are 5 ms a line. Nothing is asserted: a loaded machine must not fail a test.
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
        took: list[tuple[float, float]] = []
        for line in itertools.islice(itertools.cycle(examples), count):
            clock, processor = time.perf_counter(), time.process_time()
            list(held.answer(line))
            took.append((time.process_time() - processor, time.perf_counter() - clock))
    for start in range(0, count, _STRETCH):
        stretch = took[start : start + _STRETCH]
        processor, clock = (1000 * median(one) for one in zip(*stretch, strict=True))
        last = start + len(stretch)
        print(
            f"entries {start + 1:>3} to {last:>3}: {processor:5.1f} ms of the processor, {clock:5.1f} ms by the clock"
        )


if __name__ == "__main__":
    main()
