"""How we know: the same thing measured again, drives and tests, codes read again."""

from collections.abc import Sequence
from itertools import takewhile

from ticket.job.entry import Entry
from ticket.job.kinds import Proof
from ticket.job.likeness import content_words
from ticket.job.values import Ref
from ticket.language.lexicon import look
from ticket.language.quantities import plain
from ticket.language.records import Span
from ticket.language.spans import spans
from ticket.readings.units import same
from ticket.story.context import sources
from ticket.story.facts.concern_facts import ConcernFacts
from ticket.story.readings import Reading, readings
from ticket.story.repeats import Repeated, repeated, taken_before
from ticket.story.sections.codes import later_codes, tell_codes
from ticket.story.sections.found import (
    in_time,
    judging,
    read_line,
    tell_beside,
    tell_rows,
    tell_seen,
    tell_uncertain,
    whole_text,
)
from ticket.story.sections.measured import (
    held_in,
    judged,
    level,
    limit,
    note_named,
    noun,
    run,
    taken,
    tell_listed,
    unnamed,
    value,
    verdict,
    with_label,
)  # fmt: skip
from ticket.story.sections.naming import Named
from ticket.story.sections.talk import Talk, joined, stop
from ticket.story.sections.writer import Writer
from ticket.story.sentence import LISTED, NOTE, TICKET, Lit, Phrase

_IN_FRONT = frozenset(("side", "det", "count"))


def tell_proofs(talk: Talk, letter: str, writer: Writer) -> None:
    """Every verification; where work was done and nothing tested, that too."""
    for entry, fact in talk.job.each(Proof, letter):
        first = taken_before(talk.job, entry)
        line = read_line(talk, entry, "proof")
        if line.certain:
            at = 0
            for rows, named in line.groups or ():
                olds = first.olds[at : at + len(rows)] if first is not None else ()
                at += len(rows)
                _rows(talk, entry, rows, named, first, olds, writer)
            tell_seen(talk, entry, writer, "proof")
        elif first is None or not (_listed_pairs(talk, entry, first, writer) or _named(talk, entry, first, writer)):
            tell_uncertain(talk, entry, writer, "proof")
        if fact.result:
            writer.add(sources(entry), talk.say(f"proof.{fact.result}"))
    tell_codes(talk, later_codes(talk.job, letter), writer, after=True)
    if not writer.sentences and ConcernFacts(talk.job, letter).wants_test:
        writer.add((TICKET,), talk.say("proof.none"))


def _named(talk: Talk, entry: Entry, first: Repeated, writer: Writer) -> bool:
    """A test without a name of its own behind what it measures again, as typed; false where it has one.

    Of what "15 psi after 10 min" was read nobody would know.
    """
    held, text = taken(talk, entry), whole_text(entry)
    start = talk.job.entry(first.start) if first.start is not None else None
    if start is None or not talk.english:
        return False
    measured = [one for one in taken(talk, start) if not held or same(one.unit, held[0].unit)]
    places = {one.label for one in measured}
    if any(one.label and one.label not in places for one in held):
        return False
    name = _in_common([one.what for one in measured]) if measured else _thing_in_front(whole_text(start)[0])
    if len(places) == 1 and not any(one.label for one in held):
        name = with_label(next(iter(places)), name)
    if not name.strip() or content_words(plain(name)) & content_words(plain(text[0])):
        return False
    own = Writer()
    if any(judging(talk, reading) for reading in held):
        tell_listed(talk, entry, held, own)
    else:
        own.add(sources(entry), talk.note(entry, text[1], text[0], "proof"), form=NOTE)
    lead = talk.typed(start, "what", name)
    for one in own.sentences:
        said = talk.say("proof.named", name=lead, said=one.parts)
        writer.add((*one.sources, *first.refs()), said, form=one.form)
    return True


def _in_common(names: Sequence[str]) -> str:
    """What several names begin with: "heater hose" of "heater hose in" and "heater hose out"."""
    words = [name.partition(",")[0].split() for name in names]
    same_words = takewhile(lambda row: len(set(row)) == 1, zip(*words, strict=False))
    return " ".join(row[0] for row in same_words)


def _thing_in_front(text: str) -> str:
    """The thing a line begins with: of "block heater open circuit, no reading" the block heater."""
    held = spans(text, "found")
    front = list(takewhile(lambda span: span.cls in _IN_FRONT, held))
    name = list(takewhile(_is_part, held[len(front) :]))
    return text[: name[-1].end] if name else ""


