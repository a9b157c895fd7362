"""Figures, codes and labels that are in no source, and bounds told as what was read."""

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction

from ticket.job.regex import Regex
from ticket.readings.units import convert, find
from ticket.story.judge.answer import Finding, missing
from ticket.story.judge.ground import Ground, Piece
from ticket.story.judge.statement import FIGURE, MARK, SIDE, WORD, Statement, Token, abbreviates
from ticket.story.judge.tables import phrase

# A duration, a distance, a volume or a count is often told without the thing it was typed beside.
_LOOSE = frozenset({"time", "calendar", "volume", "count", "angle"})
_FAR = frozenset({"km", "mi", "m", "ft", "yd"})
_TURNED = Regex(
    r"(?<!no )(?<!not )\b(?:more|less) than [^,;.]{0,20}\d[^,;]{0,25}? (?:is|are) (?:allowed|normal|needed)"
)
_CODE = Regex(r"(?!\d+(?:st|nd|rd|th)\Z)(?=.*\d)[\w-]+\Z")  # a code, a part number, a label; no ordinal
_SIZED = Regex(r"(\d+(?:\.\d+)?)-?[a-z]{3,}\Z")  # 12-volt, 7-way
_APART = phrase(
    "more|less|over|under|above|below|short|too|low|high|higher|lower|beyond|difference|apart|thinner|longer|quieter|warmer|cooler"
    "|colder|hotter|down by|up by|by|off|past|rose|fell|dropped|gained|lost|extra|better|worse|away"
)
_NEAR = 40  # letters around a figure in which a word about limits stands


def figures(told: Statement, ground: Ground) -> Iterator[Finding]:
    """No figure, code or label that is in no source; no limit told as what was read, nor as another bound."""
    for hit in _TURNED.finditer(told.low):
        yield Finding("figure", "The limit is told the other way.", *hit.span())
    yield from codes(told, ground)
    for clause in told.clauses:
        if swapped := (
            _swapped(clause, told, ground) or _as_bound(clause, told, ground) or _other_bound(clause, told, ground)
        ):
            yield swapped
        for i, token in enumerate(clause):
            if token.kind == FIGURE and _one_of_several(token, clause, i, ground):
                yield Finding("figure", "It was typed of more than one.", token.start, token.end)
            if token.kind == FIGURE and not is_pronoun(token) and not _in_a_fraction(token, told):
                yield from _figure(token, clause, i, told, ground)


def codes(told: Statement, ground: Ground) -> Iterator[Finding]:
    """Codes and numbers of parts that are in no source; they are the same in every language."""
    for token in (token for clause in told.clauses for token in clause):
        if token.kind == WORD and _CODE.match(token.text) and not _named(token, ground):
            yield Finding("figure", f"“{_shown(token, told)}” is not typed.", token.start, token.end)


def _figure(token: Token, clause: Sequence[Token], i: int, told: Statement, ground: Ground) -> Iterator[Finding]:
    place = (token.start, token.end)
    held = [one for one in ground.figures if same_figure(token, one)] or _both_ends(token, ground)
    if not held:
        if not (
            _as_digits(token, ground)
            or _difference(token, told, ground)
            or _converted(token, told, ground)
            or _pounds(token, told, ground)
        ):
            clock = any(one.text in ("am", "pm", "a.m", "o'clock") for one in clause[i + 1 : i + 2])
            measured = any(
                len(one.text) > 2 and find(one.text) is not None for one in clause[i + 1 : i + 2]
            )  # "five litres"
            if clock or (_is_count(token) and not measured and not _counted_otherwise(clause, i, ground)):
                yield missing(f"“{_shown(token, told)}” is not typed.", *place)
            else:
                yield Finding("figure", f"“{_shown(token, told)}” is not typed.", *place)
    elif sign := _sign(token, told, ground):
        why = "It was typed with another sign."
        yield Finding("figure", why, *place) if sign == "turned" else missing(why, *place)
    elif _other_label(clause, i, ground):
        yield Finding("figure", f"“{clause[i - 1].text}” was typed with another number.", *place)
    elif only_limit(token, ground) and not (as_limit(token, told) or _labelled(token, told, ground)):
        alone = sum(one.kind == FIGURE and bool(one.unit or one.value not in _SMALL) for one in told.tokens) == 1
        why = "It is a limit, told as a reading."
        yield Finding("figure", why, *place) if alone else missing(why, *place)


