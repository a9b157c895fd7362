"""Deferred work as rows in columns, soonest first, and the pointed piece whole. Pure: items and a day in, rows out."""

from collections.abc import Callable, Sequence
from datetime import date
from functools import lru_cache
from typing import Any

from ticket.grid.list_grid import ListColumn, laid, told_lines
from ticket.grid.rows import Row, Span, cut, wrap
from ticket.grid.signs import RULE, UNREAD, UNSAFE
from ticket.job.kinds import JUDGEMENTS
from ticket.job.text import fold
from ticket.job.width import cells
from ticket.screens.actions import key_for
from ticket.screens.due_chart import DueScale, due_scale
from ticket.shop.deferred import DueItem

ROWS = 6
"""Rows that the pointed piece takes below the list, its rule included."""
SORTS = ("due", "plate", "what", "judged", "customer")
"""The columns the list is sorted by, one behind the other."""
CHART, _CHART = "chart", 20
"""The column with the drawn ranges, and its cells."""
_YEAR = 300  # days beyond which a day is told with its year


def key_of(item: DueItem) -> str:
    """What the pointer stands on: ticket and entry."""
    return f"{item.ticket}/{item.entry}"


@lru_cache(maxsize=64)
def columns_for(width: int) -> tuple[ListColumn, ...]:
    """The columns at a width; what is left over goes to what waits and to the customer."""
    if width < 72:
        return (
            ListColumn("plate", "plate", 3, 10), ListColumn("what", "what waits", 12, max(width - 18, 20)),
            ListColumn("due", "due", max(width - 16, 22), max(width - 2, 36)),
        )  # fmt: skip
    chart = ListColumn(CHART, "", width - 1 - _CHART, width - 2)
    if width < 80:
        return (
            ListColumn("plate", "plate", 3, 10), ListColumn("what", "what waits", 12, 28),
            ListColumn("judged", "judged", 30, 41), ListColumn("due", "due", 43, 56),
            ListColumn("customer", "customer", 58, width - 2),
        )  # fmt: skip
    if width < 110:
        more = width - 80
        return (
            ListColumn("plate", "plate", 3, 10), ListColumn("what", "what waits", 12, 30 + more),
            ListColumn("judged", "judged", 32 + more, 43 + more), ListColumn("due", "due", 45 + more, 57 + more), chart,
        )  # fmt: skip
    more = (width - 72 - _CHART) * 2 // 3
    return (
        ListColumn("plate", "plate", 3, 10), ListColumn("what", "what waits", 12, 28 + more),
        ListColumn("judged", "judged", 30 + more, 41 + more), ListColumn("due", "due", 43 + more, 57 + more),
        ListColumn("customer", "customer", 59 + more, chart.start - 2), chart,
    )  # fmt: skip


def heads_of(width: int, scale: DueScale) -> list[ListColumn]:
    """The columns with the months over the charts."""
    return [one._replace(head=scale.heads()) if one.name == CHART else one for one in columns_for(width)]


def scale_for(items: Sequence[DueItem], today: date) -> DueScale:
    """The one scale of all pieces that are shown."""
    return due_scale(items, today, _CHART)


def due_words(item: DueItem, today: date) -> str:
    """When it falls due: how late it is, today, a day, or where no day is known the distance."""
    if item.day is None:
        return f"at {item.odometer}" if item.odometer else "no date"
    days = (item.day - today).days
    if days < 0:
        return f"{-days} day{'' if days == -1 else 's'} late"
    if days == 0:
        return "today"
    return f"{item.day.day} {item.day:%b}" if days < _YEAR else f"{item.day.day} {item.day:%b %Y}"


