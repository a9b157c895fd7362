"""The fields of an estimate that what is offered can fill, long before anything is done or fitted."""

from collections.abc import Callable, Collection
from dataclasses import dataclass, replace

from ticket.job.kinds import Offer
from ticket.job.ticket import Ticket
from ticket.money.agreement import Agreement, Offered, offer_price
from ticket.money.amount import cents
from ticket.money.offer_tax import offer_tax
from ticket.money.prices import PriceList

NOT_REFUSED = ("yes", "", "thinks")  # what is thought over stays offered


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferSum:
    """What an offer comes to, in cents.

    Attributes:
        labour: its hours at the first rate; ``None`` with ``parts`` where the price named is not told apart.
        parts: as typed, 0 where the hours are all of it.
        tax: in the price, or on it where the shop quotes before tax; ``None`` where nobody can say.
        price: what was named; ``None`` where nothing was.
    """

    no: int
    text: str
    hours: str
    labour: int | None
    parts: int | None
    tax: int | None
    price: int | None
    answer: str = ""

    @property
    def told_apart(self) -> bool:
        """Labour and parts are known by themselves."""
        return self.labour is not None


def offer_sums(ticket: Ticket, agreed: Agreement, prices: PriceList) -> tuple[OfferSum, ...]:
    """Every offer of a ticket as it stands, deferred work left out."""
    return tuple(_sum(ticket, offer, prices) for offer in agreed.offers if offer.kind == "offer")


def _sum(ticket: Ticket, offered: Offered, prices: PriceList) -> OfferSum:
    entry = ticket.entry(offered.no)
    fact = entry.fact if entry else None
    hours, labour, parts, tax = "", None, None, None
    if isinstance(fact, Offer):
        hours = fact.hours
        tax = offer_tax(fact, offered.price, ticket, prices)
        held = 0 if prices.quotes == "before tax" else tax
        parts = cents(fact.parts) if fact.parts else 0
        # hours beside a sum for all of it say nothing of parts, unless they alone come to that sum
        lump = fact.estimate and not fact.parts and offer_price(replace(fact, estimate=""), prices) != offered.price
        if offered.price is None or held is None or parts is None or lump or not (fact.hours or fact.parts):
            labour = parts = None
        else:
            labour = offered.price - parts - held
    return OfferSum(
        no=offered.no, text=offered.text, hours=hours, labour=labour, parts=parts, tax=tax, price=offered.price,
        answer=offered.answer,
    )  # fmt: skip


def on_estimate(have: Collection[str], ticket: Ticket, agreed: Agreement, prices: PriceList) -> frozenset[str]:
    """The fields an estimate carries, where a bill of the same ticket would carry ``have``."""
    offered = _offered_fields(ticket, agreed, prices)
    return frozenset(have) - offered.keys() | {field for field, holds in offered.items() if holds}


def _offered_fields(ticket: Ticket, agreed: Agreement, prices: PriceList) -> dict[str, bool]:
    """Which of the fields that speak of lines and sums the offers fill.

    Which parts, of which kind, no offer holds: where it names a price for parts, they are to be written in.
    """
    open_ones = [one for one in offer_sums(ticket, agreed, prices) if one.answer in NOT_REFUSED]

    def all_have(holds: Callable[[OfferSum], bool]) -> bool:
        return bool(open_ones) and all(map(holds, open_ones))

    priced = all_have(lambda one: one.price is not None)
    apart = all_have(lambda one: one.told_apart)
    no_parts = all_have(lambda one: one.parts == 0)
    hours = all_have(lambda one: bool(one.hours))
    supplies = [fee for fee in prices.fees if fee.charge in ("supplies", "waste")]
    parts = dict.fromkeys(("parts listed", "part numbers", "part kinds", "used parts marked"), no_parts)
    return parts | {
        "price per job": priced,
        "estimated cost": any(one.price is not None for one in open_ones),
        "total": priced,
        "labour total": apart,
        "parts total": apart,
        "part prices": apart,
        "hours": hours,
        "hourly price": hours and bool(prices.rates),
        "tax": priced,
        "every other charge": True,
        "supplies charge": all(fee.amount for fee in supplies),
    }
