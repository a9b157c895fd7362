"""The command for deferred work: what falls due, and what became of one piece of it."""

import argparse
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict
from datetime import timedelta

from ticket.cli.due_text import calibration_text, due_text
from ticket.cli.open_shop import open_to_show
from ticket.cli.output import hand_out, remark, say, say_bytes, say_json, to_file, write
from ticket.followups.explained import thread_lines
from ticket.job.errors import InputError
from ticket.job.text import one_line
from ticket.job.wall import asked_day
from ticket.machine.clipboard import copy
from ticket.shop.deferred import (
    agreed_day,
    calendar_of,
    calibration,
    centre,
    days_ahead,
    due_items,
    due_table,
    due_within,
    follow_up,
    named,
    open_from,
    thread_of,
)  # fmt: skip
from ticket.shop.opening import Shop
from ticket.shop.papers import reminder


def due(options: argparse.Namespace) -> None:
    """List deferred work, or record what became of the one that is named."""
    if options.item is None:
        if _words(options) or options.ticket or options.note:
            raise InputError("Which deferred work? Name it by ticket and entry: ticket due 2107/12 --call.")
        _list(options)
        return
    number, no = named(options.item)
    with _open_with_names(options) as shop:
        if options.ticket:
            _open(options, shop, number, no)
            return
        if options.remind:
            _remind(options, shop, number, no)
            return
        what = _words(options)
        if not what:
            if options.note:
                raise InputError(f"What became of {options.item}? Add --call, --date DATE, --done or --declined.")
            _thread(options, shop, number, no)
            return
        day = agreed_day(options.date or "", shop.today)
        follow_up(shop, number, no, what, note=options.note, day=day)
    if options.json:
        say_json({"ticket": number, "entry": no, "what": what, "date": day or None, "note": options.note})
    else:
        said = f"{what} {day}" if day else what
        say(f"{number}/{no}: {said}.")


@contextmanager
def _open_with_names(options: argparse.Namespace) -> Iterator[Shop]:
    """The shop for a list of people to call: an auditor must ask for it, which is journaled."""
    with open_to_show(options, [], "due") as shop:
        if shop.hidden:
            raise InputError(f"ticket due tells whom to call, and {shop.person} is an auditor here: add --names.")
        yield shop


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


def _remind(options: argparse.Namespace, shop: Shop, number: int, no: int) -> None:
    """Write a reminder; with ``--sent`` it is recorded that the customer got it."""
    thread, tickets = thread_of(shop, number, no)
    words = reminder(shop, thread, tickets, options.remind, options.language)
    if options.copy:
        copy(words)
        remark("Handed to the clipboard of the terminal.")
    elif options.json:
        say_json({"ticket": number, "entry": no, "form": options.remind, "text": words})
    else:
        write(options, words)
    if options.sent:
        follow_up(shop, number, no, "call", note=f"reminder sent by {options.sent}")
        remark(f"Recorded: reminder sent by {options.sent}.")


def _thread(options: argparse.Namespace, shop: Shop, number: int, no: int) -> None:
    """One piece of work through all visits, and what its newest look says."""
    thread, tickets = thread_of(shop, number, no)
    lines = list(thread_lines(thread, tickets, explain=options.explain))
    if options.json:
        say_json({"ticket": thread.ref.ticket, "entry": thread.ref.no, "state": thread.state, "lines": lines})
    else:
        write(options, "\n".join(_kept_indent(line) for line in lines), fit=True)


def _kept_indent(line: str) -> str:
    return " " * (len(line) - len(line.lstrip(" "))) + one_line(line)


def _list(options: argparse.Namespace) -> None:
    if options.form != "text" and options.json:
        raise InputError("Ask for JSON or for another form, not for both.")
    with _open_with_names(options) as shop:
        if options.calibration:
            _calibration(options, shop)
            return
        until = asked_day(options.until) if options.until else None
        if options.within:
            until = days_ahead(options.within, shop.today)
        if options.form == "ics":
            _hand_out(options, calendar_of(shop, until))
            return
        items, today = (due_within if options.within else due_items)(shop, until), shop.today
    if options.json:
        say_json([item.as_json(today) for item in items])
    elif options.form == "csv":
        _hand_out(options, due_table(items, today).encode())
    else:
        write(options, "\n".join(due_text(item, today) for item in items) or "Nothing waits.", fit=True)


def _hand_out(options: argparse.Namespace, made: bytes) -> None:
    if to_file(options):
        hand_out(options, made)
    else:
        say_bytes(made)


def _calibration(options: argparse.Namespace, shop: Shop) -> None:
    found, middle = calibration(shop), centre(shop)
    seen, lost = shop.store.waiting.seen(shop.today - timedelta(days=2 * 365))
    if options.json:
        a_day = round(middle.centre, 3) if middle and middle.centre else None
        say_json(asdict(found) | {"vehicles": seen, "not_seen_for_two_years": lost, "miles_a_day": a_day})
        return
    write(options, calibration_text(found, seen, lost, middle, shop.settings.distance), fit=True)
