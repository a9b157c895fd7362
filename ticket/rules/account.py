"""The money of one ticket in one record: its bill, what was agreed, and what the local rules say to both."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, tzinfo

from ticket.job.kinds import Told
from ticket.job.ticket import Person, Ticket
from ticket.money.agreement import Agreement, agreement
from ticket.money.bill import Bill, bill
from ticket.money.bill_line import Doubt
from ticket.money.prices import Fee, PriceList
from ticket.money.terms import Terms
from ticket.money.terms_of import term_doubts
from ticket.rules import applied as told
from ticket.rules.agreement_verdict import ASK_FIRST, NOT_APPROVED, WITHIN, AgreementVerdict, verdict
from ticket.rules.applied import Applied
from ticket.rules.charge_rules import Charge, fee_charges
from ticket.rules.consent_rules import Fault, consent_faults, consent_of
from ticket.rules.estimate_fields import on_estimate
from ticket.rules.owed import estimate_owed
from ticket.rules.pack import NEUTRAL, Pack, load
from ticket.rules.paper_duties import Missing, circumstances, missing, present

_WORST = (NOT_APPROVED, ASK_FIRST, WITHIN)


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """One payer's side of it: what they agreed to, and whether their share stands within that."""

    payer: str
    agreement: Agreement
    verdict: AgreementVerdict


@dataclass(frozen=True, slots=True, kw_only=True)
class Account:
    """Everything about the money of one ticket as it stands.

    Attributes:
        sides: the customer first, then every other payer who was asked.
        offered: the prices of all offers not answered no, in cents; ``None`` where no offer names one.
        missing_estimate: fields the estimate lacks by the local rules.
        missing_invoice: the same for the invoice.
        charges: the fees on the bill, each with what the rules say of it.
        consent: what the record of a yes lacks: its entry and the fault.
        rules: every row that bears on the job, in words.
        notice: that this is no legal advice.
        doubts: what a person should look at: of the lines, of what else was agreed, of the answers.
        priced: the shop has a price list; without one most amounts are unknown.
    """

    number: int
    pack: str
    bill: Bill
    terms: Terms
    sides: tuple[Side, ...]
    offered: int | None
    missing_estimate: tuple[Missing, ...]
    missing_invoice: tuple[Missing, ...]
    charges: tuple[tuple[Fee, Charge], ...]
    consent: tuple[tuple[int, Fault], ...]
    rules: tuple[Applied, ...]
    notice: str
    doubts: tuple[Doubt, ...] = ()
    priced: bool = True

    @property
    def customer(self) -> Side:
        """The customer's side."""
        return self.sides[0]

    @property
    def worst(self) -> Side:
        """The side that keeps the bill from being presented, or the customer's where none does."""
        return min(self.sides, key=lambda side: _WORST.index(side.verdict.word))

    @property
    def blocking(self) -> tuple[Missing, ...]:
        """Fields without which the invoice may not be given out."""
        return tuple(field for field in self.missing_invoice if field.blocks)

    @property
    def refused(self) -> tuple[tuple[Fee, Charge], ...]:
        """Fees on the bill that the rules do not allow as they are."""
        return tuple((fee, charge) for fee, charge in self.charges if not charge.allowed)

    @property
    def may_be_given(self) -> bool:
        """Whether the bill may be presented: agreed, complete, and with no fee the rules refuse."""
        return self.worst.verdict.word == WITHIN and not self.blocking and not self.refused


def _undecided(agreed: Agreement) -> bool:
    return any(offer.kind == "offer" and offer.answer not in ("yes", "no") for offer in agreed.offers)


def _offered(agreed: Agreement) -> int | None:
    """The sum of the prices named for what was not refused; ``None`` where none was named."""
    named = [offer.price for offer in agreed.offers if offer.kind == "offer" and offer.answer != "no"]
    known = [price for price in named if price is not None]
    return sum(known) if known else None


