"""Proved: each clause draws its words and figures from one typed piece, in order, and says of them what was typed.

What is not proved is not false: the words may be another honest reading. Each reason says in one sentence what is
missing, so that the writer can mend the words, cite a further entry, or keep them knowingly.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from ticket.readings.units import find
from ticket.story.judge.answer import Finding
from ticket.story.judge.beside import VERBAL, answer_of, lent, told_answer, wholly_own
from ticket.story.judge.ground import PERFORMED, Ground, Piece, denied
from ticket.story.judge.rule_figures import as_limit, kin, same_figure
from ticket.story.judge.rule_inside import remark
from ticket.story.judge.rule_labour import work_kind
from ticket.story.judge.rule_structure import is_past, noun_of, sides_at
from ticket.story.judge.speech import SIZES, speech
from ticket.story.judge.statement import FIGURE, MARK, NO, SIDE, WORD, Statement, Token, abbreviates, span_of

_ASSERTS = frozenset("only just still again both all every each more less most few always another other".split())
_FUTURE = frozenset({"will", "should", "needs", "need", "must", "would", "shall", "please"})
_MODAL = frozenset({"can", "could", "may", "might"})
_ABOUT = frozenset({"about", "around", "roughly", "nearly", "almost", "approximately", "some"})
_REASONS = frozenset({"because", "since", "due", "caused", "therefore", "why", "so"})
_KERB = frozenset({"nearside", "offside"})  # which is left depends on the side of the road a country drives on
_WHEN = frozenset({"when", "while", "if", "once"})
_RULED = frozenset({"rule", "ruled", "rules"})


_Matched = Sequence[tuple[Token, int]]


@dataclass(frozen=True, slots=True)
class _Drawn:
    """A clause and the piece it is drawn from."""

    piece: Piece
    things: frozenset[str]


def unproved(told: Statement, ground: Ground) -> Iterator[Finding]:
    """Why a text is not proved; nothing where it is."""
    drawn: _Drawn | None = None
    said_something = False
    homes: list[Piece] = []
    own = {_plain(part) for text in ground.own for part in re.split(r"(?<=[.;])\s", text) if " " in text}
    for sentence in told.sentences:
        pieces: list[Piece] = []
        start, end = sentence[0][0].start if sentence else 0, sentence[-1][-1].end if sentence else 0
        if _plain(told.low[start:end]) in own and len(sentence[0]) > 2:
            said_something = True
            continue
        for clause in sentence:
            content = _content(clause, told, ground)
            if wholly_own(clause, ground):
                said_something = True
                continue
            if not content:
                begin, stop = span_of(clause)
                if told.low[begin:stop] in told.lists.words("turns"):
                    continue
                if any(token.kind == NO or token.text in told.lists.words("says_something") for token in clause):
                    yield _finding("No entry says this.", clause)
                continue
            said_something = True
            found = _draw(clause, content, told, ground, drawn)
            if isinstance(found, _Drawn):
                found = _cut_name(clause, sentence, found.piece) or found
            if isinstance(found, Finding):
                yield found
                return
            if clause[0].text in _WHEN and drawn is not None and not _goes_on(found.piece, drawn.piece):
                yield _finding("The condition was typed with something else.", clause)
            drawn = found
            pieces.append(found.piece)
            homes.append(found.piece)
        yield from _doubted(told, start, end, pieces)
    yield from _ruled_with(told, homes)
    if not said_something:
        yield Finding("proof", "It says nothing that the entries say.", 0, len(told.text))


def _ruled_with(told: Statement, homes: Sequence[Piece]) -> Iterator[Finding]:
    """What was ruled out, told with something that was typed elsewhere."""
    ruled = any(token.text in _RULED for token in told.tokens) and any(one.where == "ruled" for one in homes)
    if ruled and len({one.entry and one.entry.no for one in homes}) > 1:
        yield Finding("proof", "What was ruled out is told with its own reasons only.", 0, len(told.text))


def _cut_name(clause: Sequence[Token], sentence: Sequence[Sequence[Token]], piece: Piece) -> Finding | None:
    """A name told by its first words alone names something else: the gearbox of "gearbox oil seal"."""
    told_roots = {token.root for part in sentence for token in part}
    for token in clause:
        for at in piece.roots.get(token.root, ()) if token.is_a("thing") else ():
            end = at
            while end + 1 < len(piece.tokens) and piece.tokens[end + 1].is_a("thing", "matter"):
                end += 1
            head = piece.tokens[end]
            whole = {"quantity", "general", "fault", "trouble"}.isdisjoint(word.kind for word in head.words)
            if end > at and whole and head.root not in told_roots and token.root != head.root:
                return Finding("proof", f"“{token.text}” was typed in front of “{head.text}”.", token.start, token.end)
    return None


def _goes_on(piece: Piece, before: Piece) -> bool:
    """The same piece, or the one behind it where that names no state of its own: "rattles, when cold"."""
    own = any(token.is_a("state") and token.text in ("ok", "fine", "good") for token in piece.tokens)
    return piece is before or (not own and piece.entry is before.entry)


def _doubted(told: Statement, start: int, end: int, pieces: Sequence[Piece]) -> Iterator[Finding]:
    """A doubt in the sentence, and none in what it is drawn from."""
    seen = all(piece.where in PERFORMED or piece.where == "cause" for piece in pieces)
    hit = told.lists.said("hedge" if seen else "added", told.low[start:end])
    if hit is None or not pieces:
        return
    typed = [" ".join(token.text for token in piece.tokens) for piece in pieces]
    if not any(piece.hedged or told.lists.said("hedge", text) for piece, text in zip(pieces, typed, strict=True)):
        yield Finding("proof", "Nobody typed a doubt.", start + hit.start(), start + hit.end())


def _plain(text: str) -> str:
    return text.lower().strip(" .;,")


def _finding(reason: str, tokens: Sequence[Token]) -> Finding:
    return Finding("proof", reason, *span_of(tokens))


def _content(clause: Sequence[Token], told: Statement, ground: Ground) -> list[Token]:
    """Words that say something, figures and sides; not what only binds, nor a verdict or limit held right elsewhere."""
    start, end = span_of(clause)
    judged = [told.lists.said(name, told.low[start:end]) for name in ("low", "high", "good")] if ground.readings else []
    covered = [(start + hit.start(), start + hit.end()) for hit in judged if hit]
    limit = any(token.kind == FIGURE and as_limit(token, told) for token in clause)
    hits = told.lists.patterns["limit_words"].finditer(told.low[start:end]) if limit else ()
    covered += [(start + hit.start(), start + hit.end()) for hit in hits]
    if hit := told.lists.said("hedge", told.low[start:end]):
        covered.append((start + hit.start(), start + hit.end()))
    light = told.lists.light | (_RULED if "ruled" in ground.kinds else frozenset())
    out = []
    for token in clause:
        if token.kind in (MARK, NO) or (token.kind == WORD and token.text in told.lists.plain | light):
            continue
        if token.form_of("work") == "past" and work_kind(token) == "fit":
            continue  # what was fitted may be told as replaced; _labour looks at the kind
        if token.kind == FIGURE and token.text == "one":
            continue
        if any(a <= token.start and token.end <= b for a, b in covered) and token.kind == WORD:
            continue
        if token.text in ("mark", "marks") and any(one.text[:1] in "+-−" for one in ground.figures):
            continue  # what stands above or below its mark was typed with a sign
        out.append(token)
    return out


def _draw(
    clause: Sequence[Token], content: Sequence[Token], told: Statement, ground: Ground, before: _Drawn | None
) -> _Drawn | Finding:  # fmt: skip
    worst = Finding("proof", "No one typed line says all of this.", *span_of(clause))
    nearest = -1
    ruled = any(token.text in _RULED for token in clause)
    for piece in (*ground.pieces, *ground.whole, *ground.computed):
        if ruled and "ruled" in ground.kinds and piece.where != "ruled":
            continue
        places, missing = _matched(clause, content, piece, ground, told)
        if missing is not None:
            if len(places) > nearest:
                nearest = len(places)
                worst = missing
            continue
        against = _against(clause, content, places, piece, told, ground, before)
        if against is None:
            things = frozenset(token.root for token in content if token.is_a("thing", "matter"))
            return _Drawn(piece, things or (before.things if before else frozenset()))
        if len(places) > nearest:
            nearest, worst = len(places), against
    return worst


def _matched(
    clause: Sequence[Token], content: Sequence[Token], piece: Piece, ground: Ground, told: Statement
) -> tuple[dict[int, int], Finding | None]:  # fmt: skip
    """Where each word of a clause stands in a piece; the first that is missing, beyond one plain noun."""
    places: dict[int, int] = {}
    spare: Token | None = None
    taken: set[int] = set()
    for token in content:
        if token.kind == FIGURE and not _unit_known(token, ground):
            return places, Finding("proof", f"“{token.unit}” is typed of nothing.", token.start, token.end)
        at = _place(token, piece, taken)
        if at is not None:
            places[id(token)] = at
            taken.add(at)
        elif (
            token.kind == FIGURE and any(same_figure(token, one) for one in piece.limits if one.kind == FIGURE)
        ) or lent(token, clause, piece, told, ground):
            continue
        elif piece.where == "remedy" and token.is_a("work") and any(one.kind == NO for one in clause):
            continue  # "we did not replace" what is still to do
        elif spare is None and _may_be_spare(token, clause, piece, told, ground):
            spare = token
        else:
            typed = token.kind == FIGURE or token.root in ground.words
            reason = "“{}” was typed in another place." if typed else "“{}” is not typed."
            return places, Finding("proof", reason.format(token.text), token.start, token.end)
    if not _in_order(
        [token for token in _turned(clause) if id(token) in places and _counts(token)], places, clause, piece
    ):
        return places, _finding("The words stand in another order than they were typed in.", content)
    return places, None


def _counts(token: Token) -> bool:
    """Sides move in front of their noun; labour stands where the sentence needs it."""
    return token.kind != SIDE and not token.form_of("work")


def _in_order(given: Sequence[Token], places: dict[int, int], clause: Sequence[Token], piece: Piece) -> bool:
    """In typed order, but for a size behind its figure, "21 mm thick", and a state behind its thing."""
    sizes = {id(size) for figure, size in pairwise(clause) if figure.kind == FIGURE and size.text in SIZES}
    sizes |= _turned_states(clause, places)
    rank = {id(token): i for i, token in enumerate(_turned(piece.tokens))}
    order = [rank[id(piece.tokens[places[id(token)]])] for token in given if id(token) not in sizes]
    return order == sorted(order)


def _turned_states(clause: Sequence[Token], places: dict[int, int]) -> set[int]:
    """States told behind a *be* that were typed right in front of their thing: "a leaking core", "the core leaked"."""
    held = [token for token in clause if id(token) in places and not token.is_a("state", "quality")]
    first = min((places[id(token)] for token in held if token.is_a("thing", "matter")), default=-1)
    be = next((i for i, token in enumerate(clause) if token.is_a("be")), len(clause))
    states = [one for one in clause[be:] if one.is_a("state", "quality", "doing") and id(one) in places]
    return {id(token) for token in states if places[id(token)] == first - 1}


def _turned(clause: Sequence[Token]) -> list[Token]:
    """The words of a clause with "the bearing of the water pump" turned to "the water pump bearing"."""
    out = list(clause)
    while i := next((at for at, token in enumerate(out) if at and token.text == "of"), 0):
        head = i
        while head > 0 and not _stops_group(out[head - 1]):
            head -= 1
        tail = i + 1
        while tail < len(out) and not _stops_group(out[tail]):
            tail += 1
        out = [*out[:head], *out[i + 1 : tail], *out[head:i], *out[tail:]]
    return out


def _stops_group(token: Token) -> bool:
    if token.kind in (MARK, NO) or token.text == "of":
        return True
    noun = token.is_a("thing", "quality", "state")
    return token.kind == WORD and (token.is_a("place") or (token.is_a(*VERBAL) and not noun))


def _place(token: Token, piece: Piece, taken: set[int]) -> int | None:
    for i, typed in enumerate(piece.tokens):
        if i in taken or typed.kind != token.kind:
            continue
        if token.kind == FIGURE:
            held = token.unit or not typed.unit or token.text.isalpha()
            if same_figure(token, typed) and held:
                return i
        elif (
            token.kind == SIDE
            and (token.text in _KERB) != (typed.text in _KERB)
            and {token.root, typed.root} <= {"left", "right"}
        ):
            continue
        elif token.root == typed.root or (
            not typed.words and abbreviates(typed.text, token.text) and not is_past(token)
        ):
            return i
    return None


def _unit_known(token: Token, ground: Ground) -> bool:
    """A unit told behind a figure that was typed bare stands with another figure: "95 mm, right 60"."""
    plain = not token.unit or token.unit == "times"
    return plain or any(one.unit and (one.unit == token.unit or kin(one.unit, token.unit)) for one in ground.figures)


def _may_be_spare(
    token: Token, clause: Sequence[Token], piece: Piece, told: Statement, ground: Ground
) -> bool:  # fmt: skip
    """A noun nobody typed: it says more closely which typed thing is meant, or what a line that names none is about."""
    units = [find(one.unit) for one in piece.tokens if one.kind == FIGURE and one.unit]
    if any(unit is not None and unit.dimension == token.text for unit in units):
        return True  # volts are of a voltage, whoever typed it
    if (
        token.kind != WORD
        or token.is_a("state")
        or not any(word.cls == "thing" and word.kind in ("part", "general") for word in token.words)
    ):
        return False
    at = next(i for i, one in enumerate(clause) if one is token)
    behind, before = clause[at + 1 : at + 2], clause[max(0, at - 1) : at]
    if any(one.root in piece.things and one.is_a("thing") for one in behind):
        return token.root not in ground.words
    led = any(one.root in piece.things and one.is_a("thing") for one in before)
    return token.text in told.lists.data["speech"]["frame_noun"] and (led or not piece.things)


def _against(
    clause: Sequence[Token], content: Sequence[Token], places: dict[int, int], piece: Piece, told: Statement,
    ground: Ground, before: _Drawn | None,
) -> Finding | None:  # fmt: skip
    """What keeps a clause from being proved by the piece that holds its words."""
    matched = [(token, places[id(token)]) for token in content if id(token) in places]
    if piece.where == "told" and remark(piece, [one for one in ground.pieces if one.entry is piece.entry], told):
        return _finding("It may be a remark for the shop.", clause)
    if not any(token.kind == WORD for token, _ in matched) and not piece.computed and piece.where != "field":
        near = before is not None and (before.piece is piece or (piece.before is before.piece and not piece.things))
        if not near:
            return _finding("It does not say what the figure is of.", clause)
    words = {token.root for token, _ in matched if token.kind == WORD}
    for other in ground.pieces:
        near = other is not piece and (other.entry is piece.entry or words <= other.roots.keys())
        for token, _ in matched if near else ():
            if other.roots.get(token.root, [-1])[0] in other.denied[0]:
                return _finding(f"“{token.text}” is also typed with a “no”.", [token])
    if piece.where == "told" and answer_of(piece.tokens, told) != told_answer(clause, told):
        return _finding("Another answer was typed with it.", clause)
    said = {token.text for token in clause}
    if piece.where == "says" and clause[0].text in ("we", "technician") and not said & {"told", "you", "heard"}:
        return _finding("The customer said it.", clause)
    for check in (_polarity, speech, _side, _asserted, _labour):
        found = check(clause, matched, piece, told)
        if found is not None:
            return found
    return _tense(clause, piece, told) or _subject(clause, matched, piece, before)


def _polarity(clause: Sequence[Token], matched: _Matched, piece: Piece, told: Statement) -> Finding | None:
    start, end = span_of(clause)
    text = told.low[start:end]
    if any(one in text for one in told.lists.data["speech"]["no_phrase"]):
        return None
    if piece.where == "remedy" and any(token.is_a("work") or token.text == "done" for token in clause):
        return None
    index = {id(token): i for i, token in enumerate(clause)}
    behind = denied(clause)[1]
    for token, at in matched:
        if token.kind == WORD and (index[id(token)] in behind) != (at in piece.denied[1]):
            return _finding(f"The “no” with “{token.text}” is not as typed.", [token])
    dangling = [
        at
        for at in piece.denied[0]
        if not piece.tokens[at].is_a("thing", "matter") and piece.tokens[at].is_a("work", "doing", "state")
    ]
    if dangling and not any(token.kind == NO for token in clause):
        return _finding(f"“{piece.tokens[dangling[0]].text}” was denied.", clause)
    if any(token.kind == NO for token in clause) and not any(index[id(token)] in behind for token, _ in matched):
        return _finding("It denies what was not denied.", clause)
    return None


def _side(clause: Sequence[Token], matched: _Matched, piece: Piece, told: Statement) -> Finding | None:
    places = {id(token): at for token, at in matched}
    for i, token in enumerate(clause):
        if token.kind != SIDE or id(token) not in places:
            continue
        noun = noun_of(clause, i)
        if noun is None or id(noun) not in places:
            continue
        if token.root not in sides_at(piece, places[id(noun)]):
            return _finding(f"“{token.text}” was typed of something else.", [token])
    return None


def _asserted(clause: Sequence[Token], matched: _Matched, piece: Piece, told: Statement) -> Finding | None:
    """Little words that say something, hedges, "about", reasons."""
    typed = {token.text for token in piece.tokens}
    for i, token in enumerate(clause):
        if (
            token.text in _ABOUT
            and i + 1 < len(clause)
            and clause[i + 1].kind == FIGURE
            and not typed & {"~", *_ABOUT}
            and piece.where != "field"
        ):
            return _finding("Nobody typed that the figure is only near.", [token])
        likely = i + 1 < len(clause) and clause[i + 1].text == "likely"
        small = token.kind == WORD and not likely and token.text in _ASSERTS and token.text not in typed
        if small and not (token.text == "only" and piece.limits) and not piece.computed:
            return _finding(f"“{token.text}” is not typed.", [token])
        if (
            token.text in _REASONS
            and token.text not in typed
            and piece.where not in ("because", "fact")
            and i < 2
            and token.text != "so"
        ):
            return _finding(f"“{token.text}” is not typed.", [token])
    if (
        "~" in typed
        and any(token.kind == FIGURE for token, _ in matched)
        and not {token.text for token in clause} & {*_ABOUT, "~"}
    ):
        return _finding("The figure was typed as only near.", clause)
    return None


def _labour(clause: Sequence[Token], matched: _Matched, piece: Piece, told: Statement) -> Finding | None:
    """Work is the kind that was typed in this piece, or in front of it where it names parts alone; new parts go in."""
    if piece.where != "did":
        return None
    said = _said_work(clause, told)
    typed = {kind for token in piece.tokens if (kind := work_kind(token))}
    before = piece
    while not typed and before.before is not None and before.tokens[0].text != "new":
        before = before.before
        typed = {kind for token in before.tokens if (kind := work_kind(token))}
    if not typed:
        typed = {"fit"}
    if said and said not in typed:
        return _finding("Other work was typed of it.", clause)
    return None


def _said_work(clause: Sequence[Token], told: Statement) -> str:
    """The kind of work a clause tells, its own or that of the list it goes on with."""
    start, end = clause[0].start, clause[-1].end
    for token in reversed([one for one in told.tokens if one.start <= end]):
        kind = work_kind(token)
        if kind and (token.start >= start or _lists_on(told, token, start)):
            return kind
    return ""


def _lists_on(told: Statement, token: Token, start: int) -> bool:
    """Whether labour in an earlier clause goes on over a list: no other full stop between."""
    return not any(mark in told.low[token.end : start] for mark in (".", ";"))


def _tense(clause: Sequence[Token], piece: Piece, told: Statement) -> Finding | None:
    """What was done is told as done, what waits as waiting, what may happen as what may."""
    words = {token.text for token in clause}
    if piece.where in ("did", "proof", "used") and words & (_FUTURE | _MODAL) - {token.text for token in piece.tokens}:
        return _finding("It was done, and is told as still to do.", clause)
    done = words & {"we", "been", "was", "were", "is", "are"} and any(
        token.form_of("work") == "past" for token in clause
    )
    if piece.where == "remedy" and done and not words & _FUTURE and not any(token.kind == NO for token in clause):
        return _finding("It is still to do.", clause)
    end = clause[-1].end
    begin = max(told.low.rfind(". ", 0, clause[0].start), told.low.rfind("; ", 0, clause[0].start), 0)
    if piece.where == "risk" and not told.lists.said("modal", told.low[begin:end]):
        return _finding("It may happen; the words say that it does.", clause)
    typed = " ".join(token.text for token in piece.tokens)
    if told.lists.said("hedge", typed) and not told.lists.said("hedge", told.low):
        return _finding("It was typed as a guess.", clause)
    start, end = span_of(clause)
    if told.lists.said("added", told.low[start:end]) and not piece.hedged and not told.lists.said("hedge", typed):
        return _finding("Nobody typed a doubt.", clause)
    return None


def _subject(clause: Sequence[Token], matched: _Matched, piece: Piece, before: _Drawn | None) -> Finding | None:
    """A clause that names no thing of its own is about that of the clause before it; so is its piece."""
    if piece.computed or piece.where in ("did", "field", "remedy", "told", "says"):
        return None
    if any(token.is_a("thing", "matter") or not token.words for token, _ in matched if token.kind == WORD):
        return None
    about = piece.subject()
    if before is None:
        return None if not about else _finding("It does not say what it is about.", clause)
    if before.piece is piece or before.things & about or (piece.before is before.piece and not piece.things):
        return None
    return _finding("It was typed of something else.", clause)
