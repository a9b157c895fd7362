"""Names between two values of one part: whether the words are of the value before them or of the one behind.

``feed 12.4 V ground 0.3 V`` and ``compressor 12 bar discharge 2 bar suction`` are typed alike. What closes the part
decides: where another name stands behind the last value, each value may have its own behind it. It is so where the
names tell two ways of one thing apart, where a word for a measure can only be of the value before it, or where the
words in front say what was measured and the names of what. Anything else can be read both ways and is asked about.
"""

from itertools import pairwise

from ticket.notes.finding.carried import OPPOSITES
from ticket.notes.finding.lexicon import is_noun, is_state
from ticket.notes.finding.measures import DIMENSIONS
from ticket.notes.finding.part_order import WHERE
from ticket.notes.finding.part_words import COLOURS, STATES
from ticket.notes.finding.tokens import Token

WHICH_NAME = "Which value does each of these names belong to? Put the name in front of its value, with a comma between."
_TWINS = (*OPPOSITES, {"axial", "radial"}, {"lateral", "radial"},
    {"vertical", "side"}, {"vertical", "lateral"}, {"vertical", "horizontal"},
    {"up", "side"}, {"centre", "shoulder"}, {"center", "shoulder"},
    {"long", "deep"}, {"long", "wide"}, {"tight", "loose"}, {"full", "empty"}, {"drum", "dash"})  # fmt: skip
"""Words that tell the two ways apart in which one thing was measured."""
_ADJECTIVES = frozenset("wide deep long high thick worn bent loose".split())


def named_behind(tokens: list[Token]) -> tuple[list[Token], bool] | None:
    """The values of a part whose names stand behind the value before them; ``True`` where nobody can know.

    ``None`` where each name is in front of its value, as it mostly is.
    """
    figures = [i for i, token in enumerate(tokens) if token.letter == "q"]
    if len(figures) < len("qq") or not any(token.letter in "wn" for token in tokens[: figures[0]]):
        return None
    stop = next((i for i in range(figures[-1], len(tokens)) if tokens[i].letter in "LCX"), len(tokens))
    gaps = [tokens[a + 1 : b] for a, b in pairwise([*figures, stop])]
    if any(token.letter not in "wnPk@u" for gap in gaps for token in gap) or not all(gaps[:-1]):
        return None
    values = [tokens[i] for i in figures]
    behind = [later for gap, (one, later) in zip(gaps, pairwise(values), strict=False) if _measures(gap, one, later)]
    if behind:
        return behind, False
    if not gaps[-1]:
        led = tokens[figures[0] - 1].text in {token.text for gap in gaps for token in gap} or len(figures) < len("qqq")
        return None if led or not _opposed(gaps[0], gaps[1]) else (values[1:], True)  # "28.1 in 13.4 out 22 A"
    if all(_alike(one, other) for one, other in pairwise(gaps)):
        return values[1:], False
    if gaps[-1][0].text in WHERE - {gaps[0][0].text}:
        return None
    nouns = all(gap[-1].letter == "n" or (is_noun(gap[-1].text) and not is_state(gap[-1].text)) for gap in gaps)
    if not nouns or any(len(gap) > len("ww") for gap in gaps):
        return None
    topic = tokens[figures[0] - 1].text in DIMENSIONS
    return values[1:], not topic


def _measures(gap: list[Token], one: Token, later: Token) -> bool:
    """``bearing 0.03 mm clearance 80 C``: a measure in the unit of the value before it alone, or behind both."""
    known = DIMENSIONS.get(gap[-1].text, set())
    if gap[-1].text in _ADJECTIVES and len(gap) == 1 and one.amount.dimension in known:
        return True  # "seat 450 mm high 20 mm wobble": no name begins so
    return one.amount.dimension in known and later.amount.dimension not in ("", *known)


def _alike(one: list[Token], other: list[Token]) -> bool:
    """Two names for two of one kind: opposites, colours, measures, or both led by the same small word."""
    if one[0].text == other[0].text and one[0].text in WHERE:
        return len(one) == len(other) > 1
    words = {one[-1].text, other[-1].text}
    measures = words <= DIMENSIONS.keys() and len(words) > 1
    if _opposed(one, other):
        return True
    if len(one) != len(other) and not measures:
        return False
    if len(one) == len(other) == 1 and all(is_state(word) or word in STATES for word in words):
        return len(words) > 1 and not any(map(is_noun, words))  # "12.1 V asleep 14.6 awake"
    numbered = one[-1].letter == other[-1].letter == "n"
    return numbered or measures or words <= COLOURS or any(words <= pair for pair in _TWINS)


def _opposed(one: list[Token], other: list[Token]) -> bool:
    """``2 in tight spot 1 in loose``: a word of each tells the two ways apart."""
    first, second = ({token.text for token in gap} for gap in (one, other))
    return any(pair & first and pair & second and not pair & first & second for pair in _TWINS)
