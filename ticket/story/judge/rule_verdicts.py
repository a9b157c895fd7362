"""What was said of a reading: the verdict that its limits give it."""

from collections.abc import Iterator, Sequence
from fractions import Fraction

from ticket.job.regex import Regex
from ticket.story.judge.answer import Finding, missing
from ticket.story.judge.ground import Ground, Piece
from ticket.story.judge.rule_figures import only_limit
from ticket.story.judge.statement import FIGURE, NO, SIDE, WORD, Statement, Token

_BOUND = Regex(r" \d[\d./]*(?= (?:minimum|maximum|limit))")  # "under the 4 minimum"
BY_LIMITS = {
    "in": Regex(
        r"\b(?:within|inside) (?:[\w'%.-]+ ){0,4}?(?:limits?|spec|specification|range|tolerances?|allowance|allowed)\b"
    ),
    "bad": Regex(
        r"\b(?:past|beyond|outside|exceeds?|exceeded|out of) (?:[\w'%.-]+ ){0,4}?"
        r"(?:limits?|spec|specification|range|tolerances?|allowance)\b"
    ),
}  # these words speak of limits, whatever the thing is called
_OTHERS = frozenset("other others rest remaining".split())


def verdicts(told: Statement, ground: Ground) -> Iterator[Finding]:
    """What is said of a reading is what was computed of it; of several, of the one beside it."""
    for sentence in told.sentences:
        whole = [token for clause in sentence for token in clause]
        for clause in sentence:
            values = _read_values(clause, ground)
            if not values and any(token.text in _OTHERS for token in clause):
                continue
            said = clause if values or any(token.is_a("thing", "matter") for token in clause) else whole
            yield from _verdict(clause, values or _read_values(whole, ground), said, told, ground)


def _read_values(given: Sequence[Token], ground: Ground) -> set[Fraction | None]:
    counts = {token.value for token in given if token.kind == FIGURE and token.text.isalpha()}
    found = {token.value for token in given if token.kind == FIGURE and not only_limit(token, ground)} - counts
    typed = {value for token in ground.figures for value in (token.value, -token.value if token.value else None)}
    read = {value for value in found & typed if value is None or not _is_condition(value, ground)}
    return read or found & typed


def _verdict(
    clause: Sequence[Token], values: set[Fraction | None], said: Sequence[Token], told: Statement, ground: Ground
) -> Iterator[Finding]:  # fmt: skip
    start, end = clause[0].start, clause[-1].end
    text = _BOUND.sub("", told.low[max(0, start - 2) : end])
    for word in ("low", "high", "in", "bad"):
        by_limits = BY_LIMITS[word].search(text) if word in BY_LIMITS else None
        hit = by_limits or told.lists.said("good" if word == "in" else word, text)
        if hit is None or any(token.kind == NO for token in clause):
            continue
        if word == "in" and hit[0] == ": within" and text[hit.end() :].lstrip()[:1].isdecimal():
            continue  # "When: within 3 months" is a time
        place = (start, end)
        about = _computed(values, said, ground) or (_all_judged(clause, ground) if by_limits else set())
        if word == "bad":
            if about == {"in"}:
                yield Finding("verdict", "The limits say something else of it.", *place)
            continue
        typed_words = told.lists.data["good_typed" if word == "in" else f"{word}_typed"]
        typed = ground.typed(*typed_words)
        if not any(token.kind == FIGURE for token in clause) and _said_apart(clause, typed_words, ground):
            continue
        if values and all(value is not None and _is_condition(value, ground) for value in values):
            yield missing("The figure was typed as a condition, not as what was read.", *place)
        elif about and word not in about and len(about) >= len(values):
            yield Finding("verdict", "The limits say something else of it.", *place)
        elif values and not about and not typed and not ground.says_itself(hit[0]):
            yield missing(f"“{hit[0]}” is a verdict that nobody typed or computed.", *place)


def verdict_of(piece: Piece, line: Sequence[Piece], ground: Ground) -> set[str]:
    """What is computed of the one figure of a piece: by the program, else by the only bracket of its line."""
    read = [one.value for one in piece.tokens if one.kind == FIGURE and one.value and not one.text.isalpha()]
    if len(read) != 1:
        return set()
    judged = {one.verdict for one in ground.readings if one.value == read[0]} - {""}
    brackets = [one for one in line if one.entry is piece.entry and one.limits]
    if judged or len(brackets) != 1 or _of_another_unit(read[0], piece, brackets[0]):
        return judged
    return {_plainly(read[0], brackets[0])} - {""}


