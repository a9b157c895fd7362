"""How far the proposed order of checks is from the best one, by how many past jobs a shop has.

    python benchmarks/checks.py [--shops 1000]

Invented shops of six causes: how likely each is drawn unevenly, minutes by a lognormal; a shop sees so many jobs and
orders by what it saw. Each row: minutes above the best order there is, in per cent: the proposed order, raw shares
and the quickest check first.
"""

import argparse
from collections import Counter
from dataclasses import replace
from random import Random

from ticket.past.chances import OTHER, Level, chances
from ticket.past.check_order import Check, expected_minutes, ordered

_CAUSES = 6


def shop(draw: Random) -> list[Check]:
    """The causes of one shop as they are."""
    raw = [draw.gammavariate(0.8, 1) + 0.01 for _ in range(_CAUSES)]
    return [Check(str(i), one / sum(raw), draw.lognormvariate(2.5, 0.8)) for i, one in enumerate(raw)]


def believed(checks: list[Check], jobs: Counter[str], *, raw: bool) -> list[Check]:
    """The causes as the shop sees them after some jobs; all of them are known by name."""
    level = Level("jobs", {check.name: jobs[check.name] for check in checks})
    whole = max(level.total, 1)
    found = {n: c / whole for n, c in level.jobs.items()} if raw else chances([level])
    found.pop(OTHER, None)
    return [replace(check, chance=found[check.name]) for check in checks]


def true_minutes(order: tuple[Check, ...], checks: list[Check]) -> float:
    """What an order takes when the causes are as they are."""
    known = {check.name: check for check in checks}
    return expected_minutes([known[check.name] for check in order])


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--shops", type=int, default=1000)
    shops = parser.parse_args().shops
    print(f"{'jobs':>5} {'proposed':>9} {'raw':>6} {'quickest':>9}")
    for count in (0, 1, 3, 5, 10, 20, 50):
        draw, above = Random(count), [0.0, 0.0, 0.0]
        for _ in range(shops):
            checks = shop(draw)
            best = expected_minutes(ordered(checks))
            seen = Counter(draw.choices([c.name for c in checks], [c.chance for c in checks], k=count))
            orders = [ordered(believed(checks, seen, raw=raw)) for raw in (False, True)]
            orders.append(tuple(sorted(checks, key=lambda check: check.minutes)))
            for i, order in enumerate(orders):
                above[i] += 100 * (true_minutes(order, checks) / best - 1) / shops
        print(f"{count:>5} {above[0]:>8.1f}% {above[1]:>5.1f}% {above[2]:>8.1f}%")


if __name__ == "__main__":
    main()
