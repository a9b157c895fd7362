"""What was offered, said and agreed, in the other language: the scope as typed and no wider."""

from ticket.job.entry import Entry
from ticket.job.kinds import Later, Offer, Told
from ticket.job.values import Ref
from ticket.story.context import sources, told
from ticket.story.customer.answers import told_apart, who_of
from ticket.story.facts.answered import given, refused, undecided
from ticket.story.facts.open_work import open_work
from ticket.story.other.talk import Talk, stop
from ticket.story.other.work import todo
from ticket.story.sentence import Phrase
from ticket.story.writer import Writer


def tell_offers(talk: Talk, writer: Writer) -> None:
    """Offers that wait and that no deferred item tells: refused, thought about, or not answered."""
    for item in open_work(talk.job):
        entry, fact = item.entry, item.fact
        if not isinstance(fact, Offer):
            continue
        work = todo(talk, entry, fact.text)
        kind = "offer.call" if talk.job.case.on_call else "offer.open"
        contact = (refused if item.answer == "no" else undecided)(talk.job, Ref(entry.no))
        if contact is not None:
            writer.add(sources(entry, contact), *map(stop, talk.variants(f"offer.{item.answer}", work=work)))
        elif fact.estimate:
            money = talk.money(entry, "estimate", fact.estimate)
            writer.add(sources(entry), *map(stop, talk.variants(f"{kind}.money", work=work, money=money)))
        else:
            writer.add(sources(entry), *map(stop, talk.variants(kind, work=work)))


def tell_answers(talk: Talk, writer: Writer) -> None:
    """One sentence and more for every contact."""
    for entry, fact in talk.job.each(Told):
        way = way_phrase(talk, entry, fact)
        start = len(writer.sentences)
        _yes(talk, entry, fact, way, writer)
        for word, refs in told_apart(talk.job, entry, fact):
            said = _by(talk, entry, fact, f"told.{word}", way=way)
            writer.add((Ref(entry.no), *dict.fromkeys(refs)), stop(said))
        if fact.deposit:
            writer.add(sources(entry), talk.say("told.deposit", money=talk.money(entry, "deposit", fact.deposit)))
        if len(writer.sentences) == start:
            _contact(talk, entry, fact, way, writer)


def way_phrase(talk: Talk, entry: Entry, fact: Told) -> Phrase:
    """ " por teléfono"; empty where not recorded."""
    row = talk.language.terms.one("word", fact.way) if fact.way else None
    if row is None:
        return talk.say("told.way", way=talk.quoted(entry, "way", fact.way)) if fact.way else ()
    return talk.say("told.way", way=(told(entry, "way", row.told),))


def _by(talk: Talk, entry: Entry, fact: Told, kind: str, way: Phrase, what: Phrase = ()) -> Phrase:
    """By the customer, or by somebody named."""
    who = who_of(talk.job, fact)
    if not who:
        return talk.say(kind, way=way, what=what)
    person, comma, firm = fact.who.strip().partition(",")
    name: Phrase = (told(entry, "who", person.strip(), "typed"),)
    if comma and firm.strip():
        name = talk.say("told.firm", who=name, firm=(told(entry, "who", firm.strip(), "typed"),))
    return talk.say(f"{kind}.who", who=name, way=way, what=what)


def _yes(talk: Talk, entry: Entry, fact: Told, way: Phrase, writer: Writer) -> None:
    said = [answer for answer in fact.answers if answer.answer == "yes"]
    if not said:
        return
    refs = given(talk.job, entry, "yes")
    what = _scope(talk, refs, bare=any(not answer.to for answer in said))
    phrase = _by(talk, entry, fact, "told.yes", what=what, way=way)
    if fact.total:
        phrase = talk.say("told.total.behind", said=phrase, total=_sum(talk, entry, "total", fact.total))
    elif fact.ceiling:
        phrase = talk.say("told.ceiling.behind", said=phrase, total=_sum(talk, entry, "ceiling", fact.ceiling))
    writer.add((Ref(entry.no), *dict.fromkeys(refs)), stop(phrase))


def _sum(talk: Talk, entry: Entry, field: str, number: str) -> Phrase:
    """A sum as it was named, and that the tax comes on top where the shop names its sums so."""
    named = talk.money(entry, field, number)
    return talk.say("told.untaxed", total=named) if talk.job.case.before_tax else named


def _scope(talk: Talk, refs: tuple[Ref, ...], *, bare: bool) -> Phrase:
    """What the yes was given to."""
    offers = [Ref(entry.no) for entry, _ in talk.job.each(Offer)]
    if not refs or (bare and not any(ref in offers for ref in refs)):
        return talk.say("what.this")
    if all(ref in offers for ref in refs) and len(set(refs)) == len(offers):
        return talk.say("what.offered")
    items = []
    for ref in refs:
        earlier = (ticket for ticket in talk.job.case.earlier if ticket.number == ref.ticket)
        home = next(earlier, None) if ref.ticket else talk.job.ticket
        entry = home.entry(ref.no) if home is not None else None
        if entry is not None and isinstance(entry.fact, Offer | Later):
            items.append(todo(talk, ref, entry.fact.text))
    return talk.say("what.items", items=talk.listed(items)) if items else talk.say("what.this")


def _contact(talk: Talk, entry: Entry, fact: Told, way: Phrase, writer: Writer) -> None:
    """A contact without any words: that it took place."""
    words = {answer.answer for answer in fact.answers}
    if any(talk.job.seen(answer.to) for answer in fact.answers) and not fact.total:
        return
    for word, kind in (("left message", "message"), ("no answer", "reached"), ("asked", "asked")):
        if word in words:
            writer.add(sources(entry), stop(talk.say(f"told.{kind}", way=way)))
            break
    else:
        if not words:
            writer.add(sources(entry), stop(talk.say("told.spoke", way=way)))
    if fact.total:
        writer.add(sources(entry), stop(talk.say("told.total", total=_sum(talk, entry, "total", fact.total))))
