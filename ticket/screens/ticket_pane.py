"""The second pane of a wide page: what helps now, the most pressing first. Pure."""

from collections.abc import Iterator
from dataclasses import replace

from ticket.gaps.gap import BLOCKING
from ticket.grid.computed import trend_lines
from ticket.grid.rows import Row, Span, wrap
from ticket.grid.signs import UNREAD
from ticket.rules.account import Side
from ticket.rules.agreement_verdict import WITHIN
from ticket.screens.bill_rows import bill_rows
from ticket.screens.story_rows import story_rows
from ticket.screens.ticket_view import TicketView
from ticket.story.build import build

WIDEST = 70
"""Cells of a line of prose; a longer one is hard to find back to."""
_MOST = 6
"""Questions told here; Ctrl+G shows them all beside their entries."""


def pane_rows(view: TicketView, width: int, height: int, *, asks: bool = False) -> list[Row]:
    """The rows that fit, group by group; what does not fit is left out from the end.

    Args:
        view: the ticket.
        width: cells.
        height: rows.
        asks: the questions stand beside their entries already.
    """
    width = min(width, WIDEST)
    rows: list[Row] = []
    groups = (_money, _before, _since, _story) if asks else (_to_ask, _money, _before, _since, _story)
    for group in (told(view, width) for told in groups):
        more = list(group)
        if not more:
            continue
        more = [*([Row()] if rows else []), *more]
        room = height - len(rows)
        if room < len(more) and room < 4:
            break
        rows += more[:room]
    return rows


def _to_ask(view: TicketView, width: int) -> Iterator[Row]:
    blocking = sum(gap.level == BLOCKING for gap in view.gaps)
    if not view.gaps:
        return
    yield Row((Span("To ask", "strong"), *((Span(f"  {blocking} before signing", "ask"),) if blocking else ())))
    for gap in view.gaps[:_MOST]:
        sign = UNREAD if gap.level == BLOCKING else " "
        number = f"{gap.entry or '':>3} "
        rows = wrap((Span(gap.question),), width - 6)
        for at, line in enumerate(rows):
            yield Row((Span(sign if not at else " ", "ask"), Span(number if not at else "    ", "quiet"), *line.spans))
    if len(view.gaps) > _MOST:
        yield Row((Span(f"     {len(view.gaps) - _MOST} more", "quiet"),))


def _money(view: TicketView, width: int) -> Iterator[Row]:
    """The bill against what was agreed, where the local rules have something to say to it."""
    sides = view.account.sides if view.account else ()
    if any(_worth_telling(side) for side in sides):
        yield Row((Span("The money", "strong"),))
        yield from bill_rows(view.account, view.case, width)


def _worth_telling(side: Side) -> bool:
    verdict = side.verdict
    more = verdict.allowed is not None and verdict.approved is not None and verdict.allowed.allowed > verdict.approved
    return verdict.approved is not None and (more or verdict.word != WITHIN)


def _before(view: TicketView, width: int) -> Iterator[Row]:
    for told in view.before:
        code, _, rest = told.partition(" before: ")
        yield Row((Span(f"{code} before", "strong"),))
        yield from wrap((Span(rest),), width)


def _since(view: TicketView, width: int) -> Iterator[Row]:
    lines = trend_lines(view.case)
    if lines:
        yield Row((Span("Since last time", "strong"),))
    for line in lines:
        yield from wrap((Span(line),), width)


def _story(view: TicketView, width: int) -> Iterator[Row]:
    story = build(view.case, language=view.case.settings.language)
    if story.sections:
        yield Row((Span("Story so far", "strong"),))
        yield from story_rows(replace(story, sections=story.sections[:1]), width, sources=False)[1:]
