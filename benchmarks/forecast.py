"""How often the true day lies within the forecast's interval, by kind of driver and number of readings.

    PYTHONPATH=. python benchmarks/forecast.py [--drivers 300] [--seed 5] [--only "changed, 2"]

A cell of 300 drivers differs by 3 or 4 from one seed to the next, one of 2,000 by 1 or 2. Nominal is 90.
Beside each figure stands, in brackets, the method before (``forecast_before.py``). The drivers are invented
(``drivers.py``); nothing here was used to choose the constants of the method.
"""

import argparse
import sys
from collections.abc import Callable, Iterator, Sequence
from functools import cache
from math import ceil, floor
from pathlib import Path
from random import Random
from statistics import median
from typing import NamedTuple

sys.path.insert(0, str(Path(__file__).parent))

import drivers
from drivers import CALM, GRADES, LIVELY, ORDINARY, Kind, Life, of_rates
from forecast_before import interval

from ticket.followups.habit import STANDS, Reading, habit
from ticket.followups.priors import AVERAGE_DRIVER, MACHINE, Prior, of_fleet, of_shop
from ticket.followups.reach import reach

READINGS = (1, 2, 3, 4, 6, 9, 12)
FAR, NEAR, HOURS = (500, 1000, 3000, 5000, 10000), (300, 500, 1000, 1500), (50, 100, 250, 500)


class One(NamedTuple):
    """One forecast against what came."""

    held: bool
    before: bool
    width: float | None
    late_call: bool
    late_risky: bool
    miss: float


def steady(chance: Random, _: int) -> Life:
    """A third each calm, ordinary and lively."""
    return drivers.live(chance.choice(GRADES), chance)


def of(kind: Kind) -> Callable[[Random, int], Life]:
    """Drivers of one kind."""
    return lambda chance, _: drivers.live(kind, chance)


def mixed(low: float, high: float) -> Callable[[Random, int], Life]:
    """The steady mixture with other distances a day."""
    return lambda chance, _: drivers.live(of_rates(chance.choice(GRADES), low, high), chance)


def turned(since: int) -> Callable[[Random, int], Life]:
    """Drivers whose rate changed so many readings ago."""
    return lambda chance, many: drivers.changed(chance, many, since)


SEASONAL = Kind(0.6, 0.10, 0.15, 0.10, 2, 800, season=(0.3, 0.6))
DRIFTING = Kind(0.6, 0.10, 0.15, 0.10, 2, 800, drift=0.5)
MACHINERY = of_rates(Kind(0.6, 0.25, 0.15, 0.10, 0, 0), 0.5, 6)


def _no_more(_: Random) -> Prior:
    """Nothing but what is known of everybody."""
    return AVERAGE_DRIVER


def _machine(_: Random) -> Prior:
    return MACHINE


def _mates(chance: Random) -> Prior:
    """Five vehicles of the same owner."""
    mates = [drivers.live(of_rates(ORDINARY, 60, 200), chance) for _ in range(5)]
    found = [habit(mate.readings(5), AVERAGE_DRIVER) for mate in mates]
    return of_fleet([one.mean for one in found if one]) or AVERAGE_DRIVER


@cache
def _pool() -> tuple[float, ...]:
    """How some steady drivers go a day, as far as five readings tell it: shops are drawn from them."""
    chance = Random("shops")
    found = [habit(steady(chance, 5).readings(5), AVERAGE_DRIVER) for _ in range(1000)]
    return tuple(one.mean for one in found if one)


def _shop(chance: Random) -> Prior:
    """A hundred other vehicles of the shop: its own centre and spread, as a list of due work takes them."""
    return of_shop(chance.sample(_pool(), 100)) or AVERAGE_DRIVER


