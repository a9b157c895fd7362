"""The shop's copy, for the next technician: what it was, what it was not, what to compare with."""

from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Code, Did, Found, Later, Note, Offer, Proof, Ruled, Says, Told, Used
from ticket.job.values import Ref
from ticket.story.catalogue import say, title
from ticket.story.cautions import called_for
from ticket.story.context import Job, sources, told
from ticket.story.customer.said import inner, quoted
from ticket.story.facts.certainty import confirmed
from ticket.story.payer import letter, suspicions, was, work_line
from ticket.story.readings import Reading, readings
from ticket.story.sentence import CAUTION, Lit, Phrase, Section
from ticket.story.terse import (
    code_line,
    finding_line,
    is_bad,
    joined,
    later_line,
    offer_line,
    proof_lines,
    ruled_line,
    single,
    stop,
    told_line,
    typed,
    used_line,
    value_text,
)
from ticket.story.words.terse import terse
from ticket.story.writer import Writer


def sections(job: Job) -> tuple[Section, ...]:
    """All sections; remarks and hidden entries last."""
    telling = (
        ("said", _said), ("codes", _codes), ("cause", _cause), ("proved", _proved), ("ruled", _ruled),
        ("maybe", _maybe), ("seen", _seen), ("offer", _offers), ("did", _did), ("used", _used), ("after", _after),
        ("open", _open), ("told", _told), ("good", _good), ("care", _care), ("note", _notes),
    )  # fmt: skip
    out: list[Section] = []
    for name, tell in telling:
        writer = Writer()
        tell(job, writer)
        out += writer.section(title(f"title.s.{name}"), name)
    return tuple(out)


def _open_to_all(job: Job, entry: Entry) -> bool:
    """Entries marked shop only are told last, as typed."""
    return not entry.shop_only


def _add(job: Job, writer: Writer, entry: Entry, line: Phrase, *more: Ref) -> None:
    if _open_to_all(job, entry):
        writer.add((Ref(entry.no), *more), letter(job, entry, stop(line)))


def _said(job: Job, writer: Writer) -> None:
    for entry, fact in job.each(Says):
        _add(job, writer, entry, quoted(entry, "text", fact.text))


def _codes(job: Job, writer: Writer) -> None:
    for entry, fact in job.each(Code):
        _add(job, writer, entry, code_line(entry, fact))


def _cause(job: Job, writer: Writer) -> None:
    for entry, fact in job.each(Cause):
        line = typed(entry, "text", fact.text)
        _add(job, writer, entry, line if confirmed(job, entry) else (*line, Lit(" "), *say("t.unconfirmed")))


def _behind(job: Job) -> list[Entry]:
    """The findings that causes rest on, in the order named."""
    refs = dict.fromkeys(ref for _, fact in job.each(Cause) for ref in job.seen(fact.refs))
    return [entry for ref in refs if (entry := job.entry(ref)) is not None]


def _proved(job: Job, writer: Writer) -> None:
    for entry in _behind(job):
        if isinstance(entry.fact, Found):
            _add(job, writer, entry, _finding(job, entry))


def _finding(job: Job, entry: Entry) -> Phrase:
    """A finding that proves something: of a run only what is not within limits."""
    taken = readings(job, entry)
    bad = [reading for reading in taken if not reading.good]
    if len(taken) < 2 or not bad:
        return finding_line(job, entry) if len(taken) != 1 else _one(job, entry, taken[0])
    return joined([_bad(reading) for reading in bad])


def _one(job: Job, entry: Entry, reading: Reading) -> Phrase:
    fact = entry.fact
    seen = typed(entry, "seen", fact.seen) if isinstance(fact, Found) else ()
    return joined([_bad(reading), seen])


def _bad(reading: Reading) -> Phrase:
    return single(reading, after=",")


def _ruled(job: Job, writer: Writer) -> None:
    for entry, fact in job.each(Ruled):
        _add(job, writer, entry, ruled_line(entry, fact), *job.seen(fact.refs))


def _maybe(job: Job, writer: Writer) -> None:
    for entry, fact in suspicions(job):
        _add(job, writer, entry, typed(entry, "text", fact.text))


def _seen(job: Job, writer: Writer) -> None:
    """Findings that prove nothing but are no baseline either."""
    behind = {entry.no for entry in _behind(job)}
    for entry, _ in job.each(Found):
        if entry.no not in behind and is_bad(job, entry):
            _add(job, writer, entry, _finding(job, entry))


def _offers(job: Job, writer: Writer) -> None:
    for entry, fact in job.each(Offer):
        _add(job, writer, entry, offer_line(job, entry, fact))


def _did(job: Job, writer: Writer) -> None:
    for entry, fact in job.each(Did):
        _add(job, writer, entry, work_line(entry, fact, hours=False))


def _used(job: Job, writer: Writer) -> None:
    for entry, fact in job.each(Used):
        _add(job, writer, entry, used_line(entry, fact, prices=False))


def _after(job: Job, writer: Writer) -> None:
    for entry, fact in job.each(Proof):
        _, refs = was(job, entry)
        _add(job, writer, entry, proof_lines(job, entry, fact, []), *refs)


def _open(job: Job, writer: Writer) -> None:
    for entry, fact in job.each(Later):
        _add(job, writer, entry, later_line(entry, fact))


def _told(job: Job, writer: Writer) -> None:
    for entry, fact in job.each(Told):
        _add(job, writer, entry, told_line(entry, fact))


def _good(job: Job, writer: Writer) -> None:
    """Readings within limits: the next technician's baseline."""
    items: list[Phrase] = []
    refs: list[Ref] = []
    for entry, _ in job.each(Found):
        for reading in readings(job, entry):
            if reading.good and _open_to_all(job, entry):
                name = " ".join(part for part in (reading.what, reading.label) if part)
                op = "place" if reading.counted else "typed"
                head = (told(entry, "what", inner(terse(name)), op),)
                items.append(joined([head, value_text(reading)], " "))
                refs.append(Ref(entry.no))
    if items:
        writer.add(refs, stop(joined(items)))


def _care(job: Job, writer: Writer) -> None:
    for caution, ref in called_for(job):
        writer.add((ref, CAUTION + caution.id), (Lit(caution.technician),))


def _notes(job: Job, writer: Writer) -> None:
    for entry in job.entries:
        if isinstance(entry.fact, Note):
            writer.add(sources(entry), stop((told(entry, "text", inner(entry.fact.text), "quoted"),)))
        elif not _open_to_all(job, entry):
            writer.add(sources(entry), stop(_hidden(job, entry)))


def _hidden(job: Job, entry: Entry) -> Phrase:
    """An entry marked shop only, whatever its kind."""
    fact = entry.fact
    if isinstance(fact, Code):
        return code_line(entry, fact)
    if isinstance(fact, Found):
        return finding_line(job, entry)
    if isinstance(fact, Proof):
        return proof_lines(job, entry, fact, [])
    if isinstance(fact, Used):
        return used_line(entry, fact, prices=False)
    if isinstance(fact, Later):
        return later_line(entry, fact)
    if isinstance(fact, Told):
        return told_line(entry, fact)
    return typed(entry, "text", getattr(fact, "text", ""))