def item_row(item: DueItem, today: date, width: int, scale: DueScale) -> Row:
    """One piece of work, each fact in its column."""
    late = item.day is not None and item.day < today
    unsafe = item.judgement == JUDGEMENTS[-1]
    dateless = item.day is None and item.odometer is None
    sign = Span(UNSAFE, "bad") if late or unsafe else Span(UNREAD, "ask") if dateless else None
    plate = item.plate or item.vehicle or "—"
    ink = "bad" if late else "ask" if dateless else "strong" if item.day == today else "ink"
    told = {
        "plate": (Span(plate, "strong" if item.plate else "ink"),),
        "what": (Span(item.text),),
        "judged": (Span(item.judgement, "bad" if unsafe else "quiet"),),
        "due": (Span(due_words(item, today), ink),),
        "customer": (Span(item.customer),),
        CHART: scale.chart(item),
    }
    return Row(laid(columns_for(width), told, sign), key_of(item))


def preview_rows(item: DueItem | None, width: int) -> list[Row]:
    """The piece under the pointer whole: whose, why it could wait, what may happen, when and why then, what was said.

    Always the same number of rows.
    """
    if item is None:
        return [Row((Span(RULE * width, "rule"),)), *[Row()] * (ROWS - 1)]
    key = key_of(item)
    head = (Span(RULE * 2, "rule"), Span(f" {key} ", "strong"), Span(f"{cut(item.text, max(width - 24, 8))} "))
    rows = [Row((*head, Span(RULE * max(width - sum(cells(span.text) for span in head), 0), "rule")))]
    day = f"{item.day:%Y-%m-%d}" if item.day and not item.forecast else ""  # its day stands in the list
    reading = f"at {item.odometer}" if item.odometer else ""
    call = f"call on {item.call}" if item.forecast and item.call else ""
    news = "no news: is it still driven?" if item.no_news else ""
    state = "; ".join(part for part in (item.state if item.state != "open" else "", news) if part)
    told = (
        ("whose", " · ".join(part for part in (item.vehicle, item.customer, item.phone) if part)),
        ("because", "; ".join(part for part in (item.because, item.cost) if part)),
        ("risk", item.risk),
        ("due", "; ".join(part for part in (item.forecast or day, reading, call, item.basis) if part)),
        ("last", "; ".join(part for part in (item.followed, state) if part)),
    )
    return [*rows, *told_lines(told, ROWS - 1, width, 8)]


def narrowed(items: Sequence[DueItem], typed: str, today: date) -> list[DueItem]:
    """The pieces that hold every typed word; late, unsafe and no date are words too."""
    words = fold(typed).split()
    return [item for item in items if all(word in _text(item, today) for word in words)]


def _text(item: DueItem, today: date) -> str:
    unsafe = "unsafe" if item.judgement == JUDGEMENTS[-1] else ""
    parts = (item.plate, item.text, item.vehicle, item.customer, item.judgement, due_words(item, today), key_of(item))
    return fold(f"{' '.join(parts)} {unsafe}")


def in_order(items: Sequence[DueItem], sort: str) -> list[DueItem]:
    """Soonest first, as they were read, unless another column was chosen."""
    keys: dict[str, Callable[[DueItem], Any]] = {
        "due": lambda item: 0,
        "plate": lambda item: (not item.plate, item.plate.casefold()),
        "what": lambda item: item.text.casefold(),
        "judged": lambda item: -JUDGEMENTS.index(item.judgement) if item.judgement in JUDGEMENTS else 1,
        "customer": lambda item: (not item.customer, item.customer.casefold()),
    }
    return sorted(items, key=keys[sort])


def empty_rows(typed: str, until: date | None, width: int) -> list[Row]:
    """What stands where nothing waits."""
    farther = f" {key_for('farther')} shows later work too." if until is not None else ""
    if typed.strip():
        text = f"Nothing that waits fits “{typed.strip()}”."
    elif until is None:
        text = "Nothing waits."
    else:
        text = f"Nothing falls due to {until.day} {until:%B}."
    return wrap([Span(f"{text}{farther}")], max(width - 2, 20), first="  ", rest="  ")
