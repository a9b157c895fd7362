"""The writer's own words in a story: where they stand in for a sentence, when they no longer may, who lets them in."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache

from ticket.job.case import Case
from ticket.job.entry import Entry
from ticket.job.likeness import content_words
from ticket.job.regex import Regex
from ticket.job.rewording import Basis, Rewording, digest_of
from ticket.job.text import fold, visible
from ticket.job.ticket import Ticket
from ticket.job.values import Ref
from ticket.notes.write import write
from ticket.readings.pairing import visits_behind
from ticket.story.faithful import Finding, check
from ticket.story.faithful.figures import scan
from ticket.story.faithful.language import known, load
from ticket.story.other.files import ENGLISH
from ticket.story.sentence import CAUTION, DERIVED, Lit, Part, Phrase, Section, Sentence, Source, Val
from ticket.story.words.lexicon import glossary, nouns

LONGEST = 1000  # characters of a rewording
_NAMED = Regex(r"[A-Za-z][A-Za-z-]*")
_WHOLE = frozenset({"car", "vehicle", "truck", "van", "coach", "side", "crack"})  # no part that could be made up

_Key = tuple[str, str, str, tuple[str, ...]]


def judge(case: Case, reader: str, sentence: Sentence, text: str, language: str = "en") -> tuple[Finding, ...]:
    """What forbids to tell a sentence in these words, and advice about them; empty where nothing does.

    The words are held against the sources of the sentence and nothing else. Positions are those of ``text``.
    """
    if shape := _shape(text, sentence):
        return (shape,)
    if not known(language):
        return (
            Finding("F27", "Nothing can judge words of this language yet, so the story keeps its own.", 0, len(text)),
        )
    if any(isinstance(source, str) and source.startswith(CAUTION) for source in sentence.sources):
        return (Finding("F1", "A caution is told in its own words only.", 0, len(text)),)
    tickets = {0: case.ticket, case.ticket.number: case.ticket} | {one.number: one for one in case.earlier}
    refs = [source for source in sentence.sources if isinstance(source, Ref)]
    cited = [
        (tickets[ref.ticket], entry)
        for ref in refs
        if ref.ticket in tickets and (entry := tickets[ref.ticket].entry(ref.no))
    ]
    entries = tuple(entry for _, entry in cited)
    behind = [visit for home, entry in cited for visit in visits_behind(home, entry, case.earlier)]
    numbers = dict.fromkeys([*(home.number for home, _ in cited), *(visit.number for visit in behind)])
    earlier = tuple(one for one in case.earlier if one.number in numbers)
    derived = tuple(part.text for part in sentence.generated if isinstance(part, Val) and part.op in DERIVED)
    found = _judged(text, entries, reader, case.ticket, earlier, derived, language)
    return (
        *found,
        *_of_something_else(sentence, text, entries, case.ticket, language),
        *_left_out(sentence, text, language),
    )


@lru_cache(maxsize=64)
def _judged(
    text: str, entries: tuple[Entry, ...], reader: str, ticket: Ticket, earlier: tuple[Ticket, ...],
    derived: tuple[str, ...], language: str,
) -> tuple[Finding, ...]:  # fmt: skip
    """A story is told again at every key, its rewordings are not."""
    return check(
        text, entries, reader=reader, ticket=ticket, earlier=earlier, derived=derived, reworded=True, language=language
    )


def _shape(text: str, sentence: Sentence) -> Finding | None:
    """What no sentence may look like, whatever it says."""
    if not text.strip():
        return Finding("F26", "There are no words; to have the story's own sentence back, take the rewording back.")
    if len(text) > LONGEST:
        return Finding("F26", f"It is longer than {LONGEST:,} characters.", LONGEST, len(text))
    if len(text.split()) == 1 < len(sentence.original.split()):
        return Finding("F26", "One word is no sentence: say what the entries say.", 0, len(text))
    if "\n" in text or "\u2028" in text or "\u2029" in text:
        return Finding("F26", "It has more than one paragraph.", 0, len(text))
    hidden = (at for at, letter in enumerate(text) if letter in "\t\u2400" or visible(letter) != letter)
    at = next(hidden, None) if visible(text) != text or "\t" in text or "\u2400" in text else None
    return None if at is None else Finding("F26", "It holds a character that cannot be seen.", at, at + 1)


def _of_something_else(
    sentence: Sentence, text: str, entries: Sequence[Entry], ticket: Ticket, language: str
) -> Iterator[Finding]:
    """Words that name things, and none of those that the sentence or its entries name."""
    given = " ".join((sentence.original, *(write(entry.fact) for entry in entries)))
    named = content_words(text)
    if named and not named & content_words(given):
        yield Finding("F23", "It says nothing of what the entries say.", 0, len(text))
        return
    if language == ENGLISH:
        written = " ".join(write(entry.fact) for entry in ticket.living)
        yield from _new_things(text, content_words(f"{given} {written}".replace("-", " ")))


def _new_things(text: str, given: frozenset[str]) -> Iterator[Finding]:
    """Parts of the vehicle that nothing on the ticket names: "and the engine overheated" of a torn wiper blade."""
    plain = {fold(term.plain) for term in glossary().values() if fold(term.term) in given}
    for match in _NAMED.finditer(text):
        noun = nouns().get(match[0].lower())
        if noun is None or noun.kind != "part" or noun.singular in _WHOLE:
            continue
        behind = _NAMED.match(text, match.end() + 1)
        if behind and content_words(behind[0]) & given:
            continue  # it only says more closely which one is meant: "brake pads" of pads
        if not content_words(noun.singular) & given and not any(noun.singular in words.split() for words in plain):
            yield Finding("F16", f"“{match[0]}” is named by nothing on the ticket.", match.start(), match.end())


def _left_out(sentence: Sentence, text: str, language: str) -> Iterator[Finding]:
    """Advice about the figures of the sentence that the new words no longer tell (F23)."""
    lists = load(language)
    told = {(figure.kind, figure.digits) for figure in scan(text, lists)}
    for figure in scan(sentence.original, lists):
        if (figure.kind, figure.digits) not in told and not figure.word:
            shown = sentence.original[figure.start : figure.end].strip()
            yield Finding("F23", f"It leaves out {shown}.", 0, len(text), advice=True)


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
    return tuple(one.source for one in rewording.rests_on if one.digest != _digest(case, one.source))


def apply(
    case: Case, reader: str, language: str, sections: tuple[Section, ...]
) -> tuple[tuple[Section, ...], tuple[Rewording, ...]]:  # fmt: skip
    """The sections in the writer's words where those still hold, and the rewordings that no longer do.

    A rewording holds while the story would say exactly what it stands in for, nothing changed in what it rests on,
    and the judge has nothing against it; so no document, however made, brings in a figure of its own.
    """
    mine = {one.sentence: one for one in case.ticket.rewordings if (one.reader, one.language) == (reader, language)}
    held: dict[Rewording, None] = {}

    def in_its_words(sentence: Sentence) -> Sentence:
        found = _found(mine, reader, language, sentence)
        if found is None or changed(case, found):
            return sentence
        if any(not one.advice for one in judge(case, reader, sentence, found.text, language)):
            return sentence
        held[found] = None
        return _reworded(sentence, found)

    told = tuple(replace(one, sentences=tuple(map(in_its_words, one.sentences))) for one in sections)
    return told, tuple(one for one in mine.values() if one not in held)


def _found(mine: Mapping[_Key, Rewording], reader: str, language: str, sentence: Sentence) -> Rewording | None:
    return mine.get((reader, language, sentence.text, tuple(map(str, sentence.sources))))


def _reworded(sentence: Sentence, found: Rewording) -> Sentence:
    """The sentence in somebody's own words; a figure that was worked out for it stays the part it was."""
    parts: list[Part] = [Lit(found.text)]
    for part in sentence.parts:
        if not isinstance(part, Val) or part.op not in DERIVED:
            continue
        for i, piece in enumerate(parts):
            before, hit, after = piece.text.partition(part.text) if isinstance(piece, Lit) else ("", "", "")
            if hit:
                pieces: Phrase = (Lit(before), part, Lit(after))
                parts[i : i + 1] = [one for one in pieces if one.text]
                break
    return replace(sentence, parts=tuple(parts), reworded=found, before=sentence.parts)
