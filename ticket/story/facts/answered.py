"""What was answered to offers and deferred work, as one reader may know it."""

from collections.abc import Iterator
from functools import lru_cache

from ticket.job.entry import Entry
from ticket.job.kinds import Later, Offer, Told
from ticket.job.likeness import content_words, shared, sides_clash
from ticket.job.offer_answers import CUSTOMER, DECIDED, standing_with
from ticket.job.regex import Regex
from ticket.job.text import fold
from ticket.job.values import Ref
from ticket.language.lexicon import look
from ticket.language.quantities import plain
from ticket.story.context import Job

_SENTENCE = Regex(
    r"(?i)(?:told|warned|asked|said|says|explained|informed|advised|showed|reminded|agreed|do not|don't|must not|"
    r"no answer|left|will|wants|please)\b(?=.* )"
)
"""How words begin that are no name: what was said, typed without a comma in front."""
_NUMBERS = Regex(r"\s*(?:[1-9][0-9]{0,2}(?:\s*,\s*|\s+(?=\S)))+(?=(?:wait|waits|waiting|are|is|not|on hold)\b)")
_ONE_NUMBER = Regex(r"([1-9][0-9]{0,2})\s+(?=(?:wait|waits|waiting|is|not|on hold|later|next|when)\b)")
_UNREACHED = frozenset({"no answer", "left message"})
_DECLINED = Regex(r"(?i)\b(?:declin\w+|said no|says no|turned (?:it |that )?down|refus\w+)\b")
LOCATORS = frozenset({"axle", "wheel", "corner", "bank", "bottom", "top", "middle", "position"})
"""Words of a text that say where a thing is, and not which thing."""
_NAMED = Regex(
    r"(?:(?:\A|[,;(]) *|\b(?:with|w/|from|by|per|to|asked|and) |[-–] )"
    r"(?:(?:[A-Z]\. ?)+|Mr\.? |Mrs\.? |Ms\.? )?([A-Z][a-z'’]{2,})\b"
)
"""Where the words of a contact may name somebody."""
_NO_NAME = Regex(
    r"(?:mon|tue|wed|thu|fri|sat|sun)\w*|(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)\w*|"
    r"the|this|that|ok|okay|yes|no|not|wants?|will|has|had|did|knows?|asks?|asked|says?|said|told|left|call\w*|spoke|"
    r"warned|please|both|all|needs?|going|coming|can|would|explained|showed|agreed|approved|declined|drove|took|pays?"
)
"""Words with a capital that are no names: days, months, and what begins a sentence of a contact."""
_THEY_SAID = Regex(
    r"(?i)\b(?:they|them|company|office|dispatch\w*|insur\w+|warranty|fleet|depot) "
    r"(?:said|says?|want\w*|ok\w*|approved?)\b"
)
_PAYS = Regex(r"(?i)\s*;\s*(?:pay|pays|paid by|bill(?:ed)? to)\b.*")


def work_named(fact: Offer | Later) -> str:
    """The work that an offer or an item names, without who pays for it: that is none of the work."""
    return _PAYS.sub("", fact.text)


def who_of(job: Job, fact: Told) -> str:
    """Empty for the customer, else the name to tell, with the firm behind a comma."""
    customer = fold(job.ticket.header.customer.name)
    who = fact.who.strip()
    if not who or _SENTENCE.match(who) or fold(who) in ("customer", "the customer", "owner", "the owner"):
        return ""
    return "" if set(fold(who).split()) <= set(customer.replace(",", " ").split()) else who


def somebody(job: Job, fact: Told) -> bool:
    """Whether the words of a contact without a name show that somebody else than the customer may have spoken."""
    return not fact.who.strip() and (bool(_THEY_SAID.search(fact.words)) or any(_strangers(job, fact.words)))


def _strangers(job: Job, words: str) -> Iterator[str]:
    """Capital words that name nothing of the trade, where a person is named: "spoke w/ Neil", "(N. Garside)"."""
    mine = set(fold(job.ticket.header.customer.name).replace(",", " ").split())
    for held in _NAMED.finditer(words):
        name = fold(held[1])
        if not (look(name) or name in mine or _NO_NAME.fullmatch(name)):
            yield held[1]


def refused(job: Job, ref: Ref) -> Entry | None:
    """The contact in which the customer said no to an offer or a deferred item, unless a later one said yes."""
    return _answered(job, ref, "no")


def accepted(job: Job, ref: Ref) -> Entry | None:
    """The contact in which the customer said yes to it last."""
    return _answered(job, ref, "yes")


def undecided(job: Job, ref: Ref) -> Entry | None:
    """The contact in which the customer wanted to think about it."""
    return _answered(job, ref, "thinks")


def agreed(job: Job, ref: Ref) -> bool:
    """Whether anybody who pays said yes, whether or not this reader may see the contact."""
    mine = job.answered.get(ref.no)
    return (mine is not None and mine.answer == "yes") or settled_unseen(job, ref)


