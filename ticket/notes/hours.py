"""Amounts of time on a line, and which of them are hours to bill: some stand for labour, some for waiting."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from ticket.job.numbers import exact
from ticket.notes.phrases import means, phrase_at, swapped
from ticket.notes.tokens import Token, has_decimal_comma, value_of

_PARTING = frozenset(",;:.()-–—/+&")
LONGEST_JOB = 24
"""Hours; a longer time on a line that names no kind is none that was worked."""

HALF, QUARTER = Fraction(1, 2), Fraction(1, 4)


@dataclass(frozen=True, slots=True)
class Amount:
    """An amount of time.

    Attributes:
        first: its first token.
        behind: the token behind it.
        hours: its exact value.
        whole: it is typed in hours, at least in part; minutes alone may be something else than labour.
        doubt: what is unusual about its spelling, as a question; empty where nothing is.
        typed: figure and nothing else where it was one figure with a unit of hours; else empty.
    """

    first: int
    behind: int
    hours: Fraction
    whole: bool
    doubt: str = ""
    typed: str = ""


def amounts(tokens: Sequence[Token]) -> list[Amount]:
    """Every amount of time, in order."""
    return list(_amounts(tuple(tokens)))


@lru_cache(maxsize=4)
def _amounts(tokens: tuple[Token, ...]) -> list[Amount]:
    """The same; several readers ask it of the same line, one after the other."""
    found: list[Amount] = []
    at = 0
    while at < len(tokens):
        amount = amount_at(tokens, at)
        if amount:
            found.append(amount)
        at = amount.behind if amount else at + 1
    return found


def amount_at(tokens: Sequence[Token], at: int) -> Amount | None:
    """The amount of time that begins at a token: ``2.2 hrs``, ``1 hr 20 min``, ``an hour and a half``, ``45 min``."""
    token = tokens[at]
    if token.kind == "number":
        value = value_of(token.text)
        return _figure(tokens, at, value) if value is not None else None
    if token.kind == "word":
        return _worded(tokens, at) or _named(tokens, at)
    return None


def _named(tokens: Sequence[Token], at: int) -> Amount | None:
    """``hrs 1.8 replaced pump``: the unit in front, where a part of the line begins."""
    figure = tokens[at + 1] if at + 1 < len(tokens) else None
    plain = figure is not None and figure.kind == "number" and not figure.glued and means("hour", tokens[at].low) == "h"
    if not plain or figure is None or part_start(tokens, at) != at or tokens[at].low == "h":
        return None
    value = value_of(figure.text)
    unit, _, _ = _unit(tokens, at + 1, figure)
    if value is None or unit or value > LONGEST_JOB:
        return None
    return Amount(at, at + 2, value, whole=True, typed=figure.text if exact(figure.text) is not None else "")


def _unit(tokens: Sequence[Token], at: int, token: Token) -> tuple[str, int, str]:
    """Unit of time behind a figure: ``h`` or ``min``, the place behind it, and a doubt about its spelling."""
    if token.glued:
        return means("hour", token.glued.lower()) or means("minute", token.glued.lower()), at + 1, ""
    if at + 1 >= len(tokens):
        return "", at, ""
    low = tokens[at + 1].low.rstrip(".")
    unit = means("hour", low) or (means("minute", low) if low != "m" else "")
    if unit:
        return unit, at + 2, ""
    slip = swapped("hour", low) or swapped("minute", low)
    return (
        (slip, at + 2, f"{tokens[at + 1].text} was read as {'hours' if slip == 'h' else 'minutes'}.")
        if slip
        else ("", at, "")
    )


def _figure(tokens: Sequence[Token], at: int, value: Fraction) -> Amount | None:
    token = tokens[at]
    unit, behind, doubt = _unit(tokens, at, token)
    half = _and_part(tokens, at + 1)
    if not unit and half:  # "2 and a half hours"
        again = _hour_word(tokens, half[1])
        return Amount(at, again, value + half[0], whole=True) if again else None
    if not unit:
        return None
    if has_decimal_comma(token):
        doubt = f"{token.text} was read as {token.text.replace(',', '.')}; a decimal point is a full stop here."
    if unit == "min":
        return Amount(at, behind, value / 60, whole=False, doubt=doubt)
    more = _and_part(tokens, behind)
    if more:
        return Amount(at, more[1], value + more[0], whole=True, doubt=doubt)
    minutes = _minutes(
        tokens, behind, glued=bool(token.glued) and behind < len(tokens) and tokens[behind].start == token.end
    )
    if minutes and value.denominator == 1:
        last = tokens[minutes[1] - 1]
        follows = minutes[1] < len(tokens) and last.end < tokens[minutes[1]].start
        apart = last.start > token.end  # "2h30" can mean nothing else
        if apart and follows and last.kind == "number" and not last.glued:
            doubt = f"{last.text} was read as minutes; write {last.text} min to be sure."
        return Amount(at, minutes[1], value + minutes[0], whole=True, doubt=doubt)
    typed = token.text if exact(token.text) is not None and not has_decimal_comma(token) else ""
    return Amount(at, behind, value, whole=True, doubt=doubt, typed=typed)


def _minutes(tokens: Sequence[Token], at: int, *, glued: bool) -> tuple[Fraction, int] | None:
    """``20 min`` or a bare ``20`` behind whole hours."""
    if at < len(tokens) and tokens[at].low in ("and", "&", ","):
        at += 1
        bare = False
    else:
        bare = True
    if at >= len(tokens) or tokens[at].kind != "number":
        return None
    value = value_of(tokens[at].text)
    if value is None or value.denominator != 1 or not 0 < value < 60:
        return None
    unit, behind, _ = _unit(tokens, at, tokens[at])
    if not unit and (glued or tokens[at].glued == "") and at + 1 < len(tokens) and tokens[at + 1].low == "m":
        unit, behind = "min", at + 2
    if unit == "min" or tokens[at].glued.lower() == "m":
        return value / 60, max(behind, at + 1)
    closed = at + 1 >= len(tokens) or tokens[at + 1].low in _PARTING
    words = not closed and tokens[at + 1].kind == "word" and not means("forming", tokens[at + 1].low)
    if bare and not tokens[at].glued and len(tokens[at].text) == 2 and (glued or closed or (words and value % 5 == 0)):
        return value / 60, at + 1
    return None


def _and_part(tokens: Sequence[Token], at: int) -> tuple[Fraction, int] | None:
    """``and a half``, ``and a quarter``."""
    if at >= len(tokens) or tokens[at].low not in ("and", "&"):
        return None
    at += 1
    if at < len(tokens) and tokens[at].low in ("a", "one"):
        at += 1
    part = {"half": HALF, "quarter": QUARTER}.get(tokens[at].low) if at < len(tokens) else None
    return (part, at + 1) if part else None


def _and_minutes(tokens: Sequence[Token], at: int) -> tuple[Fraction, int] | None:
    """``hour and ten``: so many minutes in words, closing what is said."""
    if at + 1 >= len(tokens) or tokens[at].low not in ("and", "&") or part_end(tokens, at) != at + 2:
        return None
    minutes = {"ten": 10, "twenty": 20, "five": 5, "fifteen": 15, "forty": 40, "thirty": 30}.get(tokens[at + 1].low)
    return (Fraction(minutes, 60), at + 2) if minutes else None


def _hour_word(tokens: Sequence[Token], at: int) -> int:
    """The place behind ``hour``, ``of an hour`` or ``an hour``; 0 where none stands there."""
    for skip in ("of", "an", "a"):
        if at < len(tokens) and tokens[at].low == skip:
            at += 1
    return at + 1 if at < len(tokens) and means("hour", tokens[at].low.rstrip(".")) else 0


def _worded(tokens: Sequence[Token], at: int) -> Amount | None:
    """``half an hour``, ``an hour and a half``, ``two and a half hours``, ``hr and a half``."""
    part = phrase_at("part of", tokens, at)
    if part:
        behind = _hour_word(tokens, part[1])
        return Amount(at, behind, Fraction(part[0]), whole=True) if behind else None
    if tokens[at].low.rstrip(".") in ("hour", "hr"):
        more = _and_part(tokens, at + 1) or _and_minutes(tokens, at + 1)
        return Amount(at, more[1], 1 + more[0], whole=True) if more else None
    numeral = means("numeral", tokens[at].low)
    if not numeral:
        return None
    value = Fraction(numeral)
    more = _and_part(tokens, at + 1)
    if more:
        behind = _hour_word(tokens, more[1])
        return Amount(at, behind, value + more[0], whole=True) if behind else None
    if at + 1 < len(tokens) and tokens[at + 1].low == "half" and tokens[at].low in ("a", "an", "one"):
        behind = _hour_word(tokens, at + 2)
        return Amount(at, behind, HALF, whole=True) if behind else None
    unit = means("hour", tokens[at + 1].low.rstrip(".")) if at + 1 < len(tokens) else ""
    if not unit:
        return None
    more = _and_part(tokens, at + 2)
    return Amount(at, more[1] if more else at + 2, value + (more[0] if more else 0), whole=True)


def part_start(tokens: Sequence[Token], at: int) -> int:
    """The first token of the comma part a token stands in."""
    while at > 0 and not (
        (tokens[at - 1].kind == "mark" and tokens[at - 1].low in ",;:()–—.") or _dash(tokens, at - 1)
    ):
        at -= 1
    return at


def part_end(tokens: Sequence[Token], at: int) -> int:
    """The token behind the comma part a token stands in."""
    while at < len(tokens) and not ((tokens[at].kind == "mark" and tokens[at].low in ",;:()–—.") or _dash(tokens, at)):
        at += 1
    return at


def _dash(tokens: Sequence[Token], at: int) -> bool:
    """A hyphen with blanks on both sides parts like a comma."""
    return tokens[at].low == "-" and (at == 0 or tokens[at - 1].end < tokens[at].start)


def standing(tokens: Sequence[Token], amount: Amount) -> str:
    """What an amount of time on a line of labour is.

    ``labour``: it says so (billed, flat rate, a rate behind it). ``plain``: hours by their place. ``runs``: how long
    something ran, soaked or waited. ``each``: for several people. ``open``: nobody can tell.
    """
    first, behind = amount.first, amount.behind
    before = first - 1
    while before >= 0 and means("about", tokens[before].low):
        before -= 1
    start, end = part_start(tokens, first), part_end(tokens, behind)
    if _two_figures(tokens, first):
        return "open"
    if phrase_at("labour", tokens, behind) or (before >= 0 and labour_before(tokens, before)) or rated(tokens, behind):
        return "labour"
    if (behind < len(tokens) and tokens[behind].low in ("each", "ea", "apiece", "per")) or _people(tokens, behind):
        return "each"
    runs = any(phrase_at("running", tokens, i) for i in range(start, before + 1))
    led = before >= start and bool(means("elapsed", tokens[before].low))
    if led and tokens[before].low != "for":
        return "runs"
    if led and amount.whole and not any(phrase_at("running", tokens, i) for i in range(len(tokens))):
        return "plain"
    if runs:
        return "runs" if led or not amount.whole else "open"
    if led:
        return "open" if amount.whole else "runs"
    follows = phrase_at("running", tokens, behind) if behind < end else None
    if follows and start == first:
        return "open" if amount.whole else "runs"
    if amount.whole or first == 0 or (start == first and behind == end) or behind == end:
        return "plain"
    return "open"


def _two_figures(tokens: Sequence[Token], first: int) -> bool:
    """Two figures where one is meant. ``3 5 hr``: a slip for 3.5, or a number of something in front of 5 hours."""
    before = tokens[first - 1] if first else None
    ranged = before is not None and before.low in ("or", "to", "-", "–")
    if first > 1 and ranged and _is_figure(tokens, first - 2):
        return True  # "2.5 or 3 hrs", "1.5 to 2 h", "half or three quarter hr": which of the two?
    return (
        before is not None
        and before.kind == "number"
        and not before.glued
        and before.text.isdecimal()
        and tokens[first].kind == "number"
        and tokens[first].text.isdecimal()
    )


def _is_figure(tokens: Sequence[Token], at: int) -> bool:
    """A number without a unit, or a number or part of one in words."""
    token = tokens[at]
    worded = bool(means("numeral", token.low)) or token.low in ("half", "quarter", "quarters")
    return worded or (token.kind == "number" and not token.glued)


def labour_before(tokens: Sequence[Token], before: int) -> bool:
    """Whether a word such as ``labour`` or ``flat rate`` ends at a token; small words may stand between."""
    if before < 0:
        return False
    while before > 0 and tokens[before].low in (":", "=", "of", "at", "is", "hours", "hrs"):
        before -= 1
    return any(phrase_at("labour", tokens, i) == ("labour", before + 1) for i in range(max(0, before - 1), before + 1))


def rated(tokens: Sequence[Token], behind: int) -> bool:
    """Whether a rate stands there: ``@ 145`` behind the hours is what one of them costs."""
    return (
        behind + 1 < len(tokens)
        and tokens[behind].low in ("@", "at")
        and tokens[behind + 1].kind in ("money", "number")
    )


def _people(tokens: Sequence[Token], behind: int) -> bool:
    return any(
        tokens[i].kind in ("number", "count") and i + 1 < len(tokens) and bool(means("people", tokens[i + 1].low))
        for i in range(behind, min(behind + 2, len(tokens)))
    )


def as_hours(value: Fraction) -> str:
    """Hours as the notation keeps them: a decimal where it ends, else a mixed number."""
    whole, rest = divmod(value, 1)
    scaled = value * 1000
    if scaled.denominator == 1:
        text = f"{int(whole)}.{int(rest * 1000):03d}".rstrip("0").rstrip(".")
        return text or "0"
    return f"{int(whole)} {rest}" if whole else str(rest)
