"""What a figure stands with: its thing, its side and its number, which way it went, the work whose hours it counts."""

from collections.abc import Iterator, Sequence
from fractions import Fraction

from ticket.job.kinds import Did
from ticket.job.numbers import exact
from ticket.story.judge.answer import Finding
from ticket.story.judge.ground import Ground, Piece
from ticket.story.judge.rule_figures import as_limit, is_pronoun, opposite, same_figure
from ticket.story.judge.statement import FIGURE, SIDE, WORD, Statement, Token, tokens


def owners(told: Statement, ground: Ground) -> Iterator[Finding]:
    """A figure stands with the thing and the side it was typed with."""
    for clause in told.clauses:
        for i, token in enumerate(clause):
            if token.kind != FIGURE or is_pronoun(token) or (as_limit(token, told) and _is_bound(token, ground)):
                continue
            homes = [
                (piece, at)
                for piece in ground.pieces
                for at, one in enumerate(piece.tokens)
                if one.kind == FIGURE and same_figure(token, one)
            ]  # fmt: skip
            if homes:
                yield from _other_side(token, clause, i, homes)
                yield from _other_way(token, clause, homes)


def _is_bound(token: Token, ground: Ground) -> bool:
    return any(same_figure(token, one) for piece in ground.pieces for one in piece.limits if one.kind == FIGURE)


def _other_side(
    token: Token, clause: Sequence[Token], at: int, homes: Sequence[tuple[Piece, int]]
) -> Iterator[Finding]:  # fmt: skip
    said = _nearest_sides(clause, at)
    if not said:
        return
    typed: set[str] = set()
    for piece, place in homes:
        own = _nearest_sides(piece.tokens, place)
        if not own:
            return
        typed |= own
    if any(opposite(side) in typed and side not in typed for side in said):
        yield Finding("figure", "The figure was typed of another side.", token.start, token.end)


def _nearest_sides(given: Sequence[Token], at: int) -> set[str]:
    """Sides next to a figure: those between it and the next figure on either side; the nearer ones first."""
    behind: list[str] = []
    for token in given[at + 1 : at + 6]:
        if token.kind == FIGURE or token.text == "and":
            break
        if token.kind == SIDE:
            behind.append(token.root)
    before: list[str] = []
    for token in reversed(given[:at]):
        if token.kind == FIGURE:
            break
        if token.kind == SIDE:
            before.append(token.root)
    first = next((i for i, token in enumerate(given) if token.kind in (SIDE, FIGURE)), at)
    return set(before) if before and (given[first].kind == SIDE or not behind) else set(behind)


_WAYS = dict.fromkeys(("recover", "drain", "remov", "los"), "out") | dict.fromkeys(
    ("recharg", "fill", "refill", "refil", "add", "charg", "pour", "top"), "in"
)


def _other_way(token: Token, clause: Sequence[Token], homes: Sequence[tuple[Piece, int]]) -> Iterator[Finding]:
    """What came out is not told as what went in."""
    said = {_WAYS[one.root] for one in clause if one.root in _WAYS}
    typed = {_WAYS[one.root] for piece, _ in homes for one in piece.tokens if one.root in _WAYS}
    if len(said) == 1 and len(typed) == 1 and said != typed:
        yield Finding("figure", "The figure was typed of what went the other way.", token.start, token.end)


def exchanged(told: Statement, ground: Ground) -> Iterator[Finding]:
    """Two figures have not changed places, nor has one another number, nor work the hours of other work."""
    for sentence in told.sentences:
        mine = _contexts(sentence)
        whole = {token.root for clause in sentence for token in clause}
        for typed, labelled in _typed_contexts(ground):
            if reason := _moved(mine, typed, labelled, whole):
                yield Finding("figure", reason, *_span(sentence))
                break
        yield from _other_hours(sentence, ground)


def _moved(mine: "_Contexts", typed: "_Contexts", labelled: bool, whole: set[str]) -> str:
    """How a figure stands with what was typed beside another one of its entry; empty where it does not."""
    for value in mine.keys() & typed.keys():
        own, said = _labels(typed[value]), _labels(mine[value])
        if own and said and not own & said and mine[value] & typed[value] - own:
            return "The figure was typed of another number."
        for other in typed.keys() - {value}:
            if f"#{other}" in mine[value]:
                continue  # the end of a range, told with what was read
            a, b = typed[value] - typed[other], typed[other] - typed[value]
            if not _crosses(mine[value], b, a):
                continue
            if _crosses(mine[other], a, b) if other in mine else _alone(mine[value], a, b, whole, labelled):
                return "The figures have changed places."
    return ""


def _crosses(words: set[str], there: set[str], here: set[str]) -> bool:
    return bool(words & there) and not words & here


