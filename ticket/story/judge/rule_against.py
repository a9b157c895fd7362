"""What is told against the sense of a whole line: sentences whose words need no opposite of any typed word."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from ticket.job.kinds import Told, Used
from ticket.job.numbers import exact
from ticket.job.regex import Regex
from ticket.story.judge.answer import Finding
from ticket.story.judge.ground import Ground
from ticket.story.judge.statement import FIGURE, Statement
from ticket.story.judge.tables import tables

_DAYS = Regex(r"\b(mon|tues?|wed(?:nes)?|thu(?:rs)?|fri|sat(?:ur)?|sun)(?:day)?s?\b")
_MONTHS = Regex(
    r"\b(jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|june?|july?|aug(?:ust)?|sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)\b"
)
_TOTAL = Regex(r"\b(?:in all|all together|altogether|in total|total|together|for the lot|came to)\b")
_EACH = Regex(r"\b(?:each|apiece|per|a piece|every)\b")


@dataclass(frozen=True, slots=True)
class _Row:
    """A class of sentences: what was typed, what tells it the other way, what allows that; of which kinds."""

    kinds: tuple[str, ...]
    typed: "re.Pattern[str]"
    told: "re.Pattern[str]"
    unless: "re.Pattern[str] | None"
    why: str
    alone: bool


@cache
def _rows() -> tuple[_Row, ...]:
    def row(one: dict[str, str]) -> _Row:
        unless = re.compile(one["unless"]) if "unless" in one else None
        kinds = tuple(one.get("kinds", "").split())
        return _Row(
            kinds, re.compile(one["typed"]), re.compile(one["told"]), unless, one["why"], bool(one.get("alone"))
        )

    return tuple(map(row, tables().data["against"]))


def against(told: Statement, ground: Ground) -> Iterator[Finding]:
    """Every class of the table, another day, and the price of one told as that of all."""
    for row in _rows():
        if not (hit := row.told.search(told.low)):
            continue
        if row.alone and _others_too(row, ground):
            continue
        lines = [
            ground.written[entry.no].lower() for entry in ground.entries if not row.kinds or entry.kind in row.kinds
        ]
        if any(row.typed.search(line) for line in lines) and not any(_allowed(row, line) for line in lines):
            yield Finding("turned", row.why, *hit.span())
    yield from _other_day(told, ground)
    yield from _total_of_one(told, ground)
    yield from _other_answer(told, ground)


def _others_too(row: _Row, ground: Ground) -> bool:
    """Whether entries of other kinds are cited, or could be: work that stands elsewhere on the ticket."""
    work = {entry.kind for entry in ground.ticket.living} & {"did", "used", "offer", "later"}
    return not (ground.kinds | work) <= set(row.kinds)


def _allowed(row: _Row, line: str) -> bool:
    return row.unless is not None and row.unless.search(line) is not None


def _other_day(told: Statement, ground: Ground) -> Iterator[Finding]:
    """A day of the week or a month, where only another one was typed."""
    for pattern, width in ((_DAYS, 3), (_MONTHS, 3)):
        typed = {
            hit[1][:width] for entry in ground.entries for hit in pattern.finditer(ground.written[entry.no].lower())
        }
        for hit in pattern.finditer(told.low) if typed else ():
            if hit[1][:width] not in typed:
                yield Finding("figure", "Another day was typed.", *hit.span())


def _total_of_one(told: Statement, ground: Ground) -> Iterator[Finding]:
    """The price of one of several, told as what all of them came to."""
    for entry in ground.of_kind("used"):
        fact = entry.fact
        count = exact(fact.amount) if isinstance(fact, Used) and fact.amount else None
        price = exact(fact.price) if isinstance(fact, Used) and fact.price else None
        if not (count and price and count > 1) or not _TOTAL.search(told.low) or _EACH.search(told.low):
            continue
        sums = {price * count, *(one.value for one in ground.figures if one.value != price)}
        for token in told.tokens:
            if token.kind == FIGURE and token.value == price and Fraction(price) not in sums:
                yield Finding("figure", "That is the price of one of them.", token.start, token.end)


def _other_answer(told: Statement, ground: Ground) -> Iterator[Finding]:
    """Who still thinks, or did not answer, has said neither yes nor no."""
    for entry in ground.of_kind("told"):
        answers = {one.answer for one in entry.fact.answers} if isinstance(entry.fact, Told) else set()
        if not answers or answers & {"yes", "no"}:
            continue
        for name in ("accept", "decline"):
            hit = told.lists.said(name, told.low)
            if hit is not None and not _WAITS.search(told.low):
                yield Finding("inside", "That is another answer than was typed.", *hit.span())


_WAITS = Regex(r"\b(?:think|thinking|decide|not|no|until|if|once|whether|yet|waiting|without|before)\b")
