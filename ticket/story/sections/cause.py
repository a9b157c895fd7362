"""The cause and what shows it, what it was not, and what is only a suspicion; the evidence picks the hedge."""

from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Found, Maybe, Proof, Ruled
from ticket.job.likeness import shared
from ticket.job.regex import Regex
from ticket.job.values import Ref
from ticket.language.lexicon import look
from ticket.readings.measured_groups import measures
from ticket.readings.reservoir_balance_line import balance_of
from ticket.readings.span import is_nothing
from ticket.story.context import Job, sources
from ticket.story.facts.certainty import computed, confirmed, not_found, shows, without_hedge
from ticket.story.facts.concern_facts import settled
from ticket.story.sections.found import read_line, whole_text
from ticket.story.sections.measured import name_phrase, taken, verdict
from ticket.story.sections.talk import Talk, stop
from ticket.story.sections.writer import Writer
from ticket.story.sentence import LISTED, NOTE, SENTENCE, Phrase, text_of, words_in

_FROM = Regex(r"(?i)\A\s*(?:from|by|because(?: of)?|as|since)\b")
_RESTS_ON_FIGURE = Regex(r"[0-9]")
_LIMIT = 25  # words of one sentence of evidence


def rung(job: Job, entry: Entry) -> str:
    """``sure``, ``fits`` or ``likely``."""
    return "sure" if confirmed(job, entry) else "fits" if computed(job, entry) else "likely"


def tell_causes(talk: Talk, letter: str, writer: Writer) -> None:
    """Each cause with its evidence, then what was ruled out."""
    for entry, fact in talk.job.each(Cause, letter):
        how = rung(talk.job, entry)
        if _cause(talk, entry, fact, how, writer) or talk.english:  # elsewhere a note stands at the end of its section
            _evidence(talk, entry, fact, how, writer)
    tell_ruled(talk, letter, writer)


def _cause(talk: Talk, entry: Entry, fact: Cause, how: str, writer: Writer) -> bool:
    """ "It was a stuck thermostat", with the hedge of its rung; a note has its hedge in front, and nothing behind."""
    text, _ = without_hedge(fact.text)
    text, _, reason = text.partition(";")
    if not_found(fact):
        writer.add(sources(entry), talk.note(entry, "text", fact.text, "cause"), form=NOTE)
        return False
    reason = _FROM.sub("", reason)
    if reason.strip():
        told_all = _cause_alone(talk, entry, text.strip(), how, writer)
        shown = talk.as_typed.note(entry, "text", reason.strip(), "cause")
        certain = talk.english and bool(talk.clauses(entry, "text", reason, "cause"))
        _labelled(talk, entry, "cause.shown.label", shown, writer, form=SENTENCE if certain else NOTE)
        return told_all
    return _cause_alone(talk, entry, text, how, writer)


def _cause_alone(talk: Talk, entry: Entry, text: str, how: str, writer: Writer) -> bool:
    """The cause without what was typed behind it."""
    thing = talk.thing(entry, "text", text, "named")
    if thing and not _goes_on(text):
        many = 2 if talk.leaves.many(text) else 1
        writer.add(sources(entry), stop(talk.say(f"cause.{how}", many, text=thing)), form=SENTENCE)
        return True
    clauses = talk.clauses(entry, "text", text, "cause")
    if any(not one.good for _, one in clauses) and (clauses[0][1].named or not any(one.named for _, one in clauses)):
        name = f"cause.{how}" if clauses[0][1].named else f"cause.{how}.clause"  # "it was X, and Y was so"
        said = stop(talk.say(name, text=talk.in_row(clauses)))
        writer.add(sources(entry), said, form=talk.form(text, "cause"))
        return True
    whole = talk.as_said(entry, "text", text, "cause")
    if whole:
        writer.add(sources(entry), stop(talk.say(f"cause.{how}.clause", text=whole)), form=SENTENCE)
        return True
    _labelled(
        talk, entry, "" if how == "sure" else f"cause.{how}.label", talk.note(entry, "text", text, "cause"), writer
    )
    return False


