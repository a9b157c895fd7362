"""What stands under the list of jobs: the one under the pointer, its concerns, its first questions, its money."""

from typing import TYPE_CHECKING, NamedTuple

from ticket.grid.rows import Row, Span, cut, wrap
from ticket.grid.signs import RULE, UNREAD
from ticket.job.promise import lasting
from ticket.job.wall import local_day
from ticket.job.width import cells
from ticket.store.ticket_list import TicketRow

if TYPE_CHECKING:
    from ticket.shop.opening import Shop

ROWS = 4
"""Rows it takes, its rule included."""
_NAME = 18


class Preview(NamedTuple):
    """One job, as far as the list tells it.

    Attributes:
        number: its ticket.
        concerns: name, where it stands, and what is asked first of each.
        money: in words.
    """

    number: int
    concerns: tuple[tuple[str, str, str], ...] = ()
    money: str = ""


def preview_of(number: int, shop: "Shop") -> Preview:
    """The preview of a ticket; asked behind the screen."""
    from ticket.screens.ticket_head import concern_name, sums
    from ticket.screens.ticket_view import TicketView
    from ticket.shop.money import account_of
    from ticket.shop.reading import case_of, gaps_of
    from ticket.story.facts.concerns import states

    case = case_of(shop, number)
    account = account_of(shop, case.ticket)
    view = TicketView(case, states(case), gaps_of(shop, case, account), account=account)
    concerns: list[tuple[str, str, str]] = []
    for state in view.states:
        asked = (
            gap.question
            for gap in view.gaps
            if gap.entry is None or ((entry := case.ticket.entry(gap.entry)) and state.letter in ("", *entry.concerns))
        )
        name = f"{state.letter} {concern_name(case, state.letter, _NAME - 2)}" if state.letter else "all of it"
        concerns.append((name, state.words, next(asked, "")))
    return Preview(number, tuple(concerns), "".join(span.text for span in sums(view)))


def preview_rows(job: TicketRow | None, preview: Preview | None, width: int) -> list[Row]:
    """Always the same number of rows; names that the list had to cut stand here whole."""
    if job is None:
        return [Row((Span(RULE * width, "rule"),)), *[Row()] * (ROWS - 1)]
    back = f"came back from {job.back_from}" if job.back_from else ""
    promise = lasting(job.ready_by, local_day(job.opened)) if job.ready_by else ""
    named = " · ".join(part for part in (back, job.vehicle, job.customer, promise) if part)
    name = f" {job.number} "
    tail = f" {cut(named, max(width - len(name) - 8, 8))} " if named else ""
    fill = RULE * max(width - 4 - len(name) - cells(tail), 0)
    rows = [
        Row((Span(RULE * 2, "rule"), Span(name, "strong"), Span(RULE, "rule"), Span(tail, "quiet"), Span(fill, "rule")))
    ]
    if preview is not None and preview.number == job.number:
        shown = preview.concerns[: ROWS - 2]
        rows += [line for concern in shown for line in _concern(*concern, width, ROWS - 1 - len(shown))]
        rows.append(Row((Span(f"  {'money':<{_NAME}}  "), Span(cut(preview.money, max(width - _NAME - 6, 8))))))
    return [*rows, *[Row()] * (ROWS - len(rows))][:ROWS]


def _concern(name: str, state: str, asked: str, width: int, most: int) -> list[Row]:
    """One concern; its question on so many rows at most."""
    room = (26 if width < 100 else 40) if asked else max(width - _NAME - 6, 8)
    state = cut(state, room)
    lead = f"  {cut(name, _NAME)}{' ' * max(_NAME - cells(cut(name, _NAME)), 0)}  "
    spans = [Span(lead), Span(f"{state}{' ' * (room - cells(state))}", "quiet")]
    rest = max(width - _NAME - room - 8, 8)
    lines = [line.text for line in wrap([Span(asked)], rest)]
    if len(lines) > most:
        lines = [*lines[: most - 1], cut(" ".join(lines[most - 1 :]), rest)]
    first = (*spans, *((Span(f"  {UNREAD} ", "ask"), Span(lines[0])) if asked else ()))
    return [Row(first), *(Row((Span(" " * (_NAME + room + 8)), Span(line))) for line in lines[1:])]
