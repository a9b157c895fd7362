"""How long a pasted scan report takes to read, as a ratio to one bare regular expression over the same text.

``python benchmarks/report.py [--rounds N] [--lines N]`` prints the best of N interleaved rounds. The goal is 50 ms for
a thousand lines, so that a paste feels immediate; nothing is asserted, as a loaded machine must not fail a test.
"""

import argparse
import itertools
import random
import re
import time
from collections.abc import Callable, Iterator

from ticket.faults.report import Report, parse_report

GOAL = 50  # milliseconds for a thousand lines
BARE = re.compile(r"\b[PCBU][0-3][0-9A-F]{3}\b|\bSPN \d+ FMI \d+")
UNITS = ("Engine computer", "Fan control unit", "Body computer", "Climate module", "Left door unit", "Brake computer")
STATES = ("stored", "pending", "active", "history", "intermittent", "not present", "confirmed")
WORDS = ("system voltage low", "fan circuit comes and goes", "no messages", "pressure signal high", "fluid level")


def report_lines(seed: int = 15031) -> Iterator[str]:
    """Lines without end, style after style: columns, pipes, semicolons, labels, prose, headings, trucks, noise."""
    rng = random.Random(seed)

    def code() -> str:
        return f"{rng.choice('PPPPCBU')}{rng.choice('0012')}{rng.randrange(0x1000):03X}"

    def sub() -> str:
        return f"{rng.randrange(0x9F):02X}"

    def table(separator: str, titles: str, count: int = 8) -> Iterator[str]:
        yield titles
        for _ in range(count):
            yield separator.join((rng.choice(UNITS), f"{code()}-{sub()}", rng.choice(STATES), rng.choice(WORDS)))

    while True:
        yield "WORKSHOP PRINTOUT"
        yield "Date: 2026-03-02  Odometer: 123456"
        yield from table("    ", "Module    Code    Status    Description")
        yield "-" * 60
        yield from table(" | ", "Module | Code | Status | Description")
        yield from table(";", "module;code;status;description")
        for _ in range(4):
            yield ""
            yield f"Control unit: {rng.choice(UNITS)}"
            yield f"Code: {code()}"
            yield f"Sub-code: {sub()}"
            yield f"Status: {rng.choice(STATES)}"
            yield f"Description: {rng.choice(WORDS)}"
        for _ in range(6):
            yield f"The {rng.choice(UNITS).lower()} reports {code()}-{sub()} and {code()}, both {rng.choice(STATES)}."
            yield "        Freeze frame: 11.2 V, 812 rpm, 88 C coolant, 12.4 s since start"
            yield rng.choice(UNITS) + ": no faults found"
        yield "=== TRUCK NETWORK ==="
        for spn in rng.sample(range(1, 5000), 6):
            yield f"SPN {spn} FMI {rng.randrange(22)}  {rng.choice(STATES)}  count {rng.randrange(9)}"
        yield "DM1: 54 4F 61 02 13 00 21 06 1F 00 EE 10 04 00"
        yield "Nothing else was read, and the technician was told to look at the wiring before the next visit."
        yield "Page 3 of 9"


def best(rounds: int, *tasks: Callable[[], object]) -> list[float]:
    """The shortest time of each task in milliseconds; the tasks take turns, so that load hits all of them."""
    shortest = [float("inf")] * len(tasks)
    for _ in range(rounds):
        for i, task in enumerate(tasks):
            start = time.perf_counter()
            task()
            shortest[i] = min(shortest[i], 1000 * (time.perf_counter() - start))
    return shortest


def main() -> None:
    """Measure and print."""
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--rounds", type=int, default=20)
    arguments.add_argument("--lines", type=int, default=1000)
    chosen = arguments.parse_args()
    text = "\n".join(itertools.islice(report_lines(), chosen.lines))
    report: Report = parse_report(text)
    full, bare = best(chosen.rounds, lambda: parse_report(text), lambda: BARE.findall(text))
    print(f"{chosen.lines} lines, {len(text)} characters, best of {chosen.rounds}")
    print(f"parse_report     {full:8.2f} ms  {len(report.faults)} faults, {len(report.unread)} lines unread")
    print(f"bare expression  {bare:8.2f} ms  {len(BARE.findall(text))} matches")
    print(f"ratio            {full / bare:8.0f}     goal {GOAL * chosen.lines / 1000:g} ms")


if __name__ == "__main__":
    main()
