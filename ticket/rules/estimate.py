"""Where the offers of a ticket stand: their versions, who answered what when, and how much room is left."""

from dataclasses import dataclass
from datetime import datetime, tzinfo

from ticket.job.kinds import Later, Offer
from ticket.job.ticket import Ticket
from ticket.money.agreement import Contact, Offered, offer_price
from ticket.money.amount import cents, plain
from ticket.money.prices import Fee, PriceList
from ticket.rules.account import Account
from ticket.rules.applied import Applied
from ticket.rules.paper_duties import Missing
from ticket.rules.uncovered_work import UncoveredWork, uncovered_work


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferWording:
    """An earlier wording of an offer that a later one replaced."""

    no: int
    text: str
    price: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """One offer or deferred item as it stands; sums in cents, hours as typed.

    Attributes:
        kind: ``offer`` or ``later``.
        version: 1, or more where earlier wordings were replaced; those are in ``earlier``.
        answer: the last answer to this wording, empty for none; with who gave it, when, and the entry.
    """

    no: int
    kind: str
    text: str
    judgement: str
    hours: str
    parts: int | None
    price: int | None
    version: int
    answer: str = ""
    who: str = ""
    at: datetime | None = None
    told: int = 0
    earlier: tuple[OfferWording, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """The estimate of a ticket.

    Attributes:
        offered: the prices of all offers not answered no, in cents; ``None`` where none is named.
        approved: what the customer agreed to; ``None`` where no yes named a sum.
        ceiling: that sum is a limit the customer set.
        billed: what the customer is billed as things stand, on the basis of the offers.
        room: what may still be added before the customer must be asked; ``None`` where no sum is agreed.
        fees: the fees of the price list, in words: what comes on top.
        uncovered: work done on a no, or begun before the yes.
    """

    number: int
    offers: tuple[Standing, ...]
    offered: int | None
    approved: int | None
    ceiling: bool
    billed: int
    allowed: int | None
    room: int | None
    basis: str
    verdict: str
    reason: str
    fees: tuple[str, ...]
    uncovered: tuple[UncoveredWork, ...]
    missing: tuple[Missing, ...]
    rules: tuple[Applied, ...]
    notice: str


def estimate(ticket: Ticket, account: Account, prices: PriceList, *, zone: tzinfo | None = None) -> Estimate:
    """Where the offers of a ticket stand; ``account`` is the one of the same ticket, on the same wall clock."""
    side = account.customer
    contacts = {contact.no: contact for contact in side.agreement.contacts}
    limit = side.verdict.allowed
    return Estimate(
        number=ticket.number,
        offers=tuple(_standing(ticket, offer, contacts, prices) for offer in side.agreement.offers),
        offered=account.offered,
        approved=side.agreement.approved,
        ceiling=side.agreement.ceiling,
        billed=side.verdict.billed,
        allowed=limit.allowed if limit else None,
        room=limit.allowed - side.verdict.billed if limit else None,
        basis=side.verdict.basis,
        verdict=side.verdict.word,
        reason=side.verdict.reason,
        fees=tuple(fee_words(fee) for fee in prices.fees),
        uncovered=uncovered_work(ticket, zone),
        missing=account.missing_estimate,
        rules=tuple(rule for rule in account.rules if rule.paper != "invoice"),
        notice=account.notice,
    )


def fee_words(fee: Fee) -> str:
    """A fee as it stands in the price list, in words."""
    on = f" of {', '.join(fee.of)}" if fee.of else f" for each {' or '.join(fee.each)}" if fee.each else ""
    cap = f", at most {plain(cents(fee.cap) or 0)}" if fee.cap else ""
    what = f"{fee.percent} %" if fee.percent else plain(cents(fee.amount) or 0)
    payer = "" if fee.pays == "customer" else f" ({fee.pays} pays)"
    return f"{fee.name}: {what}{on}{cap}{payer}"


def _standing(ticket: Ticket, offer: Offered, contacts: dict[int, Contact], prices: PriceList) -> Standing:
    entry = ticket.entry(offer.no)
    fact = entry.fact if entry else None
    contact = contacts.get(offer.told)
    return Standing(
        no=offer.no,
        kind=offer.kind,
        text=offer.text,
        judgement=fact.judgement if isinstance(fact, Offer | Later) else "",
        hours=fact.hours if isinstance(fact, Offer) else "",
        parts=cents(fact.parts) if isinstance(fact, Offer) and fact.parts else None,
        price=offer.price,
        version=offer.version,
        answer=offer.answer,
        who=contact.who if contact else "",
        at=contact.at if contact else None,
        told=offer.told,
        earlier=tuple(_earlier(ticket, offer.no, prices)),
    )


def _earlier(ticket: Ticket, no: int, prices: PriceList) -> list[OfferWording]:
    """The wordings an offer replaced, the first one first."""
    found: list[OfferWording] = []
    entry = ticket.entry(no)
    while entry is not None and entry.replaces and entry.replaces < entry.no:
        entry = ticket.entry(entry.replaces)
        if entry is not None and isinstance(entry.fact, Offer | Later):
            found.insert(0, OfferWording(no=entry.no, text=entry.fact.text, price=offer_price(entry.fact, prices)))
    return found
