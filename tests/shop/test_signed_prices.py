"""A later price list changes nothing that was handed out: neither the bill of a signed ticket nor its words."""

import json

from ticket.money.prices import prices_document
from ticket.papers.plain_text import as_text
from ticket.scratch_shop import fill
from ticket.shop import money
from ticket.shop.changing import add_lines, new_ticket, sign_ticket
from ticket.shop.opening import Shop
from ticket.shop.reading import story_of, unanswered

NUMBER = 1020


def test_a_signed_ticket_keeps_the_list_it_was_signed_under(shop: Shop) -> None:
    fill(shop)
    sign_ticket(shop, NUMBER)
    later = json.loads(json.dumps(prices_document(money.prices(shop))))
    told, made = as_text(story_of(shop, NUMBER)), money.bill(shop, NUMBER).bill
    assert "before tax" in told
    later["quotes"] = "with tax"
    later["places"][0]["taxes"][0]["percent"] = "9.25"
    money.set_prices(shop, json.dumps(later))
    assert money.bill(shop, NUMBER).bill == made
    assert as_text(story_of(shop, NUMBER)) == told
    number = new_ticket(shop)
    add_lines(shop, number, "did: 1.0 h check horn\ntold: Ada Fenn by phone 555-0134, yes; total 120.00")
    assert "$120.00" in as_text(story_of(shop, number))
    assert "before tax" not in as_text(story_of(shop, number))


def test_a_list_that_comes_after_a_signature_leaves_nothing_that_the_audit_would_name(shop: Shop) -> None:
    number = new_ticket(shop)
    add_lines(shop, number, "says: horn is silent\ndid: 1.0 h check horn")
    sign_ticket(shop, number, overruled={gap.id: "walked in" for gap in unanswered(shop, number)})
    for hour in ("120.00", "140.00"):
        rates = [{"name": "general", "price": hour}]
        money.set_prices(shop, json.dumps({"format": "price-list-1", "rates": rates}))
        assert shop.store.audit(deep=True).ok
