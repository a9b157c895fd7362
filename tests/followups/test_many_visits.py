"""A vehicle that came often costs an action about as much more as it has more visits: calls are counted, never time.

Each visit puts the same work off again, puts off some of its own and reads a level again that was first read on the
first visit. Where each visit looks at each other one, twice as many cost four times as much.
"""

import json
import sys
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta

from support.tickets import ticket_of
from ticket.followups.threads import threads
from ticket.job.ticket import Header, Ticket, Vehicle
from ticket.job.values import Quantity, Ref
from ticket.shop.vehicle_rows import vehicle_rows

FIRST = datetime(2020, 1, 5, 12, tzinfo=UTC)
FEW, MANY = 25, 50
MOST = 2.8  # times as much for twice as many


def _visits(count: int) -> list[Ticket]:
    found = []
    for i in range(count):
        read = f"proof: 1801/1 now -{i % 9} mm" if i else "found: fan-drive reservoir level -14 mm (-3 to 0)"
        lines = [
            read,
            "later: read the level again; for 1801/1",
            f"later: renew hose {'abcde'[i % 5]}{i}x",
        ]
        made = ticket_of(lines, number=1801 + i, opened=FIRST + timedelta(days=20 * i), status="signed")
        header = Header(vehicle=Vehicle(plate="GRN 04"), odometer_in=Quantity(f"{9000 + 400 * i}", "mi"))
        found.append(replace(made, header=header))
    return found


def _calls(work: Callable[[], object]) -> int:
    """How many calls some work makes; each step of a generator is one."""
    count = 0

    def seen(_frame: object, event: str, _of: object) -> None:
        nonlocal count
        count += event in ("call", "c_call")

    before = sys.getprofile()
    sys.setprofile(seen)
    try:
        work()
    finally:
        sys.setprofile(before)
    return count


def test_what_is_kept_of_a_vehicle_costs_as_many_steps_more_as_it_has_visits() -> None:
    visits = _visits(MANY)
    vehicle_rows(visits, {}, "")  # what is remembered for texts is known by now
    few = _calls(lambda: vehicle_rows(visits[:FEW], {}, ""))
    many = _calls(lambda: vehicle_rows(visits, {}, ""))
    assert few > 40 * FEW
    assert many < MOST * few


def test_the_rows_themselves_grow_with_the_visits_not_with_their_square() -> None:
    visits = _visits(MANY)
    held = [
        [len(json.loads(row.looks)) for row in vehicle_rows(some, {}, "").threads] for some in (visits[:FEW], visits)
    ]
    assert sum(held[1]) < MOST * sum(held[0])
    (newest,) = [one for one in threads(visits) if one.waits and "level" in one.fact.text]
    assert newest.ref == Ref(2, 1800 + MANY)
    assert len({look.ref.ticket for look in newest.looks}) == MANY  # what waits still shows every visit
