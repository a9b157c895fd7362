"""A sum is told with the sign that the shop chose, and without one where nobody chose any."""

from pathlib import Path

from support.clock import Clock
from ticket.shop.changing import add_lines, new_ticket
from ticket.shop.money import set_prices
from ticket.shop.opening import Shop, set_setting
from ticket.shop.reading import story_of


def _agreed(shop: Shop, number: int) -> str:
    parts = [part for part in story_of(shop, number).sections if part.id == "agreed"]
    return " ".join(one.text for part in parts for one in part.sentences)


def test_no_story_brings_in_a_sign_of_money(tmp_path: Path) -> None:
    with Shop.open(tmp_path / "shop.db", "Mo Vale", now=Clock()) as shop:
        number = new_ticket(shop)
        add_lines(shop, number, "says: squeals\noffer: replace belt; est 90.00\ntold: Bo by phone, yes 2; total 95.40")
        assert _agreed(shop, number).endswith("the total is 95.40.")
        set_setting(shop, "currency", "£")
        assert _agreed(shop, number).endswith("the total is £95.40.")


def test_a_price_list_in_dollars_is_sign_enough(tmp_path: Path) -> None:
    with Shop.open(tmp_path / "shop.db", "Mo Vale", now=Clock()) as shop:
        set_prices(shop, '{"format": "price-list-1", "currency": "USD", "rates": []}', "prices.json")
        number = new_ticket(shop)
        add_lines(shop, number, "says: squeals\noffer: replace belt; est 90.00\ntold: Bo by phone, yes 2; total 95.40")
        assert "$95.40" in _agreed(shop, number)
