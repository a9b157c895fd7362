"""Rules 6, 7, 8 and 10: sides with nouns, things and doings, states with what they are said of, *no* with its word."""

from collections.abc import Iterator, Sequence

from ticket.story.judge.answer import Finding, missing
from ticket.story.judge.ground import ONE_LETTER, Ground, Piece, denied
from ticket.story.judge.rule_figures import opposite
from ticket.story.judge.statement import FIGURE, NO, SIDE, WORD, Statement, Token
from ticket.story.judge.tables import tables

_THING = ("thing", "matter")
_STATE = ("state", "quality")


def sides(told: Statement, ground: Ground) -> Iterator[Finding]:
    """A side is typed, and stands with a noun that has it in a typed line."""
    for clause in told.clauses:
        yield from _of_other_side(clause, told, ground)
        for i, token in enumerate(clause):
            if token.kind == SIDE and token.root not in ground.sides:
                place, why = (token.start, token.end), f"“{token.text}” is not typed."
                typed = _opposite_typed(token, clause, i, ground) or _kerb(token, ground)
                yield Finding("side", why, *place) if typed else missing(why, *place)


def _opposite_typed(side: Token, clause: Sequence[Token], i: int, ground: Ground) -> bool:
    """Whether what a side is told of was typed with the other end of its axis."""
    other, noun = opposite(side.root), noun_of(clause, i)
    homes = [(piece, at) for piece in ground.pieces for at in piece.roots.get(noun.root if noun else "", ())]
    about = [piece for piece, _ in homes] or ground.best(clause)
    for typed in (ONE_LETTER.get(token.text, ()) for piece in about for token in piece.tokens):
        if other in typed and side.root not in typed:
            return True
    if not homes:
        return any(other in _sides_at_all(piece) for piece in about or _listed(clause, i, ground))
    return any(other in sides_at(piece, at) for piece, at in homes)


def _listed(clause: Sequence[Token], i: int, ground: Ground) -> tuple[Piece, ...]:
    """What a clause of nothing but sides goes on about: "all round, front and rear"."""
    bare = all(token.kind == SIDE or token.text in ("and", "or", "both") for token in clause)
    return ground.pieces if bare and i >= 0 else ()


def _kerb(side: Token, ground: Ground) -> bool:
    """A side that no other word can be taken for, where its opposite alone was typed."""
    return side.text in ("nearside", "offside") and opposite(side.root) in ground.sides


def noun_of(clause: Sequence[Token], i: int) -> Token | None:
    """The noun a side belongs to: the first thing behind it in its group, else the last one in front."""
    for token in clause[i + 1 :]:
        if token.kind == SIDE:
            continue
        if (
            token.kind != WORD
            or token.is_a("be", "has", "modal", "place", "pronoun")
            or token.text in ("side", "corner")
        ):
            break
        if token.is_a(*_THING):
            return token
    in_front = [token for token in clause[:i] if token.is_a(*_THING) and token.text not in ("side", "corner")]
    return in_front[-1] if in_front else None


def _of_other_side(clause: Sequence[Token], told: Statement, ground: Ground) -> Iterator[Finding]:
    """What was typed of one side alone, told of the other: the clause's state or doing stands only in such pieces."""
    for token in clause:
        if (
            not token.is_a(*_STATE, "doing")
            or token.is_a(*_THING)
            or token.text in told.lists.plain | told.lists.light
            or token.is_a("place")
        ):
            continue
        homes = [piece for piece in ground.pieces if token.root in piece.roots]
        for side in clause:
            if side.kind != SIDE or not homes or side.root not in ground.sides:
                continue
            if any(piece.shares and side.root in _sides_at_all(piece) for piece in ground.pieces):
                continue
            here = [_sides_at_all(piece) for piece in homes]
            if all(opposite(side.root) in one and side.root not in one for one in here):
                if opposite(side.root) not in {one.root for one in clause if one.kind == SIDE}:
                    yield Finding("side", f"“{token.text}” was typed of another side.", side.start, side.end)
                    return


def sides_at(piece: Piece, at: int) -> set[str]:
    """The sides a typed word may have: all of its piece where one group of them is named, else the nearest group."""
    places = [i for i, token in enumerate(piece.tokens) if token.kind == SIDE]
    if not places:
        return _sides_at_all(piece.before) if piece.before is not None and piece.before.where != "did" else set()
    groups: list[list[int]] = []
    for i in places:
        if groups and i == groups[-1][-1] + 1:
            groups[-1].append(i)
        else:
            groups.append([i])
    if len(groups) > 1 and any(token.kind == FIGURE for token in piece.tokens):
        return {piece.tokens[i].root for i in places}  # a list of readings: the thing is named once for all sides
    if _both_ends(piece, places):
        return _next_to(piece, at, groups)
    near = sorted(groups, key=lambda group: (min(abs(at - i) for i in group), group[0] > at))
    reach = [group for group in near if min(abs(at - i) for i in group) <= 3] or near[:1]
    return {piece.tokens[i].root for group in reach for i in group}


