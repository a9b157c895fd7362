"""What was said and agreed: offers without an answer, refusals, approvals with their scope as typed, no wider."""

from collections.abc import Iterator

from ticket.job.answers import CUSTOMER
from ticket.job.entry import Entry
from ticket.job.kinds import Later, Offer, Told
from ticket.job.likeness import content_words, shared
from ticket.job.regex import Regex
from ticket.job.text import fold
from ticket.job.values import Ref
from ticket.story.catalogue import say, variants
from ticket.story.concerns import accepted, given, refused, settled_unseen, undecided
from ticket.story.context import Job, sources, told
from ticket.story.customer.said import inner
from ticket.story.lists import phrase_list
from ticket.story.sentence import Phrase, in_order
from ticket.story.words.clauses import noun_group
from ticket.story.words.forms import listed
from ticket.story.words.labour import tasks
from ticket.story.words.spell import spell
from ticket.story.writer import Writer

_YES_TO = Regex(r"(?i)\Ayes to (?:the )?(.+)\Z")
_SORRY = Regex(r"(?i)\A(?:apolog(?:y|ies)(?: given| made)?|apologi[sz]ed|said sorry)\Z")
_NO_CHARGE = Regex(r"(?i)\A(?:no charge|free of charge)\Z")
_SENTENCE = Regex(
    r"(?i)(?:told|warned|asked|said|says|explained|informed|advised|showed|reminded|agreed|do not|don't|must not|"
    r"no answer|left|will|wants|please)\b(?=.* )"
)
"""How words begin that are no name: what was said, typed without a comma in front."""
_WANTS = Regex(r"(?i)\A(wants|prefers|needs|plans)\b(.*)\Z")
_WORD = {"wants": "want", "prefers": "prefer", "needs": "need", "plans": "plan"}
_SPLIT = Regex(r"[,;]")


def tell_offers(job: Job, writer: Writer) -> None:
    """Offers that nobody answered, and refusals that no deferred item tells."""
    for entry, fact in job.each(Offer):
        ref = Ref(entry.no)
        if accepted(job, ref) is not None or settled_unseen(job, ref):
            continue
        no, thinks = refused(job, ref), undecided(job, ref)
        if no is not None:
            if not _deferred(job, fact):
                writer.add(sources(entry, no), *_offer(entry, fact, "offer.no"))
        elif thinks is not None and not _deferred(job, fact):
            writer.add(sources(entry, thinks), *_offer(entry, fact, "offer.thinks"))
        elif thinks is None and not _deferred(job, fact):
            writer.add(sources(entry), *_open(job, entry, fact))


def _deferred(job: Job, offer: Offer) -> bool:
    """Whether a deferred item tells the same work."""
    return any(_same_work(offer.text, fact.text) for _, fact in job.each(Later))


def same_offers(job: Job, later: Later) -> tuple[Ref, ...]:
    """The offers of the work that a deferred item puts off."""
    return tuple(Ref(entry.no) for entry, fact in job.each(Offer) if _same_work(fact.text, later.text))


def waiting_answer(job: Job, entry: Entry, later: Later) -> tuple[str, Entry | None]:
    """How the customer answered what waits, and in which contact: the last word on it or on an offer of the same work.

    A yes to like work is no yes to what waits.
    """
    order = {said.entry.no: place for place, said in enumerate(job.contacts)}
    own, offers = (Ref(entry.no),), same_offers(job, later)
    asked = (("no", refused, (*own, *offers)), ("thinks", undecided, (*own, *offers)), ("yes", accepted, own))
    found = [(word, told) for word, ask, refs in asked for ref in refs if (told := ask(job, ref)) is not None]
    return max(found, key=lambda one: order[one[1].no], default=("", None))


def _same_work(one: str, other: str) -> bool:
    """Whether one text names all that the other names: less would take the answer to one piece for another's."""
    wanted = min(len(content_words(one)), len(content_words(other)))
    return 0 < wanted == shared(one, other)


def _offer(entry: Entry, fact: Offer, kind: str) -> list[Phrase]:
    known, unknown = tasks(fact.text)
    if known and not unknown:
        return list(variants(kind, task=told(entry, "text", _base(fact.text))))
    return [say(f"{kind}.raw", text=told(entry, "text", inner(fact.text), "quoted"))]


def _base(text: str) -> str:
    known, _ = tasks(text)
    texts = [task.told("base") for task in known]
    return listed(texts)


