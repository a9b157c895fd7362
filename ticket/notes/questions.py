"""What is asked about figures and brackets that were not taken for a reading."""

import re

from ticket.job.entry import Remark
from ticket.job.fields import specs
from ticket.job.kinds import KINDS
from ticket.job.wall import FIRST_DAY, LAST_DAY, calendar_day
from ticket.notes.limits import limits_in
from ticket.notes.measures import unit_end
from ticket.notes.spans import Body

JUDGES_NOTHING = "Which number do these limits judge? Put it right before the bracket, with its unit."
ONE_A_LINE = "Only one reading is judged on a line; give this one a line of its own."
NOT_UNDERSTOOD = "These limits were not understood. Write min 22.0, max 0.05, 22.0 to 24.0, or 9.6 +/- 0.2."

_DECIMAL_COMMA = re.compile(r"(?<![\w.,])[0-9]{1,6},(?:[0-9]{1,2}|[0-9]{4,6})(?![\w,])")
_LOOKS_LIMITED = re.compile(r"\b(?:min|max|spread|spec|limit)\b|[0-9]", re.I)
_STARTS_LIMITED = re.compile(r"\s*(?:(?:min|max|spread)\b|[+\-\u2212]?[0-9.])", re.I)
_LAST_WORD = re.compile(r"[^\s0-9]+\Z")
_ENOUGH = 200
_DAY = re.compile(r"\b(?:by|at|on) +([0-9]{4}-[0-9]{2}-[0-9]{2})(?![\w-])", re.I)
_DATED = tuple(kind for kind, made in KINDS.items() if any(spec.shape in ("date", "time") for spec in specs(made)))


def looks_limited(text: str) -> bool:
    """Whether the inside of a bracket looks like limits, well or badly written."""
    return _LOOKS_LIMITED.search(text[:_ENOUGH]) is not None


def might_be_limits(content: Body) -> bool:
    """Whether a bracket with no figure in front would be limits for some unit."""
    if _STARTS_LIMITED.match(content.bare) is None:
        return False
    unit = _LAST_WORD.search(content.bare.rstrip()[-30:])
    return limits_in(content, "") is not None or bool(unit and limits_in(content, unit[0]))


def decimal_commas(body: Body) -> tuple[Remark, ...]:
    """A question about the first figure with a unit that is written with a decimal comma."""
    for match in _DECIMAL_COMMA.finditer(body.bare):
        after = match.end() + (body.bare[match.end() : match.end() + 1] == " ")
        if unit_end(body.bare, after) > after:
            text = f"Is {match[0]} meant as {match[0].replace(',', '.')}? A decimal point is a full stop here."
            return (Remark(text, body.at + match.start(), body.at + match.end()),)
    return ()


def no_day(kind: str, body: Body) -> tuple[Remark, ...]:
    """A question about a date that is none, such as 2026-02-30 or the year 1; it was kept as words."""
    if kind not in _DATED:
        return ()
    return tuple(
        Remark(f"{match[1]} is no day from {FIRST_DAY} to {LAST_DAY}; which is meant?", *_span(body, match, 1))
        for match in _DAY.finditer(body.bare)
        if calendar_day(match[1]) is None
    )


def _span(body: Body, match: re.Match[str], group: int) -> tuple[int, int]:
    return body.at + match.start(group), body.at + match.end(group)


def unclosed_bracket(body: Body) -> tuple[Remark, ...]:
    """A remark on a bracket that opens behind the last closed one and never closes."""
    at = body.bare.rfind("(")
    if at < 0 or ")" in body.bare[at:] or not looks_limited(body.bare[at : at + 60]):
        return ()
    return (Remark("This bracket is not closed.", body.at + at, body.at + len(body.bare)),)
