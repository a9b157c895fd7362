"""How we know: the same thing measured again, drives and tests, codes read again."""

from itertools import groupby

from ticket.job.entry import Entry
from ticket.job.kinds import Found, Proof
from ticket.readings.inexact import parts
from ticket.story.catalogue import say, variants
from ticket.story.context import Job, sources, told
from ticket.story.customer.codes import later_codes, tell_codes
from ticket.story.customer.said import inner
from ticket.story.customer.seen import acts_of, clause_list, outcomes_of, seen_phrases, tell_lead, whole_text, words_of
from ticket.story.facts.concern_facts import ConcernFacts
from ticket.story.lists import phrase_list
from ticket.story.readings import (
    Reading,
    be,
    conditions,
    fronted,
    full,
    limit_of,
    noun,
    readings,
    same_thing,
    value_of,
    verdict_words,
    with_conditions,
)
from ticket.story.repeats import Repeated, repeated, taken_before
from ticket.story.sentence import TICKET, Lit, Phrase, Source
from ticket.story.words.figures import figure
from ticket.story.words.observed import observed
from ticket.story.words.trials import Trial, circumstances
from ticket.story.writer import Writer


def tell_proofs(job: Job, letter: str, writer: Writer) -> None:
    """Every verification in the order typed; where work was done and nothing tested, that too."""
    for entry, fact in job.each(Proof, letter):
        taken = readings(job, entry)
        tell_lead(entry, writer)
        if len(taken) == 1 and fact.of is None and taken[0].thing is None and taken[0].verdict.word == "none":
            _tested(entry, "run", whole_text(taken[0]), writer)
            continue
        if taken:
            _measured(job, entry, taken, writer)
        text, field = words_of(entry)
        if text.strip():
            _tested(entry, field, text, writer)
        if fact.result:
            writer.add(sources(entry), say(f"proof.{fact.result}"))
    tell_codes(job, later_codes(job, letter), writer, after=True)
    if ConcernFacts(job, letter).carrying and not writer.sentences:
        writer.add((TICKET,), say("proof.none"))


def _tested(entry: Entry, field: str, text: str, writer: Writer) -> None:
    seen = observed(text)
    if seen.how == "trial" and seen.trial is not None:
        _trial(entry, field, seen.trial, writer)
        return
    if seen.how in ("noted", "quoted"):
        writer.add(sources(entry), say("proof.quoted", text=told(entry, field, inner(text), "quoted")))
        return
    for phrases in seen_phrases(entry, field, seen):
        writer.add(sources(entry), *phrases)


def _trial(entry: Entry, field: str, trial: Trial, writer: Writer) -> None:
    if trial.acts:
        more = told(entry, field, circumstances(trial))
        writer.add(sources(entry), *variants("trial.acts", acts=acts_of(entry, field, trial), more=more))
    outcomes = outcomes_of(entry, field, trial)
    if outcomes:
        writer.add(sources(entry), (*clause_list(outcomes), Lit(".")))


def _measured(job: Job, entry: Entry, taken: tuple[Reading, ...], writer: Writer) -> None:
    first = taken_before(job, entry)
    pairs = list(zip(taken, first.olds if first is not None else (None,) * len(taken), strict=True))
    for _, held in groupby(pairs, key=lambda pair: pair[0].group):
        _side_by_side(job, entry, first, tuple(held), writer)


def _side_by_side(
    job: Job, entry: Entry, first: Repeated | None, pairs: tuple[tuple[Reading, Reading | None], ...], writer: Writer
) -> None:
    if first is not None and len(pairs) > 1:
        _several(pairs, first, writer)
        return
    for reading, before in pairs:
        old = repeated(reading, before)
        if first is not None and old is not None:
            _pair(first, reading, old, writer)
        elif _met(job, entry, reading):
            _again(entry, reading, writer)
        else:
            _new(entry, reading, writer)


def _met(job: Job, entry: Entry, reading: Reading) -> bool:
    """Whether a finding measured the same thing, under whatever conditions."""
    return any(
        same_thing(old, reading)
        for other in job.entries
        if isinstance(other.fact, Found) and other.no < entry.no
        for old in readings(job, other)
    )


