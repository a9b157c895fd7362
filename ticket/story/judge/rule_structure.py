"""Rules 6, 7, 8 and 10: sides with nouns, things and doings, states with what they are said of, *no* with its word."""

from collections.abc import Iterator, Sequence

from ticket.story.judge.answer import Finding
from ticket.story.judge.ground import Ground, Piece, denied
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
            if token.kind != SIDE:
                continue
            if token.root not in ground.sides:
                yield Finding("side", f"“{token.text}” is not typed.", token.start, token.end)
            elif (noun := noun_of(clause, i)) is not None:
                yield from _other_noun(token, noun, clause, ground)


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


def _other_noun(
    side: Token, noun: Token, clause: Sequence[Token], ground: Ground
) -> Iterator[Finding]:  # fmt: skip
    other = opposite(side.root)
    given = {token.root for token in clause if token.kind == SIDE}
    if other in given:
        return
    homes = [piece for piece in ground.pieces if noun.root in piece.roots]
    if not homes:
        return
    held = [sides_at(piece, at) for piece in homes for at in piece.roots[noun.root]]
    if any(side.root in one or not one for one in held):
        return
    held += [_sides_at_all(piece) for piece in ground.pieces if _takes_over(piece, noun)]
    if any(side.root in one for one in held):
        return
    if all(other in one for one in held):
        yield Finding("side", f"“{noun.text}” was typed with another side.", side.start, side.end)


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


def _takes_over(piece: Piece, noun: Token) -> bool:
    """A piece with a side that leaves out the thing named in front of it: "rr plugged"."""
    return noun.root not in piece.roots and noun.root in piece.subject() and bool(_sides_at_all(piece))


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


def roles(told: Statement, ground: Ground) -> Iterator[Finding]:
    """A thing is not told as what something does, nor a doing as a thing."""
    for clause in told.clauses:
        for i, token in enumerate(clause):
            if token.kind != WORD or token.text in told.lists.plain:
                continue
            typed = _typed_as(token, ground)
            if not typed:
                continue
            if _is_verb(clause, i) and all(_is_thing(piece, at) or _heads(piece, at, token) for piece, at in typed):
                yield Finding("role", f"“{token.text}” was typed as a thing.", token.start, token.end)
            elif _passive(clause, i) and all(_does_it(piece, at, clause[:i]) for piece, at in typed):
                yield Finding("role", f"Nobody typed that it was {token.text}.", token.start, token.end)
            elif _is_noun(clause, i) and all(_may_do(piece, at, clause[i + 1 : i + 2]) for piece, at in typed):
                yield Finding("role", f"“{token.text}” was typed as what something does.", token.start, token.end)


def _typed_as(token: Token, ground: Ground) -> list[tuple[Piece, int]]:
    seen = ("found", "proof", "cause", "risk", "because", "maybe")
    typed = [(piece, at) for piece in ground.pieces if piece.where in seen for at in _places(token, piece)]
    new = [piece for piece in ground.pieces if piece.where == "did" and piece.tokens[0].text == "new"]
    return typed + [
        (piece, at)
        for piece in new
        for at in _places(token, piece)
        if not piece.tokens[at].is_a("work") or token.is_a("work")
    ]


def _places(token: Token, piece: Piece) -> list[int]:
    """Where the same word stands, not one that only says the same."""
    bases = {word.base for word in token.words}
    places = piece.roots.get(token.root, ())
    return [at for at in places if not bases or bases & {word.base for word in piece.tokens[at].words}]


def _is_verb(clause: Sequence[Token], i: int) -> bool:
    """Told as a verb: a past form that no *be* and no determiner stands in front of, or right behind a pronoun."""
    token = clause[i]
    before = clause[i - 1] if i else None
    if before is None or before.text in ("and", "then"):
        return is_past(token) or (token.form_of("doing") == "third" and not token.is_a("state"))
    if before.text in ("we",):
        return is_past(token)
    if before.text in ("it", "they", "he", "she"):
        return token.form_of("doing") in ("third", "past", "base") or token.is_a("thing")
    if not (token.is_a("doing") or is_past(token)):
        return False
    bound = before.is_a("be", "det", "degree", "has", "place") or before.kind in (SIDE, NO)
    return is_past(token) and not bound and not token.is_a(*_THING) and before.is_a(*_THING)


