"""The order of the customer's story."""

from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Did, Found, Says, Used
from ticket.story import concerns as state
from ticket.story.catalogue import say, title
from ticket.story.cautions import called_for
from ticket.story.context import SHARED, Job
from ticket.story.customer.again import tell_again
from ticket.story.customer.answers import tell_answers, tell_offers
from ticket.story.customer.brief import tell_brief
from ticket.story.customer.causes import tell_causes, tell_ruled, tell_suspicions
from ticket.story.customer.codes import arrival_codes, tell_codes
from ticket.story.customer.deferred import tell_deferred
from ticket.story.customer.labour import tell_work
from ticket.story.customer.measured import tell_findings
from ticket.story.customer.proofs import tell_proofs
from ticket.story.customer.said import spoken, tell_complaints
from ticket.story.customer.visit import tell_visit
from ticket.story.sentence import CAUTION, TICKET, Lit, Section
from ticket.story.words.labour import tasks
from ticket.story.writer import Writer

_HEAD_WORDS = 8


def sections(job: Job) -> tuple[Section, ...]:
    """All sections, in the order they are read; one without a sentence has no title."""
    several = len(job.letters) > 1
    service = all(state.maintenance(job, letter) for letter in job.letters)
    out: list[Section] = []
    brief, said, visit = Writer(), Writer(), Writer()
    tell_brief(job, brief)
    for letter in _letters(job):
        tell_complaints(job, letter, said)
    tell_visit(job, visit)
    out += brief.section(title("title.short"), "short")
    out += said.section(title("title.asked" if service else "title.told"), "told")
    out += visit.section(title("title.visit"), "visit")
    if several:
        out += _found(job, SHARED)
    for letter in job.letters:
        inside = [*_found(job, letter), *_after_found(job, letter)]
        if several and inside:
            out.append(Section(_head(job, letter), (), "concern"))
            inside = [_nested(section) for section in inside]
        out += inside
    if several:
        out += _after_found(job, SHARED)
    return (*out, *_closing(job))


def _letters(job: Job) -> tuple[str, ...]:
    return (SHARED, *job.letters) if len(job.letters) > 1 else job.letters


def _nested(section: Section) -> Section:
    return Section(section.title, section.sentences, section.id, section.items, level=2)


def _head(job: Job, letter: str) -> str:
    """The letter and the first words of the complaint."""
    text = next((spoken(fact.text)[0] for _, fact in job.each(Says, letter)), "")
    words = text.split()
    short = " ".join(words[:_HEAD_WORDS]).rstrip(",;.:") + (" ..." if len(words) > _HEAD_WORDS else "")
    return f"{letter}: {short[:1].upper()}{short[1:]}" if short else letter


def _found(job: Job, letter: str) -> tuple[Section, ...]:
    writer = Writer()
    tell_codes(job, arrival_codes(job, letter), writer)
    entries: list[Entry] = [entry for entry, _ in job.each(Found, letter)]
    tell_findings(job, entries, writer)
    now = state.state_of(job, letter)
    if state.maintenance(job, letter):
        name = "title.checked"
    else:
        name = "title.tried" if now == state.NOT_REPRODUCED else "title.found"
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
    if state.state_of(job, letter) in (state.NOT_REPRODUCED, state.NOT_FOUND) and did.sentences:
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
    tell_again(job, again)
    tell_offers(job, agreed)
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
