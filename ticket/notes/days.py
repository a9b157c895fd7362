"""Dates in a line that are no day: they were kept as words and are asked about."""

import re

from ticket.job.entry import Remark
from ticket.job.field_specs import specs
from ticket.job.kinds import KINDS
from ticket.job.regex import Regex
from ticket.job.wall import FIRST_DAY, LAST_DAY, calendar_day
from ticket.notes.spans import Body

_LED = r"\b(?:by|at|on) +|(?<![\w-])(?=[0-9-]{10} +[0-9]{1,2}:[0-9]{2})"  # a word before it, or a time behind it
_DAY = Regex(rf"(?:{_LED})([0-9]{{4}}-[0-9]{{2}}-[0-9]{{2}})(?![\w-])", re.I)
_DATED = tuple(kind for kind, made in KINDS.items() if any(spec.shape in ("date", "time") for spec in specs(made)))


def no_day(kind: str, body: Body) -> tuple[Remark, ...]:
    """A question about a date that is none, such as 2026-02-30 or the year 1."""
    if kind not in _DATED:
        return ()
    return tuple(
        Remark(
            f"{match[1]} is no day from {FIRST_DAY} to {LAST_DAY}; which is meant?",
            body.at + match.start(1), body.at + match.end(1), "question",
        )
        for match in _DAY.finditer(body.bare)
        if calendar_day(match[1]) is None
    )  # fmt: skip
