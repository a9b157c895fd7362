"""A sum that was named for a whole work is told apart into labour and parts only where the line says how."""

from datetime import UTC, datetime

import pytest

from ticket.job.entry import Entry
from ticket.job.kinds import Offer
from ticket.job.ticket import Ticket
from ticket.money.agreement import agreement
from ticket.money.prices import PriceList, Rate
from ticket.rules.estimate_fields import offer_sums

AT = datetime(2026, 3, 2, 9, tzinfo=UTC)
PRICES = PriceList(rates=(Rate(name="general", price="100"),))


@pytest.mark.parametrize(
    ("offer", "apart"),
    [
        (Offer(text="replace fan clutch", hours="1.5", estimate="318.00"), (None, None)),
        (Offer(text="replace fan clutch", hours="1.5", parts="168.00", estimate="318.00"), (150_00, 168_00)),
        (Offer(text="replace fan clutch", hours="1.5", estimate="150.00"), (150_00, 0)),
        (Offer(text="replace fan clutch", hours="1.5"), (150_00, 0)),
        (Offer(text="replace fan clutch", estimate="318.00"), (None, None)),
    ],
)
def test_hours_beside_a_sum_for_all_of_it_say_nothing_of_parts(
    offer: Offer, apart: tuple[int | None, int | None]
) -> None:
    ticket = Ticket(1, AT, entries=(Entry(1, offer, "W.", AT),))
    (one,) = offer_sums(ticket, agreement(ticket, PRICES), PRICES)
    assert (one.labour, one.parts) == apart
