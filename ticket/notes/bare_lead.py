"""A word of the notation at the start of a line that stands there without its colon: ``did 1.3 h``, ``used 2 seals``.

Such a word also begins sentences (``did not start``, ``used oil black``), so it counts only with the thing behind it
that belongs to its kind: hours behind ``did``, an amount behind ``used``, a person behind ``told``, a code behind
``code``. A dash with blanks on both sides stands for the colon.
"""

import re
from collections.abc import Sequence

from ticket.job.entry import CONCERN_LETTERS
from ticket.job.kinds import KINDS
from ticket.job.regex import Regex
from ticket.job.values import Due
from ticket.language.lexicon import look
from ticket.notes.code import code_at
from ticket.notes.due import find_due
from ticket.notes.hours import amount_at, amounts, standing
from ticket.notes.lead import Lead
from ticket.notes.phrases import means, phrase_at
from ticket.notes.spans import BLANK, Body
from ticket.notes.tokens import Token, tokens_of

_CONCERNS = rf"\s*(?:(?P<concern>[{CONCERN_LETTERS}](?:\+[{CONCERN_LETTERS}])*) +)?"
_ROOT = Regex(rf"{_CONCERNS}(?P<word>(?i:root +cause))\s*[:–—-]\s*(?=\S)", re.A)
_DASHED = Regex(rf"{_CONCERNS}(?P<word>(?i:ruled +out|{'|'.join(KINDS)}))\s+[-–—]\s+(?=\S)", re.A)
_CODES = Regex(rf"{_CONCERNS}(?P<word>(?i:codes?|dtcs?))(?: ?: ?|\s+(?:(?i:are|is|read|found)\s+)?)(?=\S)", re.A)
_WORD = Regex(rf"{_CONCERNS}(?P<word>(?i:did|used|told|proof|maybe|later|says|cause|ruled +out))\s+(?=\S)", re.A)
_PICTURE = Regex(rf"{_CONCERNS}(?P<word>(?i:photo))\s+(?=\S+\.(?i:jpe?g|png|hei[cf]|webp|tiff?)(?:[\s;,]|\Z))", re.A)
_OTHER_CODE = Regex(r"(?=[A-Z0-9\-]*[0-9])[A-Z]{1,3}-?[0-9]{1,4}(?=[\s,;.:]|\Z)")
_NONE = Regex(r"(?:none|nil|no codes?)(?=[\s,.]|\Z)", re.I)
_DENIED = frozenset({"not", "nothing", "it", "n't", "the", "this", "that", "so", "you", "we", "they", "he", "she"})
_WENT = frozenset("in since per every between over within after".split())
_WHOM = frozenset("him her them".split())
_NO_CAUSE = frozenset(
    "of for is was were are not no still unknown unclear it its it's he she they we i you the this that these those"
    " and or to by but be been being could may might maybe found seems looks likely could".split()
)
_LONGEST = 400
_LONGEST_NAME = 3  # words
_SOURCES = frozenset("on in at the so book here it its spec ok no yes nothing".split())
_TENTHS = Regex(r"[0-9]?\.[0-9]{1,2}")


def bare_lead(line: str) -> Lead | None:
    """The lead a line shows by a word without a colon; ``None`` where the word may be part of a sentence."""
    if len(line) > _LONGEST or line.lstrip().startswith("#") or BLANK in line:
        return None
    match = _ROOT.match(line) or _DASHED.match(line) or _CODES.match(line) or _PICTURE.match(line) or _WORD.match(line)
    if match is None:
        return None
    word, rest = " ".join(match["word"].lower().split()), line[match.end() :]
    kind = {"codes": "code", "dtc": "code", "dtcs": "code", "ruled out": "ruled", "root cause": "cause"}.get(word, word)
    if match.re not in (_DASHED.compiled, _ROOT.compiled, _PICTURE.compiled) and not _belongs(
        kind, rest, colon=":" in match[0]
    ):
        return None
    return Lead(kind, False, match["concern"] or "", False, match["word"], match.start("word"), match.end())


