"""The one table of short forms: what each stands for, and only where. An ambiguous one is told as typed."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache

from ticket.job.regex import Regex
from ticket.language.cutting import Piece, cut
from ticket.language.forms import plural
from ticket.language.lexicon import TYPED, is_a, look
from ticket.language.tables import rows
from ticket.readings.units import find

NUMBERED = Regex(r"([a-z][a-z0-9/]*[a-z])[-#]?(\d{1,2})\Z")
"""A word with its number glued on: ``egt1``, ``inj3``."""
_POLES = frozenset({"hv", "dc", "b"})
_STOPS = frozenset(",;:.!?()")
_BOUND = Regex(r"\(([0-9][0-9./,-]*) min\.?\)")
_CAPITALS = frozenset("UV LED LEDs USB GPS AGM RGB EGR DC-DC SCR NOx OBD CV PTO ROPS DOC Bluetooth".split())
_SPOKEN_SIDES = frozenset("left right front rear nearside offside".split())


@dataclass(frozen=True, slots=True)
class Row:
    """One row of the table: a meaning (empty: several meanings) and the conditions it holds under."""

    meaning: str
    where: tuple[tuple[str, frozenset[str]], ...]


@dataclass(frozen=True, slots=True)
class Form:
    """A piece of text with what it stands for; ``doubtful`` where no row of several holds."""

    piece: Piece
    base: str
    doubtful: bool = False
    spelled: bool = False


@cache
def table() -> Mapping[str, tuple[Row, ...]]:
    """All rows by the typed form."""
    held: dict[str, list[Row]] = {}
    for typed, meaning, where in rows(TYPED, "short-forms"):
        conditions = tuple(_condition(text) for text in where.split(" & ") if text)
        held.setdefault(typed.lower(), []).append(Row(meaning, conditions))
    return {typed: tuple(sorted(found, key=lambda row: row.meaning == "")) for typed, found in held.items()}


def _condition(text: str) -> tuple[str, frozenset[str]]:
    rule, _, listed = text.partition(":")
    return rule.strip(), frozenset(item.strip() for item in listed.split(",") if item.strip())


@cache
def _several() -> Mapping[str, tuple[tuple[str, ...], ...]]:
    """Forms typed as several words ("u joint"), by their first word."""
    out: dict[str, list[tuple[str, ...]]] = {}
    for typed in table():
        words = tuple(typed.split(" "))
        if len(words) > 1:
            out.setdefault(words[0], []).append(words)
    return {first: tuple(sorted(found, key=len, reverse=True)) for first, found in out.items()}


def shouted(pieces: Sequence[Piece]) -> bool:
    """A line typed in capitals: they say nothing about any one word."""
    words = [piece.text for piece in pieces if piece.kind == "letters" and len(piece.text) > 3 and piece.text.isalpha()]
    return bool(words) and all(word.isupper() for word in words)


def plain_meaning(typed: str) -> str:
    """What a form stands for wherever it stands; empty where that depends."""
    found = table().get(typed)
    return found[0].meaning if found and not found[0].where else ""


@cache
def may_be(text: str, cls: str) -> bool:
    """Whether a typed word, or what any of its rows stands for, may be of a class."""
    if is_a(text, cls):
        return True
    return any(is_a(row.meaning.rpartition(" ")[2], cls) for row in table().get(text, ()) if row.meaning)


def numbered_meaning(typed: str) -> str:
    """What a form stands for where a number is glued to it: ``egt1``."""
    found = (row for row in table().get(typed, ()) if row.meaning)
    return next(
        (row.meaning for row in found if not row.where or any("<label>" in names for _, names in row.where)), ""
    )


def resolve(pieces: list[Piece], where: str) -> list[Form]:
    """Every piece with what it stands for; forms of several words become one piece."""
    loud = shouted(pieces)
    line = frozenset(piece.low for piece in pieces)
    out: list[Form] = []
    i = 0
    while i < len(pieces):
        piece = pieces[i]
        if piece.kind not in ("letters", "word"):
            out.append(_sign(pieces, i))
            i += 1
            continue
        joined = _joined(pieces, i)
        if joined is not None:
            width, typed = joined
            last = pieces[i + width - 1]
            whole = piece._replace(text=" ".join(item.text for item in pieces[i : i + width]), end=last.end)
            meaning = _meaning(typed, pieces, i, i + width, where, line, loud=loud)
            if meaning:
                out.append(Form(whole, meaning, spelled=True))
                i += width
                continue
        out.extend(_single(pieces, i, where, line, loud=loud))
        i += 1
    return _said_once(out)


def _said_once(forms: list[Form]) -> list[Form]:
    """A form whose last word is typed behind it as well: ``DTC code``, ``MAF sensor``."""
    out: list[Form] = []
    for form in forms:
        before = out[-1] if out else None
        doubled = form.base.split(" ") if form.spelled and not (before is not None and before.spelled) else []
        if before is not None and len(doubled) > 1 and before.base == doubled[0]:  # "grease zerk"
            out[-1] = Form(before.piece._replace(text=f"{before.piece.text} {form.piece.text}", end=form.piece.end),
                           form.base, spelled=True)  # fmt: skip
            continue
        words = before.base.split(" ") if before is not None and before.spelled else []
        number = words.pop() if words and words[-1].isdecimal() else ""
        if before is None or len(words) < 2 or form.base.removesuffix("s") != words[-1]:
            out.append(form)
            continue
        piece = before.piece._replace(text=f"{before.piece.text} {form.piece.text}", end=form.piece.end)
        many = form.base != words[-1]
        out[-1] = Form(piece, " ".join([*words[:-1], form.base if many else words[-1], number]).strip(), spelled=True)
    return out


def _sign(pieces: list[Piece], i: int) -> Form:
    """``&`` and ``+`` between two words are *and* (behind HV, DC or B a plus is the pole), ``@`` is *at*."""
    piece = pieces[i]
    if piece.text == "@":
        return Form(piece._replace(kind="letters"), "at", spelled=True)
    if piece.text in ("&", "+") and 0 < i < len(pieces) - 1 and pieces[i - 1].low not in _POLES:
        return Form(piece, "and", spelled=True)
    return Form(piece, piece.text)


def _single(pieces: list[Piece], i: int, where: str, line: frozenset[str], *, loud: bool) -> list[Form]:
    piece = pieces[i]
    low = _spelling(piece.text)
    if (whole := _dropped_g(low)) != low:
        return [Form(piece, whole, spelled=True)]
    if _plain_word(low):
        return [Form(piece, low)]
    meaning = _meaning(low, pieces, i, i + 1, where, line, loud=loud)
    if meaning == "":
        return [Form(piece, piece.text, doubtful=True)]
    if meaning is not None:
        return [Form(piece, meaning, spelled=True)]
    if low.endswith("s") and len(low) > 2 and low not in table() and low[:-1] in table():
        single = _meaning(low[:-1], pieces, i, i + 1, where, line, loud=loud)
        if single and is_a(single.rpartition(" ")[2], "thing"):
            return [Form(piece, plural(single), spelled=True)]
    numbered = NUMBERED.match(low)
    if numbered and numbered_meaning(numbered[1]):
        return [Form(piece, f"{numbered_meaning(numbered[1])} {numbered[2]}", spelled=True)]
    for sign in ("/", "+", "&"):
        if sign in low and low.count(sign) == 1 and not _listed(low):
            split = _two(piece, sign, where)
            if split:
                return split
    return [Form(piece, low)]


@lru_cache(maxsize=8192)
def _spelling(text: str) -> str:
    """A word as the table is asked for it: small letters, ``(s)`` an ending, one kind of apostrophe."""
    low = text.lower().replace("’", "'")
    return low.removesuffix("(s)") + "s" if low.endswith("(s)") else low


@lru_cache(maxsize=8192)
def _dropped_g(low: str) -> str:
    """``leakin``, ``bearins``: a word nobody lists whose g was left out; else the word itself."""
    bare = low.removesuffix("'")
    stem, end = (bare[:-1], "s") if bare.endswith("ins") else (bare, "")
    whole = f"{stem}g"
    if not stem.endswith("in") or len(stem) < 5 or low in table() or look(low) or not look(whole) or low == "settin":
        return low  # "settin" stands for sitting as often
    return whole + end


@lru_cache(maxsize=8192)
def _plain_word(low: str) -> bool:
    """A word that no row of the table can say anything of."""
    listed = low in table() or low.removesuffix("s") in table()
    return not listed and not NUMBERED.match(low) and not any(sign in low for sign in "/+&")


def _listed(low: str) -> bool:
    return is_a(low, "thing") or is_a(low, "quality") or is_a(low, "work")


def _two(piece: Piece, sign: str, where: str) -> list[Form]:
    """Two words of one class with a sign between them: "tail/turn", "burnt/melted"; the sign is *and*."""
    left, right = piece.text.split(sign)
    one, other = (plain_meaning(word.lower()) or word.lower() for word in (left, right))
    for cls in ("state", "thing", "quality", "work", "matter"):
        if is_a(one.rpartition(" ")[2], cls) and is_a(other.rpartition(" ")[2], cls):
            middle = piece.start + len(left)
            return [
                Form(piece._replace(text=left, end=middle), one),
                Form(piece._replace(text=sign, start=middle, end=middle + 1, kind="letters"), "and"),
                Form(piece._replace(text=right, start=middle + 1), other),
            ]
    return []


def _joined(pieces: list[Piece], i: int) -> tuple[int, str] | None:
    for words in _several().get(pieces[i].low, ()):
        if tuple(piece.low for piece in pieces[i : i + len(words)]) == words:
            return len(words), " ".join(words)
    return None


def _meaning(
    typed: str, pieces: list[Piece], i: int, end: int, where: str, line: frozenset[str], *, loud: bool
) -> str | None:
    """The meaning of the first row that holds; empty where the form is in doubt here, ``None`` where it is no form."""
    found = table().get(typed)
    if found is None:
        return None
    place = _Place(pieces, i, end, where, line, loud)
    for row in found:
        if row.meaning and all(place.holds(rule, names) for rule, names in row.where):
            return row.meaning
    return None if _is_word(typed) and all(row.where for row in found) else ""


def _is_word(typed: str) -> bool:
    """A short form that is also a word by itself: "bush", "cat", "rotor"."""
    return any(is_a(typed, cls) for cls in ("thing", "state", "quality", "doing", "matter", "work"))


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a form stands: what the conditions of a row look at."""

    pieces: list[Piece]
    i: int
    end: int
    where: str
    line: frozenset[str]
    loud: bool

    def holds(self, rule: str, names: frozenset[str]) -> bool:
        """Whether one condition of a row is met."""
        if rule.startswith("not "):
            return not self.holds(rule[4:], names)
        before = self.pieces[self.i - 1] if self.i else None
        behind = self.pieces[self.end] if self.end < len(self.pieces) else None
        match rule:
            case "capitals":
                return self.pieces[self.i].text.isupper() and not self.loud
            case "in brackets":
                return any(piece.text == "(" for piece in self.pieces[: self.i])
            case "first":
                return before is None or before.text in _STOPS or (self.i == 1 and before.unit == "h")
            case "in":
                return self.where in names or not names.isdisjoint(self.where.split(" "))
            case "line":
                return bool(names & self.line) or ("<figure>" in names and any(p.kind == "figure" for p in self.pieces))
            case "before":
                return _fits(behind, names, "<end>")
            case "behind":
                return _fits(before, names, "<start>")
            case "near":
                return _fits(behind, names, "<end>") or _fits(before, names, "<start>")
        raise ValueError(f"The table of short forms has a condition that nobody knows: {rule}")


