"""A contact on a line that names no kind: somebody of the customer's, reached by a way, and an answer or none."""

from collections.abc import Sequence

from ticket.notes.phrases import phrase_at
from ticket.notes.tokens import Token

_REACHED = frozenset("called phoned rang texted emailed told spoke informed".split())
_PEOPLE = frozenset(
    "guy lady gent insurer office depot"
    " customer cust cust. owner driver operator mr mr. mrs mrs. ms ms. dr wife husband son daughter manager mgr boss"
    " foreman dispatcher dispatch fleet him her them".split()
)
# Whoever sells parts or advice gives no consent.
_STRANGERS = frozenset(
    "supplier dealer vendor parts store warehouse jobber hotline line support tow tower towing junkyard salvage shop"
    " garage machinist tech previous".split()
)
_WAYS = frozenset("phone text email sms telephone cell mobile radio".split())
_LEADS = frozenset("by via per over".split())
_BEFORE_NAME = frozenset("to with the".split())
_SPEAKING = frozenset("he she they said says and -".split())
_FIRST_WORDS = 6
_MOST_TOKENS_OF_NAME = 5


def is_contact(tokens: Sequence[Token]) -> bool:
    """``called Ada, she said yes``, ``Ada Brenn by phone 555-0170, yes``."""
    if is_stranger(tokens):
        return False
    way = _behind_way(tokens)
    if way and way + 1 < len(tokens) and tokens[way].low == ":" and phrase_at("answer", tokens, way + 1):
        return True  # "Ada Brenn by email: wait for the rear shocks"
    behind = way or _behind_call(tokens)
    return bool(behind) and any(_answers(tokens, at) for at in range(behind, len(tokens)))


def is_stranger(tokens: Sequence[Token]) -> bool:
    """Whether the line speaks of somebody who sells parts or advice."""
    return any(token.low in _STRANGERS for token in tokens[:_FIRST_WORDS])


def reached_at(tokens: Sequence[Token], at: int) -> tuple[str, int] | None:
    """A way of reaching somebody that begins at a token; ``told`` and ``tried`` need a person behind them."""
    hit = phrase_at("reached", tokens, at)
    if hit is None or hit[0] != "whom":
        return hit
    who = hit[1]
    while who < len(tokens) and tokens[who].low in _BEFORE_NAME:
        who += 1
    named = who < len(tokens) and _somebody(tokens[who]) and not (who + 1 < len(tokens) and _is_side(tokens[who + 1]))
    return ("sure", hit[1]) if named else None


def _is_side(token: Token) -> bool:
    """``driver side``: a place, no person."""
    return token.low in ("side", "side's", "door", "seat", "window", "wheel", "airbag")


def _behind_way(tokens: Sequence[Token]) -> int:
    """The place behind ``NAME by phone`` and ``NAME in person``, where a comma, a number or the end follows."""
    for at in range(1, min(len(tokens) - 1, _MOST_TOKENS_OF_NAME + 1)):
        pair = (tokens[at].low, tokens[at + 1].low)
        if not ((pair[0] in _LEADS and pair[1] in _WAYS) or pair == ("in", "person")):
            continue
        behind = at + 2
        follows = tokens[behind].kind if behind < len(tokens) else "mark"
        named = all(token.kind == "word" for token in tokens[:at]) and _somebody(tokens[at - 1])
        if named and follows in ("mark", "number", "phone", "mail", "clock", "name"):
            return behind
    return 0


def _behind_call(tokens: Sequence[Token]) -> int:
    """The place behind ``called Ada`` and ``owner called back``."""
    for at, token in enumerate(tokens[:3]):
        if token.low not in _REACHED:
            continue
        who = at + 1
        while who < len(tokens) and tokens[who].low in _BEFORE_NAME:
            who += 1
        if who < len(tokens) and _somebody(tokens[who]):
            return who + 1
        back = at + 1 + (at + 1 < len(tokens) and tokens[at + 1].low in ("back", "in"))
        if at and _somebody(tokens[at - 1]) and (back >= len(tokens) or tokens[back].kind in ("mark", "clock")):
            return back
    return 0


def _somebody(token: Token) -> bool:
    """A role, or a name: a capital and small letters, since ``ABS`` and ``ECM`` are none."""
    return token.low in _PEOPLE or (token.kind == "word" and token.text[0].isupper() and not token.text.isupper())


def _answers(tokens: Sequence[Token], at: int) -> bool:
    """An answer that opens a clause or is spoken, and that nothing but what was agreed to follows: not ``no stock``."""
    opens = tokens[at - 1].kind in ("mark", "phone", "mail", "clock", "number") or tokens[at - 1].low in _SPEAKING
    if not opens and tokens[at - 1].low not in _PEOPLE and not _somebody(tokens[at - 1]):
        return False
    hit = phrase_at("no answer", tokens, at) or phrase_at("answer", tokens, at)
    return hit is not None and _closed(tokens, hit[1])


def _closed(tokens: Sequence[Token], at: int) -> bool:
    if at >= len(tokens) or tokens[at].kind in ("mark", "number", "money", "phone", "clock"):
        return True
    return any(phrase_at(table, tokens, at) for table in ("all", "total", "ceiling"))