def settled_unseen(job: Job, ref: Ref) -> bool:
    """Whether this reader may not know what was decided: the contact is hidden, or another payer said yes alone."""
    mine = job.answered.get(ref.no)
    if mine is not None and mine.answer in DECIDED:
        return job.entry(Ref(mine.told)) is None
    others = (standing_with(job.contacts, payer) for payer in dict.fromkeys(said.payer for said in job.contacts))
    return any(ref.no in found and found[ref.no].answer == "yes" for found in others)


def unheard(job: Job, entry: Entry) -> bool:
    """Whether the customer was not heard on an offer: any words of a contact behind it may be the answer to it."""
    return not any(
        said.payer == CUSTOMER
        and said.entry.no > entry.no
        and said.fact.words.strip()
        and not {answer.answer for answer in said.fact.answers} & _UNREACHED
        for said in job.contacts
    )


def given(job: Job, entry: Entry, word: str) -> tuple[Ref, ...]:
    """What one contact answered so: what it names, and what an answer that names nothing reached."""
    said = next((said for said in job.contacts if said.entry is entry), None)
    refs = [ref for ref, answer in said.given.items() if answer == word] if said is not None else []
    living = [ref for ref in refs if ref.ticket or job.entry(ref) is not None]
    return tuple(dict.fromkeys(job.seen(living)))


def same_offers(job: Job, later: Later) -> list[tuple[Entry, Offer]]:
    """The offers of the work that a deferred item puts off: those it names, and those of the same words.

    Where one offer is open and one item waits, they are one thing once half of the item's words are the offer's: "rear
    brakes and hose" puts off "rear pads, rotors, hose".
    """
    found = [(entry, fact) for entry, fact in job.each(Offer) if same_item(entry.no, fact, later)]
    if found:
        return found
    offers = [(entry, fact) for entry, fact in job.each(Offer) if not agreed(job, Ref(entry.no))]
    waiting = [(entry, fact) for entry, fact in job.each(Later) if not fact.answer]
    if len(offers) != 1 or len(waiting) != 1 or waiting[0][1] is not later:
        return []
    work = later.text.partition(";")[0]  # "brake lines; turned down, cant wait": what is said of it is no work
    things = content_words(plain(work)) - LOCATORS
    if _DECLINED.search(f"{later.text}; {later.because}") and refused(job, Ref(offers[0][0].no)) is not None:
        return offers  # what was put off because of that no
    alike = len(things & content_words(plain(offers[0][1].text))) * 2 >= len(things) > 0
    return offers if alike and offers[0][0].concern == waiting[0][0].concern else []


def same_item(no: int, offer: Offer, later: Later) -> bool:
    """Whether an offer and a deferred item are one thing: one names the other, both name the same, or the words do."""
    named = {ref.no for ref in later.refs if not ref.ticket} | numbered(later)
    return (
        no in named
        or (bool(offer.refs) and set(offer.refs) == set(later.refs) and shared(offer.text, later.text) > 0)
        or same_work(offer.text, later.text)
    )


def numbered(later: Later) -> set[int]:
    """The numbers a text begins with: "9 10 wait for his answer" names what was offered there."""
    held = _NUMBERS.match(later.text)
    return {int(number) for number in held[0].replace(",", " ").split()} if held else set()


def numbered_piece(piece: str) -> tuple[int, str]:
    """The one entry a piece of a talk begins with, and what is said of it: "9 waits for payday", "8 not billed yet"."""
    held = _ONE_NUMBER.match(piece)
    return (int(held[1]), piece[held.end() :].strip()) if held is not None else (0, piece)


def waiting_answer(job: Job, entry: Entry, later: Later) -> tuple[str, Entry | None]:
    """How the customer answered what waits, and in which contact: the last word on it or on an offer of the same work.

    A yes to like work is no yes to what waits.
    """
    order = {said.entry.no: place for place, said in enumerate(job.contacts)}
    own, offers = (Ref(entry.no),), tuple(Ref(one.no) for one, _ in same_offers(job, later))
    asked = (("no", refused, (*own, *offers)), ("thinks", undecided, (*own, *offers)), ("yes", accepted, own))
    found = [(word, told) for word, ask, refs in asked for ref in refs if (told := ask(job, ref)) is not None]
    return max(found, key=lambda one: order[one[1].no], default=("", None))


def same_work(one: str, other: str) -> bool:
    """Whether one text names all that the other names: less would take the answer to one piece for another's."""
    one, other = plain(one), plain(other)
    mine, theirs = _named(one), _named(other)
    return bool(mine and theirs) and not sides_clash(one, other) and (mine <= theirs or theirs <= mine)


@lru_cache(maxsize=1024)
def _named(text: str) -> frozenset[str]:
    """What work is done to: the words that name things, without what is done; all of them where that leaves none."""
    words = content_words(text)
    done = {
        word for word in words if "work" in (held := {one.cls for one in look(word)}) and not held & {"thing", "matter"}
    }
    return words - done or words


def _answered(job: Job, ref: Ref, word: str) -> Entry | None:
    found = job.answered.get(ref.no)
    return job.entry(Ref(found.told)) if found is not None and found.answer == word else None