def _all_judged(clause: Sequence[Token], ground: Ground) -> set[str]:
    """Where a thing is told in other words: the verdicts of what was typed, if all of it was judged as one."""
    about = {piece.entry for piece in ground.best(clause)} or set(ground.entries)
    found = {one.verdict for entry in about if entry for one in ground.read_in(entry)} - {""}
    for piece in ground.pieces:
        if piece.limits and piece.entry in about:
            found |= verdict_of(piece, [piece], ground)
    return found if len(found) == 1 or "in" not in found else set()


def _said_apart(clause: Sequence[Token], words: Sequence[str], ground: Ground) -> bool:
    """Typed of something without a figure that the clause names: "inner joint 2 mm (max 1), outer ok"."""
    said = {one.root for one in clause if one.kind in (WORD, SIDE)}
    for piece in ground.pieces:
        judged = {one.root for one in piece.tokens if one.text in words}
        own = {one.root for one in piece.tokens if one.kind == SIDE or one.root in piece.things} - judged
        if judged and own & said and not any(one.kind == FIGURE for one in piece.tokens):
            return True
    return False


def _computed(values: set[Fraction | None], said: Sequence[Token], ground: Ground) -> set[str]:
    """Verdicts of the readings a sentence speaks of: those with its figures, else those of its things."""
    readings = [one for one in ground.readings if not _is_condition(one.value, ground)]
    sizes = {abs(value) for value in values if value is not None}
    found = {reading.verdict for reading in readings if abs(reading.value) in sizes} - {""}
    if found:
        return found
    if values:
        return {_against_any(value, ground) for value in values if value is not None} - {""}
    for piece in ground.best(said):
        read = [one.value for one in piece.tokens if one.kind == FIGURE and one.value and not one.text.isalpha()]
        read = [value for value in read if not _is_condition(value, ground)]
        if piece.limits and read and not _of_another_unit(read[0], piece, piece):
            found |= {one.verdict for one in ground.readings if one.value in read} | {_plainly(read[0], piece)}
    return found - {""}


def _against_any(value: Fraction, ground: Ground) -> str:
    """A value against the one bracket of its line; of all lines, where only one has any."""
    for piece in ground.pieces:
        read = {number for number, _ in ground.labelled(piece.entry)} if piece.entry else set()
        if read and value not in read and -value not in read:
            continue  # "210/180" is two readings and no fraction
        if not any(token.kind == FIGURE and token.value == value for token in piece.tokens):
            continue
        with_limits = [one for one in ground.pieces if one.entry is piece.entry and one.limits]
        with_limits = with_limits or [one for one in ground.pieces if one.limits and _units(one) & _units(piece)]
        if len(with_limits) == 1 and not _is_condition(value, ground):
            return "" if _of_another_unit(value, piece, with_limits[0]) else _plainly(value, with_limits[0])
    return ""


def _of_another_unit(value: Fraction, home: Piece, bracket: Piece) -> bool:
    """Whether a bracket bounds what was read in another unit: "down 13 s, 600 lb on it (max 20 s)"."""
    mine = [one.unit for one in home.tokens if one.kind == FIGURE and one.value == value]
    read = [one.unit for one in bracket.tokens if one.kind == FIGURE]
    theirs = next((one.unit for one in bracket.limits if one.kind == FIGURE and one.unit), (read or [""])[-1])
    return bool(mine and mine[0] and theirs) and mine[0] != theirs


def _units(piece: Piece) -> set[str]:
    return {token.unit for token in piece.tokens if token.kind == FIGURE and token.unit}


def _is_condition(value: Fraction, ground: Ground) -> bool:
    """A figure behind *at* in a piece with another in front is no reading of its own."""
    for piece in ground.pieces:
        seen = False
        for i, token in enumerate(piece.tokens):
            if token.kind == FIGURE:
                if token.value == value and seen and piece.tokens[i - 1].text in ("at", "@"):
                    return True
                seen = True
    return False


def _plainly(value: Fraction | None, piece: Piece) -> str:
    """One value against one bracket with a *min* or a *max*; empty where that is not so plain."""
    words = {token.text for token in piece.limits if token.kind == WORD}
    bounds = [token.value for token in piece.limits if token.kind == FIGURE and token.value is not None]
    if value is None or len(bounds) != 1:
        return ""
    top = next(token.top for token in piece.limits if token.kind == FIGURE)
    if top is not None:
        return "low" if value < min(bounds[0], top) else "high" if value > max(bounds[0], top) else "in"
    if words & {"min", "minimum", "least"}:
        return "low" if value < bounds[0] else "in"
    if words & {"max", "maximum", "most"}:
        return "high" if value > bounds[0] else "in"
    return ""
