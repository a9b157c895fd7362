"""The order of the customer's story in the other language: the same sections and facts as in English."""

from dataclasses import replace

from ticket.job.kinds import Cause, Did, Found, Says, Used
from ticket.story.cautions import called_for
from ticket.story.context import SHARED, sources
from ticket.story.customer.again import wanted
from ticket.story.customer.codes import arrival_codes
from ticket.story.facts.concern_facts import ConcernFacts
from ticket.story.facts.concerns import cause_unknown, not_reproduced
from ticket.story.facts.dangers_found import dangers
from ticket.story.facts.first_sentence import opening
from ticket.story.facts.open_work import open_work
from ticket.story.other.agreed import tell_answers, tell_offers
from ticket.story.other.cause import tell_causes, tell_ruled, tell_suspicions
from ticket.story.other.found import tell_code, tell_findings
from ticket.story.other.later import tell_deferred
from ticket.story.other.talk import Talk
from ticket.story.other.visit import tell_visit
from ticket.story.other.work import tell_proofs, tell_work
from ticket.story.sentence import CAUTION, TICKET, Lit, Section, text_of
from ticket.story.words.labour import tasks
from ticket.story.writer import Writer


def sections(talk: Talk) -> tuple[Section, ...]:
    """All sections, in the order they are read."""
    job = talk.job
    several = len(job.letters) > 1
    service = all(ConcernFacts(job, letter).maintenance for letter in job.letters)
    first, brief, said, visit = Writer(), Writer(), Writer(), Writer()
    for found, entry, name in dangers(job):
        tell_findings(talk, found, first)
        first.add(sources(entry), talk.say(name))
    _brief(talk, brief)
    _complaints(talk, SHARED if several else job.letters[0], said)
    tell_visit(talk, visit)
    out = [
        *first.section(talk.title("title.read"), "read"),
        *brief.section(talk.title("title.short"), "short"),
        *said.section(talk.title("title.asked" if service else "title.told"), "told"),
        *visit.section(talk.title("title.visit"), "visit"),
    ]
    if not several:
        return (*out, *_concern(talk, job.letters[0]), *_closing(talk))
    for letter in job.letters:
        if letter != SHARED:
            words = Writer()
            _complaints(talk, letter, words)
            name = "title.asked" if ConcernFacts(job, letter).maintenance else "title.told"
            inside = [*words.section(talk.title(name), "told"), *_concern(talk, letter)]
            out += [_headed(talk, "head.concern", section, letter, i) for i, section in enumerate(inside)]
    out += [_headed(talk, "head.shared", section, "", 0) for section in _concern(talk, SHARED)]
    return (*out, *_closing(talk))


def _headed(talk: Talk, kind: str, section: Section, letter: str, place: int) -> Section:
    if place:
        return replace(section, level=2)
    head = talk.say(kind, letter=(Lit(letter),), text=(Lit(section.title),))
    return replace(section, title=text_of(head))


def _brief(talk: Talk, writer: Writer) -> None:
    """How each concern stands, and how much is still to do."""
    job = talk.job
    for letter in job.letters:
        now = opening(job, letter)
        said = talk.say(now.sentence)
        if len(job.letters) > 1:
            said = talk.say("head.concern", letter=(Lit(letter),), text=said)
        if now.refs:
            writer.add(now.refs, said)
    items = open_work(job)
    if items:
        pressing = [item for item in items if item.pressing]
        kind = "short.open" if not pressing else "short.open.all" if len(pressing) == len(items) else "short.open.some"
        cls = talk.title("short.open.class")  # of the word for what is still to do
        count = talk.count(items[0].entry, "text", len(items), cls)
        some = talk.count(pressing[0].entry, "text", len(pressing), cls) if pressing else ()
        refs = sources(*(one for item in items for one in item.cited))
        writer.add(refs, talk.say(kind, len(items), count=count, urgent=some))


def _complaints(talk: Talk, letter: str, writer: Writer) -> None:
    for entry, fact in talk.job.each(Says, letter):
        writer.add(sources(entry), talk.say("says.quoted", text=talk.quoted(entry, "text", fact.text)))
        if fact.reproduced == "reproduced":
            writer.add(sources(entry), talk.say("says.saw"))
        elif fact.reproduced and not not_reproduced(talk.job, letter):
            writer.add(sources(entry), talk.say("says.not"))


def _concern(talk: Talk, letter: str) -> tuple[Section, ...]:
    job = talk.job
    found, cause, did, proof = Writer(), Writer(), Writer(), Writer()
    for entry, fact in arrival_codes(job, letter):
        tell_code(talk, entry, fact, found)
    tell_findings(talk, [entry for entry, _ in job.each(Found, letter)], found)
    known = any(True for _ in job.each(Cause, letter))
    if known:
        tell_causes(talk, letter, cause)
    else:
        tell_ruled(talk, letter, cause)
    tell_suspicions(talk, letter, cause)
    tell_work(talk, letter, did)
    if cause_unknown(job, letter) and did.sentences:
        _no_parts(talk, letter, did)
    tell_proofs(talk, letter, proof)
    title = "checked" if ConcernFacts(job, letter).maintenance else "tried" if not_reproduced(job, letter) else "found"
    name = "cause" if known else "unknown"
    return (
        *found.section(talk.title(f"title.{title}"), "found"),
        *cause.section(talk.title(f"title.{name}"), name),
        *did.section(talk.title("title.did"), "did"),
        *proof.section(talk.title("title.proof"), "proof"),
    )


def _no_parts(talk: Talk, letter: str, writer: Writer) -> None:
    job = talk.job
    fitted = any(
        work.kind == "fit" for _, fact in job.each(Did, letter) for task in tasks(fact.text)[0] for work in task.works
    )
    if not fitted and not any(True for where in (letter, SHARED) for _ in job.each(Used, where)):
        writer.add((TICKET,), talk.say("used.none"))


def _closing(talk: Talk) -> tuple[Section, ...]:
    later, again, agreed, care = Writer(), Writer(), Writer(), Writer()
    starts = tell_deferred(talk, later)
    tell_offers(talk, later)
    for entries, names in wanted(talk.job):
        items = talk.listed([talk.say(f"again.{name}") for name in names])
        again.add(sources(*entries), *talk.variants("again.write", items=items))
    tell_answers(talk, agreed)
    for caution, ref in called_for(talk.job):
        care.add((ref, CAUTION + caution.id), talk.say(f"caution.{caution.id}.customer"))
    return (
        *(replace(item, items=starts) for item in later.section(talk.title("title.later"), "later")),
        *again.section(talk.title("title.again"), "again"),
        *agreed.section(talk.title("title.agreed"), "agreed"),
        *care.section(talk.title("title.care"), "care"),
    )