def is_past(token: Token) -> bool:
    """A past form of a doing, listed or by its ending."""
    return token.form_of("doing") in ("past", "participle") or (not token.words and token.text.endswith("ed"))


def _is_thing(piece: Piece, at: int) -> bool:
    """Typed as a listed part in its base or plural form, with a side or a word of its group in front."""
    token = piece.tokens[at]
    if not token.is_a(*_THING) or token.form_of("doing") in ("past", "participle", "gerund"):
        return False
    noise = next((word.kind for word in token.words if word.cls == "doing"), "")
    part = any(word.cls == "thing" and word.kind == "part" for word in token.words)
    behind = piece.tokens[at + 1] if at + 1 < len(piece.tokens) else None
    led = (
        at > 0
        and piece.tokens[at - 1].kind in (SIDE, WORD)
        and not piece.tokens[at - 1].is_a("pronoun", "modal", "degree", "particle")
    )
    says = behind is not None and behind.is_a("doing") and not behind.is_a("thing", "place")
    return part and "n" not in noise and (led or says)


def _heads(piece: Piece, at: int, token: Token) -> bool:
    """Typed in its base form with a state or another doing right behind: it is what that is said of."""
    typed = piece.tokens[at]
    behind = piece.tokens[at + 1] if at + 1 < len(piece.tokens) else None
    if behind is None or typed.text == token.text or typed.text.endswith(("s", "ed", "ing")) or is_past(typed):
        return False
    return behind.form_of("doing") == "third" or (behind.is_a("state") and not behind.is_a("place", "degree"))


def _passive(clause: Sequence[Token], i: int) -> bool:
    before = clause[i - 1] if i else None
    return before is not None and before.is_a("be") and is_past(clause[i])


def _does_it(piece: Piece, at: int, told_in_front: Sequence[Token]) -> bool:
    """Typed as what something does, and not to what stands in front of the passive: a third person."""
    token = piece.tokens[at]
    objects = {one.root for one in piece.tokens[at + 1 : at + 4] if one.is_a(*_THING) or not one.words}
    if objects & {one.root for one in told_in_front}:
        return False
    return not is_past(token) and (token.form_of("doing") == "third" or token.form_of("thing") == "many")


def _is_noun(clause: Sequence[Token], i: int) -> bool:
    """Told as a thing: a determiner in front and a *be* or *has* behind."""
    if not clause[i].is_a(*_THING):
        return False
    before, behind = (clause[i - 1] if i else None), (clause[i + 1] if i + 1 < len(clause) else None)
    if (
        behind is not None
        and behind.text in _PARTICLES
        and not any(one.is_a("be", "has") for one in clause[i + 2 : i + 3])
    ):
        return False
    verb = behind is not None and behind.is_a("be", "has")
    return before is not None and (before.is_a("det") or (verb and before.is_a(*_THING)))


def _may_do(piece: Piece, at: int, told_behind: Sequence[Token]) -> bool:
    """Typed with a particle right behind, or first in its piece with one: "plugs up", "cuts out 118 psi"."""
    behind = piece.tokens[at + 1] if at + 1 < len(piece.tokens) else None
    if behind is None or not opens_as_doing(piece, at):
        return False
    return behind.text in _PARTICLES and not any(one.text == behind.text for one in told_behind)


_PARTICLES = frozenset({"up", "out", "off", "down", "in", "on", "back", "over", "away"})


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
    typed_named = {root for root in named if any(root in piece.roots for piece in ground.pieces)}
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
        ):
            return
        homes = [piece for piece in ground.pieces if token.root in piece.roots and piece.where != "field"]
        head = subject[-1] if not any(one.text == "of" for one in told.tokens) else subject[0]
        if homes and all(_only_where(piece, head, token) for piece in homes):
            yield Finding("state", f"“{token.text}” was typed of something else.", token.start, token.end)
            return
        allowed = {root for piece in homes for root in (*piece.subject(), *_whole_of(piece, ground))}
        if homes and allowed and not typed_named & allowed:
            yield Finding("state", f"“{token.text}” was typed of something else.", token.start, token.end)
            return
        if any(token.is_a(*_THING) for token in said):
            return


