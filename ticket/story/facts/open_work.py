"""What is still to do: deferred items, and offers without a yes, each thing once and the most urgent first."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from ticket.followups.threads import STILL_WAITS
from ticket.job.entry import Entry
from ticket.job.kinds import Did, Later, Offer, Told, Used
from ticket.job.likeness import shared
from ticket.job.values import Due, Ref
from ticket.story.context import Job
from ticket.story.facts.answered import (
    accepted,
    agreed,
    numbered,
    refused,
    same_item,
    same_offers,
    same_work,
    undecided,
    waiting_answer,
)  # fmt: skip
from ticket.story.facts.danger_words import RISK, said
from ticket.story.facts.labour_kinds import RIGHTS, done_kinds, looks_only, unnamed

PRESSING = ("do not drive", "do now")
_URGENCY = {"do not drive": 0, "do now": 2, "do soon": 3}
_ONLY_LOOKS = frozenset({"look", "clear", "price"})
_FAR = 10**9
_DAYS = {"day": 1, "week": 7, "month": 30, "year": 365}
_RUN = {"km": 1, "mi": 1.6}


@dataclass(frozen=True, slots=True)
class OpenWork:
    """One thing that is still to do.

    Attributes:
        entry: the deferred item, or the offer where none puts it off.
        fact: what it says.
        offers: the offers of the same thing, which it stands for.
        answer: ``no``, ``thinks``, ``yes`` or empty: the customer's last word on it.
        contact: where it was said.
        judgement: how pressing it is; of an offer where the item has no word for it.
        estimate: its price, of an offer where the item has none.
        priced: the entry that names the price.
        next_time: it was done now and falls due again, or is the service after this one.
    """

    entry: Entry
    fact: Later | Offer
    offers: tuple[Ref, ...]
    answer: str
    contact: Entry | None
    judgement: str
    estimate: str
    priced: Entry
    next_time: bool = False

    @property
    def cited(self) -> tuple[Entry | Ref, ...]:
        """The item and the offers it stands for."""
        return (self.entry, *self.offers)

    @property
    def pressing(self) -> bool:
        """Whether it should not wait."""
        return self.judgement in PRESSING

    @property
    def unsaid_danger(self) -> bool:
        """Whether its own words warn, though nobody judged how pressing it is."""
        return not self.judgement and bool(said(RISK).search(f"{self.fact.text}; {getattr(self.fact, 'risk', '')}"))

    @property
    def recheck(self) -> bool:
        """Whether it is only to read, check or measure again."""
        return looks_only(self.fact.text)


def open_work(job: Job) -> tuple[OpenWork, ...]:
    """Everything of this ticket that waits.

    An offer answered yes waits only where nothing on the ticket may have been its work; an offer and a deferred item
    of the same thing are one, and the deferred item stands for both; what labour carried out is done.
    """
    if "" not in job.waiting:
        job.waiting[""] = _found(job)
    held: tuple[OpenWork, ...] = job.waiting[""]
    return held


def _found(job: Job) -> tuple[OpenWork, ...]:
    laters = [pair for pair in job.each(Later) if waits(pair[1]) and not _done_since(job, *pair)]
    # what was looked at and is put off anew is one thing
    newer = [fact.text for _, fact in laters if not fact.answer]
    laters = [
        (no, fact)
        for no, fact in laters
        if not (fact.answer and _bare(fact) and any(same_work(fact.text, x) for x in newer))
    ]
    found = [item for entry, fact in laters for item in _items(job, entry, fact)]
    put_off = {ref for item in found for ref in item.offers}
    offers = [pair for pair in job.each(Offer) if Ref(pair[0].no) not in put_off]
    found += [item for entry, offer in offers if (item := _offered(job, entry, offer)) is not None]
    return tuple(sorted(found, key=_rank))


def _offered(job: Job, entry: Entry, offer: Offer) -> OpenWork | None:
    """An offer that no item puts off, as far as it is still to do."""
    ref = Ref(entry.no)
    if agreed(job, ref):
        done = _perhaps_done(job, entry, offer)  # its price is in the sum that was agreed to
        return None if done else OpenWork(entry, offer, (), "yes", accepted(job, ref), offer.judgement, "", entry)
    no, thinks = refused(job, ref), undecided(job, ref)
    answer = "no" if no else "thinks" if thinks else ""
    if answer != "no" and carried_out(job, entry, offer):
        return None
    return OpenWork(entry, offer, (), answer, no or thinks, offer.judgement, offer.estimate, entry)


def _items(job: Job, entry: Entry, later: Later) -> Iterator[OpenWork]:
    """A deferred item; one that only names offers by their numbers is each of them, with its own urgency and price."""
    whole = _put_off(job, entry, later)
    offers = {
        no: fact for no, fact in ((one.no, fact) for one, fact in same_offers(job, later)) if no in numbered(later)
    }
    if len(offers) < 2:
        yield whole
        return
    for no, offer in offers.items():
        priced = job.entry(Ref(no)) or entry
        judged = later.judgement or offer.judgement
        yield replace(whole, offers=(Ref(no),), judgement=judged, estimate=offer.estimate, priced=priced)


def _put_off(job: Job, entry: Entry, later: Later) -> OpenWork:
    """A deferred item with what the offers of the same thing say beyond it."""
    alike = same_offers(job, later)
    others = [one for _, one in job.each(Later) if one is not later and waits(one)]
    whole = [  # the price of all is none of the rest
        (one, offer)
        for one, offer in alike
        if not (_begun(job, one, offer) or any(same_item(one.no, offer, other) for other in others))
    ]
    facts: list[tuple[Entry, Later | Offer]] = [(entry, later), *whole]
    offered = min((offer.judgement for _, offer in alike), key=lambda word: _URGENCY.get(word, 9), default="")
    named = _priced(job, facts)
    several = not later.estimate and len(alike) > 1  # the price of one offer is none of all
    priced, price = (named[0][0], named[0][1].estimate) if named and not several else (entry, "")
    refs = tuple(Ref(one.no) for one, _ in alike)
    judged = later.judgement or offered
    again = _again(job, entry, later)
    return OpenWork(entry, later, refs, *waiting_answer(job, entry, later), judged, price, priced, again)


def _priced(job: Job, facts: list[tuple[Entry, Later | Offer]]) -> list[tuple[Entry, Later | Offer]]:
    """Those that name a price which is still to come."""
    return [(one, x) for one, x in facts if x.estimate and (isinstance(x, Later) or not _in_total(job, one))]


def _in_total(job: Job, entry: Entry) -> bool:
    """Whether an offer was agreed to with a sum for all of it: its price is told there, and is none to come."""
    said = accepted(job, Ref(entry.no))
    return said is not None and isinstance(said.fact, Told) and bool(said.fact.total)


def _again(job: Job, entry: Entry, later: Later) -> bool:
    """Whether what waits was done today and only falls due again: nothing is wrong with it."""
    if later.due is None and not later.date:
        return False
    if later.text.lower().startswith("next "):
        return not later.risk
    return not (later.because or later.risk or later.watch) and any(
        same_work(fact.text, later.text) for other, fact in job.each(Did) if other.concern == entry.concern
    )


def _begun(job: Job, entry: Entry, offer: Offer) -> bool:
    """Whether any labour belongs to an offer: it names it, or did a part of the same work."""
    return any(
        Ref(entry.no) in fact.refs
        or (shared(fact.text, offer.text) and (done_kinds(fact.text) & RIGHTS or unnamed(fact.text)))
        for other, fact in job.each(Did)
        if other.concern == entry.concern
    )


def waits(later: Later) -> bool:
    """Whether a deferred item is still to do: nothing became of it, or it was looked at and waits, in its own words."""
    return not later.answer or (later.answer == STILL_WAITS and bool(later.text.strip()))


def carried_out(job: Job, entry: Entry, offer: Offer) -> bool:
    """Whether labour did what was offered: it names the offer, or does the same work of the same concern.

    Who looked at a thing has not renewed it: "diagnose fan" is no "new fan".
    """
    only = frozenset() if looks_only(offer.text) else _ONLY_LOOKS
    return any(
        (Ref(entry.no) in fact.refs or (same_work(fact.text, offer.text) and other.concern == entry.concern))
        and (done_kinds(fact.text) - only or unnamed(fact.text))  # "hub bearing" on a line of labour: it was done
        for other, fact in job.each(Did)
    )


def _perhaps_done(job: Job, entry: Entry, offer: Offer) -> bool:
    """Whether anything on the ticket may be the work of an agreed offer, whatever words tell it, or puts it off."""
    if any(shared(later.text, offer.text) for _, later in job.each(Later)):
        return True
    others = [(Ref(one.no), other.text) for one, other in job.each(Offer) if other is not offer]
    typed: list[Did | Used] = [*(fact for _, fact in job.each(Did)), *(fact for _, fact in job.each(Used))]
    return any(
        _may_be_of(fact, entry, offer) or not any(ref in fact.refs or shared(fact.text, text) for ref, text in others)
        for fact in typed
        if not (isinstance(fact, Did) and looks_only(fact.text))
    )


def _may_be_of(fact: Did | Used, entry: Entry, offer: Offer) -> bool:
    """Whether labour or a part names an offer, what the offer names, or the same things."""
    return bool(set(fact.refs) & {Ref(entry.no), *offer.refs}) or shared(fact.text, offer.text) > 0


def _done_since(job: Job, entry: Entry, later: Later) -> bool:
    """Whether labour typed behind a deferred item did it after all; one that says more is left to a person."""
    return _bare(later) and any(
        Ref(entry.no) in fact.refs or (other.no > entry.no and same_work(fact.text, later.text))
        for other, fact in job.each(Did)
        if done_kinds(fact.text) & RIGHTS
    )


def _bare(later: Later) -> bool:
    """Whether an item holds nothing but what waits: no reason, risk, sign, time or price that would be lost with it."""
    return not any((later.because, later.risk, later.watch, later.due, later.date, later.estimate))


def _rank(item: OpenWork) -> tuple[int, float, int]:
    urgent = 2 if item.unsaid_danger else _URGENCY.get(item.judgement, 4)
    if item.answer == "no":
        urgent = min(urgent, 1) if isinstance(item.fact, Later) else urgent
    return urgent, _soon(item.fact.due if isinstance(item.fact, Later) else None), item.entry.no


def _soon(due: Due | None) -> float:
    if due is None:
        return _FAR
    spans: list[float] = []
    if due.time is not None and due.time.value is not None:
        spans.append(float(due.time.value) * _DAYS.get(due.time.unit.removesuffix("s"), 30))
    if due.distance is not None and due.distance.value is not None:
        spans.append(float(due.distance.value) * _RUN.get(due.distance.unit, 1) / 50)
    return min(spans, default=_FAR)