_SMALL = frozenset(map(Fraction, range(1, 5)))
_PARTS = frozenset("half quarter quarters third thirds tenth tenths".split())


def _shown(token: Token, told: Statement) -> str:
    return told.text[token.start : token.end].strip()


def _in_a_fraction(token: Token, told: Statement) -> bool:
    """Part of a figure told in words: three quarters of an inch, an inch and a half, an hour and 24 minutes."""
    i = told.tokens.index(token)
    led = told.tokens[max(0, i - 4) : i]
    near = {one.text for one in told.tokens[max(0, i - 2) : i + 4]}
    minutes = token.unit == "min" or any(one.text.startswith("minute") for one in told.tokens[i + 1 : i + 2])
    hours = minutes and any(one.text.startswith("hour") or one.unit == "h" for one in led)
    return hours or bool(_PARTS & near)


def _one_of_several(token: Token, clause: Sequence[Token], i: int, ground: Ground) -> bool:
    """ "One of the bellows" where both were typed."""
    noun = next((one for one in clause[i + 1 : i + 7] if one.kind == WORD and one.is_a("thing")), None)
    homes = [piece for piece in ground.pieces if noun is not None and noun.root in piece.roots]
    if any(one.text in ("every", "each", "any") for one in clause[max(0, i - 1) : i]):
        return False
    led = [one.text for one in clause[i + 1 : i + 3]] == ["of", "the"] or clause[max(0, i - 1)].text == "only"
    return token.text == "one" and led and any(one.text in ("both", "all") for piece in homes for one in piece.tokens)


def _is_count(token: Token) -> bool:
    return token.text.isalpha() and not token.unit


def _counted_otherwise(clause: Sequence[Token], i: int, ground: Ground) -> bool:
    """A count in words of what was typed with another count, or once with a side of its own."""
    noun = next((one for one in clause[i + 1 : i + 5] if one.kind == WORD and one.is_a("thing", "matter")), None)
    if noun is None:
        return False
    counts: set[Fraction | None] = set()
    for piece in (one for one in ground.pieces if one.where != "used"):
        for at in piece.roots.get(noun.root, ()):
            figure = next((one for one in reversed(piece.tokens[max(0, at - 3) : at]) if one.kind == FIGURE), None)
            sided = any(token.kind == SIDE and token.root in ("left", "right") for token in piece.tokens)
            one = piece.tokens[at].form_of("thing") == "one" and sided  # "brake front" may be both
            counts.add(figure.value if figure is not None and not figure.unit else Fraction(1) if one else None)
    single = counts == {Fraction(1)} and sum(noun.root in piece.roots for piece in ground.pieces) > 1
    return bool(counts) and None not in counts and clause[i].value not in counts and not single


def _pounds(token: Token, told: Statement, ground: Ground) -> bool:
    """A pressure as it is spoken of, "15 pounds"; written "15 lb" it is a weight."""
    spoken = token.unit == "lb" and "pound" in told.low[token.start : token.end]
    return spoken and any(one.unit == "psi" and token.value in (one.value, one.top) for one in ground.figures)


def _converted(token: Token, told: Statement, ground: Ground) -> bool:
    """The same measure in another unit, as it may be rounded; "85 thousandths, and 50 is allowed" names it once."""
    before = [one.unit for one in told.tokens if one.kind == FIGURE and one.unit and one.start < token.start]
    name = token.unit or next(iter(before[-1:]), "")
    unit = find(name) if name else None
    if unit is None or token.value is None:
        return False
    for typed in ground.figures:
        other = find(typed.unit) if typed.unit and typed.value is not None else None
        if other is not None and other.dimension == unit.dimension and other.name != unit.name and typed.value:
            value = convert(typed.value, other.name, unit.name)
            moved = typed.value != token.value or value == token.value  # the same figure in another unit is no rounding
            near = abs(value) / 20 if value is not None and token.unit else 0
            if value is not None and moved and abs(value - token.value) <= near:
                return True
    return False


