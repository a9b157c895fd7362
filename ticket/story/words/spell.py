"""Short forms spelled out and hard terms put in plain words, each only where its guard holds."""

from dataclasses import replace
from functools import cache, lru_cache

from ticket.language.forms import plural
from ticket.readings.units import find
from ticket.story.words.figures import figure
from ticket.story.words.lexicon import glossary, nouns, shorts
from ticket.story.words.tokens import CODE, MARK, NUMBER, QUOTE, UNIT, WORD, Token, tokens

_SIDES = frozenset("lf rf lr rr lh rh".split())
_VERB_PLACE_BEFORE = frozenset({"and", ",", "then"})
_ACTS = frozenset("works turns stops starts knocks leaks smells drops stalls clicks".split())
_PROPER = frozenset(
    "January February March April May June July August September October November December Monday Tuesday Wednesday"
    " Thursday Friday Saturday Sunday".split()
)
_CAPITALS = frozenset("UV LED LEDs USB GPS AGM RGB".split())
_ONE_WORD = {"half way": "halfway", "mid way": "midway", "over night": "overnight"}
_NO_SPACE_BEFORE = frozenset(",;:.!?)")


@lru_cache(maxsize=1024)
def spell(text: str, *, plain: bool = True, temperature: bool = False) -> tuple[Token, ...] | None:
    """The tokens of a typed text with its short forms spelled out.

    Args:
        text: as typed.
        plain: also put glossary terms in plain words ("rotor" becomes "disc").
        temperature: a figure in degrees stands with it, so that "temp" has one meaning.

    Returns:
        ``None`` when a doubtful short form stands in it: such a text is told in quote marks.
    """
    pieces = tokens(text)
    if pieces is None:
        return None
    shouted = _shouted(pieces)
    out: list[Token] = []
    for i, piece in enumerate(pieces):
        if piece.kind == UNIT or piece.known or piece.kind in (NUMBER, MARK, QUOTE):
            out.append(piece)
            continue
        spelled = _one(pieces, i, shouted=shouted, temperature=temperature)
        if spelled is None:
            return None
        out.extend(spelled)
    return tuple(_plain(out)) if plain else tuple(out)


def _shouted(pieces: tuple[Token, ...]) -> bool:
    words = [piece.text for piece in pieces if piece.kind == WORD and len(piece.text) > 3]
    return bool(words) and all(word.isupper() for word in words)


def _one(pieces: tuple[Token, ...], i: int, *, shouted: bool, temperature: bool) -> list[Token] | None:
    piece = pieces[i]
    low = piece.low
    if low == "temp" and temperature:
        return [Token("temperature", WORD, known=True)]
    full, ending = _long(pieces, i, shouted=shouted)
    if full is None:
        return [_lowered(piece, shouted=shouted)]
    if full == "":
        return None
    return [Token(word, WORD, known=True) for word in (plural(full) if ending else full).split(" ")]


def _long(pieces: tuple[Token, ...], i: int, *, shouted: bool) -> tuple[str | None, str]:
    """The first long form whose guard holds, and the plural ending that was typed; ``None`` for no short form."""
    low = pieces[i].low
    for full, guard in shorts().get(low, ()):
        if _guard(guard, pieces, i, shouted=shouted):
            return full, ""
    if low.endswith("s") and len(low) > 2 and low not in shorts():
        for full, guard in shorts().get(low[:-1], ()):
            if full and _guard(guard, pieces, i, shouted=shouted):
                return full, "s"
    return None, ""


def _lowered(piece: Token, *, shouted: bool) -> Token:
    """Lower case where the word lists know the word or the whole line is in capitals."""
    if piece.text.capitalize() in _PROPER or piece.text in _CAPITALS:
        return piece
    if piece.kind == WORD and piece.text != piece.low and (shouted or piece.low in _known_words()):
        return replace(piece, text=piece.low)
    return piece


@cache
def _known_words() -> frozenset[str]:
    from ticket.story.words.tag import vocabulary

    return vocabulary()


