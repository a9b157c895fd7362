"""The payer's copy: complete, measured, terse; what is missing is said."""

from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Code, Did, Found, Later, Maybe, Offer, Proof, Ruled, Says, Told, Used
from ticket.job.values import Ref
from ticket.story.catalogue import say, title
from ticket.story.context import Job, sources, told
from ticket.story.customer.causes import open_suspicions
from ticket.story.customer.said import inner, quoted
from ticket.story.facts.certainty import confirmed
from ticket.story.inside import outward
from ticket.story.lists import phrase_list
from ticket.story.missing import missing
from ticket.story.repeats import taken_before
from ticket.story.sentence import TICKET, Lit, Phrase, Section
from ticket.story.terse import (
    cause_text,
    code_line,
    finding_line,
    joined,
    later_line,
    offer_line,
    pays_text,
    proof_lines,
    refs_list,
    ruled_line,
    signed,
    stop,
    told_line,
    typed,
    used_line,
)
from ticket.story.words.terse import past
from ticket.story.writer import Writer


def sections(job: Job) -> tuple[Section, ...]:
    """All sections, one column, the same order for every job."""
    telling = (
        ("said", _said), ("codes", _codes), ("seen", _seen), ("ruled", _ruled), ("maybe", _maybe), ("cause", _cause),
        ("offer", _offers), ("did", _did), ("used", _used), ("proof", _proofs), ("later", _later), ("told", _told),
        ("missing", _missing),
    )  # fmt: skip
    out: list[Section] = []
    for name, tell in telling:
        writer = Writer()
        tell(job, writer)
        out += writer.section(title(f"title.p.{name}"), name)
    return tuple(out)


def letter(job: Job, entry: Entry, phrase: Phrase) -> Phrase:
    """The letter of the concern in front, on a ticket of several."""
    if len(job.letters) < 2 or not entry.concern:
        return phrase
    return say("head.concern", letter=told(entry, "concern", entry.concern, "typed"), text=phrase)


def _said(job: Job, writer: Writer) -> None:
    for entry, fact in job.each(Says):
        writer.add(sources(entry), letter(job, entry, quoted(entry, "text", fact.text)))
        if fact.reproduced:
            writer.add(sources(entry), say("t.seen" if fact.reproduced == "reproduced" else "t.not seen"))


def _codes(job: Job, writer: Writer) -> None:
    for entry, fact in job.each(Code):
        writer.add(sources(entry), letter(job, entry, stop(code_line(entry, fact))))


def _seen(job: Job, writer: Writer) -> None:
    for entry, _ in job.each(Found):
        writer.add(sources(entry), letter(job, entry, stop(finding_line(job, entry))))


def _ruled(job: Job, writer: Writer) -> None:
    for entry, fact in job.each(Ruled):
        refs = job.seen(fact.refs)
        line = ruled_line(entry, fact)
        if refs:
            line = (*line, *say("t.from", refs=refs_list(refs)))
        writer.add((Ref(entry.no), *refs), letter(job, entry, stop(line)))


def _maybe(job: Job, writer: Writer) -> None:
    for name in (*job.letters, "*"):
        for entry, fact in open_suspicions(job, name):
            writer.add(sources(entry), letter(job, entry, stop(typed(entry, "text", fact.text))))


def _cause(job: Job, writer: Writer) -> None:
    for entry, fact in job.each(Cause):
        refs = job.seen(fact.refs)
        if confirmed(job, entry):
            how = say("t.confirmed", refs=refs_list(refs))
        elif refs:
            how = say("t.unconfirmed.from", refs=refs_list(refs))
        else:
            how = say("t.unconfirmed")
        line = (*cause_text(entry, fact), Lit(" "), *how)
        writer.add((Ref(entry.no), *refs), letter(job, entry, stop(line)))


def _offers(job: Job, writer: Writer) -> None:
    for entry, fact in job.each(Offer):
        writer.add(sources(entry), letter(job, entry, stop(offer_line(job, entry, fact))))


def work_line(entry: Entry, fact: Did, *, hours: bool) -> Phrase:
    """ "1.6 h, brakes: replaced front pads; by Bo Karst; 8:40 to 10:05; pays: warranty"."""
    head: list[Phrase] = []
    if hours and fact.hours:
        head.append((told(entry, "hours", f"{fact.hours}\u00a0h", "number"),))
    if hours and fact.rate:
        head.append((told(entry, "rate", fact.rate, "typed"),))
    text: Phrase = (told(entry, "text", inner(past(fact.text)), "typed"),)
    line = (*joined(head, ", "), Lit(": "), *text) if head else text
    clock = joined([(told(entry, "clock", f"{span.start}–{span.end}", "typed"),) for span in fact.clock], ", ")
    by = (*say("t.by"), Lit(" "), told(entry, "by", fact.by, "typed")) if fact.by else ()
    pays = pays_text(entry, fact) if hours else ()
    return joined([line, _shared(entry, fact) if hours else (), by, clock if hours else (), pays])


def _shared(entry: Entry, fact: Did) -> Phrase:
    """Hours cut for shared steps and why; without them the billed hours would not be the whole truth."""
    if not fact.less:
        return ()
    less = (*say("t.less"), Lit(" "), told(entry, "less", f"{fact.less}\u00a0h", "number"))
    return joined([less, (told(entry, "shared", inner(fact.shared), "quoted"),) if fact.shared else ()], ", ")


def _did(job: Job, writer: Writer) -> None:
    for entry, fact in job.each(Did):
        writer.add(sources(entry), letter(job, entry, stop(work_line(entry, fact, hours=True))))


def _used(job: Job, writer: Writer) -> None:
    for entry, fact in job.each(Used):
        writer.add(sources(entry), letter(job, entry, stop(used_line(entry, fact, prices=True))))


def _proofs(job: Job, writer: Writer) -> None:
    for entry, fact in job.each(Proof):
        old, refs = was(job, entry)
        writer.add((Ref(entry.no), *refs), letter(job, entry, stop(proof_lines(job, entry, fact, old))))


def was(job: Job, entry: Entry) -> tuple[list[Phrase], tuple[Ref, ...]]:
    """ " (was 92)" for a reading that repeats another, and the entry it repeats."""
    first = taken_before(job, entry)
    if first is None:
        return [], ()
    if len(first.olds) != 1 or first.olds[0] is None:
        return [], first.refs()
    old = first.olds[0]
    return [say("t.was", old=told(old.ref, "run", signed(old.number), "number"))], first.refs(old)


def _later(job: Job, writer: Writer) -> None:
    for entry, fact in job.each(Later):
        writer.add(sources(entry), letter(job, entry, stop(later_line(entry, fact))))


def _told(job: Job, writer: Writer) -> None:
    for entry, fact in job.each(Told):
        writer.add(sources(entry), stop(told_line(entry, _outward(job, fact))))


def _outward(job: Job, fact: Told) -> Told:
    """The contact without what stays inside for this reader."""
    shown = outward(fact, job.reader)
    return shown if isinstance(shown, Told) else fact


def _missing(job: Job, writer: Writer) -> None:
    """What an auditor will look for and not find."""
    gone = [say(f"t.gone.{name}") for name in missing(job)]
    if gone:
        writer.add((TICKET,), stop(phrase_list(gone, mark=",") if len(gone) > 2 else phrase_list(gone)))


def suspicions(job: Job) -> list[tuple[Entry, Maybe]]:
    """All suspicions that nothing settled."""
    return [pair for name in (*job.letters, "*") for pair in open_suspicions(job, name)]
