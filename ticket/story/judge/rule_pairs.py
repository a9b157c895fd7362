"""Work and what it was done to: verbs that were typed of different things do not change places."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from ticket.story.judge.answer import Finding
from ticket.story.judge.ground import Ground
from ticket.story.judge.rule_labour import put_off, work_kind
from ticket.story.judge.statement import NO, SIDE, WORD, Statement, Token

_FIELDS = ("did", "remedy", "proof")
_JOINS = ("and", ",", "then", "&", "/")
_MIXED = frozenset({"mend", "adjust"})
"""Kinds of work so wide that one of them says nothing of another: greased is not aligned."""


@dataclass(frozen=True, slots=True)
class _Pair:
    """A verb of work with the things and sides it was done to."""

    verb: Token
    things: frozenset[str]
    sides: frozenset[str]


def pairs(told: Statement, ground: Ground) -> Iterator[Finding]:
    """A verb told of what another verb was typed of, while it was typed itself of something else."""
    typed = [pair for line in _lines(ground) for pair in _pairs(line)]
    if len({pair.verb.root for pair in typed}) < 2:
        return
    moved = [
        (pair, others)
        for clause in told.clauses
        if not any(token.kind == NO for token in clause) and not put_off(clause)
        for pair in _pairs(clause)
        if (others := _typed_of_others(pair, typed)) and not _said_elsewhere(pair, ground)
    ]
    for pair, others in moved:
        kind = work_kind(pair.verb)
        like = kind not in _MIXED and any(work_kind(other.verb) == kind for other in others)
        if not like or len({one.verb.root for one, _ in moved}) > 1:
            reason = f"“{pair.verb.text}” was typed of something else."
            yield Finding("work", reason, pair.verb.start, pair.verb.end)


def _typed_of_others(said: _Pair, typed: Sequence[_Pair]) -> list[_Pair]:
    """The typed pairs that hold what is told, where those of the same verb hold nothing of it."""
    own = [one for one in typed if one.verb.root == said.verb.root]
    if not own or any(_meets(said, one) for one in own):
        return []
    return [one for one in typed if one.verb.root != said.verb.root and _meets(said, one)]


def _meets(said: _Pair, typed: _Pair) -> bool:
    """Whether both are of one thing: not of the same thing of another side."""
    if not said.things or not typed.things:
        return bool(said.sides & typed.sides)
    return bool(said.things & typed.things) and (not said.sides or not typed.sides or bool(said.sides & typed.sides))


def _said_elsewhere(pair: _Pair, ground: Ground) -> bool:
    """The verb was typed of it beside the work: in a complaint, a finding, a reason."""
    others = (piece for piece in ground.pieces if piece.where not in _FIELDS)
    return any(pair.verb.root in piece.roots and pair.things & piece.roots.keys() for piece in others)


def _lines(ground: Ground) -> Iterator[list[Token]]:
    """The work of each entry, its pieces in typed order: a bare thing behind a comma goes with the verb in front."""
    for entry in ground.entries:
        for where in _FIELDS:
            held = [piece for piece in ground.pieces if piece.entry is entry and piece.where == where]
            if held:
                yield [token for piece in held for token in piece.tokens]


def _pairs(given: Sequence[Token]) -> list[_Pair]:
    """Each verb with what stands behind it; behind a *be*, or where nothing does, with what stands in front."""
    verbs = [i for i, token in enumerate(given) if _is_verb(token)]
    out: list[_Pair] = []
    open_: list[Token] = []  # verbs whose thing is still to come: "removed and cleaned injectors"
    for n, i in enumerate(verbs):
        end = verbs[n + 1] if n + 1 < len(verbs) else len(given)
        before = given[verbs[n - 1] + 1 if n else 0 : i]
        behind = _pair(given[i], given[i + 1 : end])
        passive = any(token.is_a("be") or token.text == "been" for token in before[-2:])
        if passive or not (behind.things or behind.sides):
            led = _pair(given[i], before)
            joined = n + 1 < len(verbs) and all(token.text in _JOINS for token in given[i + 1 : end])
            if joined and not passive:
                open_.append(given[i])
            elif not passive and _goes_alone(given[i]):
                continue  # "the fan ran": nobody did that to it
            elif led.things or led.sides:
                out.append(led)
            elif out:
                out.append(replace(out[-1], verb=given[i]))  # "was removed and cleaned", "cleaned them"
            continue
        out.extend(replace(behind, verb=verb) for verb in (*open_, given[i]))
        open_ = []
    return out


def _is_verb(token: Token) -> bool:
    form = token.form_of("work")
    return bool(form) and (form == "past" or not token.is_a("thing", "matter", "quality"))


def _goes_alone(token: Token) -> bool:
    return any(word.cls == "doing" and word.kind.startswith("i") for word in token.words)


def _pair(verb: Token, held: Sequence[Token]) -> _Pair:
    things = {
        token.root
        for token in held
        if token.kind == WORD
        and ((token.is_a("thing", "matter") and not token.is_a("place")) or (not token.words and len(token.text) > 2))
    }
    return _Pair(verb, frozenset(things), frozenset(token.root for token in held if token.kind == SIDE))
