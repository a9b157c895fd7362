"""The trade's own words in order: short forms spelled out, labour in the past where asked, nothing else changed."""

from functools import lru_cache

from ticket.job.regex import Regex
from ticket.job.text import one_line
from ticket.language.certain import read
from ticket.language.forms import regular_past
from ticket.language.lexicon import Word, irregular, look
from ticket.language.records import Meaning
from ticket.language.shortforms import spell
from ticket.language.verb_or_noun import NAMING

_PART_NUMBER = Regex(r"\s*([A-Z]{1,4}-[0-9][0-9A-Z-]*)\s+(?=\S)")
_NUMBER = Regex(r"\A[A-Za-z]+-?[0-9][0-9A-Za-z-]*\s+(?=\S)")
_BETWEEN = Regex(r"([,;:.&+]\s+|\s(?:and|then|&|\+)\s)")
_OPENS = frozenset("same all both the new old each every its lf rf lr rr lh rh left right".split())
_NUMBERED = frozenset({"used", "found"})


@lru_cache(maxsize=4096)
def line(text: str, where: str = "found") -> str:
    """A line spelled out, with its capital and its stop; the number of a part in front of it is no short form."""
    number = _PART_NUMBER.match(text) if where in _NUMBERED else None
    if number is None:
        return spell(text, where)
    return f"{number[1]} {text[number.end() : number.end() + 1]}{spell(text[number.end() :], where)[1:]}"


def unnumbered(text: str) -> str:
    """The description of a part without the number in front of it."""
    return _NUMBER.sub("", one_line(text)).strip()


def terse(text: str, where: str = "found") -> str:
    """The same inside a sentence or a row: without the stop and the capital that a line of its own has."""
    typed = one_line(text).strip()
    told = line(typed, where)
    if not typed.endswith("."):
        told = told.removesuffix(".")
    if typed[:1].islower() and told[:1].lower() == typed[:1] and not told[1:2].isupper():  # "egr flow": EGR flow
        return typed[:1] + told[1:]
    return told[:1].lower() + told[1:] if told[1:2].islower() and told[:2] != typed[:2] else told


def past(text: str, where: str = "did") -> str:
    """Labour with its verbs in the past: "replaced front pads, R&R bracket"; a word that may be a part stays.

    ``undecided`` as ``where`` leaves R&R as typed, where nobody knows whether a new part went in.
    """
    certain = isinstance(read(one_line(text), "did"), Meaning)
    pieces = _BETWEEN.split(terse(text, where))
    if any(map(_names_work, pieces[::2])):
        pieces[::2] = [piece if _two(piece) else _bent(piece, certain=False) for piece in pieces[::2]]
        return "".join(pieces)  # "smoke test and fuel system check": names of work, of which none is bent
    bent = [
        piece if i % 2 else _bent(piece, certain=certain and (not i or pieces[i - 1][:1] in ",;:."))
        for i, piece in enumerate(pieces)
    ]
    return "".join(pieces if _half(pieces, bent) else bent)


def _half(pieces: list[str], bent: list[str]) -> bool:
    """Whether a piece was bent and work behind its "and" was not: "replaced pads and machine rotors" lies."""
    return any(
        pieces[i - 1] == " and " and bent[i] == pieces[i] and bent[i - 2] != pieces[i - 2] and _may_act(pieces[i])
        for i in range(2, len(pieces), 2)
    )


def _may_act(piece: str) -> bool:
    first, _, rest = piece.lower().partition(" ")
    words = (*look(first), *look(first.removeprefix("re")))
    return bool(rest) and any(word.cls == "work" and word.form == "base" for word in words)


def _names_work(piece: str) -> bool:
    """A piece that names work by its last word, behind what is no verb: "fuel system check"."""
    first, _, rest = piece.lower().partition(" ")
    last = rest.rpartition(" ")[2]
    work = any(word.cls == "work" for word in look(last)) and any(word.cls == "thing" for word in look(last))
    return bool(last) and work and not any(word.cls == "work" for word in look(first)) and not _two(piece)


def _two(piece: str) -> bool:
    """A piece that begins with two words for one kind of work, which may be its name or its verb: "smoke test"."""
    return any(word.cls == "work" and word.form == "base" for word in look(" ".join(piece.lower().split()[:2])))


def _bent(piece: str, *, certain: bool) -> str:
    """A piece with its first verb bent; one that may be a part only where the line is certain and it opens a piece."""
    first, space, rest = piece.partition(" ")
    second, more, behind = rest.partition(" ")
    low = first.lower()
    both = any(word.cls == "work" and word.form == "base" for word in look(f"{low} {second}"))
    words = look(low)
    if not certain and (both and any(word.cls == "thing" for word in look(f"{low} {second}"))):
        return piece  # "and test drive"
    if not certain and low in NAMING and second and not behind and not second.endswith("s"):
        return piece  # "and bleed screw"
    works = any(word.cls == "work" for word in words)
    if both and not works and any(word.cls == "work" for word in look(second)):
        return f"{first} {irregular().get(second) or regular_past(second)}{more}{behind}"  # "load tested"
    part = any((word.cls in ("thing", "matter") and word.kind != "general") or word.cls == "quality" for word in words)
    alone = any(word.cls == "thing" and word.kind == "part" for word in words)  # "gasket left door"
    open_to_work = certain or both or (_object(second) and not alone)
    if not low.isalpha() or not (_acts(words) or both) or (part and not open_to_work):
        return piece
    bent = irregular().get(low) or regular_past(low)
    return (bent.capitalize() if first[:1].isupper() else bent) + space + rest


def _object(word: str) -> bool:
    """Whether a word can only begin what was worked on, never follow the first word of a name: "same", "both", "LF"."""
    return word.lower() in _OPENS or any(found.cls in ("det", "side", "count") for found in look(word))


def _acts(words: tuple[Word, ...]) -> bool:
    """Whether a word may be the base form of a verb."""
    return any(word.cls in ("work", "doing") and word.form == "base" for word in words)