def _other_label(clause: Sequence[Token], i: int, ground: Ground) -> bool:
    """A number behind the name of a thing that was typed with other numbers only: injector 4, fuse 12."""
    token, noun = clause[i], clause[i - 1] if i else None
    if noun is None or token.unit or not token.text.isdecimal() or not noun.is_a("thing"):
        return False
    labels: set[Fraction | None] = set()
    for piece in ground.pieces:
        for at in piece.roots.get(noun.root, ()):
            behind = piece.tokens[at + 1 : at + 2]
            labels |= {one.value for one in behind if one.kind == FIGURE and not one.unit and one.text.isdecimal()}
            if len(piece.tokens) > at + 2 and piece.tokens[at + 2].kind in (FIGURE, MARK):
                return False  # a row of numbers
    return bool(labels) and token.value not in labels


def _swapped(clause: Sequence[Token], told: Statement, ground: Ground) -> Finding | None:
    """What was read stands with the word for the bound, and the bound as what was read: "25 A of its 22 A rating"."""
    start, end = clause[0].start, clause[-1].end
    word = told.lists.said("bounds", told.low[start:end])
    figures = [token for token in clause if token.kind == FIGURE and not token.text.isalpha()]
    if word is None or len(figures) != 2:
        return None
    near = min(figures, key=lambda one: _gap(one, start + word.start(), start + word.end()))
    other = figures[near is figures[0]]
    if only_limit(other, ground) and not only_limit(near, ground):
        return Finding("figure", "It was read, and is told as the limit.", near.start, near.end)
    return None


_BOUND_BEFORE = Regex(
    r"\b(?:needs|need|calls? for|wants|should be|must be|at least|at most|no more than"
    r"|(?:minimum|maximum|limit|spec|specification|rating) (?:of|is)) (?:about )?\Z"
)
_BOUND_BEHIND = Regex(r"(?:[^\s,;.:]+ )?(?:it needs|it wants|is needed|is allowed|needed|required)\b")


_UP_TO = Regex(r"\b(?:up|down) to (?:about )?\Z")
_IS_NORMAL = Regex(r"(?:[^\s,;.:]+ ){0,4}(?:is|are) (?:normal|allowed|needed)\b")


def _as_bound(clause: Sequence[Token], told: Statement, ground: Ground) -> Finding | None:
    """What was read, told as what is called for, and beside it the bound as what was read."""
    read = [token for token in clause if token.kind == FIGURE and not is_pronoun(token)]
    others = [token for token in told.tokens if token.kind == FIGURE and only_limit(token, ground)]
    for token in read if others else ():
        held = any(same_figure(token, one) for piece in ground.pieces for one in piece.tokens if one.kind == FIGURE)
        limit = any(same_figure(token, one) for piece in ground.pieces for one in piece.limits if one.kind == FIGURE)
        near = _BOUND_BEFORE.search(told.low[: token.start]) or _BOUND_BEHIND.match(told.low[token.end :].lstrip())
        up_to = _UP_TO.search(told.low[: token.start]) and _IS_NORMAL.match(told.low[token.end :].lstrip())
        if held and not limit and (near or up_to):
            return Finding("figure", "It was read, and is told as the limit.", token.start, token.end)
    return None


_AT_LEAST = phrase("at least|minimum|no less than|not less than|lowest|or more|or better")
_AT_MOST = phrase("at most|maximum|no more than|not more than|up to|highest|or less")


