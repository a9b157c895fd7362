"""Commands about money: the bill of a ticket and what the local rules say of it."""

import argparse

from ticket.cli.bill_text import bill_text
from ticket.cli.jobs import head_line
from ticket.cli.opening import open_shop
from ticket.cli.output import say, say_json
from ticket.rules.document import bill_document
from ticket.shop import billing


def bill(options: argparse.Namespace) -> int:
    """The bill of a ticket; 1 while it may not be given out."""
    with open_shop(options) as shop:
        account = billing.bill(shop, options.number)
        ticket = shop.ticket(options.number)
    if options.json:
        say_json(bill_document(account))
    else:
        for line in bill_text(account, f"Bill. {head_line(ticket)}"):
            say(line)
    return 0 if account.may_be_given else 1
