"""The payer's and the shop's copies in the other language: the same lines, terse, every field told."""

from collections.abc import Callable
from dataclasses import replace

from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Code, Did, Found, Later, Maybe, Note, Offer, Proof, Ruled, Says, Told, Used
from ticket.job.values import Ref
from ticket.story.cautions import called_for
from ticket.story.context import told
from ticket.story.customer.causes import open_suspicions
from ticket.story.facts.certainty import confirmed
from ticket.story.inside import outward
from ticket.story.missing import missing
from ticket.story.other import lines
from ticket.story.other.talk import Talk, stop
from ticket.story.sentence import CAUTION, TICKET, Phrase, Section
from ticket.story.writer import Writer

Line = Callable[[Talk, Entry], Phrase]

_LINES: dict[type, Line] = {
    Says: lines.says, Code: lines.code, Found: lines.found, Maybe: lines.text, Ruled: lines.ruled, Cause: lines.cause,
    Offer: lines.offer, Did: lines.did, Used: lines.used, Later: lines.later, Told: lines.contact, Proof: lines.proof,
    Note: lines.note,
}  # fmt: skip
_PAYER = (("said", Says), ("codes", Code), ("seen", Found), ("ruled", Ruled), ("maybe", Maybe), ("cause", Cause),
          ("offer", Offer), ("did", Did), ("used", Used), ("proof", Proof), ("later", Later),
          ("told", Told))  # fmt: skip
_SHOP = (("said", Says), ("codes", Code), ("cause", Cause), ("proved", Found), ("ruled", Ruled), ("maybe", Maybe),
         ("seen", Found), ("offer", Offer), ("did", Did), ("used", Used), ("after", Proof), ("open", Later),
         ("told", Told), ("good", Found), ("care", None), ("note", Note))  # fmt: skip


def sections(talk: Talk) -> tuple[Section, ...]:
    """All sections of the payer's or the shop's copy."""
    out: list[Section] = []
    payer = talk.job.reader == "payer"
    for name, kind in _PAYER if payer else _SHOP:
        writer = Writer()
        if kind is None:
            for caution, ref in called_for(talk.job):
                writer.add((ref, CAUTION + caution.id), talk.say(f"caution.{caution.id}.technician"))
        elif kind is Note:
            for entry in talk.job.entries:
                if entry.shop_only or isinstance(entry.fact, Note):
                    _add(talk, writer, entry)
        else:
            for entry in _chosen(talk, kind, name):
                _add(talk, writer, entry)
        out += writer.section(talk.title(f"title.{talk.job.reader[0]}.{name}"), name)
    if payer:
        writer = Writer()
        gone = [talk.say(f"gone.{name}") for name in missing(talk.job)]
        if gone:
            writer.add((TICKET,), stop(talk.listed(gone)))
        out += writer.section(talk.title("title.p.missing"), "missing")
    return tuple(out)


def _chosen(talk: Talk, kind: type, name: str) -> list[Entry]:
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
        entry.no: "proved" if entry.no in behind else "good" if lines.all_good(talk, entry) else "seen"
        for entry in entries
    }
    return [entry for entry in entries if place[entry.no] == name]


def _add(talk: Talk, writer: Writer, entry: Entry) -> None:
    fact = entry.fact
    line = _LINES[type(fact)](talk, replace(entry, fact=outward(fact, talk.job.reader)))
    if not line:
        return
    refs: tuple[Ref, ...] = ()
    if isinstance(fact, Ruled):
        refs = talk.job.seen(fact.refs)
    if isinstance(fact, Cause) and talk.job.reader == "payer":
        refs = talk.job.seen(fact.refs)
        how = "line.confirmed" if confirmed(talk.job, entry) else "line.unconfirmed"
        line = talk.say(f"{how}.from" if refs else how, line=line, refs=_numbers(talk, refs))
    elif isinstance(fact, Cause) and not confirmed(talk.job, entry):
        line = talk.say("line.unconfirmed", line=line)
    elif isinstance(fact, Ruled) and refs and talk.job.reader == "payer":
        line = talk.say("line.from", line=line, refs=_numbers(talk, refs))
    if isinstance(fact, Proof):
        line, refs = lines.with_before(talk, entry, line)
    if len(talk.job.letters) > 1 and entry.concern:
        line = talk.say("head.concern", letter=(told(entry, "concern", entry.concern, "typed"),), text=line)
    writer.add((Ref(entry.no), *refs), stop(line))


def _numbers(talk: Talk, refs: tuple[Ref, ...]) -> Phrase:
    return talk.listed([(told(ref, "no", str(ref), "typed"),) for ref in refs])
