"""What was said and agreed: approvals no wider than typed, and what was warned of; what else was said stays inside."""

from collections.abc import Iterator

from ticket.job.entry import Entry
from ticket.job.kinds import Later, Offer, Told
from ticket.job.offer_answers import CUSTOMER
from ticket.job.regex import Regex
from ticket.job.values import Ref
from ticket.language.figures import free
from ticket.story.context import Job, sources, told
from ticket.story.facts.answered import given, somebody, who_of, work_named
from ticket.story.facts.open_work import open_work
from ticket.story.sections.said import (
    answers_in_words,
    outward_pieces,
    pieces,
    says_free,
    tell_in_words,
    tell_said,
    tell_warnings,
    typed_pieces,
)
from ticket.story.sections.talk import Talk, stop
from ticket.story.sections.writer import Writer
from ticket.story.sentence import Phrase

_YES_TO = Regex(r"(?i)\Ayes to (?:the )?(.+?)(?: only| alone)?\Z")
_LEFT = Regex(r"(?i)\bleft (?:an? )?(?:message|msg|mssg|voicemail|voice mail|vm)\b")
_OFFERED = Regex(r"(?i)(?:we |i |and )?(?:offered|asked (?:if|to|about)|suggested)\b")
_PRICED = Regex(
    r"(?i)\b(?:w/|with|both|the|all|two|three) ?(?:\w+ )?prices?\b|\bprices? (?:sent|left|given|named|told)\b"
)
_PICTURED = Regex(r"(?i)\b(?:w/|with) ?(?:an? |the |[0-9] )?(?:photo|pic|picture|video)s?\b")
_SENT = ("text message", "email", "in writing")
_WRITTEN = "in writing"
_LIMITED = Regex(r"(?i)\b(?:but no|but not|only|rest|except|half|part of|share|up to|max)\b")
_WHOSE = Regex(r"(?:his|her|their|the|a|an|my|our|its) ")
_PER = Regex(r"(?i)\A(?:per|from|by|with|w/) ")
_SPLIT = Regex(r"[,;]")


def tell_answers(talk: Talk, writer: Writer, warned: frozenset[int]) -> None:
    """One sentence and more for every contact; what those of ``warned`` warned of was told first of all."""
    for entry, fact in talk.job.each(Told):
        way = way_of(talk, entry)
        start = len(writer.sentences)
        _yes(talk, entry, fact, way, writer)
        for word, refs in told_apart(talk.job, entry, fact):
            if not refs and _own_offer(fact):
                continue
            what, behind = _scope(talk, refs, way, bare=not refs)
            said = said_by(talk, entry, f"told.{word}", way=behind, what=what)
            writer.add((Ref(entry.no), *dict.fromkeys(refs)), stop(said))
        if entry.no not in warned:
            tell_warnings(talk, entry, fact, writer)
        before = len(writer.sentences)
        answers_in_words(talk, entry, fact, writer, said_by, way)
        tell_said(talk, entry, fact, writer, said_by, way)
        if len(writer.sentences) == start:
            _contact(talk, entry, fact, way, writer)
        if before == start:
            _tell_total(talk, entry, fact, writer)
        tell_in_words(talk, entry, fact, writer)
        if _unreached(talk, entry, fact) and any(outward_pieces(fact)):
            writer.add(sources(entry), stop(talk.say("told.yes.bare")))
        if _own_offer(fact) and any(word == "no" and not refs for word, refs in told_apart(talk.job, entry, fact)):
            writer.add(sources(entry), stop(talk.say("told.no.bare")))
        if fact.deposit:
            paid = talk.money(entry, "deposit", fact.deposit)
            writer.add(sources(entry), said_by(talk, entry, "told.deposit", money=paid))


def way_of(talk: Talk, entry: Entry) -> Phrase:
    """ " by phone"; empty where not recorded or not known."""
    fact = entry.fact
    if not isinstance(fact, Told) or not fact.way:
        return ()
    if talk.english:
        kind = "told.way" if fact.way.startswith("in ") else "told.way.by"
        return talk.say(kind, way=(told(entry, "way", fact.way, "typed"),))
    words = talk.leaves.term(fact.way)
    return talk.say("told.way", way=(told(entry, "way", words),)) if words else ()