def _fits(piece: Piece | None, names: frozenset[str], edge: str) -> bool:
    if piece is None or piece.text in _STOPS:
        return edge in names
    low = piece.low
    if low in names:
        return True
    if piece.kind in ("figure", "range"):
        return "<figure>" in names or ("<distance>" in names and piece.unit in ("mi", "km"))
    if piece.kind == "label":
        return "<label>" in names
    return any(name[0] == "<" and _is(low, name) for name in names)


@lru_cache(maxsize=4096)
def _is(low: str, name: str) -> bool:
    if name == "<side>":
        return low in _SPOKEN_SIDES or any(
            set(row.meaning.split()) <= _SPOKEN_SIDES for row in table().get(low, ()) if row.meaning
        )
    if name == "<label>":
        return any(char.isdecimal() for char in low)
    cls = name[1:-1]
    return may_be(low, cls) or (cls == "thing" and may_be(low, "matter"))


def spell(text: str, where: str = "found") -> str:
    """The whole line in typed order, its certain short forms spelled out, as a list item with one stop at its end."""
    pieces = cut(text, where)
    loud = shouted(pieces)
    told: list[str] = []
    last, corner = 0, False
    for form in resolve(pieces, where):
        piece = form.piece
        between = text[last : piece.start]
        beside, corner = corner, form.spelled and _is_corner(form.base)
        told.append(" and " if beside and corner and between == " " else between)  # "LF RF" are two places, not one
        if piece.kind in ("figure", "range"):
            told.append(_spaced(piece))
        elif form.spelled:
            tight = bool(told) and piece.start == last and piece.start > 0
            told.append(f" {form.base}" if tight and text[piece.start - 1] not in " (" else form.base)
            told.append(" " if text[piece.end : piece.end + 1].isalnum() else "")
        elif (
            loud
            and piece.kind == "letters"
            and piece.text not in _CAPITALS
            and not form.doubtful
            and piece.text.isalpha()
        ):
            told.append(piece.text.lower())
        elif form.base == "and" and piece.text in "/+&":
            told.append(" and ")
        else:
            told.append(piece.text)
        last = piece.end
    return _sentence(_BOUND.sub(_bound, "".join(told) + text[last:]))


