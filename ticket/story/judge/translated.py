"""Words of another language than the typed one: refused where figures differ, proved only as the record is told."""

import re
from collections.abc import Iterator

from ticket.job.entry import Entry
from ticket.job.kinds import Did, Found, Proof
from ticket.job.regex import Regex
from ticket.language.certain import read
from ticket.language.records import Meaning
from ticket.language.spans import spans
from ticket.language.tables import languages
from ticket.language.tell import Gap, tell
from ticket.story.judge.answer import NOT_PROVED, PROVED, REFUSED, Answer, Finding
from ticket.story.judge.ground import Ground
from ticket.story.judge.rule_figures import codes
from ticket.story.judge.statement import numbers_in, statement

_BRACKET = Regex(r"\([^()]*\)")
_JOINS = Regex(r"\s*[,;.]\s+(?:y\s+|and\s+)?|\s+(?:y|e|and)\s+")


def answer(text: str, ground: Ground, reader: str, language: str) -> Answer:
    """Never proved by chance: only where each clause is what the program itself tells of the record of a typed line."""
    if reader != "shop" and any(entry.shop_only or entry.kind == "note" for entry in ground.entries):
        return Answer(REFUSED, (Finding("inside", "A cited entry stays inside the shop.", 0, len(text)),))
    for span in spans(text, "story"):
        if span.value and not numbers_in(span.value) <= ground.digits:
            reason = f"“{span.text}” is not typed."
            return Answer(REFUSED, (Finding("figure", reason, span.start, span.end),))
    for strange in codes(statement(text), ground):
        return Answer(REFUSED, (strange,))
    if language in languages() and plain(text) in _wholes(ground, language):
        return Answer(PROVED)
    reason = "Words of this language cannot be proved by the typed ones."
    return Answer(NOT_PROVED, (Finding("proof", reason, 0, len(text)),))


def _wholes(ground: Ground, language: str) -> set[str]:
    """Every cited line as told from its record, its clauses put together however a writer may join them."""
    return {whole for entry in ground.entries for whole in _tellings(entry, language)}


def _tellings(entry: Entry, language: str) -> Iterator[str]:
    fact = entry.fact
    if isinstance(fact, Did):
        meaning = read(fact.text, "did")
    elif isinstance(fact, Found | Proof):
        meaning = read(_BRACKET.sub("", fact.what).strip(), entry.kind)
    else:
        return
    if not isinstance(meaning, Meaning):
        return
    told = tell(meaning, language)
    if not isinstance(told, Gap):
        yield plain(" , ".join(told))
        if len(told) > 1 and isinstance(fact, Found):
            yield plain(told[0])  # the first clause names its thing


def plain(text: str) -> str:
    """A text for comparing: small letters, one space, every join of two clauses a comma, no final stop."""
    spaced = re.sub(r"\s+", " ", text.replace("\u00a0", " ")).strip(" .").lower()
    return re.sub(r"\s*,\s*", " , ", _JOINS.sub(" , ", spaced))
