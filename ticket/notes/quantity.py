"""How much of a part was used: ``2 qts``, ``(2)``, ``x2``, ``qty 4``, ``three``, ``1 set``, or a bare count."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from ticket.job.entry import Remark
from ticket.notes.asking import ask, place, unread
from ticket.notes.finding.unit_words import unit_end
from ticket.notes.phrases import means, phrase_at
from ticket.notes.shapes import is_number
from ticket.notes.spans import Body
from ticket.notes.tokens import Token, has_decimal_comma, plain_number
from ticket.readings.units import find

_SOLD_BY = ("volume", "mass", "pieces")
_SOLD_UNITS = ("m", "ft", "h")
_MOST_PIECES = 200  # a bare figure above it in front of a name is the name of something


@dataclass(slots=True)
class Count:
    """The quantity of a line: its fields, the number of pieces where it counts pieces, and what is asked."""

    fields: dict[str, Any] = field(default_factory=dict)
    count: Fraction | None = None
    remarks: list[Remark] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Hit:
    first: int
    behind: int
    number: str
    unit: str
    token: int  # of the figure
    sure: bool = True


def sold_unit(tokens: Sequence[Token], at: int) -> tuple[str, int] | None:
    """The unit behind a figure as it is kept, and the token behind it; only units by which parts are sold."""
    token = tokens[at]
    if token.glued:
        return (_kept(token.glued, token.glued.lower()), at + 1) if means("sold", token.glued.lower()) else None
    for size in (3, 2, 1):
        words = tokens[at + 1 : at + 1 + size]
        if len(words) < size or any(word.kind not in ("word", "mark") or word.low in ",;@()/" for word in words):
            continue
        low = " ".join(word.low for word in words)
        named = phrase_at("sold", tokens, at + 1)
        if named and named[1] == at + 1 + size:
            return _kept(" ".join(word.text for word in words), low), named[1]
        unit = find(" ".join(word.text for word in words)) or find(low)
        if unit and (unit.dimension.split(":")[0] in _SOLD_BY or unit.name in _SOLD_UNITS):
            return (words[0].text if size == 1 else " ".join(word.text for word in words)), at + 1 + size
    return None


def _kept(typed: str, low: str) -> str:
    """The unit as typed where the table of units knows it so, else its usual sign; pieces are ``x``."""
    named = means("sold", low) or "x"
    if named == "x":
        return "x"
    return typed if find(typed) else named


def several_parts(tokens: Sequence[Token]) -> tuple[int, int] | None:
    """Where several parts stand on one line: two pieces that begin with a count and go on with a word."""
    starts = [0] + [
        i + 1 for i, token in enumerate(tokens) if token.low in (",", "+", "plus", "&", "and") and i + 1 < len(tokens)
    ]
    counted = [at for at in starts if _counts(tokens, at)]
    if len(counted) < 2 or counted[0] != 0:
        return None
    return 0, len(tokens)


def _counts(tokens: Sequence[Token], at: int) -> bool:
    """A count with a name behind it, such as ``1 gskt`` or ``2 x seal``; ``12 oz`` alone and ``10 mm`` are none."""
    if at >= len(tokens):
        return False
    token = tokens[at]
    if token.kind == "word" and means("numeral", token.low) and token.low not in ("a", "an"):
        behind = at + 1
    elif token.kind == "number" and token.text.isdecimal() and len(token.text) <= 3:
        unit = sold_unit(tokens, at)
        behind = unit[1] if unit else at + 1
    else:
        return False
    if behind >= len(tokens) or tokens[behind].kind not in ("word", "name"):
        return False
    return not means("forming", tokens[behind].low) and not means("condition", tokens[behind].low)


def quantity_of(body: Body, tokens: Sequence[Token], taken: set[int], forced: bool) -> Count:
    """The quantity, its tokens taken away."""
    count = Count()
    hit = (
        (_forced(body, tokens, taken) if forced else None)
        or _leading(tokens, taken)
        or _named(tokens, taken)
        or _bracketed(tokens, taken)
        or _anywhere(tokens, taken)
    )
    if hit is None:
        count.remarks += _asked(body, tokens, taken)
        return count
    other = _or_another(tokens, hit)
    if other:
        text = "Two amounts stand here; write the one that was used in front, such as 2 x or 5 L."
        count.remarks.append(unread(body, place(tokens, hit.first, other), text, blocks=True))
        return count
    count.fields = {"amount": hit.number, "unit": hit.unit} if hit.unit else {"amount": hit.number}
    token = tokens[hit.token]
    if not hit.unit or find(hit.unit) is None or hit.unit in ("set", "pair") or hit.unit == "x":
        count.count = (
            token.value if token.kind == "number" else Fraction(hit.number) if hit.number.isdecimal() else None
        )
    if has_decimal_comma(token):
        text = f"{token.text} was read as {hit.number}; a decimal point is a full stop here."
        count.remarks.append(ask(body, place(tokens, hit.token, hit.token + 1), text, hit.number))
    taken.update(range(hit.first, hit.behind))
    return count


def _or_another(tokens: Sequence[Token], hit: _Hit) -> int:
    """``4 or 5 litres``, ``3 l or maybe 5``: the token behind the other amount; 0 where none stands there."""
    for start in (hit.token + 1, hit.behind):
        at = start
        if at >= len(tokens) or tokens[at].low not in ("or", "maybe", "perhaps"):
            continue
        while at < len(tokens) and tokens[at].low in ("or", "maybe", "perhaps", "possibly", "even", "about"):
            at += 1
        if at < len(tokens) and tokens[at].kind == "number":
            return at + 1
    return 0


def _first(tokens: Sequence[Token], taken: set[int]) -> int:
    return next(
        (at for at in range(len(tokens)) if at not in taken and tokens[at].low not in ("=", "-", ",", ":")), len(tokens)
    )


def _forced(body: Body, tokens: Sequence[Token], taken: set[int]) -> _Hit | None:
    """``= 2 cfm``: whatever unit stands behind the figure is the unit."""
    at = _first(tokens, taken)
    if at >= len(tokens) or tokens[at].kind != "number":
        return None
    token = tokens[at]
    start = token.start + len(token.text)
    start += body.bare[start : start + 1] == " "
    stop = unit_end(body.bare, start)
    unit = " ".join(body.bare[start:stop].split())
    pieces = at + 1 < len(tokens) and tokens[at + 1].low in ("x", "×")
    if pieces or token.glued.lower() == "x":
        return _Hit(at, at + 2 if pieces else at + 1, plain_number(token.text), "x", at)
    behind = next((i for i in range(at + 1, len(tokens)) if tokens[i].start >= max(stop, start)), len(tokens))
    return _Hit(at, behind if unit else at + 1, plain_number(token.text), unit, at)


def _leading(tokens: Sequence[Token], taken: set[int]) -> _Hit | None:
    at = _first(tokens, taken)
    if at >= len(tokens):
        return None
    condition = phrase_at("condition", tokens, at)
    if condition and condition[1] < len(tokens) and tokens[condition[1]].kind == "number":
        at = condition[1]
    token = tokens[at]
    if token.kind == "word":
        return _numeral(tokens, at)
    if token.kind == "count":
        return _Hit(at, at + 1, token.text[1:], "x", at)
    if token.kind != "number" or not is_number(plain_number(token.text)):
        return None
    number = plain_number(token.text)
    unit = sold_unit(tokens, at)
    if unit and _parted(tokens, unit[1]):
        return _Hit(at, unit[1], number, unit[0], at)
    if token.glued or not token.text.isdecimal() or int(token.text) > _MOST_PIECES or at + 1 >= len(tokens):
        return None
    follows = tokens[at + 1]
    if follows.kind in ("word", "name") and not means("forming", follows.low) and find(follows.text) is None:
        return _Hit(at, at + 1, number, "x", at)
    return None


def _parted(tokens: Sequence[Token], behind: int) -> bool:
    """A unit ends where a blank, a comma or the end follows: ``2 x-rings`` counts no ``x``."""
    return behind >= len(tokens) or tokens[behind].start > tokens[behind - 1].end or tokens[behind].low in ",;@()#$/"


def _numeral(tokens: Sequence[Token], at: int) -> _Hit | None:
    """``three clips``, ``a pair of wipers``, ``one set pads``."""
    number = means("numeral", tokens[at].low)
    if not number:
        pair = means("sold", tokens[at].low) in ("pair", "set") and at + 1 < len(tokens) and tokens[at + 1].low == "of"
        return _Hit(at, at + 2, "1", tokens[at].low, at) if pair else None
    unit = sold_unit(tokens, at) if at + 1 < len(tokens) and tokens[at + 1].kind == "word" else None
    if unit:
        behind = unit[1] + (unit[1] < len(tokens) and tokens[unit[1]].low == "of")
        return _Hit(at, behind, number, unit[0], at)
    if tokens[at].low in ("a", "an") or at + 1 >= len(tokens) or tokens[at + 1].kind == "mark":
        return None
    return None if means("forming", tokens[at + 1].low) else _Hit(at, at + 1, number, "x", at)


def _named(tokens: Sequence[Token], taken: set[int]) -> _Hit | None:
    """``qty 4``, ``qty: 2 qts``, ``quantity of 3``."""
    for at in range(len(tokens)):
        lead = phrase_at("quantity", tokens, at)
        if at in taken or not lead:
            continue
        number = lead[1]
        while number < len(tokens) and tokens[number].low in (":", "=", "of", "-", "."):
            number += 1
        if number < len(tokens) and tokens[number].kind == "number" and number not in taken:
            unit = sold_unit(tokens, number)
            figure = plain_number(tokens[number].text)
            return _Hit(at, unit[1], figure, unit[0], number) if unit else _Hit(at, number + 1, figure, "x", number)
    return None


def _bracketed(tokens: Sequence[Token], taken: set[int]) -> _Hit | None:
    """``(2)``, ``(4 qts)``, ``(x3)``."""
    for at in range(len(tokens) - 2):
        if tokens[at].low != "(" or at + 1 in taken:
            continue
        token = tokens[at + 1]
        if token.kind == "count" and tokens[at + 2].low == ")":
            return _Hit(at, at + 3, token.text[1:], "x", at + 1)
        if token.kind != "number":
            continue
        unit = sold_unit(tokens, at + 1)
        behind = unit[1] if unit else at + 2
        if behind < len(tokens) and tokens[behind].low == ")" and (unit or token.text.isdecimal()):
            return _Hit(at, behind + 1, plain_number(token.text), unit[0] if unit else "x", at + 1)
    return None


def _anywhere(tokens: Sequence[Token], taken: set[int]) -> _Hit | None:
    """The one count that stands behind the name; of several nobody can tell which."""
    hits = _hits(tokens, taken)
    return hits[0] if len(hits) == 1 else None


def _hits(tokens: Sequence[Token], taken: set[int]) -> list[_Hit]:
    """Every count that stands behind the name: ``x2``, ``x 2``, ``12 oz``, ``1 set``, ``- 2 off``."""
    hits: list[_Hit] = []
    for at, token in enumerate(tokens):
        if at in taken:
            continue
        if token.kind == "count":
            hits.append(_Hit(at, at + 1, token.text[1:], "x", at))
        elif (
            token.low in ("x", "×")
            and at + 1 < len(tokens)
            and tokens[at + 1].kind == "number"
            and tokens[at + 1].text.isdecimal()
        ):
            hits.append(_Hit(at, at + 2, tokens[at + 1].text, "x", at + 1))
        elif token.kind == "number" and (at == 0 or tokens[at - 1].low not in ("x", "×", "@")):
            unit = sold_unit(tokens, at)
            if unit and unit[1] - 1 not in taken and _parted(tokens, unit[1]):
                hits.append(_Hit(at, unit[1], plain_number(token.text), unit[0], at))
            elif (
                at + 1 in taken
                and tokens[at + 1].low in ("@", "at")
                and _whole_count(token)
                and not _numbers(tokens, at)
            ):
                hits.append(_Hit(at, at + 1, token.text, "x", at))
    return hits


def _whole_count(token: Token) -> bool:
    return not token.glued and token.text.isdecimal() and 0 < int(token.text[:6]) <= _MOST_PIECES


def _numbers(tokens: Sequence[Token], at: int) -> bool:
    """``axle 2`` numbers a thing, it counts none."""
    return at > 0 and bool(means("naming", tokens[at - 1].low))


def _asked(body: Body, tokens: Sequence[Token], taken: set[int]) -> list[Remark]:
    """A figure in front of a name that may count it or belong to it."""
    at = _first(tokens, taken)
    hits = _hits(tokens, taken)
    if len(hits) > 1:
        text = "Several amounts stand here; write the one that was used in front, such as 2 x or 5 L."
        return [unread(body, place(tokens, hits[0].first, hits[-1].behind), text, blocks=True)]
    if at < len(tokens) and tokens[at].kind == "number":
        typed = plain_number(tokens[at].text)
        text = f"How many pieces? Write {typed} x in front, or 1 x if {typed} belongs to the name."
        return [unread(body, place(tokens, at, at + 1), text, f"{typed} x", f"1 x {typed}")]
    free = [i for i in range(len(tokens)) if i not in taken and tokens[i].low not in (",", "-")]
    for i, token in enumerate(tokens):
        if i in taken or token.kind != "number" or not _whole_count(token) or _numbers(tokens, i):
            continue
        if i == free[-1] or (i + 1 < len(tokens) and tokens[i + 1].low == ","):
            text = f"Are these {token.text} pieces? Write {token.text} x in front."
            return [unread(body, place(tokens, i, i + 1), text, f"{token.text} x")]
    return []
