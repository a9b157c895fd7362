"""The cause and what shows it, what it was not, and what is only a suspicion; the evidence picks the hedge."""

from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Code, Found, Maybe, Proof, Ruled
from ticket.job.values import Ref
from ticket.readings.groups import seen, subject
from ticket.story.context import Job, sources
from ticket.story.customer.causes import open_suspicions
from ticket.story.facts.certainty import computed, confirmed, proofs_of, without_hedge
from ticket.story.other.clauses import PRESENT
from ticket.story.other.measured import name_of, taken
from ticket.story.other.talk import Talk, joined, stop
from ticket.story.sentence import Phrase
from ticket.story.writer import Writer


def rung(job: Job, entry: Entry) -> str:
    """``sure``, ``fits`` or ``likely``."""
    return "sure" if confirmed(job, entry) else "fits" if computed(job, entry) else "likely"


def tell_causes(talk: Talk, letter: str, writer: Writer) -> None:
    """Each cause with its evidence, then what was ruled out."""
    for entry, fact in talk.job.each(Cause, letter):
        how = rung(talk.job, entry)
        writer.add(sources(entry), cause_phrase(talk, entry, fact, how))
        proofs = [(ref, one) for ref in proofs_of(talk.job, fact) for one in evidence(talk, ref)]
        if proofs:
            said = talk.say(
                "cause.know" if how == "sure" else "cause.think", proofs=joined([p for _, p in proofs], "; ")
            )
            writer.add((Ref(entry.no), *dict.fromkeys(ref for ref, _ in proofs)), stop(said))
    tell_ruled(talk, letter, writer)


def cause_phrase(talk: Talk, entry: Entry, fact: Cause, how: str) -> Phrase:
    """ "Era una correa de tierra rota", with the hedge of its rung."""
    text, _ = without_hedge(fact.text)
    if talk.reader.group(text) is not None:
        return stop(talk.say(f"cause.{how}", text=talk.the(entry, "text", text, "a")))
    clauses = talk.clauses(entry, "text", text)
    if clauses:
        return stop(talk.say(f"cause.{how}.clause", text=joined(clauses, "; ")))
    return stop(talk.say(f"cause.{how}.quoted", text=talk.quoted(entry, "text", fact.text)))


def evidence(talk: Talk, ref: Ref) -> list[Phrase]:
    """What an entry shows, in short and without figures; quoted where it has no words."""
    entry = talk.job.entry(ref)
    if entry is None or isinstance(entry.fact, Ruled | Code):
        return []
    if not isinstance(entry.fact, Found | Proof):
        return [talk.quoted(entry, "text", getattr(entry.fact, "text", ""))]
    held = taken(talk, entry)
    bad = [reading for reading in held if reading.bad]
    if bad or (held and all(reading.good for reading in held)):
        out = []
        for reading in bad or held[:1]:
            named = name_of(talk, entry, reading)
            kind = "brief.level" if reading.quantity == "level" and reading.value is not None else "brief"
            out.append(talk.say(f"{kind}.{reading.verdict.word}", 2 if named.many else 1, thing=named.phrase))
        return out
    if held:
        name = subject(entry.fact)
        return [talk.quoted(entry, "what", name)] if name else []
    text = seen(entry.fact)
    clauses = talk.clauses(entry, "what", text)
    return clauses or ([talk.quoted(entry, "what", text)] if text.strip() else [])


def tell_ruled(talk: Talk, letter: str, writer: Writer) -> None:
    """What it was not, in the order it was checked."""
    for i, (entry, fact) in enumerate(talk.job.each(Ruled, letter)):
        refs = talk.job.seen(fact.refs)
        known = talk.reader.group(fact.text) is not None
        kind = "ruled" if known else "ruled.quoted"
        text = talk.the(entry, "text", fact.text, "a")
        reason = reason_phrase(talk, entry, fact.reason)
        if not reason and refs:
            reason = joined([one for ref in refs for one in evidence(talk, ref)], "; ")
        if not reason:
            writer.add(sources(entry), stop(talk.say(f"{kind}.bare", text=text)))
            continue
        names = talk.variants(kind, text=text, reason=reason)
        writer.add((Ref(entry.no), *refs), *(stop(said) for said in (names[1:] if i else names[:1])))


def reason_phrase(talk: Talk, entry: Entry, reason: str) -> Phrase:
    """Why, in the language where every word is listed, else quoted; empty without one."""
    if not reason.strip():
        return ()
    clauses = talk.clauses(entry, "reason", reason)
    return joined(clauses, "; ") if clauses else talk.quoted(entry, "reason", reason)


def tell_suspicions(talk: Talk, letter: str, writer: Writer) -> None:
    """What it may still be."""
    for entry, fact in open_suspicions(talk.job, letter):
        writer.add(sources(entry), *map(stop, suspicion(talk, entry, fact)))


def suspicion(talk: Talk, entry: Entry, fact: Maybe) -> tuple[Phrase, ...]:
    """ "Puede ser ..., pero no lo hemos comprobado"."""
    text, _ = without_hedge(fact.text)
    if talk.reader.group(text) is not None:
        return talk.variants("maybe", text=talk.the(entry, "text", text, "a"))
    clauses = talk.clauses(entry, "text", text, PRESENT)
    if clauses:
        return talk.variants("maybe.clause", text=joined(clauses, "; "))
    return talk.variants("maybe.quoted", text=talk.quoted(entry, "text", fact.text))
