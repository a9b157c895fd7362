"""Questions about the words themselves: promises, short forms nobody explains, lines with nothing in them."""

from collections.abc import Iterator

from ticket.gaps.gap import ADVICE, BLOCKING, Gap, Rule
from ticket.job.case import Case
from ticket.job.empty_lines import says_nothing
from ticket.job.kinds import Cause, Did, Found, Later, Offer, Proof, Ruled, Told
from ticket.job.regex import Regex
from ticket.job.text import fold
from ticket.language import shortforms
from ticket.readings.measured_groups import words_of
from ticket.readings.units import find
from ticket.story.glossing import glossary

_PROMISE = Regex(
    r"(?i)\b(?:(?:can ?not|can't|will not|won't|will never|never) (?:happen|occur|come back|fail|return|break|leak)|"
    r"perfect(?:ly)?|guarantee[ds]?|100 ?%|as good as new|for good|forever|fully fixed|fixed permanently|"
    r"permanently fixed|no further problems?|problem solved|trouble-free|risk-free)\b"
)
_SHORT = Regex(r"(?<![\w/.\-&])[A-Z]{2,5}(?![\w/.\-&])")
# Short forms a reader of any paper knows, and those the notation itself uses.
_KNOWN = frozenset("OK UV AC DC USB GPS LED OL VIN TV SUV AM PM LF RF LR RR LH RH FL FR RL AWD FWD RWD SPN FMI".split())
_TOLD = Found | Ruled | Cause | Offer | Did | Later | Proof


def promise_words(case: Case) -> Iterator[Gap]:
    """What is written claims no more than a test can show (N24)."""
    for entry in case.ticket.living:
        if isinstance(entry.fact, _TOLD | Told) and (match := _PROMISE.search(words_of(entry.fact))):
            question = f"“{match[0]}” promises more than a test can show. Write what was tested instead."
            yield Gap("promise-words", ADVICE, question, entry.no)


def short_form_unexplained(case: Case) -> Iterator[Gap]:
    """A short form the customer will read is explained in the glossary (N23)."""
    known = {fold(term) for term in (*glossary(), *shortforms.table())} | {fold(term) for term, _ in case.terms}
    asked: set[str] = set()
    for entry in case.ticket.living:
        if entry.shop_only or not isinstance(entry.fact, _TOLD):
            continue
        text = words_of(entry.fact)
        if text.upper() == text:
            continue
        for short in dict.fromkeys(_SHORT.findall(text)):
            if short in _KNOWN or fold(short) in known or short in asked or find(short) is not None:
                continue
            asked.add(short)
            question = f"What does {short} mean to the customer? Once for all: ticket shop glossary {short} = ..."
            yield Gap("short-form-unexplained", ADVICE, question, entry.no)


def empty_entry(case: Case) -> Iterator[Gap]:
    """A line says something."""
    for entry in case.ticket.living:
        if says_nothing(entry.fact):
            question = f"This line names nothing behind {entry.kind}: what is it? Fill it in, or strike it."
            yield Gap("empty-entry", BLOCKING, question, entry.no)


RULES: tuple[Rule, ...] = (
    promise_words,
    short_form_unexplained,
    empty_entry,
)
