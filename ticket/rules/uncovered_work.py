"""Work that the answers do not cover: done on an offer answered no, or clocked before its yes."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, tzinfo

from ticket.job.entry import Entry
from ticket.job.kinds import Did, Used
from ticket.job.ticket import Ticket
from ticket.job.wall import moments
from ticket.money.agreement import Agreement, agreement
from ticket.money.labour_hours import minute_of_day
from ticket.money.terms import Terms
from ticket.money.terms_of import terms_of

DECLINED, EARLY = "declined", "early"


@dataclass(frozen=True, slots=True, kw_only=True)
class UncoveredWork:
    """One entry of work and the offer that does not cover it.

    Attributes:
        no: the entry of the work or part.
        offer: the offer it carries out.
        about: ``declined`` (the last answer is no) or ``early`` (the clock starts before the yes).
        told: the entry of the answer.
        at: when the answer was given.
    """

    no: int
    offer: int
    about: str
    told: int
    at: datetime

    @property
    def text(self) -> str:
        """In one sentence."""
        if self.about == DECLINED:
            return f"Entry {self.no} was done on offer {self.offer}, which was answered no (entry {self.told})."
        return f"Entry {self.no} was begun before the yes to offer {self.offer} at {self.at:%H:%M} (entry {self.told})."


def uncovered_work(ticket: Ticket, zone: tzinfo | None = UTC) -> tuple[UncoveredWork, ...]:
    """Every entry of work that is uncovered, in the order of the ticket.

    The answer that counts is the one of whoever pays the work, or the customer's where that payer was never asked.
    Clock times are taken on the day the work was typed, on the wall clock of ``zone`` (``None``: the machine's).
    """
    terms = terms_of(ticket)
    agreed = {payer: agreement(ticket, None, terms, payer=payer, zone=zone) for payer in _payers(terms)}
    found = (one for entry in ticket.living for one in _of(entry, ticket, agreed, zone))
    return tuple(found)


def _payers(terms: Terms) -> tuple[str, ...]:
    return ("customer", *(cover.payer for cover in terms.covers))


def _side(fact: Did | Used, agreed: dict[str, Agreement]) -> Agreement:
    """What was agreed with who pays for the work; with the customer where that payer was never asked."""
    payer = fact.split[0].payer if fact.split else fact.pays or "customer"
    side = agreed.get(payer, agreed["customer"])
    return side if side.contacts else agreed["customer"]


def _of(entry: Entry, ticket: Ticket, agreed: dict[str, Agreement], zone: tzinfo | None) -> Iterator[UncoveredWork]:
    fact = entry.fact
    if not isinstance(fact, Did | Used):
        return
    side = _side(fact, agreed)
    offers = {one.no: one for one in side.offers}
    for ref in fact.refs:
        offer = ref.no if ref.ticket in (0, ticket.number) else 0
        answer = offers.get(offer)
        if answer is None:
            continue
        if answer.answer == "no":
            at = next(contact.at for contact in side.contacts if contact.no == answer.told)
            yield UncoveredWork(no=entry.no, offer=offer, about=DECLINED, told=answer.told, at=at)
        elif isinstance(fact, Did) and answer.answer == "yes":
            first = next(contact for contact in side.contacts if offer in contact.yes_to)
            if (began := _began(entry, fact, zone)) is not None and began < first.at:
                yield UncoveredWork(no=entry.no, offer=offer, about=EARLY, told=first.no, at=first.at)


def _began(entry: Entry, fact: Did, zone: tzinfo | None) -> datetime | None:
    """When the work began by its clock times, at the latest; ``None`` where there are none that can be read."""
    starts = [minute_of_day(span.start) for span in fact.clock]
    known = [minute for minute in starts if minute is not None and minute < 24 * 60]
    if not known:
        return None
    return max(moments(entry.at.astimezone(zone).date(), min(known), zone), default=None)
