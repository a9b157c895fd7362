"""The command for deferred work: what falls due, and what became of one piece of it."""

import argparse
import textwrap
from datetime import date

from ticket.cli.open_shop import open_shop
from ticket.cli.output import say, say_json
from ticket.job.errors import InputError
from ticket.job.text import one_line
from ticket.job.wall import asked_day
from ticket.shop.deferred import DueItem, agreed_day, due_items, follow_up, named, open_from
from ticket.shop.opening import Shop


def due(options: argparse.Namespace) -> None:
    """List deferred work, or record what became of the one that is named."""
    if options.item is None:
        if _words(options) or options.ticket or options.note:
            raise InputError("Which deferred work? Name it by ticket and entry: ticket due 2107/12 --call.")
        _list(options)
        return
    number, no = named(options.item)
    with open_shop(options) as shop:
        if options.ticket:
            _open(options, shop, number, no)
            return
        what = _words(options)
        if not what:
            raise InputError(f"What became of {options.item}? Add --call, --date DATE, --done, --declined or --ticket.")
        day = agreed_day(options.date or "", shop.today)
        follow_up(shop, number, no, what, note=options.note, day=day)
    if options.json:
        say_json({"ticket": number, "entry": no, "what": what, "date": day or None, "note": options.note})
    else:
        said = f"{what} {day}" if day else what
        say(f"{number}/{no}: {said}.")


def _words(options: argparse.Namespace) -> str:
    """The follow-up that was asked for; empty where none was."""
    asked = {"call": options.call, "new date": options.date is not None, "done": options.done}
    asked["declined"] = options.declined
    return next((what for what, given in asked.items() if given), "")


def _open(options: argparse.Namespace, shop: Shop, number: int, no: int) -> None:
    opened = open_from(shop, number, no)
    if options.json:
        say_json({"number": opened, "for": f"{number}/{no}"})
    else:
        say(f"Ticket {opened} is open; it proposes the work of {number}/{no}.")


def _list(options: argparse.Namespace) -> None:
    until = None
    if options.until:
        until = asked_day(options.until)
    with open_shop(options) as shop:
        items = due_items(shop, until)
        today = shop.today
    if options.json:
        say_json([item.as_json(today) for item in items])
        return
    if not items:
        say("Nothing waits.")
    for item in items:
        say(_due_text(item, today))


def _due_text(item: DueItem, today: date) -> str:
    when = f"{item.day.isoformat()}{' (overdue)' if item.day < today else ''}" if item.day else "no date"
    where = f" or at {item.odometer}" if item.odometer else ""
    lines = [
        f"{when}{where}  {item.ticket}/{item.entry}  {one_line(item.vehicle)}"
        + (f" · {one_line(item.customer)}" if item.customer else "")
        + (f" · {one_line(item.phone)}" if item.phone else ""),
    ]
    judgement = f" ({item.judgement})" if item.judgement else ""
    details = [item.text + judgement]
    details += [f"because {item.because}"] if item.because else []
    details += [f"risk: {item.risk}"] if item.risk else []
    details += [item.cost] if item.cost else []
    lines.append(textwrap.fill(one_line("; ".join(details)), 78, initial_indent=" " * 4, subsequent_indent=" " * 4))
    if item.basis:
        lines.append(textwrap.fill(item.basis, 78, initial_indent=" " * 4, subsequent_indent=" " * 4))
    if item.followed:
        text = one_line(item.followed)
        lines.append(textwrap.fill(text, 78, initial_indent=" " * 4, subsequent_indent=" " * 4))
    return "\n".join(lines)
