"""A writer's words for a sentence, held against what the sentence rests on."""

from collections.abc import Iterator
from functools import lru_cache
from itertools import groupby

from ticket.job.case import Case
from ticket.job.entry import Entry
from ticket.job.regex import Regex
from ticket.job.text import clean, visible
from ticket.job.ticket import Ticket
from ticket.job.values import Ref
from ticket.readings.pairing import visits_behind
from ticket.story.judge.answer import MISSING, NOT_PROVED, PROVED, REFUSED, Answer, Finding
from ticket.story.judge.ground import Ground
from ticket.story.judge.proved import unproved
from ticket.story.judge.rule_against import against
from ticket.story.judge.rule_answers import answers
from ticket.story.judge.rule_beside import beside
from ticket.story.judge.rule_both import both
from ticket.story.judge.rule_certainty import certainty, danger, ruled_out
from ticket.story.judge.rule_company import exchanged, owners
from ticket.story.judge.rule_figures import figures, same_figure
from ticket.story.judge.rule_inside import inside
from ticket.story.judge.rule_labour import labour
from ticket.story.judge.rule_pairs import pairs
from ticket.story.judge.rule_structure import denial, sides, states
from ticket.story.judge.rule_turned import turned
from ticket.story.judge.rule_verdicts import verdicts
from ticket.story.judge.statement import FIGURE, NO, Statement, statement, tokens
from ticket.story.sentence import CAUTION, DERIVED, Lit, Sentence, Val, text_of

LONGEST = 1000  # characters of a rewording
_COMPUTED = frozenset({*DERIVED, "number", "size", "money", "date", "unit"})
_RULES = (
    answers,
    certainty,
    danger,
    figures,
    owners,
    exchanged,
    beside,
    sides,
    states,
    both,
    labour,
    pairs,
    denial,
    ruled_out,
    verdicts,
    turned,
    against,
)


def judge(case: Case, reader: str, sentence: Sentence, text: str, language: str = "en") -> Answer:
    """Refused, not proved or proved: what the judge says of these words for a sentence.

    Args:
        case: the ticket with what surrounds it.
        reader: whose story.
        sentence: what they stand in for, in the story's own words; its sources are all that the words rest on.
        text: the words.
        language: of the story.
    """
    if shape := _shape(text, sentence):
        return Answer(REFUSED, (shape,))
    if any(isinstance(source, str) and source.startswith(CAUTION) for source in sentence.sources):
        return Answer(REFUSED, (Finding("shape", "A caution is told in its own words only.", 0, len(text)),))
    if text.split() == sentence.original.split():
        return Answer(PROVED)  # the story's own words
    tickets = {0: case.ticket, case.ticket.number: case.ticket} | {one.number: one for one in case.earlier}
    cited = [
        (tickets[ref.ticket], entry)
        for ref in sentence.sources
        if isinstance(ref, Ref) and ref.ticket in tickets and (entry := tickets[ref.ticket].entry(ref.no))
    ]
    behind = [visit for home, entry in cited for visit in visits_behind(home, entry, case.earlier)]
    numbers = dict.fromkeys([*(home.number for home, _ in cited), *(visit.number for visit in behind)])
    earlier = tuple(one for one in case.earlier if one.number in numbers)
    entries = tuple(entry for _, entry in cited)
    answer = _judged(
        text,
        entries,
        reader,
        case.ticket,
        earlier,
        facts(sentence),
        own_words(sentence),
        worked_out(sentence),
        language,
    )
    return Answer(answer.word, answer.findings, tuple(_left_out(sentence, text)))


def facts(sentence: Sentence) -> tuple[str, ...]:
    """Figures and meanings that the program worked out for a sentence."""
    values = (part for part in sentence.generated if isinstance(part, Val) and part.op in _COMPUTED)
    return tuple(dict.fromkeys(_spaced(part.text) for part in values if part.text.strip()))


def own_words(sentence: Sentence) -> tuple[str, ...]:
    """What the program says of its own in it: words of the catalogue, and whole sentences that hold no typed word."""
    words = [part.text for part in sentence.generated if isinstance(part, Lit)]
    for joined, parts in groupby(sentence.generated, lambda part: part == Lit(" ")):
        run = () if joined else tuple(parts)
        if all(isinstance(part, Lit) or part.op in _COMPUTED for part in run):
            words.append(text_of(run))
    return tuple(dict.fromkeys(_spaced(text) for text in words if text.strip()))