def _whole_of(piece: Piece, ground: Ground) -> Iterator[str]:
    """What a reason or a risk is given of: its part may be named there, the whole in a field of its own."""
    if piece.where in ("because", "risk"):
        for other in ground.pieces:
            if other.entry is piece.entry and other.where != piece.where:
                yield from other.things


def _only_where(piece: Piece, head: Token, state: Token) -> bool:
    """A thing typed behind a place word is where it was, not what it was said of: "bag chafed on bracket"."""
    at = piece.roots.get(head.root, ())
    places = piece.roots[state.root]
    if len(at) != 1 or not places or at[0] < places[0]:
        return False
    between = piece.tokens[places[-1] + 1 : at[0]]
    before = any(token.is_a(*_THING) for token in piece.tokens[: places[0]])
    return before and any(token.text in ("on", "against", "onto", "by", "from", "off") for token in between)


def denial(told: Statement, ground: Ground) -> Iterator[Finding]:
    """A *no* stays with its word, and none comes or goes."""
    brought = set(told.lists.data["speech"]["no_brought"])
    for clause in told.clauses:
        start, end = clause[0].start, clause[-1].end
        right, behind = denied(clause)
        if _denied_anew(clause, told, ground):
            yield Finding("denial", "The typed line says it without a “no”.", start, end)
        phrase = told.lists.said("limit_words", told.low[start:end]) or _phrase_of_no(told, start, end)
        for i, token in enumerate(clause):
            if token.kind != WORD or (token.text in told.lists.plain and token.form_of("work") != "past"):
                continue
            homes = [(piece, at) for piece in ground.pieces for at in piece.roots.get(token.root, ())]
            if not homes:
                continue
            if i in right and not phrase and not (brought & {piece.entry.kind for piece, _ in homes if piece.entry}):
                if not any(
                    _has_no(piece, ground) or _bad_result(piece) for piece, _ in homes
                ) and not ground.says_itself("none"):
                    yield Finding("denial", f"Nobody typed a “no” with “{token.text}”.", token.start, token.end)
            elif i not in behind and all(at in piece.denied[0] for piece, at in homes):
                if not any(token.kind == NO for token in clause) and not _other_no(told, clause, ground):
                    yield Finding("denial", f"The “no” typed with “{token.text}” is gone.", token.start, token.end)


def _denied_anew(clause: Sequence[Token], told: Statement, ground: Ground) -> bool:
    """A *no* with a figure or a doing that was typed without one."""
    start, end = clause[0].start, clause[-1].end
    if not any(token.kind == NO for token in clause) or _phrase_of_no(told, start, end):
        return False
    if told.lists.said("limit_words", told.low[start:end]):
        return False
    about = [
        piece
        for piece in ground.best(clause)
        if piece.where in ("found", "proof", "code", "did", "field") or piece.entry
    ]
    told_no = {"later", "offer", "ruled", "says", "maybe"}
    if not about or any(piece.denied[1] or (piece.entry and piece.entry.kind in told_no) for piece in about):
        return False
    figures = {token.value for token in clause if token.kind == FIGURE and token.unit}
    return any(token.kind == FIGURE and token.value in figures for piece in about for token in piece.tokens)


def _has_no(piece: Piece, ground: Ground) -> bool:
    """A *no* in the piece, or alone behind it: "codes read again, none stored"."""
    behind = [
        one for one in ground.pieces if one.before is piece and not one.things and any(t.kind == NO for t in one.tokens)
    ]
    return bool(behind) or any(token.kind == NO for token in piece.tokens) or bool(piece.denied[1])


def _bad_result(piece: Piece) -> bool:
    """What was tested and failed may be told with a *not*."""
    return any(
        token.text in ("fails", "failed", "fail", "inop", "inoperative", "dead", "quit") for token in piece.tokens
    )


def _phrase_of_no(told: Statement, start: int, end: int) -> bool:
    return any(one in told.low[start:end] for one in told.lists.data["speech"]["no_phrase"])


_DENIES = frozenset("free lacked lacks missing absent failed fails unable refused dead zero stopped".split())


def _other_no(told: Statement, clause: Sequence[Token], ground: Ground) -> bool:
    """The sentence says the *no* another way: free of, gone, stopped, never."""
    words = {token.text for token in clause}
    return bool(words & _DENIES)
