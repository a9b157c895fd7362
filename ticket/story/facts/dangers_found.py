"""What the customer must read before anything else: a danger that was found, and that is not put right yet."""

from functools import cache
from pathlib import Path

from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Did, Found, Offer, Used
from ticket.job.likeness import shared
from ticket.job.values import Ref
from ticket.readings.measured_groups import prose
from ticket.story.cautions import Needs, calls, needs_in, words_of
from ticket.story.context import Job
from ticket.story.facts.labour_kinds import RIGHTS, done_kinds
from ticket.story.facts.open_work import PRESSING, carried_out, open_work


@cache
def _dangers() -> tuple[Needs, ...]:
    text = (Path(__file__).with_name("dangers.tsv")).read_text(encoding="utf-8")
    lines = [line for line in text.split("\n") if line and not line.startswith("#")][1:]
    return tuple(needs_in(line.split("\t")[1]) for line in lines)


def dangers(job: Job) -> list[tuple[list[Entry], Entry, str]]:
    """The findings that name a danger, the work that is not done, and the sentence of the shop's judgement."""
    told: set[int] = set()
    out: list[tuple[list[Entry], Entry, str]] = []
    for entry, judgement in _pressing(job):
        found = [
            one for one in _behind(job, entry) if one.no not in told and _named(one) and not _replaced(job, entry, one)
        ]
        if found:
            told.update(one.no for one in found)
            out.append((found, entry, "danger.stop" if judgement == "do not drive" else "danger.now"))
    return out


def _pressing(job: Job) -> list[tuple[Entry, str]]:
    """Work that should not wait and is not done, what forbids driving first."""
    found = [(item.entry, item.fact.judgement) for item in open_work(job) if item.pressing]
    agreed_to = [
        (entry, offer.judgement)
        for entry, offer in job.each(Offer)
        if offer.judgement in PRESSING and not carried_out(job, entry, offer)
    ]
    pairs = {entry.no: (entry, judgement) for entry, judgement in (*agreed_to, *found)}
    return sorted(pairs.values(), key=lambda pair: (PRESSING.index(pair[1]), pair[0].no))


def _replaced(job: Job, entry: Entry, finding: Entry) -> bool:
    """Whether labour put right what a finding names: it names the finding, or speaks of it as much as the item does."""
    text = prose(finding.fact) if isinstance(finding.fact, Found) else ""
    wanted = shared(getattr(entry.fact, "text", ""), text)
    named = Ref(finding.no) in getattr(entry.fact, "refs", ())
    parts = tuple(used.text for _, used in job.each(Used))
    for other, fact in job.each(Did):
        if other.no < finding.no or not done_kinds(fact.text, parts) & RIGHTS:
            continue
        if Ref(finding.no) in fact.refs or any(Ref(finding.no) in offer.refs for offer in _carried(job, fact)):
            return True
        if not named and 0 < wanted <= shared(fact.text, text):
            return True
    return False


def _carried(job: Job, did: Did) -> list[Offer]:
    return [one.fact for ref in did.refs if (one := job.entry(ref)) is not None and isinstance(one.fact, Offer)]


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
