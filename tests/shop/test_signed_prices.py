"""A later price list changes nothing that was handed out: neither the bill of a signed ticket nor its words."""

import json

from ticket.job.ticket import Header
from ticket.money.prices import prices_document
from ticket.papers.plain_text import as_text
from ticket.scratch_shop import fill
from ticket.shop import money
from ticket.shop.changing import add_lines, new_ticket, set_header, sign_ticket
from ticket.shop.opening import Shop
from ticket.shop.reading import open_gaps, story_of, ticket_of, unanswered

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


def test_sums_of_a_job_are_told_as_its_header_says_whatever_the_list_says(shop: Shop) -> None:
    """The sum agreed to holds the tax or not, and the bill is held against it alike: 8 % of 100.00 are 8.00."""
    prices = {"format": "price-list-1", "rates": [{"name": "general", "price": "100.00"}], "places": [
        {"name": "here", "taxes": [{"name": "tax", "percent": "8", "on": ["labour"]}]}
    ]}  # fmt: skip
    money.set_prices(shop, json.dumps(prices))
    told = {}
    for way in ("", "with tax", "before tax"):
        number = new_ticket(shop, Header(sums_told=way))
        add_lines(shop, number, "says: horn is silent\noffer: check horn; est 100.00")
        add_lines(shop, number, "told: Ada Fenn by phone 555-0134, yes 2; total 100.00\ndid: 1.0 h check horn; for 2")
        told[way] = [side.verdict.billed for side in money.bill(shop, number).sides]
    assert told[""] == told["with tax"] == [10800]
    assert told["before tax"] == [10000]


def test_without_a_price_list_hours_are_asked_about_where_a_sum_was_agreed(shop: Shop) -> None:
    number = new_ticket(shop)
    add_lines(shop, number, "says: brakes squeal\noffer: replace rear pads; est 190\ndid: 1.2 h replaced pads; for 2")
    assert "labour-in-sum" not in {gap.id for gap in open_gaps(shop, number)}
    add_lines(shop, number, "told: Ada Fenn by phone 555-0134, yes 2; total 190.00")
    (asked,) = [gap for gap in open_gaps(shop, number) if gap.id == "labour-in-sum"]
    assert (asked.entry, asked.level) == (3, "advice")
    assert "190.00 was agreed and the bill is 0.00" in asked.question
    money.set_prices(shop, json.dumps({"format": "price-list-1", "rates": [{"name": "general", "price": "100.00"}]}))
    assert "labour-in-sum" not in {gap.id for gap in open_gaps(shop, number)}


def test_what_names_no_payer_is_paid_as_the_header_says_when_it_is_typed(shop: Shop) -> None:
    number = new_ticket(shop, Header(pays="warranty"))
    add_lines(
        shop, number,
        "did: 1.0 h check horn\nused: 1 x horn @ 20.00; pay customer\nused: 1 x fuse @ 1; split customer 50, shop 50",
    )  # fmt: skip
    set_header(shop, number, Header(pays="shop"))
    add_lines(shop, number, "did: 0.2 h clean up\nfound: horn dry")
    paid = [getattr(entry.fact, "pays", "-") for entry in ticket_of(shop, number).entries]
    assert paid == ["warranty", "customer", "", "shop", "-"], "what was typed before stays as it was typed"


def test_a_list_that_comes_after_a_signature_leaves_nothing_that_the_audit_would_name(shop: Shop) -> None:
    number = new_ticket(shop)
    add_lines(shop, number, "says: horn is silent\ndid: 1.0 h check horn")
    sign_ticket(shop, number, overruled={gap.id: "walked in" for gap in unanswered(shop, number)})
    for hour in ("120.00", "140.00"):
        rates = [{"name": "general", "price": hour}]
        money.set_prices(shop, json.dumps({"format": "price-list-1", "rates": rates}))
        assert shop.store.audit(deep=True).ok
