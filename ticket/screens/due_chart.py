"""When deferred work falls due, drawn on one scale of days: the range, the likeliest day, a line for today. Pure."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from ticket.grid.rows import Span
from ticket.shop.deferred import DueItem

TODAY = "┊"
_BEFORE = 14  # days before today that are drawn: what is late stands there
_LEAST, _MOST = 60, 370  # days behind today that are drawn at least and at most


@dataclass(frozen=True, slots=True)
class DueScale:
    """Days on so many cells.

    Attributes:
        start: the day of the first cell.
        days: from there to the last cell.
        width: cells.
        today: its cell has a line on every row.
    """

    start: date
    days: int
    width: int
    today: date

    def cell(self, day: date) -> int:
        """The cell of a day; what lies outside stands at the end it lies behind."""
        at = round((day - self.start).days * (self.width - 1) / self.days)
        return min(max(at, 0), self.width - 1)

    def heads(self) -> str:
        """The months, each where it begins, as far as their names have room."""
        line = ""
        end = self.start + timedelta(days=self.days)
        month = _next_month(self.start)
        while month <= end:
            name, at = f"{month:%b}", self.cell(month)
            if at >= len(line) + bool(line) and at + len(name) <= self.width:
                line = line.ljust(at) + name
            month = _next_month(month)
        return line

    def chart(self, item: DueItem) -> tuple[Span, ...]:
        """One piece of work: from its early to its late end, the likeliest day between; a plain date is a point."""
        line = [" "] * self.width
        line[self.cell(self.today)] = TODAY
        if item.day is None:
            return (Span("".join(line), "rule"),)
        first, at = self.cell(item.earliest or item.day), self.cell(item.day)
        last = self.cell(item.latest) if item.latest else at if item.earliest is None else self.width - 1
        first, last = min(first, at), max(last, at)
        drawn = ["─"] * (last - first + 1)
        if item.earliest is not None:
            drawn[0] = "├"
        if item.latest is not None and item.latest <= self.start + timedelta(days=self.days):
            drawn[-1] = "┤"
        drawn[at - first] = "●"
        ink = "bad" if item.day < self.today else "fact"
        spans = (
            Span("".join(line[:first]), "rule"), Span("".join(drawn), ink), Span("".join(line[last + 1 :]), "rule"),
        )  # fmt: skip
        return tuple(span for span in spans if span.text)


def due_scale(items: Iterable[DueItem], today: date, width: int) -> DueScale:
    """A scale that holds the likeliest days of some pieces of work, as far as that is no more than a year."""
    last = max((item.day for item in items if item.day is not None), default=today)
    behind = min(max((last - today).days + _BEFORE, _LEAST), _MOST)
    return DueScale(today - timedelta(days=_BEFORE), _BEFORE + behind, width, today)


def _next_month(day: date) -> date:
    return (day.replace(day=1) + timedelta(days=32)).replace(day=1)
