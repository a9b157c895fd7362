"""Labour of a period; each figure by its formula, held against worked examples of the trade press."""

from datetime import UTC
from fractions import Fraction

from support.tickets import ticket_of
from ticket.money.bill import bill
from ticket.money.period import hours, labour_of
from ticket.money.prices import PriceList, Rate
from ticket.money.terms_of import terms_of
from ticket.rules.account_document import hours_document, measured

PRICES = PriceList(rates=(Rate(name="general", price="93.65"), Rate(name="glass", price="50")))


def test_hours_of_a_period_by_formula() -> None:
    """3.5 h sold in 2.2 h on the clock is 159 % (a trade column on shop figures; secondary source)."""
    ticket = ticket_of("did: 3.5 h fit horn; clock 8:00-9:06, 9:30-10:36\ndid: 1 h polish lamp; less 0.5; shared: x")
    work = [one for _, one in labour_of(ticket, bill(ticket, PRICES, terms_of(ticket)), UTC)]
    made = hours("all", work, attended=Fraction(4))
    assert (made.billed, made.clocked, made.unclocked) == (Fraction(4), Fraction(22, 10), Fraction(1, 2))
    figures = {one.formula: measured(one) for one in made.measures}
    assert figures["hours billed of clocked work / hours clocked"] == "1.591"
    assert figures["labour sales / hours billed"] == "93.65"
    assert figures["hours clocked / hours attended"] == "0.550"
    assert hours_document(made)["labour_sales"] == "374.61"  # 327.78 (3.5 x 93.65 = 327.775, half up) + 46.83


def test_no_work_has_no_figures() -> None:
    assert hours("all", []).measures == ()
