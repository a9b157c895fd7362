"""The flags of the commands for the front desk: papers that are handed out, and the lists of a day."""

from argparse import ArgumentParser
from collections.abc import Callable

from ticket.cli.paper_flags import FORMS, READERS, names_flag, number, paper_flags


def desk_commands(command: Callable[..., ArgumentParser]) -> None:
    """Add them; ``command`` makes a parser."""
    made = command(
        "estimate", "money_commands", "estimate",
        "what was offered, answered and agreed, and how much room is left; with --as the written estimate",
        "ticket estimate 12", "ticket estimate 12 --as pdf -o estimate-12.pdf", "ticket estimate 12 --versions",
        "ticket estimate 12 --as text --version 1", "ticket estimate 12 --as eml -o estimate-12.eml",
    )  # fmt: skip
    made.add_argument("number", type=number, metavar="N", help="ticket number")
    paper_flags(made, default=None)
    made.add_argument("--version", type=number, metavar="V", help="with --as: a version that was handed out before")
    made.add_argument("--versions", action="store_true", help="the versions that were handed out")
    names_flag(made)
    made = command(
        "invoice", "desk_commands", "invoice", "the invoice of a signed ticket under a number of the shop's series",
        "ticket invoice 12 --as pdf -o invoice-12.pdf", "ticket invoice 12 --for payer", "ticket invoice 12 --draft",
    )  # fmt: skip
    made.add_argument("number", type=number, metavar="N", help="ticket number")
    made.add_argument("--for", dest="reader", default="customer", choices=READERS[:2], help="who pays")
    made.add_argument("--draft", action="store_true", help="without a number, for a ticket that is not signed yet")
    paper_flags(made)
    made = command(
        "receipt", "desk_commands", "receipt", "the receipt for a deposit; without an entry, for the newest",
        "ticket receipt 12", "ticket receipt 12 8 --as pdf -o receipt-12-8.pdf",
    )  # fmt: skip
    made.add_argument("number", type=number, metavar="N", help="ticket number")
    made.add_argument("no", nargs="?", type=number, metavar="ENTRY", help="the contact at which it was paid")
    paper_flags(made)
    made = command(
        "message", "desk_commands", "message", "the words of a text message to the customer; nothing is sent",
        "ticket message 12", "ticket message 12 --about estimate --language es",
    )  # fmt: skip
    made.add_argument("number", type=number, metavar="N", help="ticket number")
    made.add_argument("--about", default="ready", choices=("ready", "estimate"), help="what it tells")
    made.add_argument("--language", default="", help="such as en or es; left out, the shop's")
    for name, function, text, example in (
        ("promised", "promised", "the jobs promised for a day, and those that are late", "ticket promised"),
        ("totals", "totals", "what was signed on a day, by ticket, payer and tax, and the deposits", "ticket totals"),
    ):
        made = command(name, "desk_commands", function, text, example, f"{example} 2026-03-02 --as html -o {name}.html")
        made.add_argument("day", nargs="?", metavar="DATE", help="such as 2026-03-02; left out, today")
        paper_flags(made, FORMS)
        names_flag(made)