def _name(talk: Talk, entry: Entry, who: str) -> Phrase:
    """Who spoke; nothing where a language has no word for it: "driver" is no name."""
    person, comma, firm = who.partition(",")
    person = _PER.sub("", person.strip())
    name: Phrase = (told(entry, "who", person, "typed"),)
    if person.islower() and not _WHOSE.match(person):
        return talk.say("told.role", who=name) if talk.english else ()
    if comma and firm.strip()[:1].isupper():
        return talk.say("told.firm", who=name, firm=(told(entry, "who", firm.strip(), "typed"),))
    return name


def said_by(talk: Talk, entry: Entry, kind: str, **slots: Phrase) -> Phrase:
    """A sentence about a contact: of the customer, of somebody named, or of whoever it was."""
    fact = entry.fact
    if not isinstance(fact, Told):
        return talk.say(kind, 1, **slots)
    who = who_of(talk.job, fact)
    if not who and not somebody(talk.job, fact):
        return talk.say(kind, 1, **slots)
    name = _name(talk, entry, who) if who else ()
    return talk.say(f"{kind}.who", 1, who=name, **slots) if name else talk.say(f"{kind}.open", 1, **slots)


def _yes(talk: Talk, entry: Entry, fact: Told, way: Phrase, writer: Writer) -> None:
    said = [answer for answer in fact.answers if answer.answer == "yes"]
    match = _YES_TO.match(_SPLIT.split(fact.words.strip())[0].strip())
    scope = talk.thing(entry, "words", match[1]) if match else ()
    if not said and not scope:
        return
    refs = given(talk.job, entry, "yes")
    what, behind = (scope, way) if scope else _scope(talk, refs, way, bare=any(not answer.to for answer in said))
    if _LIMITED.search(fact.words) and not scope:  # how much of it was agreed to stands in words nobody reads
        what, behind = talk.say("what.some"), way
    elif not scope and _unreached(talk, entry, fact):
        return  # a yes that reached no offer, beside words of its own: to what, nobody knows
    phrase = said_by(talk, entry, "told.yes", what=what, way=behind)
    if fact.total and free(fact.total):
        phrase = talk.say("told.free.behind", said=phrase)
    elif fact.total:
        kind = "told.total.again" if _named_again(talk.job, entry, fact, refs) else "told.total.behind"
        if kind == "told.total.behind" and _some_waits(talk.job, refs):
            kind = "told.total.all"
        phrase = talk.say(kind, said=phrase, total=_sum(talk, entry, "total", fact.total))
    elif fact.ceiling:
        phrase = talk.say("told.ceiling.behind", said=phrase, total=_sum(talk, entry, "ceiling", fact.ceiling))
    writer.add((Ref(entry.no), *dict.fromkeys(refs)), stop(phrase))


def _some_waits(job: Job, refs: tuple[Ref, ...]) -> bool:
    """Whether a part of what was agreed to is still to do: then its sum is not what today's work costs."""
    waiting = {ref for item in open_work(job) for ref in (Ref(item.entry.no), *item.offers)}
    return bool(waiting & set(refs)) and not set(refs) <= waiting


def _named_again(job: Job, entry: Entry, fact: Told, refs: tuple[Ref, ...]) -> bool:
    """Whether an earlier yes to the very same work named another total, which holds no more."""
    return bool(refs) and any(
        other.no < entry.no
        and bool(earlier.total)
        and not free(earlier.total)
        and earlier.total != fact.total
        and who_of(job, earlier) == who_of(job, fact)
        and set(given(job, other, "yes")) == set(refs)
        for other, earlier in job.each(Told)
    )


def _unreached(talk: Talk, entry: Entry, fact: Told) -> bool:
    """A yes that reached no offer, beside words of its own: to what, nobody knows."""
    bare = [answer.answer for answer in fact.answers] == ["yes"] and not fact.total and bool(fact.words.strip())
    return bare and not (given(talk.job, entry, "yes") or _LIMITED.search(fact.words))


def _own_offer(fact: Told) -> bool:
    """Whether a talk itself offered something, which a bare answer then answers: "offered a tow, no thanks"."""
    return any(_OFFERED.match(piece) for piece in typed_pieces(fact))


def _sum(talk: Talk, entry: Entry, field: str, number: str) -> Phrase:
    """A sum as it was named, with the tax or before it where the contact or the shop says so."""
    named = talk.money(entry, field, number)
    told = getattr(entry.fact, "tax", "") or (talk.job.case.before_tax and "before tax")
    way = {"with tax": "told.taxed", "before tax": "told.untaxed"}.get(told or "")
    return talk.say(way, total=named) if way else named


