"""The payer's and the shop's copies: every entry on one line, terse, every field told; remarks and hidden ones last."""

from dataclasses import replace

from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Code, Did, Fact, Found, Later, Maybe, Note, Offer, Proof, Ruled, Says, Told, Used
from ticket.job.values import Ref
from ticket.readings.measured_groups import measures
from ticket.story.cautions import called_for
from ticket.story.context import told
from ticket.story.facts.certainty import confirmed
from ticket.story.inside import outward
from ticket.story.missing import missing
from ticket.story.readings import readings
from ticket.story.sections import declared
from ticket.story.sections.cause import open_suspicions
from ticket.story.sections.lines import Liner
from ticket.story.sections.talk import Talk, joined, stop
from ticket.story.sections.thread_told import tell_threads
from ticket.story.sections.writer import Writer
from ticket.story.sentence import CAUTION, COMPUTED, LISTED, NOTE, TICKET, Phrase, Section

_PAYER: tuple[tuple[str, type[Fact]], ...] = (
    ("said", Says), ("codes", Code), ("seen", Found), ("ruled", Ruled), ("maybe", Maybe), ("cause", Cause),
    ("offer", Offer), ("did", Did), ("used", Used), ("proof", Proof), ("later", Later), ("told", Told),
)  # fmt: skip
_SHOP: tuple[tuple[str, type[Fact]], ...] = (
    ("said", Says), ("codes", Code), ("cause", Cause), ("proved", Found), ("ruled", Ruled), ("maybe", Maybe),
    ("seen", Found), ("offer", Offer), ("did", Did), ("used", Used), ("after", Proof), ("open", Later),
    ("told", Told), ("good", Found),
)  # fmt: skip
_WORDS_ALONE = (Maybe, Cause, Ruled, Note)


def sections(talk: Talk) -> tuple[Section, ...]:
    """All sections, one column, the same order for every job."""
    out: list[Section] = []
    payer = talk.job.reader == "payer"
    for name, kind in _PAYER if payer else _SHOP:
        writer = Writer()
        for entry in _chosen(talk, kind, name):
            _add(talk, writer, entry)
        out += (*_again(talk), *_section(talk, name, writer)) if kind is Later else _section(talk, name, writer)
    out += declared.sections(talk)
    last = Writer()
    if payer:
        gone = [talk.say(f"gone.{name}") for name in missing(talk.job)]
        if gone:
            last.add((TICKET,), stop(talk.listed(gone)))
        return (*out, *_section(talk, "missing", last))
    for caution, ref in called_for(talk.job):
        last.add((ref, CAUTION + caution.id), talk.say(f"caution.{caution.id}.technician"))
    notes = Writer()
    for entry in talk.job.entries:
        if entry.shop_only or entry.fact.inside:
            _add(talk, notes, entry)
    return (*out, *_section(talk, "care", last), *_section(talk, "note", notes))


def _again(talk: Talk) -> tuple[Section, ...]:
    """What waited from earlier visits and was looked at now, in front of what still waits."""
    writer = Writer()
    tell_threads(talk, writer)
    return _section(talk, "again", writer)


def _section(talk: Talk, name: str, writer: Writer) -> tuple[Section, ...]:
    title = talk.title(f"title.{talk.job.reader[0]}.{name}")
    noted = "under.said" if name == "said" else "under.noted"
    return writer.as_told(title, name) if talk.english else writer.section(talk, title, name, noted=noted)


def _chosen(talk: Talk, kind: type[Fact], name: str) -> list[Entry]:
    """The entries told under a title."""
    job = talk.job
    entries = [entry for entry in job.entries if isinstance(entry.fact, kind) and not entry.shop_only]
    if kind is Maybe:
        still = {entry.no for letter in (*job.letters, "*") for entry, _ in open_suspicions(job, letter)}
        return [entry for entry in entries if entry.no in still]
    if kind is not Found or job.reader == "payer":
        return entries
    behind = {ref.no for _, fact in job.each(Cause) for ref in job.seen(fact.refs) if not ref.ticket}
    place = {
        entry.no: "proved" if entry.no in behind else "good" if _all_good(talk, entry) else "seen" for entry in entries
    }
    return [entry for entry in entries if place[entry.no] == name]


def _all_good(talk: Talk, entry: Entry) -> bool:
    """Whether an entry holds readings only, all within their limits: a baseline to compare with."""
    held = readings(talk.job, entry)
    return bool(held) and all(reading.good for reading in held)


def _add(talk: Talk, writer: Writer, entry: Entry) -> None:
    fact = entry.fact
    untold = isinstance(fact, Says) or (not isinstance(fact, Code | Told) and _leaves_out(talk, entry))
    if untold and not talk.english:
        typed = Writer()
        _add(talk.as_typed, typed, entry)
        writer.note(typed)
        return
    liner = Liner(talk)
    line = liner.line(replace(entry, fact=outward(fact, talk.job.reader)))
    left = liner.left
    refs: tuple[Ref, ...] = ()
    payer = talk.job.reader == "payer"
    if isinstance(fact, Ruled | Cause):
        refs = talk.job.seen(fact.refs)
    if isinstance(fact, Cause):
        how = "line.confirmed" if confirmed(talk.job, entry) else "line.unconfirmed"
        if payer:
            line = talk.say(f"{how}.from" if refs else how, line=line, refs=_numbers(talk, refs))
        elif how == "line.unconfirmed":
            line = talk.say(how, line=line)
    elif isinstance(fact, Ruled) and refs and payer:
        line = talk.say("line.from", line=line, refs=_numbers(talk, refs))
    if isinstance(fact, Proof):
        line, refs = liner.with_before(entry, line)
        left = liner.left
    if len(talk.job.letters) > 1 and entry.concern and line:
        line = talk.say("head.concern", letter=(told(entry, "concern", entry.concern, "typed"),), text=line)
    if line:
        writer.add((Ref(entry.no), *refs), stop(line), form=_form(talk, entry))
    if left:
        writer.add((Ref(entry.no), *refs), joined(left, " "), form=NOTE)


def _leaves_out(talk: Talk, entry: Entry) -> bool:
    """Whether a language has no words for some piece of an entry's line."""
    liner = Liner(talk)
    liner.line(replace(entry, fact=outward(entry.fact, talk.job.reader)))
    return bool(liner.left)


def _form(talk: Talk, entry: Entry) -> str:
    fact = entry.fact
    if isinstance(fact, Says | Code) or not talk.english:
        return COMPUTED
    if isinstance(fact, _WORDS_ALONE) or (isinstance(fact, Found | Proof) and not measures(fact)):
        return NOTE
    return LISTED


def _numbers(talk: Talk, refs: tuple[Ref, ...]) -> Phrase:
    return talk.listed([(told(ref, "no", str(ref), "typed"),) for ref in refs])