def worked_out(sentence: Sentence) -> tuple[str, ...]:
    """Of the facts, those that no line holds as they stand: counts, meanings, forecasts."""
    values = (part for part in sentence.generated if isinstance(part, Val) and part.op in DERIVED)
    return tuple(dict.fromkeys(_spaced(part.text) for part in values))


def _spaced(text: str) -> str:
    return text.replace("\u00a0", " ").replace("\u202f", " ")


@lru_cache(maxsize=64)
def _judged(
    text: str, entries: tuple[Entry, ...], reader: str, ticket: Ticket, earlier: tuple[Ticket, ...],
    known: tuple[str, ...], own: tuple[str, ...], derived: tuple[str, ...], language: str,
) -> Answer:  # fmt: skip
    """A story is told again at every key, its rewordings are not."""
    ground = _ground(ticket, entries, earlier, known, own, derived)
    if language != "en":
        from ticket.story.judge.translated import answer

        return answer(clean(text), ground, reader, language)
    told = statement(clean(text))
    said = [*inside(told, ground, reader), *(one for rule in _RULES for one in rule(told, ground))]
    if against := [one for one in said if one.rule != MISSING]:
        return Answer(REFUSED, _ordered(against))
    lacking = (*said, *unproved(told, ground), *_hedges_of_its_own(told, own))
    return Answer(NOT_PROVED, _ordered(lacking)) if lacking else Answer(PROVED)


@lru_cache(maxsize=64)
def _ground(
    ticket: Ticket, entries: tuple[Entry, ...], earlier: tuple[Ticket, ...],
    known: tuple[str, ...], own: tuple[str, ...], derived: tuple[str, ...],
) -> Ground:  # fmt: skip
    """While a wording is typed, what it may rest on stays the same from key to key."""
    return Ground(ticket, entries, earlier, known, own, derived)


_BOUND = Regex(r"(?i)\bno (?:more|less|fewer) than\b|\bno (?:más|menos) de\b")
"""A limit in words: other words for it need not say no."""


def _hedges_of_its_own(told: Statement, own: tuple[str, ...]) -> Iterator[Finding]:
    """The program's own words leave something open, and the new words do not."""
    count = told.lists.patterns["hedge"].findall
    if len(count(told.low)) < max((len(count(words.lower())) for words in own), default=0):
        yield Finding("certainty", "The story's own sentence leaves it open.", 0, len(told.text))
    denials = (sum(one.kind == NO for one in tokens(_BOUND.sub(" ", words), "story")) for words in own)
    if any(denials) and not any(one.kind == NO for one in told.tokens):
        yield Finding("denial", "The story's own sentence has a “no”.", 0, len(told.text))


def _ordered(found: "list[Finding] | tuple[Finding, ...]") -> tuple[Finding, ...]:
    return tuple(sorted(dict.fromkeys(found), key=lambda one: (one.start, one.end)))


def _shape(text: str, sentence: Sentence) -> Finding | None:
    """What no sentence may look like, whatever it says."""
    if not text.strip():
        return Finding("shape", "There are no words; to have the story's own sentence back, take the rewording back.")
    if len(text) > LONGEST:
        return Finding("shape", f"It is longer than {LONGEST:,} characters.", LONGEST, len(text))
    if len(text.split()) == 1 < len(sentence.original.split()):
        return Finding("shape", "One word is no sentence: say what the entries say.", 0, len(text))
    if "\n" in text or "\u2028" in text or "\u2029" in text:
        return Finding("shape", "It has more than one paragraph.", 0, len(text))
    hidden = (at for at, letter in enumerate(text) if letter in "\t\u2400" or visible(letter) != letter)
    at = next(hidden, None) if visible(text) != text or "\t" in text or "\u2400" in text else None
    return None if at is None else Finding("shape", "It holds a character that cannot be seen.", at, at + 1)


def _left_out(sentence: Sentence, text: str) -> Iterator[Finding]:
    """Advice about the figures of the sentence that the new words no longer tell."""
    told: Statement = statement(text)
    mine = [token for token in told.tokens if token.kind == FIGURE]
    for token in tokens(sentence.original.replace("\u00a0", " "), "story"):
        if token.kind == FIGURE and not token.text.isalpha() and not any(same_figure(token, one) for one in mine):
            shown = sentence.original[token.start : token.end].strip()
            yield Finding("left out", f"It leaves out {shown}.", 0, len(text))
