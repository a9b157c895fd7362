"""A figure told with what was typed beside another one of its line: "14 psi at 2000 rpm" of "14 hot, 48 at 2000"."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from ticket.story.judge.answer import Finding
from ticket.story.judge.ground import Ground, Piece
from ticket.story.judge.rule_figures import is_pronoun
from ticket.story.judge.statement import FIGURE, SIDE, WORD, Statement, Token

_GOES_ON = frozenset("when while if with after before at during once as".split())
_ENDS = {"inside": "inner", "outside": "outer"}
_SIDES = frozenset("left right front rear inner outer upper lower".split())
_COUNTS = frozenset("x times time pcs".split())


@dataclass(frozen=True, slots=True)
class _Part:
    """What stands in a piece before its first figure and behind it; figures by their value."""

    value: Fraction
    before: frozenset[str]
    behind: frozenset[str]

    @property
    def all(self) -> frozenset[str]:
        """All of it."""
        return self.before | self.behind


def beside(told: Statement, ground: Ground) -> Iterator[Finding]:
    """What tells two figures of one line apart stays with its figure."""
    lines = [parts for entry in ground.entries if len(parts := _parts(ground, entry.no)) > 1]
    for unit in _units(told) if lines else ():
        said = {_name(token) for token in unit if _tells(token, told)}
        values = {token.value for token in unit if token.kind == FIGURE and not is_pronoun(token)}
        if any(_moved(parts, values, said) for parts in lines):
            yield Finding("figure", "That was typed beside another figure.", unit[0].start, unit[-1].end)
            return


def _moved(parts: Sequence[_Part], values: set[Fraction | None], said: set[str]) -> bool:
    """Whether the one figure of a line that is told stands with what another one was typed with."""
    own = [part for part in parts if part.value in values]
    return len(own) == 1 and any(_crossed(own[0], other, said) for other in parts if other is not own[0])


def _crossed(own: _Part, other: _Part, said: set[str]) -> bool:
    """Whether something that only the other figure stands with is told, and nothing that only the own one does."""
    alike = bool(
        own.before & other.before
    )  # "house battery", "chassis battery"; else the first subject is that of both
    mine = own.behind | (own.before - other.before if alike else own.before & _SIDES)
    theirs = other.behind | (other.before - own.before if alike else other.before & _SIDES)
    return bool(mine - other.all) and bool(said & (theirs - own.all)) and not said & (mine - other.all)


def _parts(ground: Ground, no: int) -> list[_Part]:
    """The pieces of one line that hold a figure, each value once."""
    pieces = [p for p in ground.pieces if p.entry is not None and p.entry.no == no and p.where in ("found", "proof")]
    out = [part for piece in pieces if (part := _part(piece)) is not None]
    values = [part.value for part in out]
    return [part for part in out if values.count(part.value) == 1]


def _part(piece: Piece) -> _Part | None:
    at = next((i for i, one in enumerate(piece.tokens) if one.kind == FIGURE and one.value is not None), None)
    counted = at is not None and any(one.text in _COUNTS for one in piece.tokens[at + 1 : at + 2])
    if at is None or counted or set("x/") & set(piece.tokens[at].text):
        return None
    value = piece.tokens[at].value
    if value is None:
        return None
    before, behind = (
        frozenset(map(_name, filter(_is_word, part))) for part in (piece.tokens[:at], piece.tokens[at + 1 :])
    )
    return _Part(value, before, behind)


def _units(told: Statement) -> Iterator[Sequence[Token]]:
    """Clauses, with what hangs on them and names no figure: "pulls 38 A" "when the room goes out"."""
    for sentence in told.sentences:
        held: list[Token] = []
        for clause in sentence:
            hangs = clause[0].text in _GOES_ON and not any(one.kind == FIGURE and one.unit for one in clause)
            if held and not hangs:
                yield held
                held = []
            held = [*held, *clause]
        if held:
            yield held


def _tells(token: Token, told: Statement) -> bool:
    return _is_word(token) and (token.text in _ENDS or token.text not in told.lists.plain)


def _is_word(token: Token) -> bool:
    if token.text in _ENDS:
        return True
    small = token.is_a("be", "has", "det", "modal", "pronoun", "place") and not token.is_a("thing")
    return token.kind in (SIDE, FIGURE) or (token.kind == WORD and not small and len(token.text) > 1)


def _name(token: Token) -> str:
    return f"#{token.value}" if token.kind == FIGURE else _ENDS.get(token.text, token.root)