def _is_part(span: Span) -> bool:
    return span.cls == "thing" and any(word.cls == "thing" and word.kind == "part" for word in look(span.base))


def _rows(
    talk: Talk, entry: Entry, rows: Sequence[Reading], named: Named, first: Repeated | None,
    olds: Sequence[Reading | None], writer: Writer,
) -> None:  # fmt: skip
    if first is None:
        tell_rows(talk, entry, rows, named, writer, "proof")
        return
    if len(rows) > 1:
        writer.add((Ref(entry.no), *first.refs(*olds)), *map(stop, run(talk, rows, named, again=True)))
        return
    reading, old = rows[0], repeated(rows[0], olds[0])
    if old is None or reading.value is None or old.value is None:
        tell_rows(talk, entry, rows, named, writer, "proof.again", first.refs())
        return
    _pair(talk, entry, reading, named, old, first, writer)


def _pair(
    talk: Talk, entry: Entry, reading: Reading, named: Named, old: Reading, first: Repeated, writer: Writer
) -> None:
    """ "We measured the boost pressure again at full load: it was 29 psi, up from 17; ..."."""
    shape = "level" if level(reading) else "plain"
    now, before = reading.value or 0, old.value or 0
    way = "same" if now == before else "up" if now > before else "down"
    name = talk.first(f"proof.pair.{shape}.{way}", f"proof.pair.{shape}.other")
    thing = noun(talk, reading, named)
    thing = (*thing, Lit(" "), *held_in(reading, named)) if named.held else thing
    heads = talk.variants(name, thing=thing, v=value(talk, reading), old=value(talk, old))
    kind = "proof.still" if old.verdict.word == reading.verdict.word else "verdict"
    said = (
        judged(talk, reading, named, head, kind)
        if shape == "plain" and not reading.good
        else _good(talk, reading, head)
        for head in heads
    )
    writer.add((Ref(entry.no), *first.refs(old)), *map(stop, said))


def _good(talk: Talk, reading: Reading, said: Phrase) -> Phrase:
    behind = limit(talk, reading)
    return talk.say("reading.limit", said=said, limit=behind) if behind else said


def _listed_pairs(talk: Talk, entry: Entry, first: Repeated, writer: Writer) -> bool:
    """Each reading with what it was before, its name as typed, then what was seen; false where one has none."""
    held = taken(talk, entry)
    fact = entry.fact
    olds = _judged_before(talk, first, held) if not any(first.olds) else first.olds
    pairs = [(reading, repeated(reading, old)) for reading, old in zip(held, olds, strict=True)]
    if any(map(in_time, (*held, *(old for old in olds if old is not None)))):
        return False
    told = [(reading, old) for reading, old in pairs if old is not None and None not in (reading.value, old.value)]
    if not isinstance(fact, Proof) or not pairs or len(told) < len(pairs):
        return False
    if not talk.english:
        own = Writer()
        _listed_pairs(talk.as_typed, entry, first, own)
        for reading in held:
            if reading.limits is not None:
                writer.add(sources(entry), stop(unnamed(talk, reading)))
        note_named(talk, entry, own, writer)
        return True
    for reading, old in told:
        typed = talk.typed(entry, "what", with_label(reading.label or old.label, reading.name or old.name))
        both = talk.say("pair.was", old=value(talk, old), v=value(talk, reading))
        behind = limit(talk, reading if reading.limits is not None else old)
        cell = (*both, Lit(" ("), *behind, Lit(")")) if behind else both
        end = verdict(talk, reading)
        line = joined([joined([typed, cell], ": "), end], ", ")
        writer.add((Ref(entry.no), *first.refs(old)), stop(line), form=LISTED, cells=(typed, cell, end))
    tell_beside(talk, entry, writer)
    return True


def _judged_before(talk: Talk, first: Repeated, held: Sequence[Reading]) -> tuple[Reading | None, ...]:
    """For one reading without a name: the one of the finding it goes back to that was judged, in the same unit."""
    start = talk.job.entry(first.start) if first.start is not None else None
    rows = readings(talk.job, start) if start is not None and len(held) == 1 and not held[0].name else ()
    judged_rows = [row for row in rows if row.limits is not None and same(row.unit, held[0].unit)]
    return (judged_rows[0],) if len(judged_rows) == 1 else (None,) * len(held)
