"""Questions about what was agreed and what was done: labour in a sum, work in no offer, one thing put off twice."""

from collections.abc import Iterator, Mapping

from ticket.gaps.gap import ADVICE, BLOCKING, Gap, Rule
from ticket.gaps.named_in_work import place_clash
from ticket.gaps.ticket_lookup import each
from ticket.job.case import Case
from ticket.job.kinds import Did, Later, Offer, Told
from ticket.job.likeness import content_words, shared
from ticket.job.offer_answers import standing
from ticket.notes.open_pieces import again
from ticket.story.facts.labour_kinds import mends


def agreed(case: Case) -> Mapping[int, Offer | Later]:
    """The offers and deferred items that were answered yes, by their numbers."""
    answers = standing(case.ticket)
    found = ((entry.no, entry.fact) for entry in case.ticket.living if isinstance(entry.fact, Offer | Later))
    return {no: fact for no, fact in found if no in answers and answers[no].answer == "yes"}


def labour_in_sum(case: Case) -> Iterator[Gap]:
    """Labour without hours that carries out an offer agreed to for a sum is on no bill: the sum may hold it."""
    offers = agreed(case)
    for entry, fact in each(case, Did):
        if fact.hours or fact.pays == "shop" or any(remark.blocks for remark in again(fact).remarks):
            continue
        priced = [ref.no for ref in fact.refs if ref.no in offers and not ref.ticket and offers[ref.no].estimate]
        if priced:
            question = (
                f"Offer {priced[0]} was agreed at {offers[priced[0]].estimate}, and no hours are billed here. Is this "
                "labour in that sum? Write its hours in front: did: 1.5 h ..., or , no charge behind."
            )
            yield Gap("labour-in-sum", BLOCKING, question, entry.no)


def work_not_offered(case: Case) -> Iterator[Gap]:
    """Where somebody said yes to offers, work that mends belongs to one of them (16 CCR 3353: no work beyond it).

    Whoever agreed up to a sum left open what is done for it; what the shop pays asks nobody.
    """
    offers = agreed(case)
    if not offers or any(fact.ceiling for _, fact in each(case, Told)):
        return
    for entry, fact in each(case, Did):
        own = any(ref.ticket or isinstance(_fact_of(case, ref.no), Offer | Later) for ref in fact.refs)
        if own or fact.pays == "shop" or not mends(fact) or not content_words(fact.text):
            continue
        if not any(shared(fact.text, offer.text) for offer in offers.values()):
            question = (
                f"This work is in no offer that was answered yes ({', '.join(map(str, offers))}). Which one does it "
                "carry out? Write ; for 3. Or what was said to it? Add: told: ..., yes"
            )
            yield Gap("work-not-offered", BLOCKING, question, entry.no)


def _fact_of(case: Case, no: int) -> object:
    entry = case.ticket.entry(no)
    return entry.fact if entry is not None else None


def later_twice(case: Case) -> Iterator[Gap]:
    """One thing at one place is put off once: two items of it would be told, and called about, as two."""
    seen: list[tuple[int, Later]] = []
    for entry, fact in each(case, Later):
        words = content_words(fact.text)
        if fact.answer or not words:
            continue
        first = next((no for no, other in seen if _is_same(fact, other)), None)
        if first is not None:
            question = f"Entry {first} puts off the same already. Strike one of them, or say what the other is."
            yield Gap("later-twice", ADVICE, question, entry.no)
        seen.append((entry.no, fact))


def _is_same(one: Later, other: Later) -> bool:
    a, b = content_words(one.text), content_words(other.text)
    return (a <= b or b <= a) and not place_clash(one.text, other.text)


RULES: tuple[Rule, ...] = (labour_in_sum, work_not_offered, later_twice)
