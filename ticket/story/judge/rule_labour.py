"""Work: refused where the sources leave it open, deny it, or type work that excludes it; unknown work is not proved."""

from collections.abc import Iterator, Sequence

from ticket.job.kinds import Did, Used
from ticket.story.judge.answer import Finding, missing
from ticket.story.judge.ground import Ground, Piece
from ticket.story.judge.statement import FIGURE, NO, WORD, Statement, Token
from ticket.story.judge.tables import Tables

_DONE = ("did", "proof", "used", "found", "code", "ruled")  # fields whose work was done
_OPEN = ("remedy", "maybe", "ruled")  # offered, deferred, only suspected, found to be good
_TAKES = frozenset({"took", "pulled", "dropped"})
_LOOKING = frozenset({"check", "look", "measure"})
_NEXT = frozenset("next need needs should must want wants later before until till quote to at in soon".split())
_PUT_OFF = frozenset(
    """should still needs need must to can may could would will offered recommend recommended propose proposed suggest
    plan please waits wait if until before""".split()
)


def labour(told: Statement, ground: Ground) -> Iterator[Finding]:
    """Work told as done, sentence by sentence."""
    for sentence in told.sentences:
        open_ = False  # the clause in front says that it is still to do
        for clause in sentence:
            open_ = open_ or put_off(clause[:6]) or any(token.kind == NO for token in clause[:6])
            if open_ and not any(token.text in ("we", "was", "were") for token in clause):
                continue
            yield from _claims(clause, told, ground)
            open_ = False


def put_off(given: Sequence[Token]) -> bool:
    """Whether a word of it says that work is still to do."""
    return any(token.text in _PUT_OFF for token in given)


def _claims(clause: Sequence[Token], told: Statement, ground: Ground) -> Iterator[Finding]:
    for i, token in enumerate(clause):
        kind = work_kind(token) if _claimed(clause, i) else ""
        if not kind or ground.says_itself(token.text) or _answers(token, told):
            continue
        if any(one.kind == NO or one.text in _PUT_OFF for one in clause[:i]):
            return
        objects = _objects(clause, i, told.lists)
        if not objects and any(one.text in ("it", "them") for one in clause):
            earlier = [one for one in told.tokens if one.end <= clause[0].start]
            objects = _objects(earlier, len(earlier), told.lists)[:1]
        if kind in _LOOKING and not objects:
            continue
        by_us = any(one.text == "we" for one in clause)
        either = any(
            one.text == "or" for one in clause[max(0, i - 2) : i + 3]
        )  # "refitted or replaced" excludes neither
        other = "" if either else _excluded(kind, objects, ground, told.lists, token)
        if why := _open(token, kind, objects, ground, by_us) or other:
            yield Finding("work", why, token.start, token.end)
            return
        if not _typed(token, kind, clause, objects, ground, told.lists):
            yield missing(f"That it was {token.text} was typed by nobody.", token.start, token.end)


def _answers(token: Token, told: Statement) -> bool:
    """Part of an answer: "turned down", "went ahead"."""
    hits = (hit for name in ("accept", "decline") for hit in told.lists.patterns[name].finditer(told.low))
    return any(hit.start() <= token.start < hit.end() for hit in hits)


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
        return not head[-1].is_a("det", "quality", "thing")
    be = head[-1].is_a("be") and (work_kind(token) == "fit" or not token.is_a("state", "quality"))
    return be or head[-1].text in ("and", "then", "also")


def work_kind(token: Token) -> str:
    """The class of work a word may claim; empty where it is none."""
    if token.text in _TAKES:
        return "take"
    if token.form_of("work") == "base" and token.is_a("thing"):
        return ""
    return next((word.kind for word in token.words if word.cls == "work"), "")


def _objects(clause: Sequence[Token], i: int, lists: Tables) -> list[Token]:
    """Things behind the work; in front of it where it was done to them; the last one is what was worked on."""
    general = set(lists.data["speech"]["frame_noun"])
    behind: list[Token] = []
    for token in clause[i + 1 :]:
        if behind and (token.is_a("place", "be") or token.kind == FIGURE):
            break
        if token.is_a("thing", "matter") and not token.is_a("place") and token.text not in general:
            behind.append(token)
    return behind or [token for token in clause[:i] if token.is_a("thing", "matter") and token.text not in general]


_WAITING = frozenset("order ordered waits waiting awaiting backordered".split())


def _open(token: Token, kind: str, objects: Sequence[Token], ground: Ground, by_us: bool) -> str:
    """Why the work was not done by what was typed: it is offered, deferred, refused, ruled out or needed."""
    named = {one.root for one in objects}
    for piece in ground.pieces:
        if piece.where == "did" and named & piece.roots.keys() and any(one.text in _WAITING for one in piece.tokens):
            return f"“{objects[-1].text}” still waits."
    if _worked(token, objects, ground):
        return ""
    head = objects[-1].root if objects else ""
    told_of = [piece.entry for piece in ground.pieces if any(one.text == token.text for one in piece.tokens)]
    waits = [
        piece
        for piece in ground.pieces
        if piece.where in _OPEN and not (piece.where == "ruled" and piece.entry in told_of)
    ]
    if kind not in _LOOKING and any(head in piece.roots for piece in waits):
        return f"“{objects[-1].text}” is still to do."
    homes = [(piece, at) for piece in ground.pieces for at in piece.roots.get(token.root, ())]
    if any(piece.where == "remedy" for piece, _ in homes):
        return f"That it was {token.text} is still to do."
    if by_us and homes and all(piece.where == "says" for piece, _ in homes):
        return f"The customer said that it was {token.text}."
    needed = [piece for piece, at in homes if _needed(piece, at)]
    if needed and len(needed) == len(homes):
        return f"That it was {token.text} is still to do."
    refused = any(piece.where == "told" and piece.denied[1] and head in piece.roots for piece in ground.pieces)
    return f"“{objects[-1].text}” was refused." if refused or (head and _declined(head, ground)) else ""


