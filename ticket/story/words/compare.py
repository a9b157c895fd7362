"""The last look before words are told: what was typed and told must hold the same figures, sides and meaning."""

from collections import Counter
from functools import lru_cache

from ticket.job.regex import Regex
from ticket.story.words import tag
from ticket.story.words.lexicon import states, verbs, works
from ticket.story.words.spell import spell
from ticket.story.words.tokens import CODE, NUMBER, QUOTE, WORD, Token, tokens

_BEFORE_UNIT = Regex(r"([0-9.,]+)-[a-z]+\Z")  # "a 20-minute run" holds the figure 20
NEGATIONS = frozenset("no not never without none nothing cannot nor neither".split())
HEDGES = frozenset(
    "maybe probably possibly likely perhaps seems seemed appears appeared may might could suspected".split()
)
_NO_CONTENT = (
    frozenset(
        """the a an was were is are be been had has have did does do there it they them its and but or of to in at on
    with for that which we also so too then can will would should in order fast when while as by from""".split()
    )
    | NEGATIONS
)
_SAME = {"may": "might", "seized": "stick", "ok": "ok", "okay": "ok", "fine": "ok", "seems": "seem", "could": "can"}


@lru_cache(maxsize=1024)
def agree(typed: str, told: str, *, words: bool = True) -> bool:
    """Whether the told words keep to the typed ones.

    Args:
        typed: as typed.
        told: as it will be read.
        words: also compare every word that carries meaning; left out where a pattern brings its own verb.
    """
    before, after = spell(typed), tokens(told.replace("‘", '"').replace("’", '"') if '"' in typed else told)
    if before is None or after is None:
        return False
    before = tuple(token for piece in before for token in tag.contracted(piece))
    if _figures(before) != _figures(after):
        return False
    before, after = _outside(before), _outside(after)
    if any(kind(before) != kind(after) for kind in (_sides, _negations, _hedges)):
        return False
    return not words or _content(before) == _content(after)


def _figures(pieces: tuple[Token, ...]) -> Counter[str]:
    return Counter(
        _BEFORE_UNIT.sub(r"\1", piece.text).lstrip("+-\u2212").replace(",", "")
        for piece in pieces
        if piece.kind in (NUMBER, CODE) or piece.text.isdigit()
    )


def _outside(pieces: tuple[Token, ...]) -> tuple[Token, ...]:
    """The pieces outside brackets: limits in brackets are told in other words."""
    out: list[Token] = []
    depth = 0
    for piece in pieces:
        depth += (piece.text == "(") - (piece.text == ")")
        if depth <= 0 and piece.text != ")":
            out.append(piece)
    return tuple(out)


def _sides(pieces: tuple[Token, ...]) -> frozenset[str]:
    return frozenset(piece.low for piece in pieces if piece.low in tag.SIDES)


def _negations(pieces: tuple[Token, ...]) -> int:
    return sum(1 for piece in pieces if piece.kind == WORD and piece.low in NEGATIONS)


def _hedges(pieces: tuple[Token, ...]) -> Counter[str]:
    return Counter(_SAME.get(piece.low, piece.low) for piece in pieces if piece.kind == WORD and piece.low in HEDGES)


def _content(pieces: tuple[Token, ...]) -> Counter[str]:
    out: Counter[str] = Counter()
    for piece in pieces:
        if piece.kind == CODE and _BEFORE_UNIT.match(piece.text):
            continue
        if piece.kind == QUOTE:
            out[piece.text] += 1
        elif piece.kind == WORD:
            for word in _stems(piece):
                if word not in _NO_CONTENT:
                    out[word] += 1
    return out


def _stems(piece: Token) -> list[str]:
    """The word by which all its forms are counted; a state by the words it is told with."""
    state = states().get(piece.low)
    words = state.after.split(" ") if state is not None and state.after != piece.low else [piece.low]
    return [_stem(word) for word in words]


def _stem(word: str) -> str:
    verb = verbs().get(word)
    if verb is not None:
        return verb.base
    noun = tag.noun(Token(word, WORD))
    if noun is not None:
        return noun.singular.lower()
    work = works().get(word)
    return work.base if work is not None else word
