"""The order of the customer's story."""

from dataclasses import replace

from ticket.job.kinds import Cause, Did, Found, Maybe, Told, Used
from ticket.story.cautions import called_for
from ticket.story.context import SHARED
from ticket.story.facts.concern_facts import ConcernFacts
from ticket.story.facts.concerns import cause_unknown, not_reproduced
from ticket.story.facts.labour_kinds import done_kinds
from ticket.story.sections import declared
from ticket.story.sections.again import tell_again
from ticket.story.sections.agreed import tell_answers
from ticket.story.sections.brief import tell_brief
from ticket.story.sections.cause import tell_causes, tell_ruled, tell_suspicions
from ticket.story.sections.codes import arrival_codes, tell_codes
from ticket.story.sections.dangers import tell_dangers
from ticket.story.sections.did import tell_work
from ticket.story.sections.found import tell_findings
from ticket.story.sections.known import tell_proofs
from ticket.story.sections.talk import Talk
from ticket.story.sections.thread_told import tell_still_waiting
from ticket.story.sections.told import tell_complaints
from ticket.story.sections.visit import tell_visit
from ticket.story.sections.waiting import tell_waiting
from ticket.story.sections.writer import Writer
from ticket.story.sentence import CAUTION, NOTE, TICKET, Lit, Section, text_of


def sections(talk: Talk) -> tuple[Section, ...]:
    """All sections, in the order they are read; one without a sentence has no title."""
    job = talk.job
    several = len(job.letters) > 1
    service = all(ConcernFacts(job, letter).maintenance for letter in job.letters)
    first, brief, said, visit = Writer(), Writer(), Writer(), Writer()
    boxed = tell_dangers(talk, first)
    tell_brief(talk, brief)
    tell_complaints(talk, SHARED if several else job.letters[0], said)
    tell_visit(talk, visit)
    out = [
        *_in_order(talk, first, "read"),
        *brief.as_told(talk.title("title.short"), "short"),
        *_told(talk, said, "title.asked" if service else "title.told"),
        *_in_order(talk, visit, "visit"),
    ]
    if not several:
        one = job.letters[0]
        return (*out, *_found(talk, one, boxed), *_after_found(talk, one), *_closing(talk, boxed))
    out += _found(talk, SHARED, boxed)
    for letter in job.letters:
        if letter != SHARED:
            out += _concern(talk, letter, boxed)
    for section in _after_found(talk, SHARED):
        head = talk.say("head.shared", text=(Lit(section.title),))
        out.append(replace(section, title=text_of(head)))
    return (*out, *_closing(talk, boxed))


def _told(talk: Talk, said: Writer, title: str) -> tuple[Section, ...]:
    """What the customer said; in another language under a line that says in which language that was."""
    if talk.english:
        return said.as_told(talk.title(title), "told")
    return said.section(talk, talk.title(title), "told", noted="under.said")


def _said_yes(talk: Talk) -> bool:
    """Whether anything was agreed to, so that the talks may stand under a title that says so."""
    told = [fact for _, fact in talk.job.each(Told)]
    return any(answer.answer == "yes" for fact in told for answer in fact.answers) or any(
        fact.words.lower().startswith(("yes", "ok")) for fact in told
    )


def _in_order(talk: Talk, writer: Writer, name: str, titled: str = "") -> tuple[Section, ...]:
    """A section as its sentences came; in another language with its notes last, under a line of their own."""
    title = talk.title(f"title.{titled or name}")
    return writer.as_told(title, name) if talk.english else writer.section(talk, title, name)


def _concern(talk: Talk, letter: str, boxed: frozenset[int]) -> list[Section]:
    """One of several concerns: the complaint, what was found, the cause, what was done, and the proof."""
    words = Writer()
    tell_complaints(talk, letter, words)
    name = "title.asked" if ConcernFacts(talk.job, letter).maintenance else "title.told"
    told = _told(talk, words, name)
    inside = [*told, *_found(talk, letter, boxed), *_after_found(talk, letter)]
    if not inside:
        return []
    head = talk.say("head.concern", letter=(Lit(letter),), text=(Lit(inside[0].title),))
    return [replace(inside[0], title=text_of(head)), *(replace(section, level=2) for section in inside[1:])]


def _found(talk: Talk, letter: str, boxed: frozenset[int]) -> tuple[Section, ...]:
    """What was found; what stands first of all is not told again."""
    writer = Writer()
    tell_codes(talk, arrival_codes(talk.job, letter), writer)
    tell_findings(talk, [entry for entry, _ in talk.job.each(Found, letter) if entry.no not in boxed], writer)
    service = ConcernFacts(talk.job, letter).maintenance
    title = "checked" if service else "tried" if not_reproduced(talk.job, letter) else "found"
    return writer.section(talk, talk.title(f"title.{title}"), "found")


def _after_found(talk: Talk, letter: str) -> tuple[Section, ...]:
    job = talk.job
    cause, did, proof = Writer(), Writer(), Writer()
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
    only_ruled = not known and not any(True for _ in job.each(Maybe, letter))
    name = "cause" if known else "unknown"
    title = talk.title("title.notit" if only_ruled else f"title.{name}")
    return (
        *_cause_section(talk, cause, title, name),
        *did.section(talk, talk.title("title.did"), "did", bare=True),
        *proof.section(talk, talk.title("title.proof"), "proof"),
    )


def _cause_section(talk: Talk, writer: Writer, title: str, name: str) -> tuple[Section, ...]:
    """The cause in front of what shows it, whatever the form of each; its title says where the words are typed ones."""
    if not talk.english:
        return writer.section(talk, title, name)
    if writer.sentences and writer.sentences[0].form == NOTE:
        noted = text_of(talk.say("title.noted", title=(Lit(title),)))
        return tuple(replace(one, plain=title) for one in writer.as_told(noted, name))
    return writer.as_told(title, name)


def _no_parts(talk: Talk, letter: str, writer: Writer) -> None:
    job = talk.job
    fitted = any("fit" in done_kinds(fact.text) for _, fact in job.each(Did, letter))
    if not fitted and not any(True for where in (letter, SHARED) for _ in job.each(Used, where)):
        writer.add((TICKET,), talk.say("used.none"))


def _closing(talk: Talk, boxed: frozenset[int]) -> tuple[Section, ...]:
    later, again, agreed, care = Writer(), Writer(), Writer(), Writer()
    starts = (*tell_waiting(talk, later), *tell_still_waiting(talk, later))
    tell_again(talk, again)
    tell_answers(talk, agreed, boxed)
    for caution, ref in called_for(talk.job):
        care.add((ref, CAUTION + caution.id), talk.say(f"caution.{caution.id}.customer"))
    return (
        *(replace(item, items=starts) for item in later.as_told(talk.title("title.later"), "later")),
        *again.as_told(talk.title("title.again"), "again"),
        *_in_order(talk, agreed, "agreed", "" if _said_yes(talk) else "talked"),
        *care.as_told(talk.title("title.care"), "care"),
        *declared.sections(talk),
    )
