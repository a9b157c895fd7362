"""The second pane of a wide page: what helps now, the most pressing first. Pure."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from ticket.gaps.gap import BLOCKING
from ticket.grid.computed import trend_lines
from ticket.grid.range_chart import FEWEST, range_chart
from ticket.grid.rows import Row, Span, cut, row, wrap
from ticket.grid.signs import UNREAD
from ticket.job.width import cells
from ticket.past.next_check import lines
from ticket.past.turned_out import jobs_words, name_of, rest_words
from ticket.rules.account import Side
from ticket.rules.agreement_verdict import WITHIN
from ticket.screens.bill_rows import bill_rows
from ticket.screens.story_rows import story_rows
from ticket.screens.ticket_view import TicketView
from ticket.story.sentence import Story

WIDEST = 70
"""Cells of a line of prose; a longer one is hard to find back to."""
_NAME, _CAUSES = 20, 4
"""Cells of a cause's name beside its range, and how many causes of a code are told."""
_PROPOSED = 2
"""Checks that are proposed here; ticket before CODE --next tells all of them."""
_MOST = 6
"""Questions told here; Ctrl+G shows them all beside their entries."""


def pane_rows(
    view: TicketView, width: int, height: int, *, asks: bool = False, picture: Sequence[str] = (),
    story: Story | None = None,
) -> list[Row]:  # fmt: skip
    """The rows that fit, group by group; what does not fit is left out from the end.

    Args:
        view: the ticket.
        width: cells.
        height: rows.
        asks: the questions stand beside their entries already.
        picture: the lines of the picture of the pointed entry.
        story: what the customer is told so far.
    """
    width = min(width, WIDEST)
    rows: list[Row] = []
    told = {_to_ask: not asks, _money: True, _before: True, _checks: True}
    groups = [list(group(view, width)) for group, wanted in told.items() if wanted]
    groups += [[row("Picture", "strong"), *(row(line) for line in picture)]] if picture else []
    groups += [list(_since(view, width)), list(_story(story, width)) if story is not None else []]
    for group in filter(None, groups):
        more = [*([Row()] if rows else []), *group]
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
    """What earlier jobs with each code turned out to be: how many, and from five jobs on where the share lies."""
    for found in view.before:
        yield Row((Span(f"{name_of(found)} before", "strong"), Span(f"  {jobs_words(found)}")))
        if not found.exact and found.jobs:
            yield Row((Span("all of them with another sub-code", "quiet"),))
        bar = max(min(width - _NAME - 6, 24), 8)
        whole = len(found.jobs)
        for outcome in found.causes[:_CAUSES]:
            part = len(outcome.jobs)
            name = cut(outcome.text, _NAME)
            if whole < FEWEST:
                yield from wrap((Span(outcome.text), Span(f"  {part} of {whole}", "value")), width, rest="  ")
                continue
            chart = range_chart(outcome.share[0], part / whole, outcome.share[1], bar)
            yield Row((Span(name + " " * (_NAME - cells(name) + 1)), Span(f"{part:>3}  ", "value"), *chart))
        if rest := rest_words(found, _CAUSES):
            yield from wrap((Span(rest, "quiet"),), width)


def _checks(view: TicketView, width: int) -> Iterator[Row]:
    """What past jobs propose to look at next, each line with what it rests on."""
    if view.checks is None or not view.checks.proposals:
        return
    yield Row((Span("Check next", "strong"),))
    for line in lines(view.checks, "")[: 1 + _PROPOSED]:
        yield from wrap((Span(line),), width, rest="   ")


def _since(view: TicketView, width: int) -> Iterator[Row]:
    lines = trend_lines(view.case)
    if lines:
        yield Row((Span("Since last time", "strong"),))
    for line in lines:
        yield from wrap((Span(line),), width)


def _story(story: Story, width: int) -> Iterator[Row]:
    if story.sections:
        yield Row((Span("Story so far", "strong"),))
        yield from story_rows(replace(story, sections=story.sections[:1]), width, sources=False)[1:]
