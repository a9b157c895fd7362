"""Rules 9 and 12: work that was done, and what it was done to."""

from collections.abc import Iterator, Sequence

from ticket.job.kinds import Used
from ticket.story.judge.answer import Finding
from ticket.story.judge.ground import Ground, Piece
from ticket.story.judge.statement import NO, WORD, Statement, Token, abbreviates
from ticket.story.judge.tables import Tables

_DONE = ("did", "proof", "used", "found", "code", "ruled")  # fields whose work was done
_OPEN = ("remedy",)
_TAKES = frozenset({"took", "pulled", "dropped"})
_LOOKING = frozenset({"check", "look", "measure"})
_PUT_OFF = frozenset(
    """should still needs need must to can may could would will offered recommend recommended propose proposed suggest
    plan please waits wait if until before""".split()
)


def labour(told: Statement, ground: Ground) -> Iterator[Finding]:
    """Work is told only where it was done, and of what it was done to."""
    for sentence in told.sentences:
        open_ = False  # the clause in front says that it is still to do
        for clause in sentence:
            open_ = open_ or any(token.text in _PUT_OFF or token.kind == NO for token in clause[:6])
            if open_ and not any(token.text in ("we", "was", "were") for token in clause):
                continue
            yield from _claims(clause, told, ground)
            open_ = False


def _claims(clause: Sequence[Token], told: Statement, ground: Ground) -> Iterator[Finding]:
    for i, token in enumerate(clause):
        if not _claimed(clause, i):
            continue
        if any(one.kind == NO or one.text in _PUT_OFF for one in clause[:i]):
            return
        kind = work_kind(token)
        if not kind:
            continue
        if ground.says_itself(token.text) or (token.text in told.lists.data["speech"]["claims"] and _mended(ground)):
            continue
        fields = [piece for piece in ground.pieces if piece.where in _DONE]
        same = [piece for piece in fields if _names(piece, token)]
        objects = _objects(clause, i)
        if kind in _LOOKING and not [one for one in objects if one.text not in told.lists.data["speech"]["frame_noun"]]:
            continue
        if not same and not _akin(kind, fields, ground, told.lists):
            if (kind in _LOOKING and _looked_at(objects, fields)) or _typed_elsewhere(token, clause, ground):
                continue
            later = any(_names(piece, token) for piece in ground.pieces if piece.where in _OPEN)
            why = "is still to do" if later else "was typed by nobody"
            yield Finding("work", f"That it was {token.text} {why}.", token.start, token.end)
            return
        yield from _done_to(token, objects, same, fields, told, ground)


def _claimed(clause: Sequence[Token], i: int) -> bool:
    """A past form of labour behind "we", a link, a comma or a *be*."""
    token = clause[i]
    if token.form_of("work") != "past" and token.text not in _TAKES:
        return False
    if token.text in _TAKES:
        away = any(one.text in ("off", "out", "down", "apart") for one in clause[i + 1 :])
        return away and any(one.text == "we" for one in clause[:i])
    head = [one for one in clause[:i] if one.kind == WORD]
    if not head:
        return True
    if any(one.text == "we" for one in head):
        return not head[-1].is_a("det") and not head[-1].is_a("quality", "thing")
    return head[-1].text in ("and", "then", "also") or (
        head[-1].is_a("be") and (work_kind(token) == "fit" or not token.is_a("state", "quality"))
    )


def work_kind(token: Token) -> str:
    """The class of work a word may claim; empty where it is none."""
    if token.text in _TAKES:
        return "take"
    if token.form_of("work") == "base" and token.is_a("thing"):
        return ""
    return next((word.kind for word in token.words if word.cls == "work"), "")


def _mended(ground: Ground) -> bool:
    return any(
        work_kind(token) in ("fit", "mend") for piece in ground.pieces if piece.where == "did" for token in piece.tokens
    )


def _names(piece: Piece, token: Token) -> bool:
    """Whether the piece tells such work: in labour in any form, elsewhere only as done."""
    places = piece.roots.get(token.root, ())
    return bool(places) and (
        piece.where in ("did", "remedy") or any(piece.tokens[at].form_of("work") == "past" for at in places)
    )


