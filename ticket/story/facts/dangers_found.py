"""What the customer must read before anything else: a danger found or told of that is not put right yet."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Did, Found, Offer, Told, Used
from ticket.job.likeness import shared
from ticket.job.values import Ref
from ticket.language.quantities import plain
from ticket.readings.measured_groups import prose
from ticket.story.cautions import Needs, calls, needs_in, words_of
from ticket.story.context import Job
from ticket.story.facts.danger_words import RISK, rows, said
from ticket.story.facts.feared import no_driving
from ticket.story.facts.labour_kinds import RIGHTS, done_kinds, names_part, steps
from ticket.story.facts.open_work import PRESSING, OpenWork, open_work

_FIELDS = ("text", "because", "risk", "watch")
_STOP, _WARNING, _BIDS = ("stop",), ("stop", "may"), ("stop", "bid")


@dataclass(frozen=True, slots=True)
class Danger:
    """One danger.

    Attributes:
        findings: those that name it; none where only the words of its item do.
        item: the work that is not done, or the finding itself where no work was put down for it.
        sentence: the shop's judgement, by its id in the catalogue; empty where the shop gave none.
        cited: the item and the offers it stands for.
        fields: the fields of the item whose words name the danger.
    """

    findings: tuple[Entry, ...]
    item: Entry
    sentence: str
    cited: tuple[Entry | Ref, ...]
    fields: tuple[str, ...] = ()


@cache
def _dangers() -> tuple[Needs, ...]:
    return tuple(needs_in(words) for name, words in rows().items() if name not in RISK)


def warns(text: str) -> bool:
    """Whether a piece of a talk warns of something."""
    return said(_WARNING).search(text) is not None


def dangers(job: Job) -> list[Danger]:
    """What is told first, what forbids driving in front."""
    told: set[int] = set()
    out: list[Danger] = []
    stops = {item.entry.no for item in stopped(job)}
    for entry, _, cited in _pressing(job):
        named = sorted(filter(_dangerous, _behind(job, entry, cited)), key=lambda one: not _forbids(one))
        if _done(job, entry, named):
            continue
        new = [one for one in named if one.no not in told]
        whole = tuple(one for one in new if not _touched(job, one))
        told.update(one.no for one in new)
        fields = () if whole else _worded(entry, _WARNING)
        if fields or (new and not whole):  # what may happen is never left out of what stands first
            fields = tuple(name for name in _FIELDS if name in fields or (name == "risk" and _risk_of(entry)))
        if whole or fields or new:  # a finding of which a part was replaced is not told: the item stands for it
            out.append(Danger(whole, entry, "danger.stop" if entry.no in stops else "danger.now", cited, fields))
    held = {danger.item.no for danger in out}
    for item in open_work(job):
        if item.entry.no in held or item.pressing:
            continue
        fields = _worded(item.entry, _asked(item)) or _warned_of(job, item)
        if fields:
            order = "danger.stop" if item.entry.no in stops else ""
            out.append(Danger((), item.entry, order, item.cited, fields))
    return [*out, *_in_findings(job, told)]


def forbids(text: str) -> bool:
    """Whether typed words forbid driving."""
    return said(_STOP).search(text) is not None


def _risk_of(entry: Entry) -> str:
    return str(getattr(entry.fact, "risk", "")).strip()


def _asked(item: OpenWork) -> tuple[str, ...]:
    """What the words of an item that nobody called pressing must say to stand first."""
    return _STOP if item.judgement == "may wait" else _BIDS


def warned(job: Job) -> Iterator[tuple[Entry, Told]]:
    """The contacts whose warnings still hold: something should not wait, or was turned down there."""
    for entry, fact in job.each(Told):
        if any(
            item.pressing or item.unsaid_danger or item.contact is entry for item in open_work(job) if not item.recheck
        ):
            yield entry, fact


def _warned_of(job: Job, item: OpenWork) -> tuple[str, ...]:
    """The risk of the one thing that waits, where a talk warned of something: the warning is of that."""
    alone = [one for one in open_work(job) if not one.recheck] == [item]
    return ("risk",) if alone and item.unsaid_danger and any(warns(fact.words) for _, fact in warned(job)) else ()


def stopped(job: Job) -> list[OpenWork]:
    """Open work before which it must not be driven: judged so, or so typed of it, or told where nothing else waits."""
    items = [item for item in open_work(job) if not item.recheck]
    alone = len(items) == 1 and any(no_driving(fact.words) for _, fact in warned(job))
    return [
        item
        for item in items
        if item.judgement == "do not drive"
        or (item.judgement != "may wait" and (alone or no_driving(str(getattr(item.fact, "risk", "")))))
    ]


def _in_findings(job: Job, told: set[int]) -> Iterator[Danger]:
    """Findings that forbid driving in so many words, where nothing was put right since."""
    for entry, _ in job.each(Found):
        if entry.no not in told and _forbids(entry) and not _touched(job, entry):
            yield Danger((entry,), entry, "", (entry,))


def _dangerous(finding: Entry) -> bool:
    return _names_one(plain(words_of(finding))) or _forbids(finding)


def _forbids(finding: Entry) -> bool:
    """Whether a finding forbids driving in so many words."""
    return isinstance(finding.fact, Found) and said(_STOP).search(prose(finding.fact)) is not None


def _worded(entry: Entry, rows: tuple[str, ...]) -> tuple[str, ...]:
    """The fields of an offer or a deferred item whose words name a danger or warn of one."""
    held = ((name, str(getattr(entry.fact, name, ""))) for name in _FIELDS)
    return tuple(
        name
        for name, text in held
        if said(RISK if name == "risk" and rows == _WARNING else rows).search(text)
        or (rows == _WARNING and _names_one(plain(text).lower()))
    )


def _pressing(job: Job) -> list[tuple[Entry, str, tuple[Entry | Ref, ...]]]:
    """Work that should not wait and is not done, what forbids driving first, with what it is cited by."""
    found = [(item.entry, item.judgement, item.cited) for item in open_work(job) if item.pressing]
    return sorted(found, key=lambda row: (PRESSING.index(row[1]), row[0].no))


def _righted(job: Job, since: int) -> Iterator[Did]:
    """Labour behind an entry that may have put something right."""
    parts = tuple(used.text for _, used in job.each(Used))
    return (fact for entry, fact in job.each(Did) if entry.no > since and done_kinds(fact.text, parts) & RIGHTS)


def _touched(job: Job, finding: Entry) -> bool:
    """Whether labour put something right that a finding names: the rest of it is no longer as it was found."""
    text = prose(finding.fact) if isinstance(finding.fact, Found) else ""
    return any(shared(did.text, text) > 0 for did in _righted(job, finding.no))


def _done(job: Job, entry: Entry, findings: list[Entry]) -> bool:
    """Whether labour did an item that was left on the ticket: all it names, or what it and the findings refer to."""
    wanted = [step.text for step in steps(getattr(entry.fact, "text", ""))]
    refs = {Ref(one.no) for one in (entry, *findings)}
    for did in _righted(job, 0):
        carried = {ref for offer in _carried(job, did) for ref in offer.refs}
        if refs & {*did.refs, *carried} or (wanted and all(names_part(did.text, piece) for piece in wanted)):
            return True
    return False


def _carried(job: Job, did: Did) -> list[Offer]:
    return [one.fact for ref in did.refs if (one := job.entry(ref)) is not None and isinstance(one.fact, Offer)]


def _behind(job: Job, entry: Entry, cited: tuple[Entry | Ref, ...]) -> list[Entry]:
    """The findings a piece of work rests on, or the offers it stands for; through its cause too.

    Without any, those of the same words.
    """
    stands = [entry, *(one for ref in cited if isinstance(ref, Ref) and (one := job.entry(ref)) is not None)]
    refs = job.seen(ref for one in stands for ref in getattr(one.fact, "refs", ()))
    named = [one for ref in refs if (one := job.entry(ref)) is not None]
    for cause in [one for one in named if isinstance(one.fact, Cause)]:
        named += [one for ref in job.seen(getattr(cause.fact, "refs", ())) if (one := job.entry(ref)) is not None]
    if not refs:
        text = getattr(entry.fact, "text", "")
        named = [one for one, fact in job.each(Found) if shared(text, prose(fact)) > 0]
    return [one for one in dict.fromkeys(named) if isinstance(one.fact, Found)]


def _names_one(text: str) -> bool:
    return any(calls(needs, text) for needs in _dangers())
