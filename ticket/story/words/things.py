"""What a reading was taken of: the thing, the quantity, the conditions, and the position of each value."""

from dataclasses import dataclass
from functools import cache, lru_cache

from ticket.job.regex import Regex
from ticket.readings.units import find
from ticket.story.words import tag
from ticket.story.words.clauses import PAST, Parser, clauses
from ticket.story.words.conditions import Condition, condition, together
from ticket.story.words.groups import group
from ticket.story.words.lexicon import rows
from ticket.story.words.spell import join, spell
from ticket.story.words.tokens import WORD, Token

_KEYS = Regex(r"(?i)\b(KOEO|KOER)\b")
# The instrument is left out for the customer.
_GAUGE = Regex(
    r"(?i),? (?:by|with|on) (?:an? |the )?(?:[a-z-]{1,20} ){0,2}(?:gun|meter|multimeter|scope|tester|gauge|scanner)\b"
)
_TESTS = frozenset({"test", "check", "inspection"})
# Quantities behind which a comma sets off the thing, no condition.
_ABOUT = frozenset({"voltage drop", "pressure loss", "compression", "leak-down"})
# What a unit says although no word does: "blower resistor 2.4 ohm" is its resistance.
_UNSAID = frozenset({"resistance", "temperature"})
_TRAILING = frozenset("running idle idling cranking hot cold warm parked loaded unloaded".split())
# Single letters that stand for a side, in the label of a value only.
_LETTERS = {"l": "left", "r": "right", "f": "front", "rr": "right rear"}


@dataclass(frozen=True, slots=True)
class Thing:
    """What was measured.

    Attributes:
        quantity: row of ``quantities.tsv``.
        name: with its article, without the quantity where the sentence tells that itself ("the left front disc").
        many: the name is plural.
        bare: the name without its article.
        conditions: as one phrase, or empty.
        head: the noun of the name in the singular ("disc").
        tail: what stands behind the figure (" in 15 seconds").
    """

    quantity: str
    name: str
    many: bool
    bare: str
    conditions: str
    head: str
    tail: str = ""


@dataclass(frozen=True, slots=True)
class _Row:
    quantity: str
    words: tuple[str, ...]
    nouns: tuple[str, ...]
    dims: tuple[str, ...]


@cache
def _quantities() -> tuple[_Row, ...]:
    def cells(text: str) -> tuple[str, ...]:
        return tuple(item.strip() for item in text.split(",") if item.strip())

    return tuple(_Row(name, cells(words), cells(nouns), cells(dims)) for name, words, nouns, dims in rows("quantities"))


@lru_cache(maxsize=1024)
def thing(what: str, unit: str, label: str = "") -> Thing | None:
    """The thing that a finding names, or ``None`` where its shape is unknown.

    Args:
        what: the words before the figure.
        unit: the unit of the reading.
        label: the position of one value ("LF inner", "cyl 3"), or empty.
    """
    pieces = [piece.strip() for piece in _KEYS.sub(r", \1,", _GAUGE.sub("", what)).split(",")]
    pieces = [piece for piece in pieces if piece]
    if not pieces:
        return None
    if len(pieces) > 1 and pieces[0].lower() in _ABOUT and condition(pieces[1]) is None:
        pieces[:2] = [f"{pieces[0]} {pieces[1]}"]
    pieces[:1] = _set_apart(pieces[0])
    conditions = [condition(piece, reading=True) for piece in pieces[1:]]
    if any(item is None for item in conditions):
        return None
    told = [item for item in conditions if item is not None]
    dimension = getattr(find(unit), "dimension", "")
    tokens = spell(f"{pieces[0]}", temperature=dimension == "temperature")
    if not tokens:
        return None
    named = _label(label)
    return None if named is None else _named(tokens, named, dimension, told)


@lru_cache(maxsize=1024)
def split(what: str) -> tuple[str, str]:
    """What a finding says of the thing before it names the quantity, and the name of what was measured.

    "RF wheel bearing rough, play" says that the bearing was rough, and measured its play; mostly the first is empty.
    """
    head, comma, last = what.rpartition(",")
    words = spell(last)
    if not comma or not words or condition(last.strip(), reading=True) is not None:
        return "", what
    found = group(words, 0)
    named = any(found is not None and found.words in row.words for row in _quantities())
    if found is None or found.end != len(words) or (found.noun.kind != "quantity" and not named) or found.given:
        return "", what
    before = spell(head)
    lead = group(before, 0) if before else None
    seen = clauses(before) if before else None
    if lead is None or before is None or not seen or seen[0].form != "state" or lead.given:
        return "", what
    return head.strip(), f"{join(before[: lead.end])} {last.strip()}"


def _set_apart(text: str) -> list[str]:
    """ "battery voltage running" is the battery voltage, under a condition: one that stands behind a quantity."""
    words = text.split()
    before = tag.noun(Token(words[-2].lower(), WORD)) if len(words) > 2 else None
    if before is None or before.kind != "quantity" or words[-1].lower() not in _TRAILING:
        return [text]
    return [" ".join(words[:-1]), words[-1]]


def _label(label: str) -> tuple[Token, ...] | None:
    words = label.replace("/", " ").split()
    return spell(" ".join(_LETTERS.get(word.lower(), word) for word in words)) if words else ()