def _goes_on(text: str) -> bool:
    """Whether a text ends in what something does: "seal leaking" is no name of a thing."""
    last = text.rsplit(maxsplit=1)[-1].lower()
    return last.endswith("ing") and any(word.cls == "doing" or word.kind == "fault" for word in look(last))


def _labelled(talk: Talk, entry: Entry, label: str, note: Phrase, writer: Writer, *more: Ref, form: str = NOTE) -> None:
    """Typed words, behind a word that says how sure it is; a note where they are not certain."""
    if not label:
        writer.add((Ref(entry.no), *more), note, form=NOTE)
        return
    own = talk.as_typed  # the word in front is of the language of the note
    said = own.say("labelled", label=own.say(label), text=note)
    writer.add((Ref(entry.no), *more), said, form=form, label=own.title(label))


def _evidence(talk: Talk, entry: Entry, fact: Cause, how: str, writer: Writer) -> None:
    """ "We know this because ...": what is certain and not as it should be, in sentences of readable length.

    Where a finding that says as much of the cause or more cannot be told here, no other one stands in for it.
    """
    shown = [(ref, evidence(talk, ref, fact.text)) for ref in talk.job.seen(fact.refs)]
    lead = "cause.know" if how == "sure" else "cause.think"
    untold = [ref for ref, phrases in shown if not phrases and _shows(talk, ref)]
    said = max((_said_of(talk, ref, fact) for ref, phrases in shown if phrases), default=-1)
    if any(_said_of(talk, ref, fact) >= max(said, 1) for ref in untold):
        writer.add((Ref(entry.no), *(ref for ref, _ in shown)), talk.say(f"{lead}.above"), form=SENTENCE)
        return
    held: list[tuple[list[Ref], list[Phrase]]] = []
    for ref, phrases in shown:
        for phrase in phrases:
            words = text_of(phrase)
            same = next((one for one in held if words in map(text_of, one[1])), None)
            if same is not None:  # one thing read under two conditions: said once, of both entries
                same[0].extend({ref} - {*same[0]})
            elif held and words_in(talk.listed([*held[-1][1], phrase])) <= _LIMIT:
                held[-1][0].append(ref)
                held[-1][1].append(phrase)
            else:
                held.append(([ref], [phrase]))
    for i, (refs, told_here) in enumerate(held):
        because = talk.say(lead if i == 0 else "cause.also", proofs=talk.listed(told_here))
        writer.add((Ref(entry.no), *refs), stop(because), form=SENTENCE)


def _shows(talk: Talk, ref: Ref) -> bool:
    """Whether an entry shows that something is wrong, in whatever form it is told."""
    entry = talk.job.entry(ref)
    if entry is None or not isinstance(entry.fact, Found | Proof):
        return False
    balanced = isinstance(entry.fact, Found) and balance_of(entry.fact) is not None
    if measures(entry.fact) and not balanced:
        return not all(reading.good for reading in taken(talk, entry))
    return shows(talk.job, entry)


def _said_of(talk: Talk, ref: Ref, cause: Cause) -> int:
    """How much of a cause a finding speaks of."""
    entry = talk.job.entry(ref)
    return shared(cause.text, whole_text(entry)[0]) if entry is not None else 0


def evidence(talk: Talk, ref: Ref, cause: str = "") -> list[Phrase]:
    """What an entry shows, in short and without figures: readings out of limits, else what was seen for certain.

    A reading within its limits shows no fault, and what is told as a note cannot be told again. Of several things seen
    the one that says most of the cause counts.
    """
    entry = talk.job.entry(ref)
    if entry is None or not isinstance(entry.fact, Found | Proof):
        return []
    if isinstance(entry.fact, Found) and balance_of(entry.fact) is not None:
        return []
    line = read_line(talk, entry, "found")
    if not line.certain:
        return []
    out: list[Phrase] = []
    for rows, named in line.groups or ():
        for reading in rows:
            if reading.bad and not is_nothing(reading.number) and (one := talk.leaves.name(reading)) is not None:
                kind = talk.first(*(f"brief.{shape}" for shape in one.shapes), "brief")
                thing = name_phrase(reading, one)
                out.append(talk.say(kind, 2 if one.many else 1, thing=thing, verdict=verdict(talk, reading, named)))
    if out:
        return out
    seen = [(phrase, one) for phrase, one in line.clauses or () if not one.trial and not one.good]
    best = max(seen, key=lambda pair: shared(cause, pair[1].text), default=None)
    return [best[0]] if best is not None else []


