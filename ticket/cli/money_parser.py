"""The flags of the commands about money."""

from argparse import ArgumentParser
from collections.abc import Callable

from ticket.cli.paper_flags import names_flag


def money_commands(command: Callable[..., ArgumentParser], number: Callable[[str], int]) -> None:
    """Add the commands about money; ``command`` makes a parser, ``number`` reads a ticket number."""
    made = command(
        "bill", "money_commands", "bill",
        "lines, tax, totals, what was agreed and is allowed; 1 if it may not be given out",
        "ticket bill 12", "ticket bill 12 --json",
    )  # fmt: skip
    made.add_argument("number", type=number, metavar="N", help="ticket number")
    names_flag(made)
    made = command(
        "allowed", "money_commands", "allowed_above",
        "how much may be charged above an agreed sum without asking again",
        "ticket allowed 400 --rules US-FL", "ticket allowed 400 --rules US-MI --option asked-to-be-called",
        "ticket allowed 400 --compare", "ticket allowed 400 --compare US-FL US-CO CA-ON",
    )  # fmt: skip
    made.add_argument("amount", metavar="AMOUNT", help="what was agreed")
    made.add_argument("--rules", metavar="RULES", help="local rules; the shop's where none are named")
    made.add_argument(
        "--option", action="append", default=[], help="what else is known",
        choices=("no-estimate", "price-limit", "diagnosis-only", "asked-to-be-called", "estimate-not-asked"),
    )  # fmt: skip
    made.add_argument("--compare", nargs="*", metavar="RULES", help="several rules, all if none are named")
    made = command(
        "hours", "money_commands", "hours", "hours billed and clocked over a period, each figure by its formula",
        "ticket hours --since 2026-03-01 --until 2026-03-31", "ticket hours --since 2026-03-01 --attended 160",
    )  # fmt: skip
    made.add_argument("--since", metavar="DATE", help="from this day on")
    made.add_argument("--until", metavar="DATE", help="up to and with this day")
    made.add_argument("--attended", metavar="HOURS", help="hours the people were there")
