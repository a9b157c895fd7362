"""Hours of a period: rows kept by the action that changes a ticket answer, and say what its bill says."""

import time
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from ticket.job.ticket import Header, Ticket, Vehicle
from ticket.money.bill import bill
from ticket.money.period import hours, labour_of
from ticket.money.prices import listed
from ticket.money.terms_of import terms_of
from ticket.scratch_shop import fill
from ticket.shop import money
from ticket.shop.changing import add_lines
from ticket.shop.opening import Shop
from ticket.shop.reading import ticket_of
from ticket.shop.settings import put
from ticket.shop.signed_under import PricesThen
from ticket.store.store import Store

BEGIN, END = date(2026, 5, 1), date(2026, 10, 1)


@pytest.fixture
def filled(shop: Shop) -> Shop:
    fill(shop)
    return shop


def test_no_ticket_is_read(filled: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    def reading(_: Store, number: int) -> Ticket:
        raise AssertionError(number)

    monkeypatch.setattr(Store, "ticket", reading)
    assert money.hours(filled, date(2026, 6, 22), date(2026, 6, 22))[0].billed > 0
    assert money.hours(filled, date(2031, 1, 1), date.max)[0].billed == 0


def test_rows_change_no_figure(filled: Shop) -> None:
    """Against the long way: every ticket of the shop read and billed, and its days looked at."""
    then = PricesThen(filled)
    every = [(ticket_of(filled, number), listed(then.text(number))) for number in filled.store.numbers()]
    work = [
        (entry.at.astimezone().date(), one)
        for ticket, prices in every
        for entry, one in labour_of(ticket, bill(ticket, prices, terms_of(ticket)))
    ]
    assert len({one.person for _, one in work}) > 1
    days = [BEGIN + timedelta(days=17 * i) for i in range(9)]
    for since, until in [
        (None, None),
        (date.min, date.max),
        *((None, day) for day in days),
        *zip(days, days[2:], strict=False),
    ]:
        wanted = [one for day, one in work if (since or date.min) <= day <= (until or date.max)]
        made, people, rates = money.hours(filled, since, until)
        assert made == hours("all", wanted)
        assert people == tuple(
            hours(name, (one for one in wanted if one.person == name)) for name in sorted({w.person for w in wanted})
        )
        assert rates == tuple(
            hours(name, (one for one in wanted if one.rate == name)) for name in sorted({w.rate for w in wanted})
        )


@pytest.mark.skipif(not hasattr(time, "tzset"), reason="this system keeps its own zone")
def test_another_zone_counts_its_own_days_and_minutes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """15 USC 260a(a): on 2026-03-08 the clocks of Chicago's zone went from 2:00 to 3:00."""
    monkeypatch.setenv("TZ", "UTC")
    time.tzset()
    late = datetime(2026, 3, 9, 3, tzinfo=UTC)  # ten in the evening of the day before, in Chicago
    with Shop.open(tmp_path / "shop.db", "Bram Tolliver", now=lambda: late) as shop:
        number = shop.store.open_ticket(Header(vehicle=Vehicle(plate="KDE 4102")), shop.person)
        add_lines(shop, number, "did: 3 h fit horn; clock 1:30-3:30")
        assert money.hours(shop, date(2026, 3, 9), date(2026, 3, 9))[0].clocked == 2
        put(shop, "setting/zone", "America/Chicago")
        assert money.hours(shop, date(2026, 3, 9), date(2026, 3, 9))[0].billed == 0
        made = money.hours(shop, date(2026, 3, 8), date(2026, 3, 8))[0]
        assert made.billed == 3
        assert made.clocked == 1
        assert shop.store.check_index() == []