def _typed_elsewhere(token: Token, clause: Sequence[Token], ground: Ground) -> bool:
    """Typed as done in a reason, a remark of a code, or by somebody else in a complaint: "swapped, knock stayed"."""
    if any(one.text == "we" for one in clause):
        return False
    return any(
        piece.tokens[at].form_of("work") == "past" or piece.tokens[at].form_of("doing") == "past"
        for piece in ground.pieces
        if piece.where != "remedy"
        for at in piece.roots.get(token.root, ())
    )


def _akin(kind: str, fields: Sequence[Piece], ground: Ground, lists: Tables) -> bool:
    """Work of this kind, or of one that a driver's word may stand for, was done."""
    near = {kind} | {one for row in lists.data["speech"]["kin"] if kind in row for one in row}
    done = {work_kind(token) for piece in fields if piece.where in ("did", "proof") for token in piece.tokens}
    seen = [token for piece in fields if piece.where == "found" for token in piece.tokens]
    done |= {work_kind(token) for token in seen if token.form_of("work") == "past"}
    new = any(
        token.text in ("new", "reman", "rebuilt") for piece in fields if piece.where == "did" for token in piece.tokens
    )
    if new or any(isinstance(entry.fact, Used) for entry in ground.entries) or _bare_list(fields):
        done.add("fit")
    return bool(near & done)


def _bare_list(fields: Sequence[Piece]) -> bool:
    """Labour typed without any doing: the parts alone were changed."""
    did = [piece for piece in fields if piece.where == "did"]
    return any(all(_in_list(token) for token in piece.tokens) for piece in did)


def _in_list(token: Token) -> bool:
    if token.kind != WORD:
        return True
    return token.text in ("and", "both") or (token.is_a("thing", "quality") and not work_kind(token)) or not token.words


def _objects(clause: Sequence[Token], i: int) -> list[Token]:
    """Things behind the work; in front of it where it was done to them."""
    behind = [token for token in clause[i + 1 :] if token.is_a("thing", "matter") and not token.is_a("place")]
    return behind or [token for token in clause[:i] if token.is_a("thing", "matter")]


def _looked_at(objects: Sequence[Token], fields: Sequence[Piece]) -> bool:
    seen = {root for piece in fields if piece.where != "did" for root in piece.roots}
    return any(token.root in seen for token in objects)


def _done_to(
    token: Token, objects: Sequence[Token], same: Sequence[Piece], fields: Sequence[Piece],
    told: Statement, ground: Ground,
) -> Iterator[Finding]:  # fmt: skip
    """Nothing that only waits, nothing that nobody typed."""
    if same and named_elsewhere(token, objects, same, fields):
        yield Finding("work", f"“{objects[0].text}” was typed with other work.", objects[0].start, objects[0].end)
        return
    done = {root for piece in fields for root in piece.roots}
    waiting = {root for piece in ground.pieces if piece.where in _OPEN for root in piece.roots} - done
    nouns = set(told.lists.data["speech"]["frame_noun"])
    named = [one for one in objects if one.text not in nouns]
    if named and named[-1].root in waiting:
        yield Finding("work", f"“{named[-1].text}” is still to do.", named[-1].start, named[-1].end)
        return
    typed = any(one.root in ground.everywhere for one in named)
    asked = any(other.is_a("thing") and not other.is_a("work") for piece in same for other in piece.tokens)
    if named and not typed and asked and all(_part(one) for one in named) and not _short_for(named, ground):
        yield Finding("work", f"“{named[0].text}” was typed by nobody.", named[0].start, named[0].end)


def named_elsewhere(token: Token, objects: Sequence[Token], same: Sequence[Piece], fields: Sequence[Piece]) -> bool:
    """Whether the thing was typed only beside other work than this."""
    parts = [one for one in objects if _part(one)]
    if not parts or any(one.root in piece.roots for piece in same for one in parts):
        return False
    homes = [piece for piece in fields if parts[-1].root in piece.roots]
    return bool(homes) and all(
        piece.where == "did" and any(one.form_of("work") or one.form_of("doing") == "past" for one in piece.tokens)
        and not piece.roots.get(token.root) for piece in homes
    )  # fmt: skip


def _part(token: Token) -> bool:
    return any(word.cls == "thing" and word.kind == "part" for word in token.words)


def _short_for(named: Sequence[Token], ground: Ground) -> bool:
    """A typed short form whose letters stand in the word in order is the same word: gnd, trlr, gov."""
    typed = [token.text for piece in ground.pieces for token in piece.tokens if token.kind == WORD and not token.words]
    return any(abbreviates(short, one.text) for one in named for short in typed)
