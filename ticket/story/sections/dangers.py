"""What the customer must read before anything else: a danger that was found, and that is not put right yet."""

from functools import cache
from pathlib import Path

from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Did, Found, Later, Used
from ticket.job.likeness import shared
from ticket.readings.groups import prose
from ticket.story.cautions import Needs, calls, needs_in, words_of
from ticket.story.context import Job, sources
from ticket.story.outcome import repaired
from ticket.story.sections.found import tell_findings
from ticket.story.sections.talk import Talk
from ticket.story.sections.waiting import open_items
from ticket.story.sections.writer import Writer

_PRESSING = ("do not drive", "do now")


@cache
def _dangers() -> tuple[Needs, ...]:
    text = (Path(__file__).parent.parent / "dangers.tsv").read_text(encoding="utf-8")
    lines = [line for line in text.split("\n") if line and not line.startswith("#")][1:]
    return tuple(needs_in(line.split("\t")[1]) for line in lines)


def tell_dangers(talk: Talk, writer: Writer) -> None:
    """Each danger as it was found, then what the shop judged; nothing where the work was done."""
    for found, entry, name in dangers(talk.job):
        tell_findings(talk, found, writer)
        writer.add(sources(entry), talk.say(name))


def dangers(job: Job) -> list[tuple[list[Entry], Entry, str]]:
    """The findings that name a danger, the work that is not done, and the sentence of the shop's judgement."""
    told: set[int] = set()
    out: list[tuple[list[Entry], Entry, str]] = []
    for entry, judgement in _pressing(job):
        found = [one for one in _behind(job, entry) if one.no not in told and _named(one) and not _put_right(job, one)]
        if found:
            told.update(one.no for one in found)
            out.append((found, entry, "danger.stop" if judgement == "do not drive" else "danger.now"))
    return out


def _pressing(job: Job) -> list[tuple[Entry, str]]:
    """Work that should not wait and is not done, what forbids driving first."""
    found = [(item.entry, item.fact.judgement) for item in open_items(job) if item.fact.judgement in _PRESSING]
    found = [(entry, word) for entry, word in found if isinstance(entry.fact, Later) or not _done(job, entry)]
    return sorted(found, key=lambda pair: (_PRESSING.index(pair[1]), pair[0].no))


def _done(job: Job, entry: Entry) -> bool:
    """Whether labour of the same concern does the work of an offer."""
    text = getattr(entry.fact, "text", "")
    return any(shared(fact.text, text) > 0 and other.concern == entry.concern for other, fact in job.each(Did))


def _put_right(job: Job, finding: Entry) -> bool:
    """Whether what a finding names was replaced meanwhile: labour names it, and so does a part used."""
    text = words_of(finding)
    return any(
        repaired(fact)
        and shared(fact.text, text) > 0
        and any(shared(used.text, text) > 0 for _, used in job.each(Used))
        for _, fact in job.each(Did)
    )


def _behind(job: Job, entry: Entry) -> list[Entry]:
    """The findings a piece of work rests on; through its cause too, and without any, those of the same words."""
    refs = job.seen(getattr(entry.fact, "refs", ()))
    named = [one for ref in refs if (one := job.entry(ref)) is not None]
    for cause in [one for one in named if isinstance(one.fact, Cause)]:
        named += [one for ref in job.seen(getattr(cause.fact, "refs", ())) if (one := job.entry(ref)) is not None]
    if not refs:
        text = getattr(entry.fact, "text", "")
        named = [one for one, fact in job.each(Found) if shared(text, prose(fact)) > 0]
    return [one for one in dict.fromkeys(named) if isinstance(one.fact, Found)]


def _named(entry: Entry) -> bool:
    text = words_of(entry)
    return any(calls(needs, text) for needs in _dangers())