def _other_bound(clause: Sequence[Token], told: Statement, ground: Ground) -> Finding | None:
    """A least told as a most: the clause of a bound holds no other figure, and its bracket no other bound."""
    figures = [token for token in clause if token.kind == FIGURE and not is_pronoun(token)]
    if len(figures) != 1 or not only_limit(figures[0], ground):
        return None
    text = told.low[clause[0].start : clause[-1].end]
    least, most = bool(_AT_LEAST.search(text)), bool(_AT_MOST.search(text))
    for piece in ground.pieces:
        words = {token.text for token in piece.limits}
        bounds = [token for token in piece.limits if token.kind == FIGURE]
        if len(bounds) == 1 and bounds[0].top is None and same_figure(figures[0], bounds[0]):
            typed_least, typed_most = words & {"min", "minimum", "least"}, words & {"max", "maximum", "most"}
            if (most and not least and typed_least) or (least and not most and typed_most):
                return Finding("figure", "The limit was typed the other way.", figures[0].start, figures[0].end)
    return None


def _gap(token: Token, start: int, end: int) -> int:
    """How far a figure stands from a word; one behind it belongs to it sooner."""
    return token.start - end - 6 if token.start >= end else start - token.end


_BELOW = phrase("frost|freezing|minus|below|under|short|low|lower|down|beneath|less|minus|missing|lost")
_ABOVE = phrase("above|over|high|higher|up|more|plus|too much|beyond")


def _sign(token: Token, told: Statement, ground: Ground) -> str:
    """``turned``: so much above where it was typed below, or a temperature without its sign; ``lost``: without it."""
    typed = [one for one in ground.figures if one.value and token.value and abs(one.value) == abs(token.value)]
    if token.text[:1] in "+-−" or not typed or not all(one.text[:1] in "+-−" for one in typed):
        return ""
    near = told.low[max(0, token.start - 25) : token.end + 25]
    below, above = bool(_BELOW.search(near)), bool(_ABOVE.search(near))
    if all(one.text[0] in "-−" for one in typed):
        unit = find(token.unit or typed[0].unit)
        warm = unit is not None and unit.dimension == "temperature"
        return "" if below else "turned" if above or warm else "lost"
    return "turned" if below and not above else ""


def _both_ends(token: Token, ground: Ground) -> list[Token]:
    """A range whose ends were each typed: the thinnest and the thickest."""
    ends = [[one for one in ground.figures if end in (one.value, one.top)] for end in (token.value, token.top)]
    return ends[0] if token.top is not None and "-" not in token.text and all(ends) else []


def _named(token: Token, ground: Ground) -> bool:
    """A code, part number or label stands letter for letter in a cited line."""
    bare = token.text.replace("-", "")
    if (sized := _SIZED.match(token.text)) and Fraction(sized[1]) in ground.digits:
        return True
    if bare[:1].isdecimal():  # "5W-40" stands in no "15W-40"
        apart = re.compile(rf"(?<![a-z0-9.])(?:{re.escape(bare)}|{re.escape(token.text)})")
        lines = [line.lower() for line in (*ground.lines, *ground.facts)]
        return any(apart.search(line) or apart.search(line.replace("-", "")) for line in lines)
    return any(bare in re.sub(r"[\s-]", "", line).lower() for line in (*ground.lines, *ground.facts))


def _difference(token: Token, told: Statement, ground: Ground) -> bool:
    """How far one typed figure is from another, told as such."""
    near = told.low[max(0, token.start - 15) : token.end + _NEAR]
    if not _APART.search(near):
        return False
    typed = [(value, one.unit) for one in ground.figures for value in (one.value, one.top) if value is not None]
    units = {unit for _, unit in typed if unit}
    measured = not token.unit or not units or token.unit in units
    return measured and any(abs(a - b) == token.value for a, _ in typed for b, _ in typed)


def opposite(side: str) -> str:
    """The other end of an axis."""
    pairs = {"left": "right", "front": "rear", "inner": "outer", "upper": "lower"}
    return {**pairs, **{b: a for a, b in pairs.items()}}.get(side, "")


