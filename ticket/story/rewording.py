"""The writer's own words in a story: where they stand in for a sentence, and when they no longer may."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from ticket.job.case import Case
from ticket.job.reworded_sentence import Basis, Rewording, digest_of
from ticket.job.values import Ref
from ticket.story.judge import NOT_PROVED, PROVED, Answer, judge
from ticket.story.sentence import COMPUTED, DERIVED, NOTE, Lit, Part, Phrase, Section, Sentence, Source, Val, in_order

PROVED_ONLY = ("payer",)  # readers who are never shown what the entries do not prove

_Key = tuple[str, str, str, tuple[str, ...]]


def basis(case: Case, sources: Sequence[Source]) -> tuple[Basis, ...]:
    """What a sentence rests on, as it stands now."""
    return tuple(Basis(str(source), _digest(case, str(source))) for source in sources)


def _digest(case: Case, source: str) -> str:
    """The digest of an entry that stands; empty for what is no entry, or stands no more."""
    ticket_no, _, no = source.rpartition("/")
    known = (one for one in (case.ticket, *case.earlier) if str(one.number) == (ticket_no or str(case.ticket.number)))
    ticket = next(known, None)
    if ticket is None or not no.isdecimal():
        return ""
    return next((digest_of(entry) for entry in ticket.living if str(entry.no) == no), "")


def changed(case: Case, rewording: Rewording) -> tuple[str, ...]:
    """The sources of a rewording that were changed, struck or replaced since it was written."""
    moved = (one.source for one in rewording.grounds if one.digest != _digest(case, one.source))
    return tuple(dict.fromkeys(moved))


def in_own_words(sentence: Sentence) -> Sentence:
    """The sentence as the story would tell it, whether it was reworded or not."""
    sources = sentence.own or sentence.sources
    return replace(sentence, parts=sentence.generated, sources=sources, reworded=None, before=(), own=())


def as_one(sentence: Sentence, others: Sequence[Sentence] = (), cites: Sequence[Source] = ()) -> Sentence:
    """A sentence with others merged into it and further entries cited, in the story's own words."""
    every = [in_own_words(one) for one in (sentence, *others)]
    parts: list[Part] = list(every[0].parts)
    for other in every[1:]:
        parts += [Lit(" "), *other.parts]
    sources = in_order([*(source for one in every for source in one.sources), *cites])
    return replace(every[0], parts=tuple(parts), sources=sources)


def holds(answer: Answer, reader: str, *, kept: bool) -> bool:
    """Whether words may be told: proved, or kept by their writer although they are not, never to the payer."""
    return answer.word == PROVED or (answer.word == NOT_PROVED and kept and reader not in PROVED_ONLY)


def apply(
    case: Case, reader: str, language: str, sections: tuple[Section, ...]
) -> tuple[tuple[Section, ...], tuple[Rewording, ...]]:  # fmt: skip
    """The sections in the writer's words where those still hold, and the rewordings that no longer do.

    One whose words the story says by itself by now, because they were kept in the phrasebook, is not outdated.

    A rewording holds while the story would say exactly what it stands in for, nothing changed in what it rests on, the
    judge does not refuse it, and what he cannot prove was kept knowingly; so no document, however made, brings in a
    figure of its own. On a signed ticket what was told when it was signed counts as kept.
    """
    mine = {one.sentence: one for one in case.ticket.rewordings if (one.reader, one.language) == (reader, language)}
    held: list[Rewording] = []
    told = []
    for section in sections:
        found = dict(_holding(case, reader, language, section, mine))
        held += [one for one, _ in found.values()]
        told.append(_in_its_words(section, found))
    itself = {(_bare(one.text), tuple(map(str, one.sources))) for section in told for one in section.sentences}
    return tuple(told), tuple(
        one for one in mine.values() if one not in held and (_bare(one.text), one.sources) not in itself
    )  # fmt: skip


