"""Which typed texts speak of the same thing: shared content words, sides that must not clash."""

from functools import lru_cache

from ticket.job.regex import Regex
from ticket.job.text import fold

_WORD = Regex(r"[^\W_]+(?:[-/&][^\W_]+)*")
# Words that say nothing about the thing: articles, prepositions, verbs of the trade's every line.
_EMPTY = frozenset(
    " ".join(
        (
            "a an and as at be both by for from had has have in into is it its no none not now of off ok on onto",
            "or out over per so that the then there they this to too under until was were when while with within",
            "without after before again all any new old used rebuilt replace replaced replacing repl fit fitted",
            "install installed remove removed r&r r&i refit change changed check checked chk clean cleaned repair",
            "repaired test tested read found good bad left right front rear lf rf lr rr lh rh upper lower inner",
            "outer each side set pair",
        )
    ).split()
)
_SIDES = {"lf": "left front", "rf": "right front", "lr": "left rear", "rr": "right rear", "lh": "left", "rh": "right"}
_SIDE_WORDS = frozenset({"left", "right", "front", "rear"})


def _singular(word: str) -> str:
    if len(word) > 4 and word.endswith("ies"):
        return word[:-3] + "y"
    if len(word) > 3 and word.endswith("s") and not word.endswith(("ss", "us", "is")):
        return word[:-1]
    return word


@lru_cache(maxsize=1024)
def content_words(text: str) -> frozenset[str]:
    """The words of a text that name things, folded and in the singular."""
    return frozenset(
        _singular(word)
        for word in _WORD.findall(fold(text))
        if not {word, _singular(word)} & _EMPTY and len(word) > 2 and not word[0].isdecimal()
    )


@lru_cache(maxsize=1024)
def sides(text: str) -> frozenset[str]:
    """Which of left, right, front and rear a text names, short forms spelled out."""
    found: set[str] = set()
    for word in _WORD.findall(fold(text)):
        spelled = _SIDES.get(word, word).split()
        found.update(part for part in map(_singular, spelled) if part in _SIDE_WORDS)
    return frozenset(found)


@lru_cache(maxsize=4096)
def likeness(text: str) -> str:
    """Equal for texts that name the same thing on the same side, whatever the order and forms of their words."""
    words = " ".join(sorted(content_words(text)))
    where = " ".join(sorted(sides(text)))
    return (f"{words} / {where}" if where else words) if words else fold(text)


def sides_clash(one: str, other: str) -> bool:
    """True where one text says left and the other right, or front and rear, and neither says both."""
    a, b = sides(one), sides(other)
    return any(
        (x in a and y in b and y not in a and x not in b) or (y in a and x in b and x not in a and y not in b)
        for x, y in (("left", "right"), ("front", "rear"))
    )


def shared(one: str, other: str) -> int:
    """How many content words two texts share; 0 when their sides clash."""
    return 0 if sides_clash(one, other) else len(content_words(one) & content_words(other))


def answered(words: str, text: str) -> int:
    """How surely the words of an answer mean what a text offers; a side alone (``no to rears``) names it as well."""
    where = sides(words)
    by_side = bool(where) and not content_words(words) and where <= sides(text)
    return shared(words, text) or int(by_side)