def _open(job: Job, entry: Entry, fact: Offer) -> list[Phrase]:
    kind = "offer.call" if job.case.on_call else "offer.open"
    known, unknown = tasks(fact.text)
    if unknown or not known:
        text = told(entry, "text", inner(fact.text), "quoted")
        if fact.estimate:
            money = told(entry, "estimate", job.money(fact.estimate), "money")
            return [say(f"{kind}.raw.money", text=text, money=money)]
        return [say(f"{kind}.raw", text=text)]
    task = told(entry, "text", _base(fact.text))
    if fact.estimate:
        money = told(entry, "estimate", job.money(fact.estimate), "money")
        return list(variants(kind, task=task, money=money))
    return list(variants(f"{kind}.plain", task=task))


def tell_answers(job: Job, writer: Writer) -> None:
    """One sentence and more for every contact."""
    for entry, fact in job.each(Told):
        start = len(writer.sentences)
        _yes(job, entry, fact, writer)
        _no(job, entry, fact, writer)
        _words(job, entry, fact, writer)
        if len(writer.sentences) == start:
            _contact(job, entry, fact, writer)
        if fact.deposit:
            paid = told(entry, "deposit", job.money(fact.deposit), "money")
            writer.add(sources(entry), say("told.deposit", deposit=paid))


def _spoke(job: Job, entry: Entry, fact: Told, way: Phrase) -> Phrase:
    """That we spoke, and with whom; words that stand where the name is expected are what was said."""
    if _SENTENCE.match(fact.who.strip()):
        return say("told.quoted", way=way, text=told(entry, "who", inner(fact.who), "quoted"))
    who = who_of(job, fact)
    if who:
        return say("told.spoke.who", who=told(entry, "who", who, "typed"), way=way)
    return say("told.spoke", way=way)


def who_of(job: Job, fact: Told) -> str:
    """Empty for the customer, else the name to tell ("Tam Ollery of Fernhollow Haulage")."""
    customer = fold(job.ticket.header.customer.name)
    who = fact.who.strip()
    if not who or _SENTENCE.match(who) or fold(who) in (customer, "customer", "the customer", "owner", "the owner"):
        return ""
    person, comma, firm = who.partition(",")
    return f"{person.strip()} of {firm.strip()}" if comma and firm.strip() else who


def way_of(entry: Entry, fact: Told) -> Phrase:
    """ "by phone", "in person"; empty where not recorded."""
    if not fact.way:
        return ()
    kind = "way.in" if fact.way.startswith("in ") else "way.by"
    return say(kind, way=told(entry, "way", fact.way, "typed"))


def _yes(job: Job, entry: Entry, fact: Told, writer: Writer) -> None:
    said = [answer for answer in fact.answers if answer.answer == "yes"]
    scope = _scope(entry, fact)
    if not said and not scope:
        return
    refs = given(job, entry, "yes")
    what = (scope,) if scope else _what(job, refs, bare=any(not answer.to for answer in said))
    who = who_of(job, fact)
    kind = "told.yes.who" if who else "told.yes"
    slots: dict[str, Phrase] = {"what": what[0], "way": way_of(entry, fact), "who": (told(entry, "who", who, "typed"),)}
    if fact.total:
        slots["total"] = _sum(job, entry, "total", fact.total)
    elif fact.ceiling:
        kind += ".ceiling"
        slots["total"] = _sum(job, entry, "ceiling", fact.ceiling)
    else:
        kind += ".plain"
    writer.add(in_order((Ref(entry.no), *refs)), say(kind, **slots))


def _sum(job: Job, entry: Entry, field: str, number: str) -> Phrase:
    """A sum as it was named, and that the tax comes on top where the shop names its sums so."""
    named = (told(entry, field, job.money(number), "money"),)
    return say("told.untaxed", total=named) if job.case.before_tax else named


def _scope(entry: Entry, fact: Told) -> Phrase:
    """ "yes to warranty repair", typed in words."""
    match = _YES_TO.match(_SPLIT.split(fact.words.strip())[0].strip())
    pieces = spell(match[1]) if match else None
    found = noun_group(pieces) if pieces else None
    if found is None:
        return ()
    group, tied = found
    return (told(entry, "words", group.thing() + tied),)