def _named(tokens: tuple[Token, ...], label: tuple[Token, ...], dimension: str, told: list[Condition]) -> Thing | None:
    row, rest = _quantity(tokens, dimension)
    conditions = together(told)
    if row == "drop":
        return _drop(rest, conditions)
    if row in ("compression", "leakdown"):
        where = (*rest, *label)
        if not where:
            return Thing(row, "", many=False, bare="", conditions=conditions, head="cylinder")
        rest = where
        label = ()
    if not rest:
        return None
    placed = _placed(rest, label)
    found = group(placed, 0)
    if found is None:
        return None
    parser = Parser(placed, PAST)
    tied, end = parser.tied(found.end)
    circumstance = parser.subordinate(end)
    if circumstance is not None and circumstance[1] == len(placed):
        conditions, end = f"{conditions} {circumstance[0].strip()}".strip(), len(placed)
    if row == "amount" and end == len(placed) - 1 and tag.state(placed[end]) is not None:
        tied, end = f"{tied} {placed[end].low}", end + 1
    if end != len(placed):
        return None
    if row == "loss":
        return Thing(row, found.the(), found.many, found.words, conditions, found.noun.singular, tied)
    if found.noun.singular in _TESTS:
        return None
    if row == "other" and found.noun.kind == "part" and dimension in _UNSAID:
        name = found.thing() + tied if not found.named else found.bare() + tied
        return Thing(
            dimension, name, many=False, bare=found.words + tied, conditions=conditions, head=found.noun.singular
        )
    return Thing(
        row,
        found.thing() + tied if not found.named else found.bare() + tied,
        found.many,
        found.words + tied,
        conditions,
        found.noun.singular,
    )


def _quantity(tokens: tuple[Token, ...], dimension: str) -> tuple[str, tuple[Token, ...]]:
    """The quantity, and the tokens without the words that the sentence will tell itself."""
    low = [piece.low for piece in tokens]
    for row in _quantities():
        if row.dims != ("*",) and dimension not in row.dims:
            continue
        for words in row.words:
            at = _place(low, words.split(" "))
            if at is not None:
                return row.quantity, _without(row.quantity, tokens, at, len(words.split(" ")))
        if row.nouns and _headed(tokens, row.nouns):
            return row.quantity, tokens
    return "other", tokens


def _headed(tokens: tuple[Token, ...], names: tuple[str, ...]) -> bool:
    """Whether the first group ends in one of the nouns."""
    found = group(tokens, 0)
    if found is None:
        return False
    words = [noun.singular if (noun := tag.noun(piece)) else piece.low for piece in tokens[: found.end]]
    words = [word for word in words if word not in tag.SIDES]
    return any(words[-len(name.split(" ")) :] == name.split(" ") for name in names)


def _place(low: list[str], words: list[str]) -> int | None:
    return next((i for i in range(len(low) - len(words) + 1) if low[i : i + len(words)] == words), None)


def _without(quantity: str, tokens: tuple[Token, ...], at: int, width: int) -> tuple[Token, ...]:
    if quantity in ("level", "gap", "play", "amount", "other"):
        return tokens
    rest = (*tokens[:at], *tokens[at + width :])
    if quantity == "loss" and rest and rest[0].low in ("of", "across", "over", "in", "at"):
        rest = rest[1:]
    if quantity == "tread":
        rest = tuple(piece for piece in rest if piece.low != "depth")
        return rest if any(tag.noun(piece) for piece in rest) else (*rest, Token("tires", WORD))
    if quantity == "leakdown":
        rest = tuple(piece for piece in rest if piece.low not in ("test", "loss"))
    return rest


def _drop(rest: tuple[Token, ...], conditions: str) -> Thing | None:
    """ "alternator stud to B+": between the alternator stud and the positive battery post."""
    if rest and rest[0].low in ("across", "over", "on", "in", "of", "from", "between"):
        rest = rest[1:]
    if not rest:
        return Thing("drop_along", conditions, many=False, bare="", conditions="", head="drop") if conditions else None
    first = group(rest, 0)
    if first is None:
        return None
    parser = Parser(rest, PAST)
    end = first.end
    if end == len(rest):
        return Thing("drop_along", first.the(), many=False, bare=first.words, conditions=conditions, head="drop")
    if rest[end].low not in ("to", "and"):
        return None
    second = group(rest, end + 1)
    if second is None:
        return None
    tied, end = parser.tied(second.end)
    if end != len(rest):
        return None
    name = f"{first.the()} and {second.the()}{tied}"
    return Thing("drop", name, many=False, bare=name, conditions=conditions, head="drop")


def _placed(rest: tuple[Token, ...], label: tuple[Token, ...]) -> tuple[Token, ...]:
    """The position put before the noun: sides once, in order, then "inner", then the rest; singular."""
    if not label:
        return rest
    sides = [piece for piece in (*label, *rest) if piece.low in tag.SIDES]
    names = [name for name in ("left", "right", "front", "rear") if any(piece.low == name for piece in sides)]
    more = [piece for piece in label if piece.low not in tag.SIDES]
    body = [piece for piece in rest if piece.low not in tag.SIDES]
    found = group(tuple(body), 0)
    if found is not None and found.many:
        body = [_single(piece, i == found.end - 1) for i, piece in enumerate(body)]
    if more and tag.noun(more[0]) is not None and len(more) > 1:
        return tuple(Token(name, WORD) for name in names) + tuple(body) + tuple(more)
    return tuple(Token(name, WORD) for name in names) + tuple(more) + tuple(body)


def _single(piece: Token, last: bool) -> Token:
    noun = tag.noun(piece)
    return Token(noun.singular, WORD, known=True) if last and noun is not None and noun.many else piece


def position(label: str) -> str:
    """The position of a value in words: "left front outer", "cylinder 3"."""
    named = _label(label)
    return join(named) if named else label
