"""Values measured again, whose unit the first measurement already named."""

import re

from ticket.job.values import Run
from ticket.notes.leftover import left_over
from ticket.notes.limits import limits_in
from ticket.notes.measures import measures
from ticket.notes.runs import Reading, clause_ends
from ticket.notes.series import Tokens, back, is_part, is_value
from ticket.notes.spans import Body

_BEHIND = re.compile(r" *\(([^()]*)\)")
_EQUALS = re.compile(r"(?:\A|\s)(=)\s")
_LONGEST_BARE = 2000


def bare_values(body: Body) -> Reading:
    """Values without a unit, at the start of a piece or behind ``=``, up to the end of their clause."""
    mark = _EQUALS.search(body.bare)
    found = _bare_from(body, mark.start(1), mark.end(1)) if mark else _bare_from(body, 0, 0)
    if found.run is None:
        return found
    tokens = Tokens.of(body.bare)
    place = (found.start, found.end, found.run)
    question = left_over(body, tokens, list(measures(body.bare, tokens)), place, again=True)
    return Reading(remarks=(question,)) if question else found


def _bare_from(body: Body, start: int, at: int) -> Reading:
    piece = body.cut(at, at + _LONGEST_BARE)
    tokens = Tokens.of(piece.bare)
    last = -1
    while last + 1 < len(tokens.texts) and is_part(tokens.texts[last + 1]):
        last += 1
    while last >= 0 and not is_value(tokens.texts[last]):
        last -= 1
    for token in range(last, max(0, last - 3) - 1, -1):
        series = back(tokens, token, explicit=True)
        if series is None or series.first or series.doubt:
            continue
        end = at + tokens.ends[token]
        bracket = _BEHIND.match(body.bare, end)
        limits = limits_in(body.cut(bracket.start(1), bracket.end(1)), "") if bracket else None
        if bracket and limits:
            return Reading(Run(series.values, "", limits), start, bracket.end())
        if clause_ends(body.bare, end):
            return Reading(Run(series.values, ""), start, end)
    return Reading()
