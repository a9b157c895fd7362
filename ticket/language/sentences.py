"""The clauses of one line put together as sentences: the typed joins are kept, *but* is never told as *and*."""

from ticket.language.phrasebook import NO_BOOK, Phrases
from ticket.language.records import Absent, Act, Has, Meaning, Measure, Trial
from ticket.language.tell import Gap, tell
from ticket.language.voice import PAST, Voice
from ticket.language.voices import voice

_LONG = 26  # words; a longer line is told as several sentences


def sentences(meaning: Meaning, language: str, tense: str = PAST, book: Phrases = NO_BOOK) -> tuple[str, ...] | Gap:
    """A whole line as sentences with capital and stop."""
    told = tell(meaning, language, tense, book)
    if isinstance(told, Gap):
        return told
    words = voice(language)
    runs = _runs(meaning, told)
    out: list[str] = []
    for joins, run, work in runs:
        at = told.index(run[-1])
        own = _has_own_subject(meaning, at)
        out.append(_sentence(run, joins, words, work=work, own=own))
    return tuple(out)


def _runs(meaning: Meaning, told: tuple[str, ...]) -> list[tuple[list[str], list[str], bool]]:
    """Clauses that make one sentence: cut at stops, behind work, and where it grows too long."""
    out: list[tuple[list[str], list[str], bool]] = []
    size = 0
    for i, text in enumerate(told):
        join = meaning.joins[i - 1] if i else "."
        left_out = getattr(meaning.clauses[i], "things", True) is None
        work = isinstance(meaning.clauses[i], (Act, Trial))
        shown = bool(i) and isinstance(meaning.clauses[i - 1], Trial) and not work  # what a trial showed
        size += text.count(" ") + 1
        same = bool(i) and work == isinstance(meaning.clauses[i - 1], (Act, Trial))
        if out and join != "." and (same or shown) and (size <= _LONG or left_out or shown):
            out[-1][0].append(":" if shown else "and" if join in (",", ";", ":") else join)
            out[-1][1].append(text)
        else:
            out.append(([], [text], work))
            size = text.count(" ") + 1
    return out


def _has_own_subject(meaning: Meaning, at: int) -> bool:
    """Whether a clause begins with a thing of its own and not with its verb."""
    clause = meaning.clauses[at]
    if isinstance(clause, Absent):
        return not (at and isinstance(meaning.clauses[at - 1], Absent))
    return getattr(clause, "things", True) is not None or isinstance(clause, (Measure, Has))


def _sentence(run: list[str], joins: list[str], words: Voice, *, work: bool, own: bool = True) -> str:
    head = ""
    if ":" in joins:
        at = joins.index(":") + 1
        head, run, joins, work = (
            _sentence(run[:at], joins[: at - 1], words, work=work)[:-1],
            run[at:],
            joins[at:],
            False,
        )
    if all(join == "and" for join in joins):
        comma = (
            len(run) == 2
            and not words.behind
            and ((own and not work) or "," in run[0] or (work and f" {words.word('and')} " in run[0]))
        )
        text = f"{run[0]}, {words.word('and')} {run[1]}" if comma else words.joined(run, words.word("and"))
    else:
        text = run[0]
        for join, clause in zip(joins, run[1:], strict=True):
            text += f", {words.word(join)} {clause}"
    if work:
        text = (words.template("we") or "{y}").replace("{y}", text)
    return f"{head}: {text}." if head else text[0].upper() + text[1:] + "."
