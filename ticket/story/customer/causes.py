"""The cause and what shows it, what it was not, and what is still only a suspicion."""

from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Maybe, Ruled
from ticket.job.values import Ref
from ticket.story.catalogue import say
from ticket.story.context import Job, sources, told
from ticket.story.customer.said import inner
from ticket.story.evidence import pieces, spread_out
from ticket.story.facts.certainty import computed, confirmed, proofs_of, without_hedge
from ticket.story.facts.concern_facts import settled
from ticket.story.lists import phrase_list
from ticket.story.sentence import Phrase, words_in
from ticket.story.words.clauses import PRESENT, noun_group
from ticket.story.words.compare import agree
from ticket.story.words.groups import FLUIDS
from ticket.story.words.observed import said
from ticket.story.words.spell import spell
from ticket.story.writer import Writer

_LIMIT = 25


def tell_causes(job: Job, letter: str, writer: Writer) -> None:
    """Each cause with its evidence, then everything that was ruled out in one breath."""
    for entry, fact in job.each(Cause, letter):
        sure = confirmed(job, entry)
        writer.add(
            sources(entry), *_cause(entry, fact, rung="sure" if sure else "fits" if computed(job, entry) else "likely")
        )
        _proved(job, entry, fact, writer, sure=sure)
    tell_ruled(job, letter, writer)


_RUNGS = {
    "sure": ("cause.group", "cause.clause", "cause.quoted"),
    "likely": ("cause.likely", "cause.likely.clause", "cause.quoted.likely"),
    "fits": ("cause.fits", "cause.fits.clause", "cause.quoted.likely"),
}


def _cause(entry: Entry, fact: Cause, *, rung: str) -> list[Phrase]:
    text, _ = without_hedge(fact.text)
    as_group, as_clause, as_quote = _RUNGS[rung]
    group = thing_words(text)
    if group:
        return [say(as_group, text=told(entry, "text", group))]
    clause = _some(said(text) or "")
    if clause:
        return [say(as_clause, text=told(entry, "text", clause))]
    return [say(as_quote, text=told(entry, "text", inner(fact.text), "quoted"))]


def _some(clause: str) -> str:
    """ "Fluid passed the shaft seal": some of it, not all."""
    words = clause.split(" ")
    return " ".join(words[1:]) if len(words) > 2 and words[0] == "the" and words[1] in FLUIDS else clause


def thing_words(text: str, *, present: bool = False) -> str:
    """A noun group with its article: "a stuck thermostat", "the fan relay"; empty for another shape."""
    found = spell(text)
    named = noun_group(found) if found else None
    if named is None:
        return ""
    group, tied = named
    loose = group.defect or present or (bool(tied) and group.noun.singular in FLUIDS)
    told_text = (group.any() if loose else group.the()) + tied
    return told_text if agree(text, told_text) else ""


def _proved(job: Job, entry: Entry, fact: Cause, writer: Writer, *, sure: bool) -> None:
    found = pieces(job, proofs_of(job, fact, beside=True))
    lead = "cause.know" if sure else "cause.think"
    for i, (used, text) in enumerate(spread_out(found, say(lead, proofs=()))):
        writer.add(
            (Ref(entry.no), *used), say(lead if i == 0 else "cause.also" if i % 2 else "cause.besides", proofs=text)
        )


def tell_ruled(job: Job, letter: str, writer: Writer) -> None:
    """What it was not, in the order it was checked."""
    items = [_Ruled.of(job, entry, fact) for entry, fact in job.each(Ruled, letter)]
    plain = [item for item in items if item.listable]
    if len(plain) > 2:
        listed = [item.item() for item in plain]
        writer.add((ref for item in plain for ref in item.refs), say("ruled.many", items=phrase_list(listed, mark=";")))
        for item in items:
            if not item.listable:
                writer.add(item.refs, item.alone(first=True))
        return
    if len(items) == 2 and len(plain) == 2:
        one, two = plain
        both = say("ruled.and", text=one.text, reason=one.reason, text2=two.text, reason2=two.reason)
        if words_in(both) <= _LIMIT:
            writer.add((*one.refs, *two.refs), both)
            return
    nor = False
    for item in items:
        writer.add(item.refs, item.alone(first=not nor))
        nor = nor or item.listable


