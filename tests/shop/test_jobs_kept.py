"""What is kept of jobs follows every action, and is what making it anew from the entries gives."""

import random
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from ticket.job.ticket import Header, Vehicle
from ticket.job.values import Quantity
from ticket.scratch_shop import fill
from ticket.shop.changing import add_lines
from ticket.shop.opening import Shop
from ticket.store.driver import connect

START = datetime(2026, 3, 2, 9, tzinfo=UTC)
LINES = (
    "says: fan roars", "code: P1A30-7B fan control, stored", "cause: corroded fan plug; certain",
    "offer: replace fan plug; est 90.00", "told: Ada Fenn by phone, yes; total 90.00", "told: Ada Fenn by phone, no",
    "did: 1.2 h replaced fan plug", "used: 1 x 44-7-10 fan plug @ 12.50", "found: fan turns",
)  # fmt: skip


@pytest.fixture
def days() -> list[datetime]:
    return [START]


@pytest.fixture
def shop(tmp_path: Path, days: list[datetime]) -> Iterator[Shop]:
    with Shop.open(tmp_path / "shop.db", "Bram Tolliver", now=lambda: days[-1]) as shop:
        yield shop


def _row(shop: Shop, number: int, *names: str) -> tuple[object, ...]:
    connection = connect(shop.store.path)
    try:
        row = connection.execute(
            f"SELECT {', '.join(names)} FROM job JOIN ticket ON id = ticket_id WHERE number = ?", [number]
        ).fetchone()
    finally:
        connection.close()
    return tuple(row)


def _open(shop: Shop, reading: str = "", *, plate: str = "KDE 4102") -> int:
    odometer = Quantity(reading, "km") if reading else None
    return shop.store.open_ticket(Header(vehicle=Vehicle(plate=plate), odometer_in=odometer), shop.person)


def _sign(shop: Shop, number: int) -> None:
    ticket = shop.store.ticket(number)
    shop.store.sign(number, ticket.rev, shop.person)


def test_random_actions_leave_what_a_rebuild_makes(shop: Shop, days: list[datetime]) -> None:
    draw = random.Random(4)
    fill(shop)
    numbers = [_open(shop, str(1000 * i), plate=draw.choice(("KDE 4102", "KDE 9"))) for i in range(6)]
    for _ in range(60):
        days.append(days[-1] + timedelta(hours=draw.randint(1, 60)))
        number = draw.choice(numbers)
        ticket = shop.store.ticket(number)
        if ticket.status == "signed":
            continue
        if draw.random() < 0.08:
            _sign(shop, number)
        elif ticket.living and draw.random() < 0.2:
            shop.store.strike(number, draw.choice(ticket.living).no, shop.person)
        elif draw.random() < 0.1:
            header = Header(vehicle=Vehicle(plate=draw.choice(("KDE 4102", "KDE 9"))))
            shop.store.set_header(number, header, shop.person)
        elif draw.random() < 0.1:
            if shop.store.history(number)[-1].verb == "add":
                shop.store.undo(number, shop.person)
        else:
            add_lines(shop, number, draw.choice(LINES))
    assert shop.store.check_index() == []


def test_a_job_that_came_back_is_kept_with_days_and_distance(shop: Shop, days: list[datetime]) -> None:
    first = _open(shop, "80,000")
    add_lines(shop, first, "\n".join(LINES[:3] + LINES[6:8]))
    _sign(shop, first)
    assert _row(shop, first, "state", "back", "hours", "pays") == ("finished", None, 1.2, "customer")
    days.append(START + timedelta(days=20))
    second = _open(shop, "81,250")
    assert _row(shop, first, "back") == (None,)
    add_lines(shop, second, "code: P1A30-7B, stored again")
    back, back_days, metres = _row(shop, first, "back", "back_days", "back_metres")
    assert (back is not None, back_days, metres) == (True, 20, 1_250_000)
    shop.store.strike(second, 1, shop.person)
    assert _row(shop, first, "back") == (None,)


def test_a_declined_job_and_a_bill_above_what_was_agreed(shop: Shop) -> None:
    fill(shop)
    declined = _open(shop)
    add_lines(shop, declined, "\n".join((*LINES[:4], LINES[5])))
    assert _row(shop, declined, "state") == ("open",)
    _sign(shop, declined)
    assert _row(shop, declined, "state") == ("declined",)
    over = _open(shop)
    add_lines(shop, over, "\n".join((*LINES[:5], "used: 1 x 44-7-10 fan plug @ 120.00")))
    assert _row(shop, over, "agreed", "over") == (9000, 1)


def test_a_job_signed_in_spite_of_a_question_says_so(shop: Shop) -> None:
    number = _open(shop)
    add_lines(shop, number, "\n".join(LINES[:3]))
    ticket = shop.store.ticket(number)
    shop.store.sign(number, ticket.rev, shop.person, overruled={"no-cause": "seen by the foreman"})
    assert _row(shop, number, "overruled") == (1,)


def test_a_new_price_list_prices_open_jobs_anew(shop: Shop) -> None:
    from ticket.shop.money import set_prices

    number = _open(shop)
    add_lines(shop, number, LINES[6])
    assert _row(shop, number, "total") == (None,)
    set_prices(shop, '{"format": "price-list-1", "rates": [{"name": "general", "price": "100.00"}]}')
    assert _row(shop, number, "total") == (12000,)
    assert shop.store.check_index() == []