def tell_ruled(talk: Talk, letter: str, writer: Writer) -> None:
    """What it was not, in the order it was checked."""
    told_one = False
    for entry, fact in talk.job.each(Ruled, letter):
        refs = talk.job.seen(fact.refs)
        thing = talk.thing(entry, "text", fact.text, "named")
        clauses = talk.clauses(entry, "reason", fact.reason, "ruled") if fact.reason.strip() else []
        only_named = any(one.named for _, one in clauses)  # a thing without a verb is no reason: "coil in the bracket"
        reason = talk.in_row(clauses) if clauses and not only_named else ()
        if not fact.reason.strip() and refs:
            shown = [one for ref in refs for one in (evidence(talk, ref) or _seen_good(talk, ref))]
            reason = talk.listed(shown) if shown else ()
        if thing and reason:
            names = talk.variants("ruled", text=thing, reason=reason)
            said = names[1:] if told_one else names[:1]
            writer.add((Ref(entry.no), *refs), *map(stop, said), form=SENTENCE)
            told_one = True
        elif thing and not fact.reason.strip():
            name = "ruled.plain" if refs else "ruled.bare"
            writer.add((Ref(entry.no), *refs), stop(talk.say(name, text=thing)), form=SENTENCE)
        elif thing and talk.english and _RESTS_ON_FIGURE.search(fact.reason):
            figure = talk.typed(entry, "reason", fact.reason, "ruled")
            writer.add((Ref(entry.no), *refs), stop(talk.say("ruled.shown", text=thing, reason=figure)), form=LISTED)
        else:
            words = "; ".join(part for part in (fact.text, fact.reason) if part.strip())
            field = "reason" if fact.reason.strip() else "text"
            _labelled(talk, entry, "ruled.label", talk.note(entry, field, words, "ruled"), writer, *refs)


def _seen_good(talk: Talk, ref: Ref) -> list[Phrase]:
    """What an entry shows that was as it should be: it rules something out."""
    entry = talk.job.entry(ref)
    if entry is None or not isinstance(entry.fact, Found | Proof):
        return []
    line = read_line(talk, entry, "found")
    if not line.certain:
        return []
    out: list[Phrase] = []
    for rows, named in line.groups or ():
        if all(reading.good for reading in rows):
            thing = name_phrase(rows[0], named)
            out.append(talk.say("brief.in", 2 if named.many else 1, thing=thing, verdict=()))
    return out or [phrase for phrase, one in (line.clauses or ()) if not one.trial]


def open_suspicions(job: Job, letter: str) -> list[tuple[Entry, Maybe]]:
    """Suspicions that no cause and nothing ruled out has settled."""
    return [pair for pair in job.each(Maybe, letter) if not settled(job, pair[1].text)]


def tell_suspicions(talk: Talk, letter: str, writer: Writer) -> None:
    """What it may still be."""
    for i, (entry, fact) in enumerate(open_suspicions(talk.job, letter)):
        text, _ = without_hedge(fact.text)
        thing = talk.thing(entry, "text", text, "named")
        if thing:
            names = talk.variants("maybe", text=thing)
            writer.add(sources(entry), *map(stop, names if i == 0 else names[::-1]), form=SENTENCE)
        else:
            _labelled(talk, entry, "maybe.label", talk.note(entry, "text", text, "maybe"), writer)
