"""Deferred work: what waits, and when it falls due where the words say so."""

from collections.abc import Sequence
from dataclasses import replace

from ticket.job.entry import Remark
from ticket.job.regex import Regex
from ticket.job.values import Due
from ticket.notes.asking import place, unread, without
from ticket.notes.due import event_of, find_due
from ticket.notes.due_found import DueFound
from ticket.notes.heads import Head
from ticket.notes.phrases import means, phrase_at
from ticket.notes.shapes import Context, money_in
from ticket.notes.spans import Body
from ticket.notes.sums import figure_of
from ticket.notes.tokens import Token, tokens_of


def read_later(body: Body, _context: Context) -> Head:
    """``recheck tie rod in 3 mos or 3k mi``: the due is taken out of the words."""
    tokens = tokens_of(body.bare)
    found = find_due(body, tokens)
    head = Head(remarks=list(found.remarks))
    if found.due == Due() and not found.date:
        _moment_behind(body, tokens, found)
    if found.due != Due():
        head.fields["due"] = found.due
    if found.date:
        head.fields["date"] = found.date
    taken = set(found.taken)
    _estimate(tokens, head, taken)
    for at, token in enumerate(tokens):
        if token.kind == "money" and at not in taken:
            where = place(tokens, at, at + 1)
            text = f"Is {token.text} the estimate? Write est {money_in(token.text) or '400'}."
            head.remarks.append(unread(body, where, text, f"est {money_in(token.text)}", blocks=True))
    asked = {at for at, token in enumerate(tokens) if any(_covers(one, body, token) for one in head.remarks)}
    for first, behind in _unsaid(tokens, taken | asked):
        where = place(tokens, first, behind)
        text = f"Is {body.raw[slice(*where)]} when it falls due? Write it like in 3 months, 2026-03-02 or next service."
        head.remarks.append(unread(body, where, text))
    asked |= _day_or_month(body, tokens, taken | asked, head.remarks)
    if not head.remarks and not (head.fields.keys() & {"due", "date"}):
        head.remarks += _at_a_figure(body, tokens)
    text = without(body, (place(tokens, at, at + 1) for at in sorted(taken))).text
    if not text.strip() and found.due.event:  # "next service" by itself is what waits, and says no day
        text = found.due.event
        head.fields["due"] = replace(found.due, event="")
        if head.fields["due"] == Due():
            del head.fields["due"]
    head.fields["text"] = text
    return head


def _estimate(tokens: Sequence[Token], head: Head, taken: set[int]) -> None:
    """``est 240``: what the work is thought to cost."""
    for at in range(len(tokens)):
        lead = phrase_at("price lead", tokens, at)
        if lead and lead[1] < len(tokens) and at not in taken and "estimate" not in head.fields:
            figure = lead[1] + (tokens[lead[1]].low in (":", "of", "at", "="))
            amount = figure_of(tokens, figure) if figure < len(tokens) and figure not in taken else ""
            if amount and (tokens[figure].kind == "money" or lead[0] == "estimate"):
                head.fields["estimate"] = amount
                taken.update(range(at, figure + 1))


def _moment_behind(body: Body, tokens: Sequence[Token], found: DueFound) -> None:
    """``wipers, when it rains``, ``batt test, first cold day``: a comma part behind the work that names its moment."""
    at = max((i for i, token in enumerate(tokens) if token.low in (",", ";")), default=0)
    last = tokens[at + 1 :] if at else []
    if not last or len(last) > _LONGEST_MOMENT or any(token.kind not in ("word", "mark") for token in last):
        return
    text = body.raw[slice(*place(tokens, at + 1, len(tokens)))].strip(" .")
    first = last[0].low == "first" and means("time", last[-1].low) != ""
    event = (
        Due(event=text)
        if first or (phrase_at("season", tokens, len(tokens) - 1) and last[0].low == "first")
        else event_of(text)
    )
    if event is not None:
        found.due = event
        found.taken.update(range(at, len(tokens)))


_LONGEST_MOMENT = 7  # tokens


def _at_a_figure(body: Body, tokens: Sequence[Token]) -> list[Remark]:
    """``rear pads at 3 mm``: measured today, or what they are left until; where nothing else says when."""
    found: list[Remark] = []
    for at, token in enumerate(tokens[1:], 1):
        if token.kind == "number" and tokens[at - 1].low in ("at", "@"):
            where = place(tokens, at - 1, min(at + 2, len(tokens)) if not token.glued else at + 1)
            typed = body.raw[slice(*where)]
            text = (
                f"Is {typed} when it falls due, or how it is now? Write when: in 3 months, 2026-03-02 or next service."
            )
            found.append(unread(body, where, text))
    return found


_DAY_MONTH = Regex(r"(?:[0-2]?[0-9]|3[01])/(?:[0-2]?[0-9]|3[01])")
_MONTH_YEAR = Regex(r"(?:0?[1-9]|1[0-2])/20[0-9]{2}")
_WHEN_LED = frozenset("on by before bring book booked due back come coming until till again".split())


def _day_or_month(body: Body, tokens: Sequence[Token], taken: set[int], remarks: list[Remark]) -> set[int]:
    """``bring 03/04``: which of the two is the month, nobody can know; ``tread 3/32`` is none."""
    found: set[int] = set()
    for at, token in enumerate(tokens):
        if at in taken or token.glued:
            continue
        if _MONTH_YEAR.fullmatch(token.text):
            where = place(tokens, at, at + 1)
            remarks.append(unread(body, where, f"Which day of {token.text}? Write it like 2026-04-03.", blocks=True))
            found.add(at)
        if not _DAY_MONTH.fullmatch(token.text):
            continue
        padded = any(part.startswith("0") for part in token.text.split("/"))
        if padded or (at and tokens[at - 1].low in _WHEN_LED):
            where = place(tokens, at, at + 1)
            text = f"Which day is {token.text}? Write it like 2026-04-03."
            remarks.append(unread(body, where, text, blocks=True))
            found.add(at)
    return found


def _covers(remark: Remark, body: Body, token: Token) -> bool:
    return remark.start < body.at + token.end and body.at + token.start < remark.end


_WHEN = frozenset("in by before until till til within this end start of after during early late mid".split())
_YEAR = Regex(r"20[0-9]{2}")


def _unsaid(tokens: Sequence[Token], taken: set[int]) -> list[tuple[int, int]]:
    """Words and figures of time that no due took: ``wipers Oct``, ``within the year``, ``in spring 2027``."""
    found: list[tuple[int, int]] = []
    for at, token in enumerate(tokens):
        if at in taken:
            continue
        first = at
        while first and first - 1 not in taken and (tokens[first - 1].low in _WHEN or tokens[first - 1].low == "the"):
            first -= 1
        closes = at + 1 >= len(tokens) or tokens[at + 1].kind in ("mark", "number", "name")
        dated = at + 1 < len(tokens) and _YEAR.fullmatch(tokens[at + 1].text) is not None
        led = first < at or (at > 0 and tokens[at - 1].low in ("due", "or"))
        month = means("month name", token.low.rstrip(".")) and (token.text[:1].isupper() or dated or led)
        year = token.kind == "number" and _YEAR.fullmatch(token.text) and at > 0 and at - 1 in taken
        timed = means("time", token.low) or phrase_at("season", tokens, at) or means("weekday", token.low)
        if year or (closes and (month or (timed and (first < at or token.low == "week")))):
            found.append((first, at + 1))
    return found