def _bare(text: str) -> str:
    """Words by which a story that says something by itself, since the phrasebook tells it, is known to say it."""
    return " ".join(text.split()).rstrip(".").casefold()


def _holding(
    case: Case, reader: str, language: str, section: Section, mine: Mapping[_Key, Rewording]
) -> Iterator[tuple[int, tuple[Rewording, tuple[int, ...]]]]:  # fmt: skip
    """Place of each sentence of a section that is reworded, with the places of those merged into it."""
    place = {_key(reader, language, one): i for i, one in reversed([*enumerate(section.sentences)])}
    taken: set[int] = set()
    for i, sentence in enumerate(section.sentences):
        found = mine.get(_key(reader, language, sentence))
        if found is None or i in taken or changed(case, found):
            continue
        keys = [(reader, language, one.original, tuple(basis.source for basis in one.rests_on)) for one in found.merges]
        merged = tuple(place[key] for key in keys if key in place)
        if len(merged) < len(keys) or taken & set(merged) or i in merged:
            continue
        whole = as_one(sentence, [section.sentences[at] for at in merged], _refs(found.cites))
        kept = bool(found.unproved) or case.ticket.status == "signed"
        if holds(judge(case, reader, whole, found.text, language), reader, kept=kept):
            taken |= {i, *merged}
            yield i, (found, merged)


def _key(reader: str, language: str, sentence: Sentence) -> _Key:
    return reader, language, sentence.text, tuple(map(str, sentence.sources))


def _refs(cites: Sequence[Basis]) -> list[Source]:
    """Cited entries as sources."""
    out: list[Source] = []
    for one in cites:
        ticket, _, no = one.source.rpartition("/")
        out.append(Ref(int(no), int(ticket or 0)))
    return out


def _in_its_words(section: Section, found: Mapping[int, tuple[Rewording, tuple[int, ...]]]) -> Section:
    """The section with its rewordings in place, without the sentences that were merged into them."""
    if not found:
        return section
    gone = {at for _, merged in found.values() for at in merged}
    told: list[Sentence] = []
    items: list[int] = []
    opens = False  # an item whose first sentence was merged away opens with its next one
    for i, sentence in enumerate(section.sentences):
        opens = opens or i in section.items
        if i in gone:
            continue
        if opens:
            items.append(len(told))
            opens = False
        if i in found:
            one, merged = found[i]
            told.append(_reworded(sentence, [section.sentences[at] for at in merged], one))
        else:
            told.append(sentence)
    if [one.form == NOTE for one in section.sentences] == sorted(one.form == NOTE for one in section.sentences):
        told = told if items else sorted(told, key=lambda one: one.form == NOTE)  # notes stay behind
    if section.plain and told[0].form != NOTE:
        told = [replace(one, under=section.noted) if one.form == NOTE else one for one in told]
        section = replace(section, title=section.plain)
    return replace(section, sentences=tuple(told), items=tuple(items))


def _reworded(sentence: Sentence, merged: Sequence[Sentence], found: Rewording) -> Sentence:
    """The sentence in somebody's own words, no typed note any more; a figure worked out stays the part it was."""
    whole = as_one(sentence, merged, _refs(found.cites))
    parts: list[Part] = [Lit(found.text)]
    for part in whole.parts:
        if not isinstance(part, Val) or part.op not in DERIVED:
            continue
        for i, piece in enumerate(parts):
            before, hit, after = piece.text.partition(part.text) if isinstance(piece, Lit) else ("", "", "")
            if hit:
                pieces: Phrase = (Lit(before), part, Lit(after))
                parts[i : i + 1] = [one for one in pieces if one.text]
                break
    return replace(
        sentence, parts=tuple(parts), sources=whole.sources, reworded=found, before=sentence.parts,
        own=sentence.sources, form=COMPUTED if sentence.form == NOTE else sentence.form,
        under="" if sentence.form == NOTE else sentence.under,
    )  # fmt: skip
