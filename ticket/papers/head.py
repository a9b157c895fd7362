"""The head of a paper: who hands it out, whose vehicle, when, and by whom the work was done."""

from collections.abc import Iterator
from datetime import datetime

from ticket.job.kinds import Cause, Did, Found
from ticket.job.promise import promised_day, tells_its_date
from ticket.job.ticket import Ticket
from ticket.job.wall import local_day
from ticket.papers.copy_contents import CopyContents, joined
from ticket.papers.sheet import Facts

REACHED_BY = ("phone", "email", "address")
"""How to reach a customer, which other payers are not told."""


def sender(contents: CopyContents) -> tuple[str, ...]:
    """The shop: its name, and what papers of some places must carry about it."""
    label, details = contents.label, contents.details
    numbered = (
        ("registration", details.registration), ("tax.number", details.tax_number), ("waste.number", details.waste_id)
    )  # fmt: skip
    lines = (
        contents.case.settings.shop or label("nameless"),
        joined((details.address, details.phone), " · "),
        joined((label(name, number=number) for name, number in numbered if number), " · "),
    )
    return tuple(line for line in lines if line)


def dated(ticket: Ticket) -> datetime:
    """The moment a paper stands for: when the ticket was last written to, or its opening."""
    written = (*(entry.at for entry in ticket.entries), *(one.at for one in ticket.corrections))
    return max((at for at in (ticket.closed, *written) if at), default=ticket.opened)


def facts(contents: CopyContents) -> Facts:
    """What is known before the first entry; what is not known is left out."""
    return Facts(tuple((contents.label(name), value) for name, value in _facts(contents) if value))


def _facts(contents: CopyContents) -> Iterator[tuple[str, str]]:
    ticket = contents.case.ticket
    vehicle, customer = ticket.header.vehicle, ticket.header.customer
    yield "vehicle", vehicle.label
    yield "plate", vehicle.plate
    yield "vin", vehicle.vin
    yield "odometer", _odometer(contents)
    yield "customer", customer.name
    if contents.reader != "payer":  # how to reach a customer is nobody's business but the shop's
        yield from ((name, getattr(customer, name)) for name in REACHED_BY)
    yield "opened", contents.moment(ticket.opened)
    yield "promised", _promised(contents)
    yield "closed", contents.moment(ticket.closed) if ticket.closed else ""
    yield "diagnosed", joined(dict.fromkeys(e.person for e in contents.entries if isinstance(e.fact, Found | Cause)))
    yield "repaired", joined(dict.fromkeys(e.fact.by or e.person for e in contents.entries if isinstance(e.fact, Did)))


def _promised(contents: CopyContents) -> str:
    """The promise as typed; one such as ``tomorrow 5 pm`` with its day, since a paper is read later."""
    typed, opened = contents.case.ticket.header.ready_by, contents.case.ticket.opened
    day = None if tells_its_date(typed) else promised_day(typed, local_day(opened))
    return typed if day is None else contents.label("promised.on", typed=typed, day=contents.date(day))


def covers(contents: CopyContents) -> Facts:
    """Who else pays, by which approval, and what the customer bears of it first."""
    label, pairs = contents.label, []
    for cover in contents.terms.covers:
        payer = contents.payer(cover.payer, cover.name)
        pairs.append((label("approval", payer=payer), cover.approval))
        pairs.append((label("deductible.of", payer=payer), cover.deductible and _signed(contents, cover.deductible)))
    return Facts(tuple((name, value) for name, value in pairs if value))


def _signed(contents: CopyContents, typed: str) -> str:
    return f"{contents.case.settings.currency}{typed}" if typed[:1].isdecimal() else typed


def _odometer(contents: CopyContents) -> str:
    header = contents.case.ticket.header
    came, left = header.odometer_in, header.odometer_out
    if came is None and left is None:
        return ""
    name = "odometer.both" if came and left else "odometer.in" if came else "odometer.out"
    return contents.label(name, came=came, left=left)
