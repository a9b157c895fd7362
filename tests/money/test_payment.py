"""The way a deposit was paid is read from words that say nothing else."""

import pytest

from ticket.money.payment import payment_way


@pytest.mark.parametrize(
    ("words", "way"),
    [
        ("cash", "cash"), ("paid by card", "card"), ("will call back, Cash", "cash"), ("by check", "cheque"),
        ("bank transfer", "transfer"), ("pagado con tarjeta", "card"), ("check the brakes too", ""), ("", ""),
        ("transfer case is noisy", ""), ("cash, card", ""), ("no cash", ""), ("credit card", "card"),
    ],
)  # fmt: skip
def test_a_way_is_read_where_nothing_else_is_said(words: str, way: str) -> None:
    assert payment_way(words) == way