def account(
    ticket: Ticket,
    prices: PriceList,
    pack: Pack,
    terms: Terms,
    *,
    shop: str = "",
    people: Sequence[Person] = (),
    zone: tzinfo | None = UTC,
    priced: bool = True,
) -> Account:
    """The account of a ticket. Total, like the bill: what is doubtful comes back as doubts.

    Args:
        ticket: as it stands.
        prices: the shop's price list.
        pack: the local rules.
        terms: what else was agreed about money.
        shop: the shop's name.
        people: its staff, who tells mechanics from others.
        zone: the shop's wall clock; ``None`` for the machine's own zone.
        priced: the shop has a price list at all.
    """
    made = bill(ticket, prices, terms)
    sides = tuple(_sides(ticket, made, prices, pack, terms, zone))
    agreed = sides[0].agreement
    have = present(ticket, made, agreed, prices, shop=shop, people=people, terms=terms)
    when = circumstances(made, agreed)
    named = on_estimate(have, ticket, agreed, prices)
    lacking = {
        paper: missing(pack, paper, held, when, deposit=made.deposit)
        for paper, held in (("estimate", named), ("invoice", have))
    }
    charged = {line.text for line in made.lines if not line.no}
    on_paper = {"itemised on estimate", "told in the estimate"} if agreed.offers else set()
    charges = tuple(pair for pair in fee_charges(pack, prices, on_paper) if pair[0].name in charged)
    consent = tuple(_consent(pack, agreed))
    limit = sides[0].verdict.allowed
    rules = [told.from_overrun(pack, limit)] if limit else []
    rules += [told.from_owed(estimate_owed(pack, made.of("customer").total))]
    if sides[0].verdict.word == ASK_FIRST or (agreed.said_yes and _undecided(agreed)):
        rules += told.from_extra(pack)
    rules += told.from_consent(consent)
    rules += told.from_charges(charges)
    for paper, fields in lacking.items():
        rules += told.from_missing(paper, fields)
    rules += told.from_duties(pack, made, prices)
    return Account(
        number=ticket.number,
        pack=pack.id,
        bill=made,
        terms=terms,
        sides=sides,
        offered=_offered(agreed),
        missing_estimate=lacking["estimate"],
        missing_invoice=lacking["invoice"],
        charges=charges,
        consent=consent,
        rules=tuple(rules),
        notice=pack.notice,
        doubts=(*made.doubts, *term_doubts(ticket), *agreed.doubts, *_told_otherwise(ticket, prices)),
        priced=priced,
    )


def _told_otherwise(ticket: Ticket, prices: PriceList) -> Iterator[Doubt]:
    """Sums that were told with tax where those of the job are told before it, or the other way round."""
    for entry in ticket.of_kind(Told):
        told = entry.fact.tax if isinstance(entry.fact, Told) else ""
        if told and prices.places and told != prices.quotes:
            text = (
                f"This sum was told {told}; the sums of this job are told {prices.quotes}. Where all of them are told"
            )
            text += f" {told}: ticket set {ticket.number} --sums-told '{told}'"
            yield Doubt(entry.no, "tax", text)


def _sides(
    ticket: Ticket, made: Bill, prices: PriceList, pack: Pack, terms: Terms, zone: tzinfo | None
) -> Iterator[Side]:
    """The customer, and every other payer whose cover names somebody who was asked.

    The laws on overruns protect the customer; for other payers nothing above the agreed sum is taken for granted.
    """
    for payer in ("customer", "warranty", "contract"):
        agreed = agreement(ticket, prices, terms, payer=payer, zone=zone)
        if payer == "customer" or agreed.contacts:
            rules = pack if payer == "customer" else load(NEUTRAL)
            yield Side(
                payer=payer,
                agreement=agreed,
                verdict=verdict(ticket, made, agreed, rules, quotes=prices.quotes),
            )


def _consent(pack: Pack, agreed: Agreement) -> Iterator[tuple[int, Fault]]:
    """What the records of the customer's yeses lack; the first one authorises the job, later ones extend it."""
    case = "first"
    for contact in agreed.contacts:
        if "yes" in contact.answers:
            yield from ((contact.no, fault) for fault in consent_faults(pack, consent_of(contact, agreed), case))
            case = "extra"
