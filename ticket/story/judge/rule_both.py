"""*Both* and *all* of what was found otherwise on one of them."""

from collections.abc import Iterator, Sequence

from ticket.story.judge.answer import Finding
from ticket.story.judge.ground import Ground, Piece
from ticket.story.judge.rule_figures import opposite
from ticket.story.judge.rule_verdicts import BY_LIMITS, verdict_of
from ticket.story.judge.statement import NO, SIDE, WORD, Statement, Token
from ticket.story.judge.tables import stem

_ALL = frozenset({"both", "all", "each", "every", "two"})


def both(told: Statement, ground: Ground) -> Iterator[Finding]:
    """A state told of all where the lines give one of them another one, or another verdict."""
    for clause in told.clauses:
        if not any(token.text in _ALL for token in clause) or any(token.kind == NO for token in clause):
            continue
        text = told.low[clause[0].start : clause[-1].end]
        pieces = [piece for piece in ground.pieces if any(piece.entry is one.entry for one in ground.best(clause))]
        if _parted(clause, pieces, told) or (_by_limits(text) and _judged_apart(pieces, ground)):
            yield Finding("state", "One of them was typed otherwise.", clause[0].start, clause[-1].end)


def _parted(clause: Sequence[Token], pieces: Sequence[Piece], told: Statement) -> bool:
    """What is told of all was typed of one side, and of its other side the opposite."""
    named = {side for one in clause if one.kind == SIDE for side in (one.root, opposite(one.root))}
    for token in clause:
        if token.kind != WORD or not token.is_a("state", "quality", "doing") or token.text in told.lists.plain:
            continue
        bad = any(word.cls == "state" and word.sense == "bad" for word in token.words)
        against = told.lists.opposites.get(stem(token.text), frozenset())
        good = told.lists.words("well") if bad or against & told.lists.words("well") else frozenset()
        homes = [piece for piece in pieces if token.root in piece.roots]
        own = {one.root for piece in homes for one in piece.tokens if one.kind == SIDE}
        sides = {opposite(side) for side in own} - own - named
        things = {root for piece in homes for root in piece.subject()}
        for piece in pieces if homes else ():
            there = {one.root for one in piece.tokens if one.kind == SIDE}
            turned = any(stem(one.text) in against or one.text in good for one in piece.tokens)
            same = not piece.things or bool(piece.things & things)
            across = any(one.kind == SIDE and opposite(one.root) in there for one in clause)  # "both on the left"
            if piece not in homes and there & sides and same and not across and (turned or _denied(token, piece)):
                return True
    return False


def _denied(token: Token, piece: Piece) -> bool:
    """The same word with a *no* on the other side."""
    return any(at in piece.denied[1] for at in piece.roots.get(token.root, ()))


def _by_limits(text: str) -> bool:
    return any(words.search(text) for words in BY_LIMITS.values())


def _judged_apart(pieces: Sequence[Piece], ground: Ground) -> bool:
    """One in limits and one past them; a bare figure of the other side is judged by the bracket of its line."""
    found: set[str] = set()
    for piece in pieces:
        found |= verdict_of(piece, pieces, ground)
    return "in" in found and len(found) > 1
