"""On the phone with the customer: what to read aloud, what a yes would come to, and the one contact that is written."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from ticket.job.case import Case
from ticket.job.entry import Entry
from ticket.job.kinds import ANSWERS, Later, Offer, Told
from ticket.job.ticket import Ticket
from ticket.job.values import Answer, Ref
from ticket.money.agreement import Agreement, Contact, Offered, agreement
from ticket.money.offer_tax import offer_tax
from ticket.money.prices import PriceList
from ticket.rules.account import Account
from ticket.rules.consent_rules import Fault, consent_faults, consent_of
from ticket.rules.overrun import Allowed
from ticket.rules.pack import Pack, Source, first, source
from ticket.story.build import build
from ticket.story.sentence import Sentence, Story

YES, NO, THINKS, NO_ANSWER, LEFT_MESSAGE = ANSWERS[:5]
UNREACHED = (NO_ANSWER, LEFT_MESSAGE)
BEFORE_TAX, NO_TAX = "before tax", "no tax"
_BRIEF = "short"  # the section that only sums up


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One open offer or deferred item as it is read aloud.

    Attributes:
        lines: sentences of the customer's own story, the one with the figure behind it among them.
        price: in cents, as the shop quotes; ``None`` where nothing was named.
        tax: the tax in it or on it; ``None`` where the offer does not tell it apart.
        answer: the last one given to it, empty for none.
    """

    no: int
    kind: str
    text: str
    lines: tuple[str, ...]
    judgement: str
    price: int | None
    tax: int | None
    answer: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Call:
    """Everything a writer needs with the customer on the phone; sums in cents.

    Attributes:
        approved: what was agreed; ``None`` where no yes named a sum.
        billed: what the bill comes to as things stand.
        room: what may still be added before the customer must be asked; ``None`` while no sum is agreed.
        limit: the rule behind it.
        basis: ``with tax`` or ``before tax``: how sums are told on this job; ``no tax`` where none is charged.
        agreed_tax: the tax of what was agreed so far, in it or on it; ``None`` where nobody can say.
        asked: what the local rules want recorded with the next yes, and where that stands.
        names: who has said yes on this ticket before, the customer first.
        second: the rule on somebody else saying yes, where there is one.
    """

    case: Case
    items: tuple[Item, ...]
    account: Account
    approved: int | None
    ceiling: bool
    billed: int
    room: int | None
    limit: Allowed | None
    basis: str
    agreed_tax: int | None
    asked: tuple[str, ...]
    asked_by: Source | None
    names: tuple[str, ...]
    second: Source | None
    notice: str
    contacts: tuple[Contact, ...]

    @property
    def ticket(self) -> Ticket:
        """The ticket."""
        return self.case.ticket


def call_of(case: Case, account: Account, prices: PriceList, pack: Pack) -> Call:
    """The same from what is at hand; pure."""
    agreed, verdict = account.customer.agreement, account.customer.verdict
    story = build(replace(case, on_call=True), "customer", case.settings.language)
    case_of = consent_case(pack, agreed)
    asked = first(pack, "consent", fits=lambda row: row.case == case_of)
    customer = case.ticket.header.customer.name
    names = [customer, *(contact.who for contact in agreed.contacts if contact.yes_to)]
    second = first(pack, "consent", fits=lambda row: row.case == "designee")
    limit = verdict.allowed
    return Call(
        case=case,
        items=tuple(_items(case, story, agreed, prices)),
        account=account,
        approved=agreed.approved,
        ceiling=agreed.ceiling,
        billed=verdict.billed,
        room=limit.allowed - verdict.billed if limit else None,
        limit=limit,
        basis=verdict.basis if prices.places else NO_TAX,
        agreed_tax=_agreed_tax(case.ticket, agreed, prices),
        asked=(*asked[1].record, *asked[1].if_used) if asked else (),
        asked_by=source(*asked) if asked else None,
        names=tuple(dict.fromkeys(name for name in names if name)),
        second=source(*second) if second else None,
        notice=account.notice,
        contacts=agreed.contacts,
    )


def consent_case(pack: Pack, agreed: Agreement) -> str:
    """Which rows the next yes is held against: on the first authorisation where a law has them, else on extra work."""
    told = first(pack, "consent", fits=lambda row: row.case == "first" and row.record)
    return "first" if told and not agreed.said_yes else "extra"