def _both_ends(piece: Piece, places: Sequence[int]) -> bool:
    named = {piece.tokens[i].root for i in places}
    return any(opposite(side) in named for side in named)


def _next_to(piece: Piece, at: int, groups: Sequence[Sequence[int]]) -> set[str]:
    """Where front and rear stand in one piece, a word has the sides right in front of its group, else right behind."""
    before = [group for group in groups if group[-1] < at]
    behind = [group for group in groups if group[0] > at]
    if before and not any(token.is_a("place", "join") for token in piece.tokens[before[-1][-1] + 1 : at]):
        return {piece.tokens[i].root for i in before[-1]}
    nearest = behind[:1] or before[-1:]
    return {piece.tokens[i].root for group in nearest for i in group}


def _sides_at_all(piece: Piece) -> set[str]:
    return {token.root for token in piece.tokens if token.kind == SIDE}


def is_past(token: Token) -> bool:
    """A past form of a doing, listed or by its ending."""
    return token.form_of("doing") in ("past", "participle") or (not token.words and token.text.endswith("ed"))


def opens_as_doing(piece: Piece, at: int) -> bool:
    """Typed with the -s of a verb: listed as one, or first behind a piece whose thing it may leave out."""
    token = piece.tokens[at]
    return token.form_of("doing") == "third" or (
        at == 0 and piece.before is not None and token.form_of("thing") == "many"
    )


def states(told: Statement, ground: Ground) -> Iterator[Finding]:
    """A state is said of the thing it was typed of; a new part is not told as taken off."""
    subject: tuple[Token, ...] = ()
    for clause in told.clauses:
        own, said = _parted(clause)
        opens = any(token.kind == NO or token.is_a("pronoun") for token in clause[:3])
        if own or opens:
            subject = own
        if said and subject:
            yield from _of_another(subject, said, told, ground)


def _parted(clause: Sequence[Token]) -> tuple[tuple[Token, ...], tuple[Token, ...]]:
    """Things in front of the verb, and what is said of them behind it."""
    at = next((i for i, token in enumerate(clause) if token.is_a("be", "link") and token.kind == WORD), None)
    if at is None or any(token.text == "there" for token in clause[:at]):
        return (), ()
    things: list[Token] = []
    placed = False
    for token in clause[:at]:
        placed = token.text != "of" and (placed or (token.is_a("place") and token.text != "the"))
        if not placed and (token.is_a(*_THING) or _unlisted(token)):
            things.append(token)
        elif token.is_a(*_THING):
            placed = False  # one thing behind a place word; what stands behind it is the subject again
    return tuple(things), tuple(clause[at + 1 :])


def _unlisted(token: Token) -> bool:
    return token.kind == WORD and not token.words and len(token.text) > 2 and token.text not in tables().plain


def _of_another(
    subject: Sequence[Token], said: Sequence[Token], told: Statement, ground: Ground
) -> Iterator[Finding]:  # fmt: skip
    named = {token.root for token in subject} - set(told.lists.data["speech"]["frame_noun"])
    seen = [piece for piece in ground.pieces if piece.where not in _WORKED]
    typed_named = {root for root in named if any(root in piece.roots for piece in seen)}
    if not typed_named or any(piece.shares and typed_named & set(piece.roots) for piece in ground.pieces):
        return
    for token in said:
        if token.kind in (NO, FIGURE) or token.is_a("degree", "be"):
            continue
        if (
            token.kind != WORD
            or not token.is_a(*_STATE)
            or token.text in told.lists.plain
            or token.is_a("place", "modal")
            or token.form_of("work") == "past"
        ):
            return
        homes = [piece for piece in seen if token.root in piece.roots]
        allowed = {root for piece in homes for root in (*piece.subject(), *_whole_of(piece, ground))}
        if homes and allowed and not typed_named & allowed:
            yield Finding("state", f"“{token.text}” was typed of something else.", token.start, token.end)
            return
        if any(token.is_a(*_THING) for token in said):
            return


_WORKED = ("did", "used", "remedy", "field")  # where a thing is named by what is done to it, not by how it is


