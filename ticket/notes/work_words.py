"""Words that say somebody worked on a thing: what tells ``seat milled, 1.8 h`` from a time in which something ran.

Three shapes serve: a word for an operation or a verb of the past that opens a part of the line and has an object, and
a participle that closes one (``seat milled``, ``belt done``). A participle that tells how a thing failed is no work.
"""

from collections.abc import Sequence

from ticket.notes.phrases import means, phrase_at
from ticket.notes.tokens import Token

_PARTING = frozenset(",;.()&+–—-") | {"and", "then"}
_MADE = frozenset("made built cut took put ground bent set sent cast spliced solder dug got did".split())
"""Verbs of work whose past does not end in ``-ed``."""
_DONE = frozenset({"done", "complete", "finished"})
_OUT_AND_IN = frozenset({("out", "in"), ("off", "on"), ("out", "back"), ("off", "back"), ("in", "out"), ("down", "up")})
_NO_OBJECT = frozenset(
    "twice once again off at on when after while by for down hot cold then , . ; intermittently solid".split()
)
# Participles that tell what became of a thing, not what somebody did to it.
_FAILED = frozenset(
    "cracked seized failed leaked stalled lasted overheated snapped sheared ended worked started stopped rusted"
    " corroded rounded dried jammed blocked melted burned scored smelled sounded rubbed chafed shorted stayed needed"
    " used showed idled parked vibrated wandered died locked squealed ruined damaged collapsed perished missed"
    " hesitated bogged sagged drifted limited required recommended quoted estimated wanted asked called texted phoned"
    " emailed agreed approved declined refused worried complained noticed noted speed".split()
)
OFTEN_NOUNS = frozenset(
    "service svc clean seal balance turned plug patch drain grease lube change align alignment removal replacement diag"
    " installation strip hung dropped timed evac stripped flush tapped".split()
)
"""Words for an operation that as often name a thing or tell what befell it."""
_SHORTEST = len("fixed")


def tells_work(tokens: Sequence[Token]) -> bool:
    """Whether a part of the line says that somebody worked."""
    return any(opens_work(tokens, at) or _closes_work(tokens, at) for at in range(len(tokens)))


def opens_work(tokens: Sequence[Token], at: int) -> bool:
    """A word for work, or a verb of the past with what it was done to, that opens a part of the line."""
    if at and tokens[at - 1].low not in _PARTING:
        return False
    worked = phrase_at("operation", tokens, at)
    if worked and worked[0] == "set" and tokens[at].low not in OFTEN_NOUNS:
        return True
    follows = tokens[at + 1] if at + 1 < len(tokens) else None
    done = tokens[at].low in _MADE or _is_participle(tokens[at]) or bool(worked and worked[1] > at + 1)
    return done and follows is not None and follows.kind in ("word", "name", "number") and follows.low not in _NO_OBJECT


def closes_with_operation(tokens: Sequence[Token]) -> bool:
    """``rear shoes fitted and adjusted``: a participle for an operation closes a part of the line."""
    return any(
        means("operation", token.low) == "work" and token.low.endswith("ed") and _closes_work(tokens, at)
        for at, token in enumerate(tokens)
    )


def names_operation(tokens: Sequence[Token]) -> bool:
    """Whether a word for an operation opens a part of the line, or ``done`` closes one."""
    return any(
        (opens_work(tokens, at) and phrase_at("operation", tokens, at))
        or (token.low in _DONE and _closes_work(tokens, at))
        for at, token in enumerate(tokens)
    )


def _closes_work(tokens: Sequence[Token], at: int) -> bool:
    """``belt done``, ``seat milled``, ``gearbox out and back in``: at the end of its part, behind the thing."""
    if not at or tokens[at - 1].kind not in ("word", "name", "number"):
        return False
    closed = at + 1 >= len(tokens) or tokens[at + 1].low in _PARTING or tokens[at + 1].kind == "number"
    if closed and (tokens[at].low in _DONE or _is_participle(tokens[at])):
        return True
    return _is_turned(tokens, at)


def out_and_in(tokens: Sequence[Token]) -> bool:
    """``main pump out and in``: what goes out and comes back was worked on."""
    return any(_is_turned(tokens, at) for at in range(2, len(tokens)))


def _is_turned(tokens: Sequence[Token], at: int) -> bool:
    turned = tokens[at].low in ("and", "&", "+", "/") and at + 1 < len(tokens)
    return turned and (tokens[at - 1].low, tokens[at + 1].low) in _OUT_AND_IN


def _is_participle(token: Token) -> bool:
    shaped = token.kind == "word" and token.low.endswith("ed") and len(token.low) >= _SHORTEST
    worked = means("operation", token.low) == "work" and token.low not in OFTEN_NOUNS
    return worked or (shaped and token.low not in _FAILED and not means("running", token.low))