class _Ruled:
    """One ruled-out cause with the words it can be told in."""

    def __init__(self, entry: Entry, fact: Ruled, reason: Phrase, refs: tuple[Ref, ...]) -> None:
        self.entry = entry
        self.fact = fact
        self.reason = reason
        self.refs = refs
        words = thing_words(fact.text)
        self.text: Phrase = (told(entry, "text", words),) if words else ()
        clause = "" if words else said(fact.text)
        self.clause: Phrase = (told(entry, "text", clause),) if clause else ()
        self.leak = words.rpartition(" ")[2] in ("leak", "leaks", "leakage")

    @classmethod
    def of(cls, job: Job, entry: Entry, fact: Ruled) -> "_Ruled":
        reason: Phrase = ()
        refs = job.seen(fact.refs)
        if fact.reason.strip():
            clause = said(fact.reason) or said(f"{_pronoun(fact.text)} {fact.reason}", typed=fact.reason)
            reason = (told(entry, "reason", clause),) if clause else ()
        elif refs:
            found = pieces(job, refs)
            if found:
                reason = phrase_list([piece.text for piece in found])
        return cls(entry, fact, reason, (Ref(entry.no), *refs))

    @property
    def listable(self) -> bool:
        """Thing and reason both have words of a known shape."""
        return bool(self.text and self.reason) and not self.leak

    @property
    def quoted_reason(self) -> Phrase:
        return (told(self.entry, "reason", inner(self.fact.reason), "quoted"),) if self.fact.reason.strip() else ()

    def item(self) -> Phrase:
        return say("ruled.item", text=self.text, reason=self.reason)

    def alone(self, *, first: bool) -> Phrase:
        """The sentence of its own."""
        raw = (told(self.entry, "text", inner(self.fact.text), "quoted"),)
        if not self.text:
            if self.clause and self.reason:
                return say("ruled.that" if first else "ruled.that.nor", text=self.clause, reason=self.reason)
            if self.quoted_reason:
                return say("ruled.raw.because", text=raw, reason=self.quoted_reason)
            if self.reason:
                return say("ruled.raw.shown", text=raw, reason=self.reason)
            return say("ruled.raw.bare", text=raw)
        if self.leak and self.reason:
            return say("ruled.leak", text=self._bare(), reason=self.reason)
        if self.reason:
            return say("ruled.one" if first else "ruled.nor", text=self.text, reason=self.reason)
        if self.quoted_reason:
            return say("ruled.quoted" if first else "ruled.nor.quoted", text=self.text, reason=self.quoted_reason)
        return say("ruled.bare", text=self.text)

    def _bare(self) -> Phrase:
        found = spell(self.fact.text)
        named = noun_group(found) if found else None
        words = named[0].bare() + named[1] if named else self.fact.text
        return (told(self.entry, "text", words),)


def _pronoun(text: str) -> str:
    """ "It" or "they" for what was ruled out, before a reason without a subject: "works on test leads"."""
    found = spell(text)
    named = noun_group(found) if found else None
    return "they" if named is not None and named[0].many else "it"


def open_suspicions(job: Job, letter: str) -> list[tuple[Entry, Maybe]]:
    """Suspicions that no cause and nothing ruled out has settled."""
    return [pair for pair in job.each(Maybe, letter) if not settled(job, pair[1].text)]


def tell_suspicions(job: Job, letter: str, writer: Writer) -> None:
    """What it may still be."""
    for i, (entry, fact) in enumerate(open_suspicions(job, letter)):
        text, _ = without_hedge(fact.text)
        words = thing_words(text, present=True)
        clause = "" if words else said(text, PRESENT)
        if words:
            item = told(entry, "text", words)
            options = [say("maybe.be", text=item), say("maybe.open", text=item)]
            writer.add(sources(entry), *(options if i == 0 else options[::-1]))
        elif clause:
            writer.add(sources(entry), say("maybe.clause", text=told(entry, "text", clause)))
        else:
            writer.add(sources(entry), say("maybe.quoted", text=told(entry, "text", inner(fact.text), "quoted")))