def _belongs(kind: str, rest: str, *, colon: bool) -> bool:
    """Whether what stands behind the word is what its kind begins with."""
    if kind == "code":
        return code_at(rest, 0, led=colon) is not None or bool(_NONE.match(rest) if colon else _OTHER_CODE.match(rest))
    tokens = tokens_of(rest)
    if not tokens:
        return False
    if kind == "did":
        return _is_work(tokens)
    if kind == "used":
        return _is_amount(tokens)
    if kind == "later":
        due = find_due(Body.of(rest, 0), tokens)
        return due.due != Due() or bool(due.date) or any(phrase_at("put off", tokens, at) for at in range(len(tokens)))
    if kind == "says":
        return tokens[0].kind == "word" and tokens[0].low not in _SOURCES
    if kind == "proof":  # "proof test 12 bar" and "proof of purchase" are findings
        return tokens[0].low not in ("test", "tested", "load", "pressure", "of", "that")
    if kind == "cause":  # "cause unknown", "cause of it", "cause it was loose"
        return tokens[0].kind == "word" and tokens[0].low not in _NO_CAUSE and len(tokens) > 1
    if kind == "told":
        return tokens[0].low in _WHOM or _names_somebody(tokens[0]) or _answers_behind(tokens)
    return tokens[0].kind == "word"


def _is_work(tokens: Sequence[Token]) -> bool:
    """Whether hours stand in it as labour has them: first, last behind an operation, or beside plain words."""
    first = amount_at(tokens, 0)
    if first is not None and (first.whole or not phrase_at("running", tokens, first.behind)):
        return True  # "did 1.5h evacuate and leak test", "did 45 min chasing a leak"
    if len(tokens) > 2 and phrase_at("operation", tokens, 0) and _TENTHS.fullmatch(tokens[-1].text):
        return True  # "did r&r pump and belt 2.3"
    return tokens[0].low not in _DENIED and any(
        amount.whole and standing(tokens, amount) in ("plain", "labour") for amount in amounts(tokens)
    )


def _is_put(tokens: Sequence[Token], at: int) -> bool:
    """``in the rear diff``: into which thing, not in which time."""
    thing = tokens[at].low == "in" and tokens[at + 1].low in ("the", "its", "both", "each")
    return thing and not any(
        means("hour", one.low) or means("minute", one.low) or one.low in _SPANS for one in tokens[at:]
    )


_SPANS = frozenset("day days week weeks month months year trip mile miles km last past".split())


def _names_somebody(token: Token) -> bool:
    return token.kind == "word" and (token.text[:1].isupper() or bool(means("person", token.low)))


def _answers_behind(tokens: Sequence[Token]) -> bool:
    """``told mara yes to the pads``: a name in small letters is no word that is known, and what was said follows."""
    for at, token in enumerate(tokens[: _LONGEST_NAME + 1]):
        if at and any(phrase_at(table, tokens, at) for table in ("answer", "way", "mind")):
            return True
        if token.kind != "word" or look(token.low):
            return False
    return False


def _is_amount(tokens: Sequence[Token]) -> bool:
    """``used 2 seals``; ``used 2 qts in 1000 mi`` is a finding about an engine."""
    first = tokens[0]
    counted = first.kind in ("number", "count") or (
        first.kind == "word" and bool(phrase_at("numeral", tokens, 0)) and first.low not in ("a", "an")
    )
    went = any(
        token.low in _WENT
        and i + 1 < len(tokens)
        and tokens[i + 1].kind in ("number", "word")
        and not _is_put(tokens, i)
        for i, token in enumerate(tokens)
    )
    timed = bool(first.glued and means("hour", first.glued.lower())) or (
        len(tokens) > 1 and bool(means("hour", tokens[1].low) or means("minute", tokens[1].low))
    )
    return counted and not went and not timed and len(tokens) > 1
