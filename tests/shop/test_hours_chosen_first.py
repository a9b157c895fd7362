"""Hours of a period: the days choose first, and only what they chose is read and billed."""

from datetime import date, timedelta

import pytest

from ticket.job.ticket import Ticket
from ticket.money.bill import Bill, bill
from ticket.money.period import hours, labour_of
from ticket.money.prices import PriceList, listed
from ticket.money.terms import Terms
from ticket.scratch_shop import fill
from ticket.shop import money
from ticket.shop.opening import Shop
from ticket.shop.reading import ticket_of
from ticket.shop.signed_under import PricesThen
from ticket.store.store import Store

BEGIN, END = date(2026, 5, 1), date(2026, 10, 1)


@pytest.fixture
def filled(shop: Shop) -> Shop:
    fill(shop)
    return shop


def test_only_tickets_with_labour_near_the_days_are_read_and_only_labour_of_the_days_is_billed(
    filled: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    read: list[int] = []
    billed: list[int] = []
    whole = Store.ticket

    def reading(store: Store, number: int) -> Ticket:
        read.append(number)
        return whole(store, number)

    def billing_one(ticket: Ticket, prices: PriceList, terms: Terms) -> Bill:
        billed.append(ticket.number)
        return bill(ticket, prices, terms)

    monkeypatch.setattr(Store, "ticket", reading)
    monkeypatch.setattr("ticket.money.period.bill", billing_one)
    day = date(2026, 6, 22)  # of one demo job
    made, _, _ = money.hours(filled, day, day)
    assert made.billed > 0
    assert 0 < len(read) < 4 < len(filled.store.numbers())
    assert len(billed) == 1
    read.clear()
    assert money.hours(filled, date(2031, 1, 1), date.max)[0].billed == 0
    assert read == []


def test_choosing_first_changes_no_figure(filled: Shop) -> None:
    """Against the long way: every ticket of the shop read and asked for each period."""
    then = PricesThen(filled)
    every = [(ticket_of(filled, number), listed(then.text(number))) for number in filled.store.numbers()]
    work = [one for ticket, prices in every for one in labour_of([ticket], prices, None, None, None)]
    days = [BEGIN + timedelta(days=17 * i) for i in range(9)]
    for since, until in [
        (None, None),
        (date.min, date.max),
        *((None, day) for day in days),
        *zip(days, days[2:], strict=False),
    ]:
        wanted = [one for one in work if (since or date.min) <= one.day <= (until or date.max)]
        assert money.hours(filled, since, until)[0] == hours("all", wanted)
