"""Commands about money: the bill of a ticket and what the local rules say of it."""

import argparse
from datetime import date
from itertools import groupby
from typing import Any

from ticket.cli.bill_text import bill_text, paragraph
from ticket.cli.estimate_text import estimate_text
from ticket.cli.open_shop import open_shop, open_to_hand_out, open_to_show
from ticket.cli.output import say, say_json
from ticket.cli.ticket_commands import head_line
from ticket.job.codec import instant
from ticket.job.errors import InputError
from ticket.job.numbers import exact
from ticket.job.wall import asked_day
from ticket.money.amount import grouped, half_up, price
from ticket.money.period import Hours
from ticket.rules.account_document import (
    allowed_document,
    bill_document,
    estimate_document,
    hours_document,
    measured,
    two_places,
)
from ticket.rules.overrun import Allowed, Situation, compare
from ticket.rules.pack import NOTICE, Pack, load, packaged
from ticket.rules.pack_rows import STATUSES
from ticket.shop import money
from ticket.shop.reading import ticket_of

_OPTIONS: dict[str, dict[str, Any]] = {
    "no-estimate": {"case": "no estimate"},
    "price-limit": {"case": "price limit"},
    "diagnosis-only": {"case": "diagnosis only"},
    "asked-to-be-called": {"asked_to_be_called": True},
    "estimate-not-asked": {"estimate_asked": False},
}


def bill(options: argparse.Namespace) -> int:
    """The bill of a ticket; 1 while it may not be given out."""
    with open_to_show(options, [options.number], "bill") as shop:
        account = money.bill(shop, options.number)
        ticket = ticket_of(shop, options.number)
    if options.json:
        say_json(bill_document(account))
    else:
        for line in bill_text(account, f"Bill. {head_line(ticket)}"):
            say(line)
    return 0 if account.may_be_given else 1


def estimate(options: argparse.Namespace) -> int:
    """Where the offers of a ticket stand; 1 while the customer must be asked or work is uncovered.

    With ``--as`` the written estimate, which is kept as a version.
    """
    if options.versions:
        return _versions(options)
    if options.form:
        from ticket.cli.paper_commands import put_sheet
        from ticket.shop.papers import desk

        with open_to_hand_out(options) as shop:
            made = desk.estimate_sheet(shop, options.number, language=options.language, version=options.version or 0)
            put_sheet(options, shop, made)
        return 0
    if options.version or options.output:
        raise InputError("--version and -o belong to the written estimate: add --as text, or another form.")
    with open_to_show(options, [options.number], "estimate") as shop:
        found = money.estimate(shop, options.number)
        ticket = ticket_of(shop, options.number)
    if options.json:
        say_json(estimate_document(found))
    else:
        for line in estimate_text(found, f"Estimate. {head_line(ticket)}"):
            say(line)
    return 1 if found.verdict != "within" or found.uncovered or any(field.blocks for field in found.missing) else 0


def _versions(options: argparse.Namespace) -> int:
    """The versions of an estimate that were handed out."""
    from ticket.shop.papers import desk

    with open_shop(options) as shop:
        held = desk.estimate_versions(shop, options.number)
    if options.json:
        shown = [{"version": one.version, "at": instant(one.moment), "language": one.language} for one in held]
        say_json({"ticket": options.number, "versions": shown})
        return 0
    for one in held:
        say(f"{one.version:>3}  {one.moment.astimezone():%Y-%m-%d %H:%M}  {one.language}")
    if not held:
        say(f"No estimate of ticket {options.number} was handed out yet: ticket estimate {options.number} --as text")
    return 0


def allowed_above(options: argparse.Namespace) -> None:
    """How much may be charged above a sum that was agreed."""
    agreed = price(options.amount)
    if agreed is None:
        raise InputError(f"{options.amount!r} is no sum of money, such as 400 or 333.33.")
    chosen: dict[str, Any] = {}
    for option in options.option:
        chosen |= _OPTIONS[option]
    situation = Situation(**chosen)
    found = compare(half_up(agreed * 100), _packs(options), situation)
    if options.json:
        documents = [allowed_document(one) for one in found]
        say_json(documents if options.compare is not None else documents[0])
        return
    for _, same in groupby(found, key=lambda one: (one.allowed, one.rules, one.beyond)):
        first, *others = same
        for line in _allowed_text(first, [first.asked, *(one.asked for one in others)]):
            say(line)
    say()
    for line in paragraph(NOTICE):
        say(line)


def _packs(options: argparse.Namespace) -> tuple[Pack, ...]:
    """The rules that were named: all for ``--compare`` alone; the shop's own only open the shop where needed."""
    named = [options.rules] if options.rules else []
    if options.compare is not None:
        named += options.compare or packaged()
    if named and all(name in packaged() for name in named):
        return tuple(load(name) for name in dict.fromkeys(named))
    with open_shop(options) as shop:
        if not named:
            return (money.pack(shop),)
        return tuple(money.find_pack(shop, name) for name in dict.fromkeys(named))


def _allowed_text(one: Allowed, asked: list[str]) -> list[str]:
    """One rule, and for whom it answers where that is not the pack it stands in."""
    own = one.rules.partition("/")[0]
    heirs = [pack for pack in asked if pack != own]
    behind = f", which answers for {', '.join(heirs)}" if heirs else ""
    basis = " (both before sales tax)" if one.before_tax else ""
    text = (
        f"{one.rules}{behind}: {grouped(one.estimate)} agreed, up to {grouped(one.allowed)} may be charged, consent is"
        f" needed from {grouped(one.consent_from)} on{basis}. {one.citation}; {STATUSES[one.status]}."
    )
    return paragraph(" ".join(filter(None, (text, one.note, *one.beyond))), 0, 2)


def hours(options: argparse.Namespace) -> None:
    """Hours billed and clocked over a period, each measure by its formula."""
    since, until = _day(options.since), _day(options.until)
    attended = exact(options.attended) if options.attended else None
    if options.attended and (attended is None or attended <= 0):
        raise InputError(f"{options.attended!r} is no number of hours.")
    with open_shop(options) as shop:
        all_of_it, people, rates = money.hours(shop, since, until, attended)
    if options.json:
        say_json(
            {
                "since": options.since, "until": options.until, "all": hours_document(all_of_it),
                "by_person": [hours_document(one) for one in people],
                "by_rate": [hours_document(one) for one in rates],
            }
        )  # fmt: skip
        return
    period = " ".join(text for text in (f"since {since}" if since else "", f"until {until}" if until else "") if text)
    say(f"Labour {period or 'of all tickets'}, both days included.")
    for one in (all_of_it, *people, *rates):
        say()
        for line in _hours_text(one):
            say(line)


def _hours_text(found: Hours) -> list[str]:
    lines = [f"{found.name or 'no rate class'}"]
    lines += [f"  {two_places(found.billed):>12}  hours billed, of which {two_places(found.unclocked)} without clock"]
    lines += [f"  {two_places(found.clocked):>12}  hours clocked", f"  {grouped(found.sales):>12}  labour sales"]
    return lines + [f"  {measured(one):>12}  {one.formula}" for one in found.measures]


def _day(text: str | None) -> date | None:
    return asked_day(text) if text else None
