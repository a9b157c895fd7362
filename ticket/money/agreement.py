"""What was offered, what was answered, and how much money the answers agreed to.

Nothing but a ``yes`` agrees to anything: a total that was only asked about, a message that was left and a wish to
think it over leave the sum as it was. Whether a bill may go above the sum is for the local rules to say.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime, time, tzinfo
from fractions import Fraction

from ticket.job import offer_answers
from ticket.job.entry import Entry
from ticket.job.kinds import Later, Offer, Told
from ticket.job.numbers import exact
from ticket.job.regex import Regex
from ticket.job.ticket import Ticket
from ticket.job.wall import calendar_day
from ticket.money.amount import HIGHEST, cents, half_up, price
from ticket.money.bill_line import Doubt
from ticket.money.labour_hours import minute_of_day
from ticket.money.prices import PriceList
from ticket.money.terms import Terms

_DATED = Regex(r"([0-9]{4}-[0-9]{2}-[0-9]{2})[ T]+(\S+)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Offered:
    """One offer or deferred item and how it stands.

    Attributes:
        price: what was named for it, in cents; ``None`` where nothing was.
        version: 1, or more where amendments stand in for earlier wordings.
        answer: the last answer to this very version; empty where there was none.
        told: the entry of that answer, 0 for none.
    """

    no: int
    kind: str
    text: str
    price: int | None
    version: int
    answer: str = ""
    told: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """One contact as evidence: who was reached how and when, what they said, and the sum agreed to from then on.

    ``version`` counts the sums agreed to so far; ``yes_to`` and ``no_to`` name the offers so answered.
    """

    no: int
    who: str
    way: str
    address: str
    at: datetime
    taken_by: str
    answers: tuple[str, ...] = ()
    yes_to: tuple[int, ...] = ()
    no_to: tuple[int, ...] = ()
    total: int | None = None
    ceiling: int | None = None
    approved: int | None = None
    version: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreement:
    """What one payer agreed to.

    Attributes:
        said_yes: there was a yes at all.
        approved: the sum agreed to, in cents; ``None`` where no yes named one.
        ceiling: the sum is a limit set by the payer, not an estimate.
    """

    payer: str
    offers: tuple[Offered, ...] = ()
    contacts: tuple[Contact, ...] = ()
    said_yes: bool = False
    approved: int | None = None
    ceiling: bool = False
    doubts: tuple[Doubt, ...] = ()

    def answered(self, answer: str) -> tuple[int, ...]:
        """Numbers of the offers whose last answer it is; an empty answer asks for those without one."""
        return tuple(offer.no for offer in self.offers if offer.answer == answer)


def told_at(told: Told, entry: Entry, zone: tzinfo | None = UTC) -> datetime | None:
    """When a contact took place, on the wall clock of ``zone`` (``None``: the zone the machine is set to).

    ``told.at`` may be a time of the day the entry was typed or a date with a time; without it the entry's own
    time counts. ``None`` where it cannot be read.
    """
    typed = entry.at.astimezone(zone)
    if not told.at.strip():
        return typed
    dated = _DATED.fullmatch(told.at.strip())
    minute = minute_of_day(dated.group(2) if dated else told.at)
    if minute is None or minute == 24 * 60:
        return None
    day = calendar_day(dated.group(1)) if dated else typed.date()
    if day is None:
        return None
    return datetime.combine(day, time(minute // 60, minute % 60), zone).astimezone(zone)


def offer_price(fact: Offer | Later, prices: PriceList | None = None) -> int | None:
    """The price named for an offer in cents: its estimate, else its hours at the first rate and its parts."""
    if fact.estimate or isinstance(fact, Later):
        return cents(fact.estimate)
    if not (fact.hours or fact.parts):
        return None
    rate = prices.rate("") if prices else None
    hourly = price(rate.price) if rate else None
    hours, parts = _hours(fact.hours), price(fact.parts) if fact.parts else Fraction(0)
    if hours is None or parts is None or (hours and hourly is None):
        return None
    return half_up((hours * (hourly or 0) + parts) * 100)


def _hours(typed: str) -> Fraction | None:
    """Hours as typed, none for nothing; ``None`` where it is no number that hours can be."""
    hours = (exact(typed) if len(typed) <= 24 else None) if typed else Fraction(0)
    return hours if hours is not None and 0 <= hours <= HIGHEST else None


def agreement(
    ticket: Ticket,
    prices: PriceList | None = None,
    terms: Terms | None = None,
    *,
    payer: str = "customer",
    zone: tzinfo | None = UTC,
) -> Agreement:
    """What one payer agreed to, contact by contact in the order of the ticket.

    A yes with a total sets the sum, a yes with ``up to`` sets a limit, a yes to offers alone adds their prices, a
    later no takes them off again. An answer that names no offer answers all that stand open.
    """
    names = [(cover.payer, cover.name) for cover in (terms or Terms()).covers]
    replaced = {entry.replaces: entry.no for entry in ticket.entries if entry.replaces and not entry.struck}
    walk = _Walk(offers=_offers(ticket, prices))
    for said in offer_answers.contacts(ticket, names):
        if said.payer == payer:
            walk = walk.after(said, zone)
    return Agreement(
        payer=payer,
        offers=tuple(offer for offer in walk.offers.values() if offer.no not in replaced),
        contacts=walk.contacts,
        said_yes=walk.said_yes,
        approved=walk.approved,
        ceiling=walk.ceiling,
        doubts=walk.doubts,
    )


def _offers(ticket: Ticket, prices: PriceList | None) -> dict[int, Offered]:
    """Every offer and deferred item not struck, replaced wordings included: a yes was given to one of them."""
    versions: dict[int, int] = {}
    offers: dict[int, Offered] = {}
    for entry in sorted(ticket.entries, key=lambda entry: entry.no):
        versions[entry.no] = versions.get(entry.replaces or 0, 0) + 1
        if isinstance(entry.fact, Offer | Later) and not entry.struck:
            offers[entry.no] = Offered(
                no=entry.no,
                kind=entry.kind,
                text=entry.fact.text,
                price=offer_price(entry.fact, prices),
                version=versions[entry.no],
            )
    return offers


@dataclass(frozen=True, slots=True, kw_only=True)
class _Walk:
    """How things stand between two contacts."""

    offers: dict[int, Offered]
    contacts: tuple[Contact, ...] = ()
    said_yes: bool = False
    approved: int | None = None
    ceiling: bool = False
    version: int = 0
    doubts: tuple[Doubt, ...] = ()

    def _approved(
        self, offers: Mapping[int, Offered], total: int | None, ceiling: int | None, *, yes: bool
    ) -> tuple[int | None, bool]:
        """The sum that is approved now, and whether it is a ceiling: the one named with a yes, else the one moved."""
        if yes and ceiling is not None:
            return ceiling, True
        if yes and total is not None:
            return total, False
        turned = [offers[no].price for no in offers if offers[no].answer == "yes" != self.offers[no].answer]
        dropped = [offers[no].price for no in offers if offers[no].answer != "yes" == self.offers[no].answer]
        return _moved(self.approved, turned, dropped), self.ceiling

    def after(self, said: offer_answers.Contact, zone: tzinfo | None) -> "_Walk":
        """How things stand after one more contact."""
        entry, told = said.entry, said.fact
        strange = (f"Entry {no} is no offer that could be answered." for no in said.strangers)
        doubts = [*self.doubts, *(Doubt(entry.no, "answer", text) for text in strange)]
        offers = dict(self.offers)
        for no, one in said.standing.items():
            offers[no] = replace(offers[no], answer=one.answer, told=one.told)
        yes = any(answer.answer == "yes" for answer in told.answers)
        total, ceiling = self._named(entry, told, doubts)
        approved, limited = self._approved(offers, total, ceiling, yes=yes)
        at = told_at(told, entry, zone)
        if at is None:
            doubts.append(Doubt(entry.no, "time", f"{told.at!r} is no time; the entry's own time stands for it."))
        version = self.version + (approved != self.approved)
        contact = Contact(
            no=entry.no,
            who=told.who,
            way=told.way,
            address=told.address,
            at=at or entry.at.astimezone(zone),
            taken_by=told.by or entry.person,
            answers=tuple(answer.answer for answer in told.answers),
            yes_to=_answered(offers, entry.no, "yes"),
            no_to=_answered(offers, entry.no, "no"),
            total=total,
            ceiling=ceiling,
            approved=approved,
            version=version,
        )
        return replace(
            self,
            offers=offers,
            contacts=(*self.contacts, contact),
            said_yes=self.said_yes or yes,
            approved=approved,
            ceiling=limited,
            version=version,
            doubts=tuple(doubts),
        )

    @staticmethod
    def _named(entry: Entry, told: Told, doubts: list[Doubt]) -> tuple[int | None, int | None]:
        named = []
        for typed in (told.total, told.ceiling):
            named.append(cents(typed))
            if typed and named[-1] is None:
                doubts.append(Doubt(entry.no, "sum", f"{typed!r} is no sum of money."))
        return named[0], named[1]


def _answered(offers: Mapping[int, Offered], told: int, answer: str) -> tuple[int, ...]:
    """The offers that got an answer at a contact, by the number of its entry."""
    return tuple(no for no, offer in offers.items() if offer.told == told and offer.answer == answer)


def _moved(approved: int | None, added: list[int | None], taken: list[int | None]) -> int | None:
    """The sum with the known prices of offers added and taken off; an offer without a price moves nothing."""
    known = [one for one in added if one is not None]
    if known:
        approved = (approved or 0) + sum(known)
    if approved is not None:
        approved = max(0, approved - sum(one for one in taken if one is not None))
    return approved