def _worked(token: Token, objects: Sequence[Token], ground: Ground) -> bool:
    """Whether labour or parts name the thing, or carry out the offer that does, or hold such work on nothing named."""
    head = objects[-1].root if objects else ""
    did = [entry.fact for entry in ground.entries if isinstance(entry.fact, Did | Used)]
    if any(fact.refs for fact in did):
        return True
    pieces = [piece for piece in ground.pieces if piece.where in ("did", "used", "because", "proof") and piece.entry]
    done = [piece for piece in pieces if piece.where != "because" or isinstance(piece.entry and piece.entry.fact, Did)]
    return any((head in piece.roots) if head else (token.root in piece.roots) for piece in done)


def _needed(piece: Piece, at: int) -> bool:
    """Typed in its base form beside *next*, *needs*, *should*: what is to be done."""
    if piece.where in ("did", "because") or piece.tokens[at].form_of("work") not in ("base", "gerund", ""):
        return False
    return any(token.text in _NEXT for token in piece.tokens)


def _declined(head: str, ground: Ground) -> bool:
    words = ("declined", "declines", "refused", "refuses")
    told = [piece for piece in ground.pieces if piece.where == "told" and any(t.text in words for t in piece.tokens)]
    about = {piece.entry for piece in told if head in piece.roots or piece.before is not None}
    return any(piece.entry in about and head in piece.roots for piece in ground.pieces)


def _excluded(kind: str, objects: Sequence[Token], ground: Ground, lists: Tables, token: Token) -> str:
    """Work that excludes the typed one, done to the same thing: replaced where it was adjusted, cleaned, resealed."""
    rows = lists.data["work_excludes"]
    mine = next((name for name, words in rows.items() if token.root in lists.roots(words)), "")
    if not mine or not objects:
        return ""
    head = objects[-1].root
    line = [piece for piece in ground.pieces if piece.where in ("did", "used") or _is_used(piece)]
    if any(head in piece.roots for piece in line if _is_used(piece)):
        return ""
    homes = [piece for piece in line if head in piece.roots]
    typed = {name for piece in homes for name, words in rows.items() if piece.roots.keys() & lists.roots(words)}
    other = typed - {mine}
    if mine in typed or not other or (mine != "replace" and "replace" not in other):
        return ""
    new = any(one.text in ("new", "reman", "rebuilt", "swap") for piece in homes for one in piece.tokens)
    return "" if mine == "replace" and new else f"Other work was typed of “{objects[-1].text}”."


def _is_used(piece: Piece) -> bool:
    return piece.entry is not None and isinstance(piece.entry.fact, Used)


def _typed(
    token: Token, kind: str, clause: Sequence[Token], objects: Sequence[Token], ground: Ground, lists: Tables
) -> bool:  # fmt: skip
    """Whether such work, or one that a driver's word may stand for, was typed as done."""
    fields = [piece for piece in ground.pieces if piece.where in _DONE]
    if any(_names(piece, token) for piece in fields):
        return True
    if kind in _LOOKING and any(one.root in piece.roots for one in objects for piece in fields if piece.where != "did"):
        return True
    if not any(one.text == "we" for one in clause) and any(
        piece.tokens[at].form_of("work") == "past" or piece.tokens[at].form_of("doing") == "past"
        for piece in ground.pieces if piece.where != "remedy" for at in piece.roots.get(token.root, ())
    ):  # fmt: skip
        return True  # typed as done in a reason or a remark, or by somebody else in a complaint
    did = [piece for piece in fields if piece.where == "did"]
    near = {kind} | {one for row in lists.data["speech"]["kin"] if kind in row for one in row}
    done = {work_kind(one) for piece in fields if piece.where in ("did", "proof") for one in piece.tokens}
    done |= {work_kind(one) for piece in fields for one in piece.tokens if one.form_of("work") == "past"}
    new = any(one.text in ("new", "reman", "rebuilt") for piece in did for one in piece.tokens)
    if new or any(isinstance(entry.fact, Used) for entry in ground.entries) or any(map(_bare_list, did)):
        done.add("fit")
    return bool(near & done) or (token.text in lists.data["speech"]["claims"] and bool(done & {"fit", "mend"}))


def _names(piece: Piece, token: Token) -> bool:
    """Whether the piece tells such work: in labour in any form, elsewhere only as done."""
    places = piece.roots.get(token.root, ())
    return bool(places) and (
        piece.where == "did" or any(piece.tokens[at].form_of("work") == "past" for at in places)
    )  # fmt: skip


def _bare_list(piece: Piece) -> bool:
    """Labour typed without any doing: the parts alone were changed."""
    return all(
        token.kind != WORD or token.text in ("and", "both") or not token.words
        or (token.is_a("thing", "quality") and not work_kind(token)) for token in piece.tokens
    )  # fmt: skip
