"""What the customer must read before anything else: a danger that was found, and that is not put right yet."""

from functools import cache
from pathlib import Path

from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Did, Found, Later, Offer
from ticket.job.likeness import shared
from ticket.job.values import Ref
from ticket.readings.groups import prose
from ticket.story.catalogue import say
from ticket.story.cautions import Needs, calls, needs_in, words_of
from ticket.story.context import Job, sources
from ticket.story.customer.measured import tell_findings
from ticket.story.writer import Writer

_PRESSING = ("do not drive", "do now")


@cache
def _dangers() -> tuple[Needs, ...]:
    text = (Path(__file__).parent.parent / "dangers.tsv").read_text(encoding="utf-8")
    lines = [line for line in text.split("\n") if line and not line.startswith("#")][1:]
    return tuple(needs_in(line.split("\t")[1]) for line in lines)


def tell_dangers(job: Job, writer: Writer) -> None:
    """Each danger as it was found, then what the shop judged; nothing where the work was done."""
    for found, entry, name in dangers(job):
        tell_findings(job, found, writer)
        writer.add(sources(entry), say(name))


def dangers(job: Job) -> list[tuple[list[Entry], Entry, str]]:
    """The findings that name a danger, the work that is not done, and the sentence of the shop's judgement."""
    told: set[int] = set()
    out: list[tuple[list[Entry], Entry, str]] = []
    for entry, judgement in _pressing(job):
        found = [one for one in _behind(job, entry) if one.no not in told and _named(one)]
        if found:
            told.update(one.no for one in found)
            out.append((found, entry, "danger.stop" if judgement == "do not drive" else "danger.now"))
    return out


def _pressing(job: Job) -> list[tuple[Entry, str]]:
    """Work that should not wait and is not done, what forbids driving first."""
    later = [(entry, fact.judgement) for entry, fact in job.each(Later) if not fact.answer]
    offers = [(entry, fact.judgement) for entry, fact in job.each(Offer) if not _done(job, entry, fact)]
    found = [pair for pair in (*later, *offers) if pair[1] in _PRESSING]
    return sorted(found, key=lambda pair: (_PRESSING.index(pair[1]), pair[0].no))


def _done(job: Job, entry: Entry, offer: Offer) -> bool:
    """Whether labour carries the offer out: it names it, or the same work of the same concern."""
    return any(
        Ref(entry.no) in fact.refs or (shared(fact.text, offer.text) > 0 and other.concern == entry.concern)
        for other, fact in job.each(Did)
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