def _pair(first: Repeated, reading: Reading, old: Reading, writer: Writer) -> None:
    """ "We measured the boost pressure again at full load: it was 29 psi, up from 17; ..."."""
    refs: tuple[Source, ...] = (reading.ref, *first.refs(old))
    held = conditions(reading)
    where: Phrase = (Lit(" "), *held) if held else ()
    comparable = reading.value is not None and old.value is not None
    if reading.quantity == "level" and comparable:
        slots = {"noun": noun(reading), "conditions": where, "v": value_of(reading), "old": value_of(old)}
        limit = limit_of(reading)
        for_end: Phrase = (Lit("; "), *limit, Lit(".")) if limit else (Lit("."),)
        names = ("proof.pair.level", "proof.pair.level.again")
        writer.add(refs, *((*say(name, **slots), *for_end) for name in names))
        return
    if comparable:
        way = "same" if reading.value == old.value else "down" if (reading.value or 0) < (old.value or 0) else "up"
        figures = told(old.ref, "run", figure(parts(old.number).number, old.unit), "number")
        slots = {"noun": noun(reading), "conditions": where, "v": value_of(reading), "old": (figures,)}
        slots |= {"way": say(f"way.{way}"), "be": (be(reading),)}
        still = old.verdict.word == reading.verdict.word
        _add(refs, say("proof.pair", **slots), reading, writer, say("proof.pair.again", **slots), still=still)
        return
    _add(refs, say("proof.pair.word", noun=noun(reading), conditions=where, v=value_of(reading)), reading, writer)


def _add(
    refs: tuple[Source, ...], said: Phrase, reading: Reading, writer: Writer, *alone: Phrase, still: bool = False
) -> None:
    limit = limit_of(reading)
    options = [said, *alone]
    if reading.bad:
        kind = "proof.still" if still else "proof.bad"
        options = [say(kind, said=item, verdict=verdict_words(reading)) for item in options]
    if reading.verdict.word == "undecided" and reading.verdict.limit:
        figures = told(reading.entry, "run", reading.verdict.limit, "number")
        options = [say("reading.close", said=item, limit=figures) for item in options]
        limit = None
    if limit is not None:
        options = [say("reading.limit", said=item, limit=limit) for item in options]
    writer.add(refs, *((*item, Lit(".")) for item in options))


def _again(entry: Entry, reading: Reading, writer: Writer) -> None:
    """Other conditions than before: never "down from"."""
    name = with_conditions(noun(reading), conditions(reading))
    said = say("proof.again", noun=name, be=be(reading), v=value_of(reading))
    _add(sources(entry), said, reading, writer)


def _new(entry: Entry, reading: Reading, writer: Writer) -> None:
    plain = fronted(full(reading), conditions(reading))
    held = conditions(reading)
    where: Phrase = (Lit(" "), *held) if held else ()
    measured = say("proof.new", noun=noun(reading), conditions=where, v=value_of(reading))
    limit = limit_of(reading)
    if reading.bad:
        options = [say("reading.which", said=item, verdict=verdict_words(reading)) for item in (measured, plain)]
    else:
        options = [measured, plain]
    if limit is not None:
        options = [say("reading.limit", said=item, limit=limit) for item in options]
    writer.add(sources(entry), *((*item, Lit(".")) for item in options))


def _several(pairs: tuple[tuple[Reading, Reading | None], ...], first: Repeated, writer: Writer) -> None:
    """A whole run measured again: each value by its position, the bad ones named."""
    from ticket.story.customer.measured import names_of, place_of
    from ticket.story.tables import Table

    taken, olds = zip(*pairs, strict=True)
    items: list[Phrase] = []
    for reading in taken:
        item = say("table.item", place=place_of(reading), v=value_of(reading))
        if reading.bad:
            item = say("table.item.bad", item=item, verdict=verdict_words(reading))
        items.append(item)
    name = noun(taken[0])
    if taken[0].thing is not None:
        name = say(f"noun.{taken[0].quantity}", name=names_of(Table(taken)), tail=Lit(taken[0].thing.tail))
    held = conditions(taken[0])
    where: Phrase = (Lit(" "), *held) if held else ()
    limit = limit_of(taken[0])
    options = [
        say(kind, noun=name, conditions=where, items=phrase_list(items))
        for kind in ("proof.pair.many", "proof.pair.many.again")
    ]
    if limit:
        options = [say("reading.limit", said=said, limit=limit) for said in options]
    writer.add((taken[0].ref, *first.refs(*olds)), *((*said, Lit(".")) for said in options))
