"""The clauses of one line put together as sentences: the typed joins are kept, *but* is never told as *and*."""

from dataclasses import dataclass, field

from ticket.language.phrasebook import NO_BOOK, Phrases
from ticket.language.records import Absent, Act, Has, Meaning, Measure, Trial, together
from ticket.language.tell import Gap, tell
from ticket.language.voice import PAST, Voice
from ticket.language.voices import voice

_LONG = 26  # words; a longer line is told as several sentences


@dataclass
class _Run:
    """The clauses of one sentence, what stands between them, and whether it is told as "we ..."."""

    work: bool
    texts: list[str] = field(default_factory=list)
    joins: list[str] = field(default_factory=list)
    own: bool = True  # the last clause begins with a thing of its own


def sentences(meaning: Meaning, language: str, tense: str = PAST, book: Phrases = NO_BOOK) -> tuple[str, ...] | Gap:
    """A whole line as sentences with capital and stop, or the gap that keeps it from being told."""
    meaning = together(meaning)
    told = tell(meaning, language, tense, book)
    if isinstance(told, Gap):
        return told
    words = voice(language)
    return tuple(_sentence(run, words) for run in _runs(meaning, told, words))


def _runs(meaning: Meaning, told: tuple[str, ...], words: Voice) -> list[_Run]:
    """Clauses that make one sentence: cut at stops, behind work, and where it grows too long."""
    out: list[_Run] = []
    size = 0
    for i, text in enumerate(told):
        join = meaning.joins[i - 1] if i else "."
        if out and words.behind and join != "." and _goes_on(meaning, i):
            out[-1].texts[-1] += f" {text}"  # the denial brings its own link: "no había ruido ni fricción"
            continue
        size += text.count(" ") + 1
        if not out or not _joins(meaning, i, join, size):
            out.append(_Run(isinstance(meaning.clauses[i], (Act, Trial))))
            size = text.count(" ") + 1
        else:
            shown = isinstance(meaning.clauses[i - 1], Trial) and not isinstance(meaning.clauses[i], (Act, Trial))
            out[-1].joins.append(":" if shown else "and" if join in (",", ";", ":") else join)
        out[-1].texts.append(text)
        out[-1].own = _has_own_subject(meaning, i)
    return out


def _joins(meaning: Meaning, i: int, join: str, size: int) -> bool:
    """Whether a clause goes on the sentence before it."""
    work, before = (isinstance(meaning.clauses[at], (Act, Trial)) for at in (i, i - 1))
    shown = isinstance(meaning.clauses[i - 1], Trial) and not work  # what a trial showed
    left_out = getattr(meaning.clauses[i], "things", True) is None
    return join != "." and (shown or (work == before and (size <= _LONG or left_out)))


def _goes_on(meaning: Meaning, i: int) -> bool:
    """Whether a clause is one more absence behind another."""
    before, clause = meaning.clauses[i - 1], meaning.clauses[i]
    return bool(i) and isinstance(clause, Absent) and isinstance(before, Absent) and not before.places


def _has_own_subject(meaning: Meaning, i: int) -> bool:
    """Whether a clause begins with a thing of its own and not with its verb."""
    clause = meaning.clauses[i]
    if isinstance(clause, Absent):
        return not _goes_on(meaning, i)
    return getattr(clause, "things", True) is not None or isinstance(clause, (Measure, Has))


def _sentence(run: _Run, words: Voice) -> str:
    head = ""
    texts, joins, work = run.texts, run.joins, run.work
    if ":" in joins:
        at = joins.index(":") + 1
        head = _sentence(_Run(work, texts[:at], joins[: at - 1]), words)[:-1]
        texts, joins, work = texts[at:], joins[at:], False
    text = _joined(texts, joins, words, work=work, own=run.own)
    if work:
        text = (words.template("we") or "{y}").replace("{y}", text)
    return f"{head}: {text}." if head else text[0].upper() + text[1:] + "."


def _joined(texts: list[str], joins: list[str], words: Voice, *, work: bool, own: bool) -> str:
    link = words.word("and")
    if all(join == "and" for join in joins):
        crowded = "," in texts[0] or (work and f" {link} " in texts[0])
        if len(texts) == 2 and not words.behind and ((own and not work) or crowded):
            return f"{texts[0]}, {link} {texts[1]}"
        return words.joined(texts, link)
    text = texts[0]
    for join, clause in zip(joins, texts[1:], strict=True):
        text += f", {words.word(join) or join} {clause}"
    return text
