"""What a typed text is about: the things it names, each with the words that tell it from others, and how they are.

A thing is the last noun of a run of nouns (``fuel pump relay`` is a relay, ``pump housing`` a housing and no pump).
Where that noun names a quantity, what was measured is a thing too: ``alternator output`` speaks of the alternator. For
comparing only; nothing of it is ever told.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache

from ticket.job.likeness import content_words, sides
from ticket.language.lexicon import Word, look
from ticket.language.quantities import named_by
from ticket.language.records import Span
from ticket.language.spans import spans

_JOINS = frozenset({"and", "or", "but", "&", "then"})
_FIGURES = frozenset({"figure", "count", "mark"})
_NAMES = frozenset({"code", "label"})
_DENIALS = frozenset(
    "no none not nor never without cannot cant wont dont doesnt didnt isnt arent wasnt werent wouldnt hasnt".split()
)
_MISSED = frozenset(
    "airflow click continuity feedback feel flame flash grip improvement message movement pull pulsation "
    "repair reset sound spark suction change".split()
)
"""Nouns listed beside faults whose absence is as likely the fault: they say nothing about how a thing is."""
_NAMELESS = frozenset({"quantity", "general", "fault", "trouble", "matter"})  # of a thing rather than a thing
GOOD, BAD, OPEN = "good", "bad", "open"


@dataclass(frozen=True, slots=True)
class Thing:
    """A noun and the nouns and numbers in front of it: ``seal`` of ``shaft``."""

    head: str
    of: frozenset[str] = frozenset()
    kind: str = ""

    def same(self, other: "Thing") -> bool:
        """Whether both may be one thing: the same noun, no other words in front of each, and no number of one alone."""
        if self.head != other.head:
            return False
        numbered = any(char.isdecimal() for word in self.of ^ other.of for char in word)
        return not numbered and (not self.of or not other.of or bool(self.of & other.of))


@dataclass(frozen=True, slots=True)
class Clause:
    """What stands between commas, semicolons and "and".

    Attributes:
        things: what it names.
        terms: every word in it that names or tells apart, in the singular.
        sense: ``bad`` or ``good`` where a word says so or its opposite is denied, ``open`` where something else is
            denied (no spark is bad, no noise is good); else empty.
    """

    things: tuple[Thing, ...]
    terms: frozenset[str]
    sense: str = ""


@dataclass(frozen=True, slots=True)
class _Piece:
    """One word of a span, in small letters; the classes of a whole phrase belong to its last word."""

    low: str
    cls: str


@lru_cache(maxsize=1024)
def clauses(text: str) -> tuple[Clause, ...]:
    """The clauses of a text that name anything."""
    pieces = tuple(piece for span in spans(text, "found") for piece in _pieces(span))
    return tuple(clause for part in _cut(pieces) if (clause := _clause(part)).terms)


def _pieces(span: Span) -> Iterator[_Piece]:
    if span.cls in _FIGURES or span.cls in _NAMES:
        yield _Piece(span.text.lower(), span.cls)
        return
    words = span.base.lower().split(" ")
    if len(words) > 1 and words[-1].isdecimal():  # "temp3": a name with its number is one word
        words[-2:] = ["".join(words[-2:])]
    for word in words:
        yield _Piece(word, span.cls if span.cls in ("side", "join") else "word")


def sense_of(parts: Sequence[Clause]) -> str:
    """The gravest sense of the clauses: one thing that is bad is not made good by another."""
    found = {clause.sense for clause in parts}
    return next((sense for sense in (BAD, OPEN, GOOD) if sense in found), "")


def _cut(pieces: Sequence[_Piece]) -> Iterator[list[_Piece]]:
    part: list[_Piece] = []
    for piece in pieces:
        if piece.cls in ("mark", "join") or piece.low in _JOINS:
            yield part
            part = []
        else:
            part.append(piece)
    yield part


def _clause(part: Sequence[_Piece]) -> Clause:
    things: list[Thing] = []
    run: list[tuple[str, str]] = []
    terms: set[str] = set()
    for piece in part:
        named = _named(piece)
        if named:
            run.append(named)
            terms.add(named[0])
        else:
            things += _things(run)
            run = []
            terms |= _telling(piece)
    return Clause((*things, *_things(run)), frozenset(terms), _sense(part))


def _things(run: Sequence[tuple[str, str]]) -> Iterator[Thing]:
    """The last noun of a run, the last before it that can be touched, and each name with figures, which is enough."""
    yield from (Thing(word, kind=kind) for word, kind in run[:-1] if kind == "code")
    for end in range(len(run), 0, -1):
        head, kind = run[end - 1]
        yield Thing(head, frozenset(word for word, _ in run[: end - 1]), kind)
        if kind not in _NAMELESS:
            return


def _named(piece: _Piece) -> tuple[str, str] | None:
    """The noun a token is, in the singular, with its class; unknown words that are nothing else count as nouns."""
    if piece.cls in _FIGURES:
        return None
    low = piece.low
    if piece.cls in _NAMES or any(letter.isdecimal() for letter in low):
        return low, "code"
    words = look(low)
    noun = _noun(words)
    if noun is not None:
        return noun.base, "quantity" if noun.base in _quantities() else noun.kind
    if words or sides(low):
        return None
    word = next(iter(content_words(low)), "")
    return (word, "") if len(word) > 3 else None


def _noun(words: tuple[Word, ...]) -> Word | None:
    return next((word for word in words if word.cls in ("thing", "matter")), None)


def _telling(piece: _Piece) -> frozenset[str]:
    """Words that are no nouns and yet tell one finding from another: how the thing is, and what it does."""
    low = piece.low
    if piece.cls in _FIGURES or sides(low):
        return frozenset()
    doing = next((word for word in look(low) if word.cls in ("doing", "link")), None)
    return frozenset({doing.base}) if doing else content_words(low)


@cache
def _quantities() -> frozenset[str]:
    """Words that name what is measured about a thing."""
    return frozenset(name for name in named_by() if " " not in name)


def _sense(part: Sequence[_Piece]) -> str:
    """How the thing of a clause is; what is denied turns round, and a denial of anything else says too little."""
    words = [piece.low for piece in part]
    found = {state.sense for word in words for state in look(word)} & {GOOD, BAD}
    found |= {BAD for word in words if _unwanted(word)}
    if not any(word in _DENIALS or word.endswith(("n't", "n’t")) for word in words):
        return BAD if BAD in found else GOOD if GOOD in found else ""
    return {frozenset({BAD}): GOOD, frozenset({GOOD}): BAD}.get(frozenset(found), OPEN)


def _unwanted(word: str) -> bool:
    """Nouns that name a fault, and play, which is well where there is none."""
    noun = _noun(look(word))
    listed = noun is not None and noun.kind in ("fault", "trouble") and noun.base not in _MISSED
    return listed or word in named_by("play")