def _whole_of(piece: Piece, ground: Ground) -> Iterator[str]:
    """What a reason or a risk is given of: its part may be named there, the whole in a field of its own."""
    if piece.where in ("because", "risk"):
        for other in ground.pieces:
            if other.entry is piece.entry and other.where != piece.where:
                yield from other.things


_ONWARD = frozenset({"out", "off", "away"})
_SINCE = frozenset("now again longer since afterwards after then anymore".split())


def denial(told: Statement, ground: Ground) -> Iterator[Finding]:
    """A *no* stays with its word, and none comes or goes."""
    brought = set(told.lists.data["speech"]["no_brought"])
    for clause in told.clauses:
        start, end = clause[0].start, clause[-1].end
        right, behind = denied(clause)
        words = {token.text for token in clause}
        fine = told.lists.said("limit_words", told.low[start:end]) or _phrase_of_no(told, start, end)
        for i, token in enumerate(clause):
            if token.kind == FIGURE and not fine and i and _denies_figure(clause[i - 1], token, ground):
                yield Finding("denial", "The figure was typed without a “no”.", token.start, token.end)
            plain = token.text in told.lists.plain and token.form_of("work") != "past" and token.text != "back"
            homes = [(piece, at) for piece in ground.pieces for at in piece.roots.get(token.root, ())]
            if token.kind != WORD or plain or not homes:
                continue
            kinds = {piece.entry.kind for piece, _ in homes if piece.entry}
            if words & _SINCE and ground.of_kind("did", "proof") and not kinds & {"did", "proof"}:
                continue  # the work may have changed what was found
            if (
                i in right
                and clause[i - 1].text != "yet"
                and not fine
                and not brought & kinds
                and not ground.says_itself("none")
            ):
                if not any(_has_no(piece, ground) for piece, _ in homes):
                    yield Finding("denial", f"Nobody typed a “no” with “{token.text}”.", token.start, token.end)
            elif i not in behind and all(at in piece.denied[0] for piece, at in homes):
                open_ = bool(token.form_of("work")) and bool(words & {"still", "yet", "to"})
                if not (
                    open_
                    or any(one.text in ("rather", "instead") for one in clause[max(0, i - 3) : i])
                    or _counted_apart(clause, [piece for piece, _ in homes])
                    or _other_words(clause, i) & told.lists.words("denies")
                    or (told.lists.said("decline", told.low[start:end]) and _answered(homes))
                    or any(one.kind == NO for one in clause)
                ):
                    yield Finding("denial", f"The “no” typed with “{token.text}” is gone.", token.start, token.end)


def _answered(homes: Sequence[tuple[Piece, int]]) -> bool:
    """Whether a word stands in talks only: there a *no* is an answer, and "turned down" is one too."""
    return all(piece.where == "told" for piece, _ in homes)


def _other_words(clause: Sequence[Token], i: int) -> set[str]:
    """The words of a clause beside one of them, without what only makes it stronger: "badly pitted", "leaking out"."""
    led, behind = clause[max(0, i - 1) : i], clause[i + 1 : i + 2]
    near = [one for one in led if one.text in ("badly", "bad", "hard")] + [one for one in behind if one.text in _ONWARD]
    return {one.text for one in clause if one is not clause[i] and not any(one is other for other in near)}


def _counted_apart(clause: Sequence[Token], homes: Sequence[Piece]) -> bool:
    """Told with another count, where none was typed as 0: "0 missed, was 7 in 40"."""
    zero = all(any(one.kind == FIGURE and one.value == 0 for one in piece.tokens) for piece in homes)
    return zero and any(one.kind == FIGURE and one.value for one in clause)


def _denies_figure(before: Token, figure: Token, ground: Ground) -> bool:
    if before.kind != NO or not figure.unit:
        return False
    homes = [
        piece for piece in ground.pieces for one in piece.tokens if one.kind == FIGURE and one.value == figure.value
    ]
    return bool(homes) and not any(_has_no(piece, ground) for piece in homes)


def _has_no(piece: Piece, ground: Ground) -> bool:
    """A *no* in the piece, in other words too, or alone behind it: "codes read again, none stored"."""
    behind = [one for one in ground.pieces if one.before is piece and not one.things]
    words = {token.text for one in (piece, *behind) for token in one.tokens}
    held = any(token.kind == NO for one in (piece, *behind) for token in one.tokens)
    used_up = "end of" in " ".join(token.text for token in piece.tokens)
    return held or used_up or bool(piece.denied[1]) or bool(words & tables().words("denies"))


def _phrase_of_no(told: Statement, start: int, end: int) -> bool:
    return any(one in told.low[start:end] for one in told.lists.data["speech"]["no_phrase"])