def _guard(guard: str, pieces: tuple[Token, ...], i: int, *, shouted: bool) -> bool:
    """Whether a short form may be spelled out at place ``i``; the guards are those of the word lists."""
    before = pieces[i - 1] if i else None
    behind = pieces[i + 1] if i + 1 < len(pieces) else None
    rule, _, listed = guard.removeprefix("*").partition(" ")
    names = {name.strip() for name in listed.split(",")}
    if rule == "capitals":
        return pieces[i].text.isupper() and not shouted
    if rule == "verb":
        return before is None or before.low in _VERB_PLACE_BEFORE
    if rule == "near":
        return _noun(before) or _noun(behind) or (behind is not None and behind.low in ("inner", "outer"))
    if rule == "after":
        return before is not None and before.kind in (NUMBER, UNIT)
    if rule == "in":
        return any(piece.text == "(" for piece in pieces[:i])
    if rule == "not":
        return before is None or before.low not in {name.removeprefix("after ") for name in names}
    if rule == "before" and listed == "a noun or at the end":
        return behind is None or behind.kind in (MARK, CODE) or _noun(behind) or behind.low in ("at", "of", "loose")
    if rule == "before" and listed == "a noun":
        return _noun(behind) and not (behind is not None and behind.low in _ACTS)
    if rule == "before" and behind is not None:
        if listed == "with a number":
            return behind.kind == NUMBER
        return behind.low in names or behind.low.rstrip("s") in names
    return not guard


def _noun(piece: Token | None) -> bool:
    if piece is None or piece.kind != WORD:
        return False
    full = next((full for full, _ in shorts().get(piece.low, ()) if full), piece.low)
    return full.split(" ")[-1] in nouns()


def _plain(pieces: list[Token]) -> list[Token]:
    """Glossary terms by their plain words."""
    out: list[Token] = []
    i = 0
    while i < len(pieces):
        done = False
        joined = _ONE_WORD.get(f"{pieces[i].low} {pieces[i + 1].low}") if i + 1 < len(pieces) else None
        if joined is not None:
            out.append(Token(joined, WORD, known=True))
            i += 2
            continue
        for width in (2, 1):
            found = _swap(pieces, i, width, out)
            if found:
                out.extend(found)
                i += width
                done = True
                break
        if not done:
            out.append(pieces[i])
            i += 1
    return out


@cache
def _swaps() -> dict[str, tuple[str, str]]:
    """Terms told by their plain word, singular and plural, with the guard."""
    table: dict[str, tuple[str, str]] = {}
    for term in glossary().values():
        if term.use == "swap":
            name = term.term.lower()
            one = name.removesuffix("s") if name == "pads" else name
            plain = term.plain.removesuffix("s") if name == "pads" else term.plain.removeprefix("brake ")
            plain = "brake lining" if name == "lining" else plain
            table[one] = (plain, term.guard)
            head = nouns().get(plain.rpartition(" ")[2])
            many = plain if head is not None and not head.counted else plural(plain)
            table[plural(one)] = (many, term.guard)
    return table


def _swap(pieces: list[Token], i: int, width: int, out: list[Token]) -> list[Token] | None:
    group = pieces[i : i + width]
    if len(group) < width or any(piece.kind != WORD for piece in group):
        return None
    found = _swaps().get(" ".join(piece.low for piece in group))
    if found is None:
        return None
    plain, guard = found
    rule, _, listed = guard.removeprefix("*").partition(" after ")
    names = {name.strip() for name in listed.split(",")}
    before = out[-1].low if out and out[-1].kind == WORD else ""
    if (rule == "not" and before in names) or (rule == "only" and before and before not in names):
        return None
    return [Token(word, WORD, known=True) for word in plain.split(" ")]


def join(pieces: "tuple[Token, ...] | list[Token]", *, spoken: bool = True) -> str:
    """Tokens as text again: one space between, none before a mark, a no-break space before a unit.

    Args:
        pieces: what to write.
        spoken: units in words ("2 amps"); otherwise by their sign ("2 A").
    """
    text = ""
    for i, piece in enumerate(pieces):
        before = pieces[i - 1] if i else None
        shown = piece.text
        if piece.kind == UNIT and before is not None:
            text += unit_text(before.text, piece.text, spoken=spoken)
            continue
        if piece.kind == NUMBER and i + 1 < len(pieces) and pieces[i + 1].kind == UNIT:
            shown = figure(piece.text, pieces[i + 1].text)
        if piece.kind == QUOTE:
            shown = f"‘{piece.text}’"
        gap = "" if not text or shown in _NO_SPACE_BEFORE or (before is not None and before.text == "(") else " "
        text += gap + shown
    return text


def measure(number: str, unit: str) -> str:
    """A figure with its unit in words, thousands set off where they are read so."""
    return figure(number, unit) + unit_text(number, unit)


def unit_text(number: str, unit: str, *, spoken: bool = True) -> str:
    """A unit with the space that belongs before it; singular for exactly 1. Unknown units stay as typed."""
    found = find(unit)
    if found is None:
        return f" {unit}" if unit else ""
    if found.glued:
        return found.sign
    if not spoken:
        return f"\u00a0{found.sign}"
    return "\u00a0" + (found.one if number.lstrip("+-\u2212") == "1" else found.many)