def is_pronoun(token: Token) -> bool:
    """A number in words that may stand for a thing."""
    return token.text in ("one", "half", "double", "couple", "zero")


def _as_digits(token: Token, ground: Ground) -> bool:
    """A number inside a label, a date, a code, a count such as 20/20; small ones may count what is cited."""
    typed = [one for one in ground.figures if one.value == token.value]
    if token.unit and typed and all(one.unit for one in typed):
        return False  # with another unit, wherever it was typed
    timed = [one for one in ground.figures if one.value == token.value and one.unit in ("h", "min", "s")]
    if token.unit and (token.unit not in ("times", "h", "min") or timed):
        return token.value in ground.digits and not any(one.unit for one in ground.figures if one.value == token.value)
    counts = {Fraction(1), Fraction(len(ground.entries))}
    if token.text.isalpha():
        two = ground.typed("both", "pair", "sides", "twice") or any(
            opposite(side) in ground.sides for side in ground.sides
        )
        counts |= {Fraction(2)} if two else set()
    return token.value in ground.digits | counts


def same_figure(token: Token, typed: Token) -> bool:
    """The same value, and no other unit where both have one."""
    ends = {typed.value, typed.top} - {None}
    mine = {token.value, token.top} - {None}
    if token.top is not None and typed.top is not None and token.value != typed.value:
        return False
    if not mine <= ends and (token.text[:1] in "+-−" or typed.text[:1] not in "+-−"):
        return False
    if not mine <= ends and not {abs(one) for one in mine if one} <= {abs(one) for one in ends if one}:
        return False
    return not token.unit or not typed.unit or token.unit == typed.unit or kin(token.unit, typed.unit)


def kin(one: str, other: str) -> bool:
    """Units that the workshop writes for each other: a bare degree, an ounce of volume or weight."""
    a, b = find(one), find(other)
    if "times" in (one, other):
        return any(unit is not None and unit.dimension == "cycles" for unit in (a, b))
    return (
        a is not None and b is not None and (a.name == b.name or {a.dimension, b.dimension} == {"angle", "temperature"})
    )


def only_limit(token: Token, ground: Ground) -> bool:
    """Whether a figure was typed as a bound and nowhere as what was read."""
    as_limit = any(same_figure(token, one) for piece in ground.pieces for one in piece.limits if one.kind == FIGURE)
    read = any(same_figure(token, one) for piece in ground.pieces for one in piece.tokens if one.kind == FIGURE)
    return as_limit and not read


def as_limit(token: Token, told: Statement) -> bool:
    """Whether a word about limits stands near a told figure, in its own clause."""
    clause = next((one for one in told.clauses if one[0].start <= token.start <= one[-1].start), (token,))
    near = told.low[max(clause[0].start, token.start - _NEAR) : min(clause[-1].end, token.end + _NEAR)]
    return told.lists.said("limit_words", near) is not None


def _labelled(token: Token, told: Statement, ground: Ground) -> bool:
    clause = next((one for one in told.clauses if one[0].start <= token.start <= one[-1].start), ())
    return any(_label_of(said, clause, piece) is token for piece in ground.pieces for said in clause)


def labels(said: Token, clause: Sequence[Token], piece: Piece) -> bool:
    """Whether a word is that of a bracket and stands nearest to its figure: "22 A of its 25 A rating"."""
    figure = _label_of(said, clause, piece)
    return figure is not None and any(same_figure(figure, one) for one in piece.limits if one.kind == FIGURE)


_AS_READ = frozenset("found find measured read reads showed had has held holds drew".split())


def _label_of(said: Token, clause: Sequence[Token], piece: Piece) -> Token | None:
    if not any(said.root == one.root or abbreviates(one.text, said.text) for one in piece.limits if one.kind == WORD):
        return None
    figures = [one for one in clause if one.kind == FIGURE and not is_pronoun(one)]
    if len(figures) == 1 and any(one.text in _AS_READ for one in clause):
        return None
    return min(figures, key=lambda one: abs(clause.index(one) - clause.index(said)), default=None)
