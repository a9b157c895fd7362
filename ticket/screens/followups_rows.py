"""Deferred work as rows, soonest first. Pure: items and a day in, rows out."""

from collections.abc import Sequence
from datetime import date, timedelta

from ticket.screens.rows import Row, Span, row, wrap
from ticket.shop.deferred import DueItem

_SOON = 31  # days that count as soon


def key_of(item: DueItem) -> str:
    """What the pointer stands on: ticket and entry."""
    return f"{item.ticket}/{item.entry}"


def followup_rows(items: Sequence[DueItem], today: date, width: int, *, until: date | None = None) -> list[Row]:
    """Every item under the head of its time, with its reason, its risk and what was said about it last.

    Args:
        items: soonest first.
        today: the day on the shop's wall.
        width: cells.
        until: the last day that was looked at; ``None`` for all that waits.
    """
    width = max(width, 20)
    rows: list[Row] = []
    head = ""
    for item in items:
        named = _head(item.day, today)
        if named != head:
            rows += [Row()] if rows else []
            rows.append(row(named, "title"))
            head = named
        rows += item_rows(item, today, width)
    if not items:
        rows.append(row("Nothing waits." if until is None else "Nothing falls due soon.", "quiet"))
    if until is not None:
        rows += [Row(), *wrap([Span(f"Looked at until {until}. L shows later work too.", "quiet")], width)]
    return rows


def _head(day: date | None, today: date) -> str:
    if day is None:
        return "Without a day"
    if day <= today:
        return "Due now"
    return "Within a month" if day <= today + timedelta(days=_SOON) else "Later"


def item_rows(item: DueItem, today: date, width: int) -> list[Row]:
    """One piece of deferred work: when and what, whose, why it could wait, what may happen, what was said last."""
    key = key_of(item)
    when = _when(item, today)
    judged = f" ({item.judgement})" if item.judgement else ""
    rows = wrap([Span(f"{when}: ", "strong"), Span(f"{item.text}{judged} [{key}]")], width, rest="    ", key=key)
    who = " · ".join(part for part in (item.vehicle, item.customer, item.phone) if part)
    parts = [f"because {item.because}"] if item.because else []
    parts += [f"risk: {item.risk}"] if item.risk else []
    parts += [item.cost] if item.cost else []
    parts += [item.forecast, f"call on {item.call}"] if item.forecast else []
    parts += [item.basis] if item.basis else []
    parts += ["no news: is it still driven?"] if item.no_news else []
    parts += [item.state] if item.state != "open" else []
    for text, style in ((who, "plain"), ("; ".join(parts), "quiet"), (item.followed, "strong")):
        if text:
            rows += wrap([Span(text, style)], width, first="    ", rest="    ", key=key)
    return rows


def _when(item: DueItem, today: date) -> str:
    where = f"at {item.odometer}" if item.odometer else ""
    if item.day is None:
        return where or "no day"
    late = (today - item.day).days
    day = f"{item.day:%Y-%m-%d}"
    if late > 0:
        day += ", 1 day over" if late == 1 else f", {late} days over"
    elif late == 0:
        day += ", today"
    return f"{day} or {where}" if where else day