def _scope(talk: Talk, refs: tuple[Ref, ...], way: Phrase, *, bare: bool) -> tuple[Phrase, Phrase]:
    """What the answer was given to: all offers, some by name, deferred items, or simply this work; and the way behind.

    Where things are named the way stands in front of them: "this by phone: right front tire".
    """
    offers = [Ref(entry.no) for entry, _ in talk.job.each(Offer)]
    if not refs or (bare and not any(ref in offers for ref in refs)):
        return talk.say("what.this"), way
    if all(ref in offers for ref in refs) and len(set(refs)) == len(offers):
        return talk.say("what.offered"), way
    items = [work for ref in refs if (work := _work(talk, ref))]
    if len(items) < len(refs):
        return talk.say("what.some"), way
    return talk.say("what.items", items=talk.listed(items), way=way), ()


def _work(talk: Talk, ref: Ref) -> Phrase:
    """What an offer or a deferred item names; nothing where it has no words to tell."""
    earlier = (ticket for ticket in talk.job.case.earlier if ticket.number == ref.ticket)
    home = next(earlier, None) if ref.ticket else talk.job.ticket
    entry = home.entry(ref.no) if home is not None else None
    if entry is None or not isinstance(entry.fact, Offer | Later):
        return ()
    return talk.work_or_typed(ref, "text", work_named(entry.fact))


def told_apart(job: Job, entry: Entry, fact: Told) -> Iterator[tuple[str, tuple[Ref, ...]]]:
    """Each no and each wish to think of a contact that no offer and no deferred item tells, with what it was about.

    Those tell what the customer decided; they cannot tell what another payer did.
    """
    mine = any(said.entry is entry and said.payer == CUSTOMER for said in job.contacts)
    for answer in fact.answers:
        reached = given(job, entry, answer.answer) if not answer.to else job.seen(answer.to)
        if answer.answer in ("no", "thinks") and not (mine and reached):
            yield answer.answer, reached


def _contact(talk: Talk, entry: Entry, fact: Told, way: Phrase, writer: Writer) -> None:
    """A contact without any words: that it took place."""
    words = {answer.answer for answer in fact.answers}
    if _PRICED.search(fact.words):
        many = 2 if "prices" in fact.words.lower() else 1
        way = talk.say("told.way.priced", many, way=way)
    elif _PICTURED.search(fact.words):
        way = talk.say("told.way.pictured", way=way)
    if fact.way == _WRITTEN and not words and not fact.total and fact.words.strip():
        return  # what was signed is told in its words
    if any(talk.job.seen(answer.to) for answer in fact.answers) and not fact.total:
        return
    if not _tell_tried(talk, entry, fact, way, writer) and not words - {"yes"}:
        spoke = "told.spoke" if fact.way in ("", "phone", "in person", "radio") else "told.written"
        writer.add(sources(entry), stop(said_by(talk, entry, spoke, way=way)))


def _tell_total(talk: Talk, entry: Entry, fact: Told, writer: Writer) -> None:
    """The sum that was named, where no yes was told with it."""
    if fact.total and free(fact.total):
        if not any(says_free(piece) for piece in pieces(fact)):
            writer.add(sources(entry), stop(talk.say("told.nothing")))
    elif fact.total:
        writer.add(sources(entry), stop(talk.say("told.total", total=_sum(talk, entry, "total", fact.total))))
    elif fact.ceiling:
        writer.add(sources(entry), stop(talk.say("told.ceiling", total=_sum(talk, entry, "ceiling", fact.ceiling))))


def _tell_tried(talk: Talk, entry: Entry, fact: Told, way: Phrase, writer: Writer) -> bool:
    """That somebody was tried or asked who did not answer; whether that was so."""
    words = {answer.answer for answer in fact.answers}
    kinds = (("left message", "message"), ("no answer", _tried(fact)), ("asked", "asked"))
    kind = next((kind for word, kind in kinds if word in words), "")
    if not kind:
        return False
    said = said_by(talk, entry, f"told.{kind}", way=way)
    if kind != "asked" and entry.no == max(one.no for one, _ in talk.job.each(Told)):
        mine = not (who_of(talk.job, fact) or somebody(talk.job, fact))
        said = talk.say("told.no answer" if mine else "told.no answer.open", said=said)
    writer.add(sources(entry), stop(said))
    return True


def _tried(fact: Told) -> str:
    """How somebody was tried who did not answer: a message was left, something was sent, or nobody was reached."""
    if _LEFT.search(fact.words) or (_PRICED.search(fact.words) and fact.way not in _SENT):
        return "message"
    return "written" if fact.way in _SENT else "reached"
