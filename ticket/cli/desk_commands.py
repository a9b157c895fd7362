"""Commands of the front desk: invoice, receipt, text message, and the lists of a day."""

import argparse

from ticket.cli.open_shop import open_to_hand_out, open_to_show
from ticket.cli.output import say, say_json
from ticket.cli.paper_commands import put_sheet
from ticket.job.wall import asked_day
from ticket.papers.day_lists import promised_list, totals_list
from ticket.shop.papers import desk


def invoice(options: argparse.Namespace) -> None:
    """The invoice of a ticket; the first time it is given its number."""
    with open_to_hand_out(options) as shop:
        made = desk.invoice_sheet(
            shop, options.number, options.reader, language=options.language, draft=options.draft
        )  # fmt: skip
        put_sheet(options, shop, made)


def receipt(options: argparse.Namespace) -> None:
    """The receipt for a deposit."""
    with open_to_hand_out(options) as shop:
        put_sheet(options, shop, desk.receipt_sheet(shop, options.number, options.no or 0, language=options.language))


def message(options: argparse.Namespace) -> None:
    """The words of a text message."""
    with open_to_hand_out(options) as shop:
        text = desk.text_message(shop, options.number, options.about, options.language)
    if options.json:
        say_json({"ticket": options.number, "about": options.about, "text": text})
    else:
        say(text)


def promised(options: argparse.Namespace) -> None:
    """What is promised for a day, and what is late."""
    with open_to_show(options, [], "promised") as shop:
        day = asked_day(options.day) if options.day else shop.today
        jobs = desk.promised(shop, day)
        if options.json:
            say_json({"day": day.isoformat(), "promised": [job.document(day) for job in jobs]})
            return
        language = options.language or shop.settings.language
        put_sheet(options, shop, promised_list(jobs, day, shop.settings, shop.now(), language))


def totals(options: argparse.Namespace) -> None:
    """What a day brought."""
    with open_to_show(options, [], "totals") as shop:
        found = desk.totals(shop, asked_day(options.day) if options.day else shop.today)
        if options.json:
            say_json(found.document())
            return
        language = options.language or shop.settings.language
        put_sheet(options, shop, totals_list(found, shop.settings, shop.now(), language))
