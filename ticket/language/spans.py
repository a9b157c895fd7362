"""A typed line cut into spans: every character group with its class, short forms resolved. Nothing typed is lost."""

import string
from functools import lru_cache

from ticket.job.regex import Regex
from ticket.language import shortforms
from ticket.language.cutting import FIGURE, Piece, cut
from ticket.language.lexicon import Word, look, phrases
from ticket.language.records import Span

_CAPITAL_LABEL = Regex(r"[A-Z]{1,3}\d+[A-Z]?\Z|\d+[A-Z]\Z")
_NAMED = Regex(r"(.*[a-z]) (\d{1,2})\Z")
_TIMES = Regex(r"x(\d+)\Z")
_CLASSES = (
    "thing matter state quality doing link work side count label place join but no not degree det has be modal "
    "condition ending particle when pronoun"
).split()
_PLAIN = frozenset("det has be modal condition ending particle when pronoun link work but".split())
_ORDER = {cls: i for i, cls in enumerate(_CLASSES)}
SIDES = frozenset("left right front rear nearside offside".split())


@lru_cache(maxsize=4096)
def spans(text: str, where: str = "found") -> tuple[Span, ...]:
    """The spans of a typed line.

    Args:
        text: as typed, without its kind in front.
        where: the kind of entry or the field it stands in (found, did, because ...): some short forms hold only there.
    """
    pieces = cut(text, where)
    resolved = shortforms.resolve(pieces, where)
    shouted = shortforms.shouted(pieces)
    out: list[Span] = []
    i = 0
    while i < len(resolved):
        form = resolved[i]
        if " " in form.piece.text:
            typed = form.piece._replace(text=text[form.piece.start : form.piece.end])
            resolved[i] = shortforms.Form(typed, form.base, form.doubtful, form.spelled)
        width, span = _phrase(resolved, i, text, inside=bool(out) and out[-1].cls not in ("mark", "join")) or (
            1,
            _one(resolved[i], shouted=shouted),
        )
        if span.cls == "side" and out and out[-1].cls == "side" and not _apart(out[-1], span):
            before = out.pop()
            span = Span(text[before.start : span.end], before.start, span.end, "side", f"{before.base} {span.base}")
        out.append(span)
        i += width
    return tuple(out)


def _apart(one: Span, other: Span) -> bool:
    """Two side words that are no corner of the vehicle: left right, right front left."""
    held = set(one.base.split()) | set(other.base.split())
    return len(held) > 2 or held >= {"left", "right"} or held >= {"front", "rear"}


def _phrase(resolved: "list[shortforms.Form]", i: int, text: str, *, inside: bool) -> tuple[int, Span] | None:
    """The longest listed phrase that begins here; work of several words only where a piece begins."""
    first = resolved[i]
    listed = phrases().get(first.base.partition(" ")[0])
    if listed is None or first.piece.kind != "letters":
        return None
    held: list[str] = []
    ends: dict[int, int] = {}  # how many words the pieces up to one have
    for j in range(i, min(i + len(listed[0]), len(resolved))):
        if resolved[j].piece.kind != "letters" and resolved[j].base != "and":  # "upper & lower hoses"
            break
        held.extend(resolved[j].base.split(" "))
        ends[len(held)] = j + 1
    for words in listed:
        end = ends.get(len(words))
        if end is None or tuple(held[: len(words)]) != words:
            continue
        found = look(" ".join(words))
        if inside and all(word.cls == "work" for word in found):
            continue
        last = resolved[end - 1].piece
        typed = text[first.piece.start : last.end]
        return end - i, _span(typed, first.piece.start, last.end, " ".join(words), found)
    return None


def _span(text: str, start: int, end: int, base: str, found: tuple[Word, ...]) -> Span:
    classes = sorted({word.cls for word in found}, key=lambda cls: _ORDER.get(cls, 99))
    cls = classes[0]
    return Span(text, start, end, "plain" if cls in _PLAIN else cls, base, also=tuple(classes))


def _one(form: "shortforms.Form", *, shouted: bool) -> Span:
    piece = form.piece
    if piece.kind in ("letters", "word") and not form.doubtful:
        return _word(piece.text, piece.start, piece.end, form.base, shouted=shouted)
    text, start, end = piece.text, piece.start, piece.end
    match piece.kind:
        case "figure" | "range":
            return _figure(piece)
        case "version":
            return Span(text, start, end, "figure", text, text)
        case "label" | "code":
            return Span(text, start, end, piece.kind, text)
        case "quote":
            return Span(text, start, end, "plain", text)
        case "mark":
            return Span(text, start, end, "join" if form.base == "and" else "mark", form.base)
    return Span(text, start, end, "unknown", text, also=("doubtful",))


def _figure(piece: Piece) -> Span:
    found = FIGURE.match(piece.text)
    value = (piece.text if piece.kind == "range" or found is None else found[0]).replace(",", "").strip()
    if piece.kind == "range" and piece.unit:
        value = piece.text.rstrip("°%" + string.ascii_letters).strip()
    cls = "figure" if piece.unit or piece.kind == "range" else "count"
    return Span(piece.text, piece.start, piece.end, cls, value, value, piece.unit)


def _word(text: str, start: int, end: int, base: str, *, shouted: bool) -> Span:
    cls, base, value, unit, also = _read_word(text, base, shouted)
    return Span(text, start, end, cls, base, value, unit, also)


@lru_cache(maxsize=8192)
def _read_word(text: str, base: str, shouted: bool) -> tuple[str, str, str, str, tuple[str, ...]]:
    """What a word is, wherever it stands: class, what it stands for, value, unit, further classes."""
    if set(base.split(" ")) <= SIDES:
        return "side", base, "", "", ()
    span = _looked_up(text, 0, 0, base, shouted=shouted)
    return span.cls, span.base, span.value, span.unit, span.also


def _looked_up(text: str, start: int, end: int, base: str, *, shouted: bool) -> Span:
    found = look(base)
    if not found and " " in base:  # a short form of several words is what its last word is
        last = look(base.rpartition(" ")[2])
        found = tuple(word for word in last if word.cls in ("thing", "matter", "state", "quality", "doing"))
        if found and found[0].cls in ("thing", "matter"):
            found = found[:1]
    if not found and base.endswith(("ly",)) and len(base) > 4:
        found = (Word("degree", base),)
    if found:
        return _span(text, start, end, base, found)
    times = _TIMES.match(base)
    if times:
        return Span(text, start, end, "figure", times[1], times[1], "times")
    if (_CAPITAL_LABEL.match(text) and not shouted) or (len(text) == 1 and text.isupper()):
        return Span(text, start, end, "label", text)
    numbered = shortforms.NUMBERED.match(base) or _NAMED.match(base)
    if numbered and any(word.cls == "thing" for word in look(numbered[1].rpartition(" ")[2])):
        return Span(text, start, end, "thing", f"{numbered[1]} {numbered[2]}".replace("  ", " "), also=("thing",))
    if base == text.lower() and not shouted and text[:1].isupper() and text[1:2].islower():
        base = text  # a name keeps its capital
    return Span(text, start, end, "unknown" if base[:1].isalpha() else "code", base)
