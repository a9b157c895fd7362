"""The tax of an offer that is not carried out yet."""

from dataclasses import replace

from ticket.job.entry import Entry
from ticket.job.kinds import Did, Offer, Used
from ticket.job.ticket import Ticket
from ticket.money.bill import bill
from ticket.money.prices import PriceList


def offer_tax(offer: Offer, price: int | None, ticket: Ticket, prices: PriceList) -> int | None:
    """The tax in the price of an offer, or on it where the shop quotes before tax; cents.

    It is the tax of a bill that holds the offer's hours at the first rate and its parts, and nothing else: fees come
    on top of every offer. Where that bill does not come to the price named (or the offer has neither hours nor
    parts), nobody can say from the offer how much of it is tax: ``None``. A shop without taxes owes none.

    Args:
        offer: the offer.
        price: what was named for it.
        ticket: where it stands.
        prices: the shop's price list.
    """
    if not prices.places:
        return 0
    if price is None or not (offer.hours or offer.parts):
        return None
    at = ticket.opened
    work = [Entry(1, Did(hours=offer.hours, text=offer.text), "", at)] if offer.hours else []
    parts = [Entry(2, Used(amount="1", unit="x", text=offer.text, price=offer.parts), "", at)] if offer.parts else []
    made = bill(replace(ticket, entries=(*work, *parts)), replace(prices, fees=()))
    named = made.total - (made.tax if prices.quotes == "before tax" else 0)
    return made.tax if named == price else None