def _items(case: Case, story: Story, agreed: Agreement, prices: PriceList) -> Iterator[Item]:
    """Offers nobody has said yes or no to, and all that waits; what stays undone on a no waits too."""
    for offer in agreed.offers:
        entry = case.ticket.entry(offer.no)
        if entry is None or entry.shop_only or entry not in case.ticket.living:
            continue
        fact = entry.fact
        if isinstance(fact, Offer) and offer.answer in (YES, NO, "replaced"):
            continue
        if isinstance(fact, Later) and (fact.answer or offer.answer == YES):
            continue
        if isinstance(fact, Offer | Later):
            yield Item(
                no=offer.no,
                kind=offer.kind,
                text=fact.text,
                lines=tuple(_aloud(story, entry, fact)),
                judgement=fact.judgement,
                price=offer.price,
                tax=_tax_of(case.ticket, offer, prices),
                answer=offer.answer,
            )


def _aloud(story: Story, entry: Entry, fact: Offer | Later) -> Iterator[str]:
    """What the story tells of an item, and of each entry behind it the first sentence with a figure, or the first."""
    mine = _resting(story, Ref(entry.no))
    yield from (sentence.text for sentence in mine) if mine else (f"“{fact.text}”",)
    told: list[Sentence] = []
    for ref in fact.refs:
        behind = [one for one in _resting(story, ref) if one not in mine]
        figured = [one for one in behind if _has_figure(one)]
        if behind and not any(one in told for one in figured or behind):
            told.append((figured or behind)[0])
            yield told[-1].text


def _has_figure(sentence: Sentence) -> bool:
    return any(letter.isdecimal() for letter in sentence.text)


def _resting(story: Story, ref: Ref) -> list[Sentence]:
    """The sentences behind an entry; what stands in front of a list speaks of all its items, and is read with none."""
    return [
        sentence
        for section in story.sections
        if section.id != _BRIEF
        for sentence in section.sentences[section.items[0] if section.items else 0 :]
        if ref in sentence.sources
    ]


# -- the answers -------------------------------------------------------------------------------------------------


def answered(answers: Mapping[int, str]) -> tuple[Answer, ...]:
    """One answer for each word of the closed list, with all items that got it."""
    return tuple(
        Answer(answer, tuple(Ref(no) for no, one in answers.items() if one == answer))
        for answer in dict.fromkeys(answers.values())
    )


def answers_in(fact: Told) -> dict[int, str]:
    """The answers of a contact by the item's number; what names no entry of this ticket is none."""
    return {ref.no: one.answer for one in fact.answers for ref in one.to if not ref.ticket}


def after(call: Call, fact: Told, at: datetime, prices: PriceList) -> Agreement:
    """What would be agreed once this contact stood on the ticket."""
    ticket = call.ticket
    no = max((entry.no for entry in ticket.entries), default=0) + 1
    entry = Entry(no, fact, fact.by or "?", at)
    return agreement(replace(ticket, entries=(*ticket.entries, entry)), prices, call.account.terms)


def lacks(call: Call, fact: Told, at: datetime, prices: PriceList, pack: Pack) -> tuple[Fault, ...]:
    """What the local rules want recorded of this contact and is not there; nothing but a yes needs any of it."""
    if YES not in answers_in(fact).values():
        return ()
    agreed = after(call, fact, at, prices)
    consent = consent_of(agreed.contacts[-1], agreed)
    return consent_faults(pack, consent, consent_case(pack, call.account.customer.agreement))


def added_tax(items: Sequence[Item], answers: Mapping[int, str]) -> int | None:
    """The tax of the items that got a yes, in cents; ``None`` where one of them does not tell it apart."""
    return _known(item.tax for item in items if answers.get(item.no) == YES)


def _agreed_tax(ticket: Ticket, agreed: Agreement, prices: PriceList) -> int | None:
    """The tax of all that got a yes, where its prices are what was agreed: a sum told otherwise hides its tax."""
    yes = [offer for offer in agreed.offers if offer.answer == YES]
    if sum(offer.price or 0 for offer in yes) != (agreed.approved or 0):
        return None
    return _known(_tax_of(ticket, offer, prices) for offer in yes)


def _tax_of(ticket: Ticket, offer: Offered, prices: PriceList) -> int | None:
    entry = ticket.entry(offer.no)
    fact = entry.fact if entry else None
    return offer_tax(fact, offer.price, ticket, prices) if isinstance(fact, Offer) else None


def _known(taxes: Iterable[int | None]) -> int | None:
    """The sum where every part of it is known."""
    found = list(taxes)
    return None if None in found else sum(tax or 0 for tax in found)
