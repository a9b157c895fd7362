"""Whether each word of a clause keeps the part of speech it was typed with; what may be either is not proved."""

from collections.abc import Sequence
from itertools import pairwise

from ticket.story.judge.answer import Finding
from ticket.story.judge.ground import Piece
from ticket.story.judge.rule_structure import is_past, opens_as_doing
from ticket.story.judge.statement import FIGURE, WORD, Statement, Token, span_of

SIZES = ("thick", "deep", "wide", "long", "high", "tall")  # "21 mm thick" of a thickness of 21 mm
_PARTICLES = frozenset({"out", "up", "off", "down", "over", "in", "through"})
_SEEN = ("found", "proof", "cause", "risk", "because")

_Matched = Sequence[tuple[Token, int]]


def speech(clause: Sequence[Token], matched: _Matched, piece: Piece, told: Statement) -> Finding | None:
    """The first word told as another part of speech, or typed as what may be two."""
    del told
    for be, token in pairwise(clause):
        at = next((place for one, place in matched if one is token), 0)
        if be.is_a("be") and token.kind == FIGURE and at > 2 and piece.tokens[at - 1].text in ("at", "@"):
            return _finding("The figure was typed as a condition.", [token])
        typed_as = next((piece.tokens[place] for one, place in matched if one is token), token)
        active = _is_base(typed_as) or typed_as.form_of("doing") == "third"
        if be.is_a("be") and is_past(token) and typed_as.text != token.text and active:
            return _finding(f"“{typed_as.text}” was typed, not “{token.text}”.", [token])
        if be.text in ("it", "they") and be in clause[:2] and token.is_a("thing"):
            return _finding(f"“{token.text}” may be a thing or a doing.", [token])
    for token, at in matched:
        typed = piece.tokens[at]
        if token.kind == WORD and typed.text != token.text and _changed(token, typed, piece):
            return _finding(f"“{typed.text}” was typed, not “{token.text}”.", [token])
    if piece.where not in _SEEN:
        return None
    for token, at in matched:
        if token.kind == WORD and _may_be_either(clause, token, piece, at):
            return _finding(f"“{piece.tokens[at].text}” may be a thing or a doing.", [token])
    return _adrift(clause)


def _finding(reason: str, tokens: Sequence[Token]) -> Finding:
    return Finding("proof", reason, *span_of(tokens))


def _changed(token: Token, typed: Token, piece: Piece) -> bool:
    """Told in a form that makes another part of speech of it."""
    past, was_past = is_past(token), is_past(typed)
    same = _same_word(token, typed)
    if piece.where not in ("did", "fact") and not was_past:
        if token.form_of("work") == "past" and typed.is_a("work"):
            return True
        part = any(word.cls == "thing" and word.kind == "part" for word in typed.words)
        if past and not token.is_a("state", "quality") and part and not _is_noise(typed) and same:
            return True
    if same and was_past and not past and token.is_a("thing") and not token.is_a("state"):
        return True
    if same and typed.is_a("thing") and token.form_of("doing") == "third" and typed.form_of("doing") == "base":
        return True
    stated = token.is_a("state") and token.text not in SIZES
    return stated and not typed.is_a("state", "quality", "doing", "work", "link")


def _may_be_either(clause: Sequence[Token], token: Token, piece: Piece, at: int) -> bool:
    """Typed in a form that is a thing or a doing, and told as one of them."""
    typed = piece.tokens[at]
    i = next(i for i, one in enumerate(clause) if one is token)
    led = clause[i - 1] if i else None
    next_ = clause[i + 1] if i + 1 < len(clause) else None
    behind = piece.tokens[at + 1] if at + 1 < len(piece.tokens) else None
    doing = typed.form_of("doing")
    if doing == "base" and is_past(token) and not _is_noise(typed) and behind is not None and behind.is_a("thing"):
        return True  # "discharge line": what the line is called, or what was done to it
    several = at > 0 and piece.tokens[at - 1].kind == FIGURE and piece.tokens[at - 1].value != 1
    if several and doing == "base" and next_ is not None and next_.is_a("be", "has"):
        return True
    if doing in ("base", "third") and not _is_thing_or_noise(typed) and at > 0 and next_ and next_.is_a("be", "has"):
        return True
    if at == 0 and piece.before is not None and led is not None and led.is_a("det") and opens_as_doing(piece, at):
        return True
    if doing != "third" or (behind and next_ and next_.text == behind.text and token.text == typed.text):
        return False
    conditional = at == 0 and any(one.text == "if" for one in piece.tokens)
    return conditional or (typed.is_a("thing") and behind is not None and behind.is_a("particle", "figure"))


def _same_word(token: Token, typed: Token) -> bool:
    bases = {word.base for word in token.words}
    return not bases or bool(bases & {word.base for word in typed.words})


def _is_base(token: Token) -> bool:
    return not is_past(token) and any(token.text == word.base for word in token.words)


def _is_noise(token: Token) -> bool:
    return any("n" in word.kind for word in token.words if word.cls == "doing")


def _is_thing_or_noise(token: Token) -> bool:
    """A noise, or a word whose base form is a thing of its own."""
    thing = any(word.cls == "thing" and word.kind in ("part", "quantity", "mass", "fault") for word in token.words)
    return _is_noise(token) or thing


def _adrift(clause: Sequence[Token]) -> Finding | None:
    """ "Was out the hole", "was in of water": a place word is no state, and a price no lack."""
    for be, place, behind in zip(clause, clause[1:], clause[2:], strict=False):
        if be.is_a("be") and place.text in _PARTICLES and (place.text == "in" or not behind.is_a("place")):
            if place.text != "in" or behind.text == "of":
                return _finding(f"“{place.text}” was not typed as a state.", [place])
    words = [token.text for token in clause]
    if "charge" in words and "no" in words and not {"at", "for", "of"} & set(words):
        return _finding("“No charge” may be a price.", clause)
    return None
