"""How often an honest odometer entry is questioned, and how many slips of the hand are noticed.

    PYTHONPATH=. python benchmarks/odometer.py [--entries 5000] [--seed 11]

Entries are those of invented drivers (``drivers.py``): honest ones, and honest ones with one slip put in.
"""

import argparse
import sys
from collections import Counter
from pathlib import Path
from random import Random

sys.path.insert(0, str(Path(__file__).parent))

import drivers
from drivers import GRADES, ORDINARY, of_rates

from ticket.followups.driving import Visit
from ticket.followups.odometer import visit_doubt
from ticket.job.values import Quantity

SLIPS = ("digit missing", "digit too many", "km typed as mi", "digits swapped", "wrong digit")


def slipped(value: int, slip: str, chance: Random) -> int:
    """A reading with one slip of the hand."""
    digits = str(value)
    at = chance.randrange(len(digits))
    if slip == "digit missing":
        return int(digits[:at] + digits[at + 1 :] or "0")
    if slip == "digit too many":
        return int(digits[:at] + chance.choice("0123456789") + digits[at:])
    if slip == "km typed as mi":
        return round(value * 1.609344)
    if slip == "digits swapped":
        at = min(at, len(digits) - 2)
        return int(digits[:at] + digits[at + 1] + digits[at] + digits[at + 2 :])
    return int(digits[:at] + chance.choice("0123456789") + digits[at + 1 :])


def visits_of(life: drivers.Life, many: int) -> list[Visit]:
    """The first so many visits of a driver."""
    return [Visit(day, Quantity(str(int(value)), "mi")) for day, value in life.readings(many)]


def _anybody(chance: Random) -> drivers.Life:
    """Mostly steady drivers; one in eight each a fleet's, a rarely driven one, and one whose habits change."""
    what = chance.randrange(8)
    if what == 0:
        return drivers.changed(chance, chance.randint(3, 9), 1)
    apart = {1: of_rates(ORDINARY, 60, 200), 2: of_rates(ORDINARY, 1, 6)}
    return drivers.live(apart.get(what) or chance.choice(GRADES), chance)


def measure(entries: int, seed: int) -> None:
    """Print false alarms and noticed slips."""
    chance = Random(seed)
    asked, honest = Counter[str](), 0
    noticed, tried = Counter[str](), Counter[str]()
    while honest < entries:
        life = _anybody(chance)
        visits = visits_of(life, len(life.visits))
        for at in range(1, len(visits)):
            honest += 1
            doubt = visit_doubt(visits[at], visits[:at])
            asked[doubt.kind if doubt else ""] += 1
            slip = chance.choice(SLIPS)
            meant = int(visits[at].reading.value or 0)
            typed = slipped(meant, slip, chance)
            if typed != meant:
                tried[slip] += 1
                wrong = Visit(visits[at].day, Quantity(str(typed), "mi"))
                noticed[slip] += visit_doubt(wrong, visits[:at]) is not None
    false = honest - asked[""]
    kinds = ", ".join(f"{kind} {count}" for kind, count in asked.items() if kind)
    share = f"{100 * false / honest:.2f} %"
    print(f"seed {seed}: {false} of {honest} honest entries questioned ({share}): {kinds or 'none'}")
    for slip in SLIPS:
        print(f"  {slip}: {100 * noticed[slip] / max(1, tried[slip]):.0f} % of {tried[slip]} noticed")


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--entries", type=int, default=5000)
    parser.add_argument("--seed", type=int, default=11)
    options = parser.parse_args()
    measure(options.entries, options.seed)


if __name__ == "__main__":
    main()
