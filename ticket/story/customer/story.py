"""The order of the customer's story."""

from dataclasses import replace

from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Did, Found, Used
from ticket.story.catalogue import say, title
from ticket.story.cautions import called_for
from ticket.story.context import SHARED, Job, sources
from ticket.story.customer.again import tell_again
from ticket.story.customer.answers import tell_answers, tell_offers
from ticket.story.customer.brief import tell_brief
from ticket.story.customer.causes import tell_causes, tell_ruled, tell_suspicions
from ticket.story.customer.codes import arrival_codes, tell_codes
from ticket.story.customer.deferred import tell_deferred
from ticket.story.customer.labour import tell_work
from ticket.story.customer.measured import tell_findings
from ticket.story.customer.proofs import tell_proofs
from ticket.story.customer.said import tell_complaints
from ticket.story.customer.visit import tell_visit
from ticket.story.facts.concern_facts import ConcernFacts
from ticket.story.facts.concerns import cause_unknown, not_reproduced
from ticket.story.facts.dangers_found import dangers
from ticket.story.sentence import CAUTION, TICKET, Lit, Phrase, Section, text_of
from ticket.story.words.labour import tasks
from ticket.story.writer import Writer


def sections(job: Job) -> tuple[Section, ...]:
    """All sections, in the order they are read; one without a sentence has no title."""
    several = len(job.letters) > 1
    service = all(ConcernFacts(job, letter).maintenance for letter in job.letters)
    out: list[Section] = []
    first, brief, said, visit = Writer(), Writer(), Writer(), Writer()
    for found, entry, name in dangers(job):
        tell_findings(job, found, first)
        first.add(sources(entry), say(name))
    tell_brief(job, brief)
    tell_complaints(job, job.letters[0] if not several else SHARED, said)
    tell_visit(job, visit)
    out += first.section(title("title.read"), "read")
    out += brief.section(title("title.short"), "short")
    out += said.section(title("title.asked" if service else "title.told"), "told")
    out += visit.section(title("title.visit"), "visit")
    if not several:
        return (*out, *_found(job, job.letters[0]), *_after_found(job, job.letters[0]), *_closing(job))
    out += _found(job, SHARED)
    for letter in job.letters:
        out += _concern(job, letter)
    shared = _after_found(job, SHARED)
    out += [_headed(say("head.shared", text=Lit(section.title)), section) for section in shared]
    return (*out, *_closing(job))


def _concern(job: Job, letter: str) -> list[Section]:
    """One of several concerns: the complaint, what was found, the cause, what was done, and the proof."""
    said = Writer()
    tell_complaints(job, letter, said)
    name = "title.asked" if ConcernFacts(job, letter).maintenance else "title.told"
    inside = [*said.section(title(name), "told"), *_found(job, letter), *_after_found(job, letter)]
    if not inside:
        return []
    head = say("head.concern", letter=Lit(letter), text=Lit(inside[0].title))
    return [_headed(head, inside[0]), *(replace(section, level=2) for section in inside[1:])]


def _headed(head: Phrase, section: Section) -> Section:
    return replace(section, title=text_of(head))


def _found(job: Job, letter: str) -> tuple[Section, ...]:
    writer = Writer()
    tell_codes(job, arrival_codes(job, letter), writer)
    entries: list[Entry] = [entry for entry, _ in job.each(Found, letter)]
    tell_findings(job, entries, writer)
    if ConcernFacts(job, letter).maintenance:
        name = "title.checked"
    else:
        name = "title.tried" if not_reproduced(job, letter) else "title.found"
    return writer.section(title(name), "found")


def _after_found(job: Job, letter: str) -> tuple[Section, ...]:
    cause, unknown, did, proof = Writer(), Writer(), Writer(), Writer()
    known = any(True for _ in job.each(Cause, letter))
    if known:
        tell_causes(job, letter, cause)
    else:
        tell_ruled(job, letter, unknown)
    tell_suspicions(job, letter, cause if known else unknown)
    tell_work(job, letter, did)
    if cause_unknown(job, letter) and did.sentences:
        _no_parts(job, letter, did)
    tell_proofs(job, letter, proof)
    return (
        *cause.section(title("title.cause"), "cause"),
        *unknown.section(title("title.unknown"), "unknown"),
        *did.section(title("title.did"), "did"),
        *proof.section(title("title.proof"), "proof"),
    )


def _no_parts(job: Job, letter: str, writer: Writer) -> None:
    fitted = any(
        work.kind == "fit" for _, fact in job.each(Did, letter) for task in tasks(fact.text)[0] for work in task.works
    )
    if not fitted and not any(True for where in (letter, SHARED) for _ in job.each(Used, where)):
        writer.add((TICKET,), say("used.none"))


def _closing(job: Job) -> tuple[Section, ...]:
    later, again, agreed, care = Writer(), Writer(), Writer(), Writer()
    starts = tell_deferred(job, later)
    tell_offers(job, later)
    tell_again(job, again)
    tell_answers(job, agreed)
    for caution, ref in called_for(job):
        care.add((ref, CAUTION + caution.id), (Lit(caution.customer),))
    waits = later.section(title("title.later"), "later")
    return (
        *(Section(item.title, item.sentences, item.id, starts) for item in waits),
        *again.section(title("title.again"), "again"),
        *agreed.section(title("title.agreed"), "agreed"),
        *care.section(title("title.care"), "care"),
    )