def _alone(words: set[str], here: set[str], there: set[str], whole: set[str], labelled: bool) -> bool:
    """The other figure is not told: two words of its company must say so, and none of the own ones stand anywhere."""
    return bool(here) and not labelled and not whole & here and len(words & there) > 1


_Contexts = dict[Fraction, set[str]]


def _contexts(groups: Sequence[Sequence[Token]]) -> _Contexts:
    """The words that stand with each figure in its clause or piece; a number behind a thing is one of them."""
    found: _Contexts = {}
    for given in groups:
        places = [i for i, token in enumerate(given) if _is_reading(given, i)]
        leads = any(_is_context(token) for token in given[: places[0]]) if places else False
        for at, i in enumerate(places):
            before, after = places[at - 1] if at else -1, places[at + 1] if at + 1 < len(places) else len(given)
            start, end = (-1, len(given)) if len(places) == 1 else (before, i) if leads else (i, after)
            words = {
                _context(token) for token in given[start + 1 : end] if _is_context(token) and token is not given[i]
            }
            value = given[i].value
            if value is not None:
                found[value] = found.get(value, set()) | words
    return found


_WHOLLY = ("all", "both", "each", "only", "just", "also")
_LABELS = 24  # higher numbers behind a thing are what was read of it


def _is_reading(given: Sequence[Token], i: int) -> bool:
    token, before = given[i], given[i - 1] if i else None
    if token.kind != FIGURE or is_pronoun(token) or token.value is None or _is_whole(given, i):
        return False
    counted = [one.kind == FIGURE or one.text == "of" for one in given[i + 1 : i + 3]] == [True, True]
    label = token.text.isdecimal() and not token.unit and token.value <= _LABELS and not counted
    return not (label and before is not None and before.is_a("thing"))


def _is_whole(given: Sequence[Token], i: int) -> bool:
    """What a count is taken out of: the 64 of "11 of 64 bent", "of the 64 teeth"."""
    led = [token.text for token in given[max(0, i - 2) : i] if token.text not in ("the", "all", "its")]
    return led[-1:] == ["of"] and not given[i].unit


def _is_context(token: Token) -> bool:
    small = token.is_a("be", "has", "det", "modal", "pronoun") or token.text in (
        "at",
        "of",
        "and",
        "with",
        "to",
        "the",
        *_WHOLLY,
    )
    return (
        token.kind in (WORD, SIDE, FIGURE) and not small and not (token.kind == FIGURE and not token.text.isdecimal())
    )


def _context(token: Token) -> str:
    return f"#{token.text}" if token.kind == FIGURE else token.root


def _labels(words: set[str]) -> set[str]:
    return {word for word in words if word.startswith("#")}


def _typed_contexts(ground: Ground) -> Iterator[tuple[_Contexts, bool]]:
    """Of each entry the words that stand with its figures; whether they are the positions it was read at."""
    for entry in ground.entries:
        labelled: _Contexts = {}
        for value, label in ground.labelled(entry):
            labelled[value] = labelled.get(value, set()) | set(map(_context, tokens(label)))
        pieces = [piece.tokens for piece in ground.pieces if piece.entry is entry and piece.where != "field"]
        contexts = _contexts(pieces)
        if not any(labelled.values()):
            yield contexts, False
            continue
        yield labelled, True
        bare = {token.value for piece in pieces for token in piece if token.kind == FIGURE and not token.unit}
        yield {value: words for value, words in contexts.items() if value in bare}, True  # counts beside what was read


def _span(sentence: Sequence[Sequence[Token]]) -> tuple[int, int]:
    return sentence[0][0].start, sentence[-1][-1].end


def _other_hours(sentence: Sequence[Sequence[Token]], ground: Ground) -> Iterator[Finding]:
    """The hours of one piece of work, told of another."""
    hours = {entry.no: exact(entry.fact.hours) for entry in ground.entries if isinstance(entry.fact, Did)}
    words: dict[int, set[str]] = {no: set() for no in hours}
    for piece in ground.pieces:
        if piece.entry is not None and piece.where == "did":
            words[piece.entry.no] |= {token.root for token in piece.tokens if token.kind == WORD and token.words}
    said = {token.root for clause in sentence for token in clause}
    for token in (token for clause in sentence for token in clause if token.kind == FIGURE and token.unit == "h"):
        own = [no for no in hours if hours[no] == token.value]
        others = set().union(*(words[no] for no in hours if no not in own))
        mine = set().union(*(words[no] for no in own))
        if own and said & (others - mine) and not said & (mine - others):
            yield Finding("figure", "The hours were typed of other work.", token.start, token.end)
