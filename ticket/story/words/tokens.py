"""Typed text cut into words, figures with units, codes, quotes and marks; nothing is lost and nothing changed."""

import re
from dataclasses import dataclass
from functools import lru_cache

from ticket.job.numbers import SIGNED
from ticket.job.regex import Regex
from ticket.readings.places import POSITIONS
from ticket.readings.units import find
from ticket.story.words.lexicon import nouns

WORD, NUMBER, UNIT, CODE, MARK, QUOTE = "word", "number", "unit", "code", "mark", "quote"
STATE = "state"  # a noun that is read as a state

_NUMBER = Regex(SIGNED + r"\Z")
_GLUED = Regex(rf"({SIGNED})([A-Za-z°%ΩµμΩ][A-Za-z0-9/·°-]*)\Z")
_WORD = Regex(r"[^\W\d_]+(?:['’][^\W\d_]+)*(?:-[^\W\d_]+(?:['’][^\W\d_]+)*)*\Z")
_SHORT = Regex(r"(?:[A-Za-z]/[A-Za-z]|[A-Za-z]&[A-Za-z]|[Ww]/[Oo]?|B\+|O2S|@)\Z")
_CHUNK = Regex(r'"[^"\n]*"|\S+')
_LEAD, _TRAIL = "(", ",;:.!?)"
# Units that are common words first: "2 in series", "1 a day", "2 sets of clips", "2 drops".
_NO_UNITS = frozenset(
    "in a drop drops set sets tube tubes bottle bottles roll rolls can cans turn turns click clicks".split()
)
MAX_TOKENS = 400
MAX_TEXT = 4000  # characters; what is longer is no remark of the bay, and is told in quote marks


@dataclass(frozen=True, slots=True)
class Token:
    """One piece of typed text.

    Attributes:
        text: as typed, or as spelled out later.
        kind: one of the names at the top of this module.
        known: it came from a list (a short form or a plain word) and needs no further look.
    """

    text: str
    kind: str
    known: bool = False

    @property
    def low(self) -> str:
        """The text in lower case, for looking up."""
        return self.text.lower()


@lru_cache(maxsize=1024)
def tokens(text: str) -> tuple[Token, ...] | None:
    """The pieces of a text, or ``None`` when it is too long to be a remark of the bay."""
    if len(text) > MAX_TEXT:
        return None
    out: list[Token] = []
    for match in _CHUNK.finditer(text):
        _chunk(match.group(), out)
        if len(out) > MAX_TOKENS:
            return None
    return tuple(_two_word_units(out))


def _chunk(chunk: str, out: list[Token]) -> None:
    if len(chunk) > 1 and chunk[0] == chunk[-1] == '"':
        out.append(Token(chunk[1:-1], QUOTE))
        return
    while chunk and chunk[0] in _LEAD:
        out.append(Token(chunk[0], MARK))
        chunk = chunk[1:]
    tail: list[Token] = []
    while chunk and chunk[-1] in _TRAIL and not _SHORT.match(chunk):
        tail.append(Token(chunk[-1], MARK))
        chunk = chunk[:-1]
    if chunk:
        out.extend(_core(chunk))
    out.extend(reversed(tail))


def _core(chunk: str) -> list[Token]:
    if _SHORT.match(chunk) or _WORD.match(chunk):
        return [Token(chunk, WORD)]
    if _NUMBER.match(chunk):
        return [Token(chunk, NUMBER)]
    glued = _GLUED.match(chunk)
    if glued and find(glued.group(2)):
        return [Token(glued.group(1), NUMBER), Token(glued.group(2), UNIT)]
    for sign in ("+", "&"):
        halves = chunk.split(sign)
        if len(halves) == 2 and all(_WORD.match(half) for half in halves):
            return [Token(halves[0], WORD), Token("and", WORD, known=True), Token(halves[1], WORD)]
    if chunk == "&":
        return [Token("and", WORD, known=True)]
    inner = re.split(r"([,;:])", chunk)
    if len(inner) > 1 and all(_WORD.match(piece) for piece in inner[::2]):
        return [Token(piece, MARK if piece in ",;:" else WORD) for piece in inner]
    if chunk in ("-", "–", "—"):
        return [Token(chunk, MARK)]
    return [Token(chunk, CODE)]


def _two_word_units(pieces: list[Token]) -> list[Token]:
    """A unit behind its number, of one word or two ("12 V", "3 deg C")."""
    out: list[Token] = []
    i = 0
    while i < len(pieces):
        piece = pieces[i]
        if out and out[-1].kind == NUMBER and piece.kind in (WORD, CODE):
            both = f"{piece.text} {pieces[i + 1].text}" if i + 1 < len(pieces) else ""
            if both and find(both) and pieces[i + 1].kind in (WORD, CODE):
                out.append(Token(both, UNIT))
                i += 2
                continue
            if piece.text not in _NO_UNITS and find(piece.text) and not _is_left(pieces, i):
                out.append(Token(piece.text, UNIT))
                i += 1
                continue
        out.append(piece)
        i += 1
    return out


def _is_left(pieces: list[Token], i: int) -> bool:
    """An ``L`` behind a number that is the left side: beside an ``R``, or in front of a place or a thing one counts.

    "2 L front bolts" and "3 L 5 R" hold no liters; "2 L oil" and "drained 2 L" do.
    """
    if pieces[i].text not in ("L", "l"):
        return False
    if any(piece.text in ("R", "r") for piece in pieces):
        return True
    behind = pieces[i + 1] if i + 1 < len(pieces) else None
    if behind is None or behind.kind == MARK:
        return False
    found = nouns().get(behind.low)
    return behind.kind == NUMBER or behind.low in POSITIONS or (found is not None and found.counted)