# name, how its drivers are made, distances, fewest readings it can be told of, what was known before
KINDS = (
    ("steady, mixed", steady, FAR, 1, _no_more),
    ("steady, mixed, in a shop", steady, FAR, 1, _shop),
    ("calm only", of(CALM), FAR, 1, _no_more),
    ("lively only", of(LIVELY), FAR, 1, _no_more),
    ("seasonal", of(SEASONAL), FAR, 1, _no_more),
    ("changed, 1 since", turned(1), FAR, 3, _no_more),
    ("changed, 2 since", turned(2), FAR, 4, _no_more),
    ("changed, 3 since", turned(3), FAR, 6, _no_more),
    ("changes afterwards", turned(0), FAR, 1, _no_more),
    ("drifting", of(DRIFTING), FAR, 1, _no_more),
    ("fleet, 60 to 200", mixed(60, 200), FAR, 1, _no_more),
    ("fleet with five mates", mixed(60, 200), FAR, 1, _mates),
    ("rare, 1 to 6", mixed(1, 6), NEAR, 1, _no_more),
    ("hours", of(MACHINERY), HOURS, 2, _machine),
    ("one mistyped", steady, FAR, 3, _no_more),
    ("stood still, 2 since", lambda chance, many: drivers.stood(chance, many, 2), FAR, 4, _no_more),
)


def measured(
    make: Callable[[Random, int], Life], many: int, chance: Random, lefts: tuple[int, ...],
    known: Callable[[Random], Prior],
    *, slip: bool = False,
) -> One | None:  # fmt: skip
    """One driver's forecast against what came; ``None`` where the life holds too few visits or is too short."""
    life = make(chance, many)
    if len(life.visits) < many:
        return None
    left = float(chance.choice(lefts))
    truth = life.days_until(life.visits[many - 1], left)
    if truth is None:
        return None
    readings = drivers.mistyped(life, chance, many) if slip else life.readings(many)
    return _held(readings, known(chance), left, truth)


def _held(readings: list[Reading], prior: Prior, left: float, truth: int) -> One | None:
    known = habit(readings, prior)
    run = reach(known, left) if known else None
    if known is None or run is None:
        return None
    early, late = interval(readings, left)
    return One(
        held=run.early <= truth and (run.late is None or truth <= run.late),
        before=floor(early) <= truth <= ceil(late),
        width=None if run.late is None or known.word == STANDS else run.late / max(run.middle, 1) - 1,
        late_call=truth < max(1, run.call),
        late_risky=truth < max(1, run.early - 7),
        miss=abs(run.middle - truth) / max(truth, 1),
    )


def rows(many_drivers: int, seed: int, only: str, readings: Sequence[int]) -> Iterator[str]:
    """The table, a line a kind whose name begins with some words."""
    yield (
        "| driver | " + " | ".join(map(str, readings)) + " | half width at 6 | missed by at 6 | late: called / risky |"
    )
    yield "|---|" + "--:|" * (len(readings) + 3)
    for name, make, lefts, fewest, known in (kind for kind in KINDS if kind[0].startswith(only)):
        cells, six, every = [], [], []
        for many in readings:
            chance = Random(f"{seed} {name} {many}")
            slip = name == "one mistyped"
            tried = (measured(make, many, chance, lefts, known, slip=slip) for _ in range(many_drivers))
            found = [one for one in tried if one is not None] if many >= fewest else []
            cells.append(_cell(found))
            six = found if many == 6 else six
            every += found
        width = [one.width for one in six if one.width is not None]
        wide = f"{median(width):.0%}" if width else "open" if six else "-"
        yield (
            f"| {name} | {' | '.join(cells)} | {wide} | {_miss(six)} | "
            f"{_share([one.late_call for one in every])} / {_share([one.late_risky for one in every])} |"
        )


def _cell(found: list[One]) -> str:
    if not found:
        return "-"
    return f"{_share([one.held for one in found])} ({_share([one.before for one in found])})"


def _miss(found: list[One]) -> str:
    return f"{median([one.miss for one in found]):.0%}" if found else "-"


def _share(answers: list[bool]) -> str:
    return f"{100 * sum(answers) / max(len(answers), 1):.0f}"


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--drivers", type=int, default=300)
    parser.add_argument("--seed", type=int, default=5)
    parser.add_argument("--readings", type=int, nargs="+", default=READINGS, metavar="N", help="of how many readings")
    parser.add_argument("--only", default="", metavar="WORDS", help="kinds of drivers that begin with these words")
    options = parser.parse_args()
    print(f"seed {options.seed}, {options.drivers} drivers a cell; coverage in % of nominal 90 (method before)")
    for line in rows(options.drivers, options.seed, options.only, options.readings):
        print(line, flush=True)


if __name__ == "__main__":
    main()