def _bound(found: re.Match[str]) -> str:
    """``(12.4 min)``, the notation of a limit: a figure alone in its bracket is no time."""
    return f"({found[1]} minimum)"


def _is_corner(words: str) -> bool:
    return len(words.split()) == 2 and set(words.split()) <= _SPOKEN_SIDES


def _spaced(piece: Piece) -> str:
    """A figure with a space before its unit where one was glued on."""
    found = re.match(r"[^A-Za-z°%ΩµμΩ]*", piece.text)
    number = found[0] if found else ""
    tail = piece.text[len(number) :].strip()
    unit = find(tail) if tail and piece.unit != "times" else None
    if unit is None or unit.glued:
        return piece.text
    spoken = tail if tail.isalpha() and len(tail) > 3 and tail.islower() else unit.sign
    return f"{number.rstrip()} {spoken}"


def _sentence(text: str) -> str:
    text = re.sub(r"[ \t]+", " ", text).strip()
    text = re.sub(r" ([,;:.])(?=\s|$)", r"\1", text)
    first = next((i for i, char in enumerate(text) if char.isalnum()), None)
    if first is not None and not re.match(r"[a-z]-?[A-Z0-9]", text[first:]):
        text = text[:first] + text[first].upper() + text[first + 1 :]
    return text if not text or text[-1] in ".!?" else text + "."
