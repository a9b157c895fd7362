"""What the fields beside a typed text say of it: hours, who was spoken to, an answer, a status."""

from collections.abc import Sequence

from ticket.job.kinds import Did, Told
from ticket.story.judge.ground import Ground, Piece
from ticket.story.judge.rule_figures import labels, same_figure
from ticket.story.judge.rule_structure import is_past
from ticket.story.judge.statement import FIGURE, NO, WORD, Statement, Token, tokens

VERBAL = ("be", "has", "modal", "doing", "link", "work")


def lent(token: Token, clause: Sequence[Token], piece: Piece, told: Statement, ground: Ground) -> bool:
    """What fields beside a piece lend it: its hours, who was spoken to and how, the word of its bracket."""
    fact = piece.entry.fact if piece.entry else None
    if isinstance(fact, Did) and piece.where == "did" and token.kind == FIGURE and token.unit and fact.hours:
        hours = tokens(f"{fact.hours} hours", "story")
        return same_figure(token, hours[0]) and _whole_labour(told, piece, ground)
    if isinstance(fact, Told) and piece.where == "field" and token.kind == WORD:
        led = [one for one in clause if one.end <= token.start]
        name = {one.root for one in tokens(fact.who, "used")}
        if token.root in name and name.issuperset(one.root for one in led):
            return True  # who said it opens the clause
        by = {one.text for one in led[-2:]}
        return bool(_BY & by) and any(token.root == one.root for one in tokens(fact.way, "used"))
    if isinstance(fact, Told) and piece.where == "told" and token.kind == WORD:
        return any(token.root == one.root for one in tokens(f"{fact.who} {fact.way}", "used"))
    return labels(token, clause, piece)


def _whole_labour(told: Statement, piece: Piece, ground: Ground) -> bool:
    """Hours are those of all the work of a line: each of it is told."""
    said = {token.root for token in told.tokens}
    line = [one for one in ground.pieces if one.entry is piece.entry and one.where == "did"]
    return all(said & (one.things or set(one.roots)) for one in line)


def answer_of(given: Sequence[Token], told: Statement) -> str:
    """The answer that words hold, yes or no; empty where they hold none."""
    if "go ahead" in " ".join(token.text for token in given):
        return "yes"
    for token in given:
        if token.kind == NO or token.text in told.lists.data["decline_typed"] or told.lists.said("decline", token.text):
            return "no"
        if token.text in told.lists.data["accept_typed"] or told.lists.said("accept", token.text):
            return "yes"
    return ""


def told_answer(clause: Sequence[Token], told: Statement) -> str:
    """The answer of a clause: its own, or without a verb the one it goes on with."""
    end = clause[-1].end
    own = answer_of(clause, told)
    verbs = (token for token in clause if token.is_a(*VERBAL) or is_past(token))
    if own or any(not token.is_a("thing", "place") for token in verbs):
        return own
    earlier = [one for one in told.clauses if one[0].start <= end]
    return next((answer for one in reversed(earlier) if (answer := answer_of(one, told))), "")


def wholly_own(clause: Sequence[Token], ground: Ground) -> bool:
    """How a sum was named, as the program says it itself: "before tax"."""
    said = " ".join(token.text for token in clause)
    return said in _OF_TAX and ground.says_itself(said)


_OF_TAX = ("before tax", "with tax")
_BY = frozenset({"by", "over", "on", "in", "via"})
