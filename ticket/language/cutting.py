"""A typed text cut into character groups: words, figures with their unit, codes, labels, quotes and marks."""

import re
from typing import NamedTuple

from ticket.job.regex import Regex
from ticket.language.lexicon import look
from ticket.readings.units import find

_FIGURE = r"[+\-−]?(?:\d{1,3}(?:,\d{3})+(?!\d)|\d+)(?:\.\d+)?(?:[- ]\d+/\d+|/\d+)?|[+\-−]?\.\d+"
_PIECES = Regex(
    rf"""(?P<quote>"[^"\n]*")
    |(?P<code>\b[PBCU][0-9A-F]{{4}}(?:-[0-9A-Z]{{2,3}})?\b)
    |(?P<version>(?<![\w.])\d+(?:\.\d+){{2,}}(?![\w.]))
    |(?P<word>(?<![\w.])(?:\d+-[A-Za-z]{{3,}}[\w-]*|\d+x\d+\b(?!\.)))
    |(?P<range>(?<![\w.])(?:\d+(?:\.\d+)?)\s?(?:-|–|\bto\b)\s?\d+(?:\.\d+)?(?![\w/.]))
    |(?P<figure>(?<![\w.])(?:{_FIGURE}))(?P<glued>[A-Za-z°%ΩµμΩ][A-Za-z0-9/·°%]*)?
    |(?P<label>\#\s?\d+)
    |(?P<letters>\b[Ww]/[Oo]?(?![^\W_])|\b[Bb]\+(?!\w)|[^\W_]+(?:(?:['’.&+-]|/)[^\W_]+)*(?:\(s\))?)
    |(?P<mark>[^\s])""",
    re.VERBOSE,
)
FIGURE = Regex(_FIGURE)
# Units that are common words first: behind a figure they are units only where nothing they could belong to follows.
_NO_UNITS = frozenset("in a drop drops set sets tube tubes bottle bottles can cans turn turns click clicks".split())
_BEHIND_INCH = frozenset("of deep long wide thick high low short off below above under over wet play".split())
MAX_TEXT = 4000  # characters; what is longer is no remark of the bay


class Piece(NamedTuple):
    """A cut of the text before its class is known; ``unit`` is the name of a figure's unit."""

    text: str
    start: int
    end: int
    kind: str
    unit: str = ""

    @property
    def low(self) -> str:
        """In small letters, for looking up."""
        return self.text.lower()


def cut(text: str, where: str = "") -> list[Piece]:
    """The character groups of a text in order; figures carry their unit."""
    raw: list[Piece] = []
    for found in _PIECES.finditer(text[:MAX_TEXT]):
        kind = found.lastgroup or "mark"
        if kind == "glued":
            raw.append(_glued(found))
        else:
            raw.append(Piece(found.group(), found.start(), found.end(), kind))
    return _with_units(raw, text, where)


def _glued(found: "re.Match[str]") -> Piece:
    """A figure with letters right behind it: a unit, a number of times, or a name."""
    tail, start, end = found.group("glued"), found.start(), found.end()
    fraction = "/" in found.group("figure")
    named = re.match(r"-[0-9]", found.string[end:]) is not None  # a grade such as 5W-30, no watts
    unit = None if named or (fraction and tail in ("f", "r", "l", "F", "R", "L")) else find(tail)
    if tail in ("x", "X"):
        return Piece(found.group(), start, end, "figure", "times")
    return Piece(found.group(), start, end, "figure" if unit else "letters", unit.name if unit else "")


def _with_units(raw: list[Piece], text: str, where: str) -> list[Piece]:
    """Figures joined with the unit behind them, of one word or two ("12 V", "3 deg C")."""
    out: list[Piece] = []
    i = 0
    while i < len(raw):
        piece = raw[i]
        if piece.kind not in ("figure", "range") or piece.unit:
            out.append(piece)
            i += 1
            continue
        width, name = _unit(raw, i, where)
        end = raw[i + width].end
        out.append(Piece(text[piece.start : end], piece.start, end, piece.kind, name))
        i += width + 1
    return out


def _unit(raw: list[Piece], i: int, where: str) -> tuple[int, str]:
    """How many pieces behind a figure are its unit, and which one it is."""
    behind = raw[i + 1] if i + 1 < len(raw) else None
    if behind is None or behind.text in ",;:.()":
        return 0, ""
    if behind.low == "times":
        return 1, "times"
    if i + 2 < len(raw):
        both = find(f"{behind.text} {raw[i + 2].text}")
        if both is not None and raw[i + 2].kind == "letters":
            return 2, both.name
    if behind.text == "s" and i and raw[i - 1].low in ("in", "for", "after", "within"):
        return 1, "s"
    warm = any(piece.low.startswith("temp") for piece in raw)
    unit = (
        find(behind.text) if _is_unit(behind.text, raw[i + 2] if i + 2 < len(raw) else None, where, warm=warm) else None
    )
    return (1, unit.name) if unit is not None else (0, "")


def _is_fluid(piece: Piece) -> bool:
    """A word for something that is measured by its volume: "2 L oil" is no left side."""
    return any(word.cls == "thing" and word.kind == "mass" for word in look(piece.low))


def _is_unit(word: str, follower: Piece | None, where: str, *, warm: bool) -> bool:
    if word == "in":
        mark = follower is None or follower.kind in ("mark", "figure", "range")
        return mark or (follower is not None and follower.low in (*_BEHIND_INCH, "in"))
    if word in ("L", "l"):
        return where == "used" or (follower is not None and _is_fluid(follower))
    if word in ("C", "F"):
        return warm
    if len(word) == 1:
        return word in "VAW%°"
    return word not in _NO_UNITS
