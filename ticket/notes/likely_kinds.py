"""Which kinds a line may be meant as, likeliest first: what one key offers after the kind that was understood.

Nothing is decided here. The order only saves keys, so its hints are loose where those of :mod:`ticket.notes.plain_kind`
are strict.
"""

import re

from ticket.job.kinds import KINDS
from ticket.job.regex import Regex
from ticket.notes.hours import amounts
from ticket.notes.lead import lead_of
from ticket.notes.phrases import means, phrase_at
from ticket.notes.plain_kind import plain_kind
from ticket.notes.spans import Body
from ticket.notes.tokens import Token, tokens_of

_AFTERWARDS = Regex(r"\b(?:re-?test|re-?check|road|rd|rt|test|drove|now|gone|ok|holds?|after|quiet)\b", re.I)
_COUNTED = Regex(r"\s*\(?[0-9]")
_PRICED = Regex(r"[@$£€]")
_STATED = Regex(r"\s*(?:c/s|cust|customer|driver|owner|operator)\b", re.I)
_FALLS_DUE = Regex(r"\b(?:in|next|before|due|later|soon)\b", re.I)
_THOUGHT = Regex(r"\?|\b(?:maybe|perhaps|prob|probably|possibly|suspect|think|may be|could be)\b", re.I)
_USUAL = tuple(sorted(KINDS, key=lambda kind: KINDS[kind].usual))
_WEIGHTS = (8, 4, 2, 1)  # of hints from sure to weak


def likely_kinds(line: str) -> tuple[str, ...]:
    """Every kind, the one a line shows by itself first, then by what its words hint at, then as they are usual."""
    lead = lead_of(line)
    body = Body.of(line[lead.end :], lead.end)
    first = "note" if lead.shop_only else plain_kind(body).kind
    weights = _weights(tokens_of(body.bare), body.bare)
    return tuple(sorted(_USUAL, key=lambda kind: (kind != first, -weights.get(kind, 0), _USUAL.index(kind))))


def _weights(tokens: list[Token], text: str) -> dict[str, int]:
    sure, likely, perhaps, weak = _WEIGHTS
    spoken = any(phrase_at("way", tokens, at) for at in range(len(tokens)))
    answered = any(phrase_at("answer", tokens, at) or phrase_at("no answer", tokens, at) for at in range(len(tokens)))
    counted, priced = bool(_COUNTED.match(text)), bool(_PRICED.search(text))
    return {
        "did": likely * bool(amounts(tokens)) + likely * any(means("operation", token.low) for token in tokens),
        "used": likely * (counted and priced) + perhaps * priced + weak * counted,
        "told": sure * (spoken and answered) + perhaps * spoken + perhaps * answered,
        "proof": likely * bool(_AFTERWARDS.search(text)),
        "says": likely * bool(_STATED.match(text)),
        "later": perhaps * bool(_FALLS_DUE.search(text)),
        "maybe": likely * bool(_THOUGHT.search(text)),
    }


def with_next_kind(line: str) -> str:
    """The line as its next likely kind: with the word of that kind in front, or without one where none is needed.

    A letter of a concern is one only in front of a word, so there the word stays.
    """
    lead = lead_of(line)
    order = likely_kinds(line)
    body = line[lead.end :].lstrip()
    now = lead.kind or order[0]
    kind = order[(order.index(now) + 1) % len(order)]
    before = line[: lead.start] if lead.kind else line[: len(line) - len(line[lead.end :].lstrip())]
    return before + body if kind == order[0] and not lead.concern else f"{before}{kind}: {body}"
