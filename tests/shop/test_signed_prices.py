"""A bill that was handed out stays as it was: a later price list counts for open tickets only.

Common practice, no source: what was signed is what was sold.
"""

import json
from datetime import date

from ticket.shop import billing
from ticket.shop.printing import paper
from ticket.shop.shop import Shop


def listed(rate: str, phone: str) -> str:
    tax = {"name": "sales tax", "percent": "10", "on": ["labour"]}
    return json.dumps(
        {
            "format": "price-list-1", "rates": [{"name": "general", "price": rate}],
            "places": [{"name": "here", "taxes": [tax]}], "place": "here", "details": {"phone": phone},
        }
    )  # fmt: skip


def job(shop: Shop, *, sign: bool) -> int:
    number = shop.new()
    shop.add(number, "did: 1.5 h replace door seal")
    if sign:
        shop.store.sign(number, shop.ticket(number).rev, shop.person)
    return number


def total(shop: Shop, number: int) -> int:
    return billing.bill(shop, number).bill.total


def test_a_later_price_list_changes_no_signed_bill(shop: Shop) -> None:
    before_any = job(shop, sign=True)
    billing.set_prices(shop, listed("100.00", "555-0100"))
    signed, still_open = job(shop, sign=True), job(shop, sign=False)
    handed_out = paper(shop, signed, "customer", "text")
    billing.set_prices(shop, listed("120.00", "555-0199"))

    assert total(shop, signed) == 165_00  # 1.5 x 100.00 = 150.00, and 10 % tax
    assert total(shop, still_open) == 198_00  # 1.5 x 120.00 = 180.00, and 10 % tax
    assert total(shop, before_any) == 198_00  # no list stood when it was signed: today's is the only one
    assert paper(shop, signed, "customer", "text") == handed_out
    worked, _, _ = billing.hours(shop, date.min, date.max)
    assert worked.sales == 150_00 + 180_00 + 180_00
    assert billing.estimate(shop, signed) is not None

    shop.amend(signed, "did: 0.5 h replace door seal", "forgotten")
    assert total(shop, signed) == 220_00  # 2.0 x 100.00 = 200.00, and 10 % tax: as agreed when it was signed