def _what(job: Job, refs: tuple[Ref, ...], *, bare: bool) -> tuple[Phrase]:
    """What the yes was given to: all offers, some by name, deferred items, or simply this work."""
    offers = [entry for entry, _ in job.each(Offer)]
    yes = [entry for entry in offers if Ref(entry.no) in refs]
    rest = [ref for ref in refs if ref not in {Ref(entry.no) for entry in offers}]
    if not refs or (bare and not rest and not yes):
        return (say("what.this"),)
    if not rest and len(yes) == len(offers):
        return (say("what.offered"),)
    items: list[Phrase] = []
    for ref in refs:
        entry = job.entry(ref) or _earlier(job, ref)
        fact = entry.fact if entry is not None else None
        if entry is not None and isinstance(fact, Offer | Later):
            items.append(_named(ref, fact.text))
    return (phrase_list(items),) if items else (say("what.this"),)


def _earlier(job: Job, ref: Ref) -> Entry | None:
    home = next((ticket for ticket in job.case.earlier if ticket.number == ref.ticket), None)
    return home.entry(ref.no) if home is not None else None


def _named(ref: Ref, text: str) -> Phrase:
    known, unknown = tasks(text)
    if unknown or not known:
        return say("what.quoted", text=told(ref, "text", inner(text), "quoted"))
    return (told(ref, "text", " and ".join(task.told("gerund") for task in known)),)


def _no(job: Job, entry: Entry, fact: Told, writer: Writer) -> None:
    """A no that neither an offer nor a deferred item tells: another payer's, to earlier work, or to nothing named."""
    for word, refs in told_apart(job, entry, fact):
        kind = "told.no" if word == "no" else "told.thinks"
        who = who_of(job, fact)
        what = _what(job, refs, bare=not refs)
        slots: dict[str, Phrase] = {"what": what[0], "way": way_of(entry, fact)}
        if who:
            kind += ".who"
            slots["who"] = (told(entry, "who", who, "typed"),)
        writer.add(in_order((Ref(entry.no), *refs)), say(kind, **slots))


def told_apart(job: Job, entry: Entry, fact: Told) -> Iterator[tuple[str, tuple[Ref, ...]]]:
    """Each no and each wish to think of a contact that no offer and no deferred item tells, with what it was about.

    Those tell what the customer decided; they cannot tell what another payer did.
    """
    mine = any(said.entry is entry and said.payer == CUSTOMER for said in job.contacts)
    for answer in fact.answers:
        reached = given(job, entry, answer.answer) if not answer.to else job.seen(answer.to)
        if answer.answer in ("no", "thinks") and not (mine and reached):
            yield answer.answer, reached


def _words(job: Job, entry: Entry, fact: Told, writer: Writer) -> None:
    """What was said beyond the answer."""
    text = fact.words.strip()
    if not text or _told_with_a_no(job, entry, fact):
        return
    way = way_of(entry, fact)
    left: list[str] = []
    for piece in [item.strip() for item in _SPLIT.split(text)][1 if _scope(entry, fact) else 0 :]:
        if _SORRY.match(piece):
            writer.add(sources(entry), say("earlier.sorry"))
        elif _NO_CHARGE.match(piece):
            writer.add(sources(entry), say("told.charge", way=way))
        elif piece:
            left.append(piece)
    if left:
        quoted = told(entry, "words", inner(", ".join(left)), "quoted")
        writer.add(sources(entry), say("told.quoted", way=way, text=quoted))


def _told_with_a_no(job: Job, entry: Entry, fact: Told) -> bool:
    """The customer's reason for a no is told with the deferred item it answers."""
    if not customer_reason(entry):
        return False
    answers = (waiting_answer(job, item, later) for item, later in job.each(Later))
    return any(word == "no" and contact is entry for word, contact in answers)


def customer_reason(entry: Entry) -> str:
    """ "want to wait until next month", from "wants to wait ..."; empty for other words."""
    fact = entry.fact
    match = _WANTS.match(fact.words.strip()) if isinstance(fact, Told) else None
    return _WORD[match[1].lower()] + match[2] if match else ""


def _contact(job: Job, entry: Entry, fact: Told, writer: Writer) -> None:
    """A contact without any words: that it took place."""
    words = {answer.answer for answer in fact.answers}
    if any(job.seen(answer.to) for answer in fact.answers) and not fact.total:
        return
    way = way_of(entry, fact)
    if "left message" in words:
        writer.add(sources(entry), say("told.message", way=way))
    elif "no answer" in words:
        writer.add(sources(entry), say("told.reached", way=way))
    elif "asked" in words:
        writer.add(sources(entry), say("told.asked", way=way))
    elif not words:
        writer.add(sources(entry), _spoke(job, entry, fact, way))
    if fact.total:
        writer.add(sources(entry), say("told.total", total=_sum(job, entry, "total", fact.total)))
