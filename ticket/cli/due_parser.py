"""The flags of the commands about work that waits; nothing is imported for a command before it runs."""

import argparse
from collections.abc import Callable

_WAYS = ("text message", "email", "letter", "in person")
Command = Callable[..., argparse.ArgumentParser]


def due_commands(command: Command) -> None:
    """Add what falls due, and the forecast without a ticket."""
    made = command(
        "due", "due_command", "due", "deferred work by date and distance; name one to record what became of it",
        "ticket due", "ticket due --within 30d", "ticket due --within 30d --as csv -o calls.csv",
        "ticket due --as ics -o calls.ics --force", "ticket due --until 2026-12-31 --json",
        "ticket due 2107/12 --date 2027-01-15", "ticket due 2107/12 --explain",
        "ticket due 2107/12 --remind text --copy", "ticket due --calibration",
    )  # fmt: skip
    made.add_argument("item", nargs="?", metavar="N/ENTRY", help="one piece of deferred work, such as 2107/12")
    when = made.add_mutually_exclusive_group()
    when.add_argument("--until", metavar="DATE", help="only what falls due by this day")
    when.add_argument("--within", metavar="TIME", help="what to call about, or falls due, within 30d, 6w or 3 months")
    made.add_argument(
        "--as", dest="form", default="text", choices=("text", "csv", "ics"), help="text, a table or a calendar"
    )
    made.add_argument("--names", action="store_true", help="an auditor: show whom to call; it is journaled")
    made.add_argument("-o", "--output", metavar="FILE", help="write to a new file, or - for standard output")
    made.add_argument("--force", action="store_true", help="let it take the place of a file that is there")
    made.add_argument("--calibration", action="store_true", help="how well earlier forecasts held")
    what = made.add_mutually_exclusive_group()
    what.add_argument("--call", action="store_true", help="the customer was called")
    what.add_argument("--date", metavar="DATE", help="another day was agreed on")
    what.add_argument("--done", action="store_true", help="it was done, by no ticket of this shop")
    what.add_argument("--declined", action="store_true", help="the customer does not want it")
    what.add_argument("--ticket", action="store_true", help="open a new ticket for it")
    made.add_argument("--remind", choices=("text", "letter"), help="with N/ENTRY: a reminder for the customer")
    made.add_argument("--copy", action="store_true", help="with --remind: to the clipboard of the terminal")
    made.add_argument("--language", default="", help="of the reminder; left out, the shop's")
    made.add_argument("--sent", choices=_WAYS, help="with --remind: record that it was sent, and how")
    made.add_argument("--explain", action="store_true", help="with N/ENTRY: how each figure of a second look was made")
    made.add_argument("--note", default="", metavar="TEXT", help="what was said")
    made = command(
        "forecast", "forecast_command", "forecast", "when a distance will have been driven, from typed readings",
        "ticket forecast --reading 2025-06-30=54100 --reading 2025-11-03=57650 --after 500mi",
        "ticket forecast --reading '2026-01-12=1790 h' --reading '2025-09-15=1598 h' --after 250h --json",
    )  # fmt: skip
    made.add_argument(
        "--reading", action="append", default=[], metavar="DATE=ODO", help="a day and its reading; miles without a unit"
    )
    made.add_argument(
        "--after", required=True, metavar="DISTANCE", help="what may be run, such as 500mi, 800km or 250h"
    )
    made.add_argument("--from", dest="start", metavar="DATE", help="the day it counts from, where there is no reading")
    made.add_argument("--risky", action="store_true", help="call for it a week before the early end")
