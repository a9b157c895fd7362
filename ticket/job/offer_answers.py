"""What was answered to which offer, and by whom: the one reading of the contacts for everybody who asks.

An answer belongs to the wording it was given to: it holds for an amendment only where neither the work nor a price
changed. An answer that names nothing reaches every offer that stood open with that payer at that contact, never one
made later and never a deferred item. Only a yes, a no and a wish to think decide; a message that was left only says
that somebody tried, and takes no decision back. Who speaks for another payer decides for that payer alone.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass

from ticket.job.entry import Entry
from ticket.job.kinds import Later, Offer, Told
from ticket.job.text import fold
from ticket.job.ticket import Ticket
from ticket.job.values import Ref

DECIDED = ("yes", "no", "thinks")
"""Answers that settle or unsettle an offer; the others only say that somebody tried."""
CUSTOMER = "customer"
REPLACED = "replaced"
"""How a wording stands whose yes was given again to the wording behind it."""
_SETTLED = ("yes", "no", REPLACED)

Names = Sequence[tuple[str, str]]
"""The payers beside the customer, each with its name."""


@dataclass(frozen=True, slots=True)
class Answered:
    """The answer that counts for one offer, and the entry of the contact that gave it."""

    answer: str
    told: int


Standing = Mapping[int, Answered]
"""The offers and deferred items of a ticket that got any answer, by their numbers."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """One contact as it bears on the offers.

    Attributes:
        payer: for whom the person speaks.
        given: each offer or item this contact answered, named or reached by an answer that names nothing; those of
            other tickets keep their ticket.
        standing: how the offers stand with this payer from then on, earlier wordings included.
        strangers: what it answered and is no offer of this ticket.
    """

    entry: Entry
    fact: Told
    payer: str
    given: Mapping[Ref, str]
    standing: Standing
    strangers: tuple[int, ...] = ()


def speaks_for(who: str, names: Names) -> str:
    """The payer a person speaks for: one whose name stands in ``who`` or holds it, else the customer."""
    said = fold(who)
    for payer, name in ((payer, fold(name)) for payer, name in names):
        if name and said and (name in said or said in name):
            return payer
    return CUSTOMER


def _answered(now: Mapping[int, Answered], no: int, words: Collection[str]) -> bool:
    return no in now and now[no].answer in words


def _offers(ticket: Ticket) -> dict[int, Offer | Later]:
    """Every wording of an offer or a deferred item by its number, rising; replaced ones too."""
    return {
        entry.no: entry.fact
        for entry in sorted(ticket.entries, key=lambda entry: entry.no)
        if isinstance(entry.fact, Offer | Later) and not entry.struck
    }


def _still_open(
    before: int, offers: Mapping[int, Offer | Later], replaced: Mapping[int, int], now: Mapping[int, Answered]
) -> list[int]:
    """The offers that stood open when the entry of that number was written: those a bare answer reaches."""
    return [
        no
        for no, offer in offers.items()
        if isinstance(offer, Offer) and no < before <= replaced.get(no, before) and not _answered(now, no, _SETTLED)
    ]


def contacts(ticket: Ticket, names: Names = ()) -> tuple[Contact, ...]:
    """Every contact in the order it took place: an amended one stands where its first wording stood.

    ``names`` are payers beside the customer that the header does not name.
    """
    header = ticket.header
    names = (*names, ("warranty", header.warranty.name), ("contract", header.contract.name))
    first = _first_numbers(ticket)
    offers = _offers(ticket)
    replaced = {entry.replaces: entry.no for entry in ticket.entries if entry.replaces and not entry.struck}
    standing: dict[str, dict[int, Answered]] = {}
    made = []
    for entry in sorted(ticket.of_kind(Told), key=lambda entry: (first[entry.no], entry.no)):
        fact = entry.fact
        if not isinstance(fact, Told):
            continue
        payer = speaks_for(fact.who, names)
        now = dict(standing.get(payer, {}))
        still_open = _still_open(first[entry.no], offers, replaced, now)
        given: dict[Ref, str] = {}
        for ref, answer in _given(fact, ticket.number, still_open):
            given[ref] = answer
            for no in _same_wordings(ref.no, offers, replaced) if not ref.ticket else ():
                given[Ref(no)] = answer
                if answer in DECIDED or not _answered(now, no, DECIDED):
                    now[no] = Answered(answer, entry.no)
        _replace(now, replaced)
        standing[payer] = now
        strangers = tuple(ref.no for ref in given if not ref.ticket and ref.no not in offers)
        made.append(Contact(entry=entry, fact=fact, payer=payer, given=given, standing=now, strangers=strangers))
    return tuple(made)


def standing_with(said: Sequence[Contact], payer: str = CUSTOMER) -> Standing:
    """How the offers stand with one payer after the last contact."""
    return next((contact.standing for contact in reversed(said) if contact.payer == payer), {})


def standing(ticket: Ticket) -> Standing:
    """How the offers stand, whoever pays: the customer's decision, else another payer's, else whoever was tried."""
    said = contacts(ticket)
    found: dict[int, Answered] = {}
    for payer in dict.fromkeys((CUSTOMER, *(contact.payer for contact in said))):
        for no, one in standing_with(said, payer).items():
            if no not in found or (found[no].answer not in DECIDED and one.answer in DECIDED):
                found[no] = one
    return found


def _given(fact: Told, number: int, still_open: Sequence[int]) -> Iterator[tuple[Ref, str]]:
    """What one contact answered; an answer that names nothing leaves out what another answer of it names."""
    named = {_here(ref, number) for answer in fact.answers for ref in answer.to}
    rest = [Ref(no) for no in still_open if Ref(no) not in named]
    for answer in fact.answers:
        for ref in answer.to or rest:
            yield _here(ref, number), answer.answer


def _here(ref: Ref, number: int) -> Ref:
    return Ref(ref.no) if ref.ticket == number else ref


def _same_wordings(no: int, offers: Mapping[int, Offer | Later], replaced: Mapping[int, int]) -> Iterator[int]:
    """A wording and those that took its place without a change of the work or its price."""
    while no in offers:
        yield no
        after = replaced.get(no, 0)
        if after <= no or after not in offers or _asked(offers[after]) != _asked(offers[no]):
            return
        no = after


def _asked(offer: Offer | Later) -> tuple[str, ...]:
    """What the customer says yes or no to."""
    return offer.kind, fold(offer.text), *(getattr(offer, name, "") for name in ("hours", "parts", "estimate"))


def _replace(now: dict[int, Answered], replaced: Mapping[int, int]) -> None:
    """A yes to a new wording takes the place of one to the old."""
    for old, new in replaced.items():
        if old in now and new in now and now[old].answer == "yes" == now[new].answer:
            now[old] = Answered(REPLACED, now[old].told)


def _first_numbers(ticket: Ticket) -> dict[int, int]:
    """For each entry the number of the first wording it stands in for, itself where it replaces none."""
    first: dict[int, int] = {}
    for entry in sorted(ticket.entries, key=lambda entry: entry.no):
        before = entry.replaces if entry.replaces and entry.replaces < entry.no else entry.no
        first[entry.no] = first.get(before, before)
    return first
