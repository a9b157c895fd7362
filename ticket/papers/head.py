"""The head of a paper: who hands it out, whose vehicle, when, and by whom the work was done."""

from collections.abc import Iterator
from datetime import datetime

from ticket.job.kinds import Cause, Did, Found
from ticket.job.ticket import Ticket
from ticket.papers.matter import Matter, joined
from ticket.papers.sheet import Facts


def sender(matter: Matter) -> tuple[str, ...]:
    """The shop: its name, and what papers of some places must carry about it."""
    label, details = matter.label, matter.details
    numbered = (
        ("registration", details.registration), ("tax.number", details.tax_number), ("waste.number", details.waste_id)
    )  # fmt: skip
    lines = (
        matter.case.settings.shop or label("nameless"),
        joined((details.address, details.phone), " · "),
        joined((label(name, number=number) for name, number in numbered if number), " · "),
    )
    return tuple(line for line in lines if line)


def dated(ticket: Ticket) -> datetime:
    """The moment a paper stands for: when the ticket was last written to, or its opening."""
    return max((at for at in (ticket.closed, *(entry.at for entry in ticket.entries)) if at), default=ticket.opened)


def facts(matter: Matter) -> Facts:
    """What is known before the first entry; what is not known is left out."""
    return Facts(tuple((matter.label(name), value) for name, value in _facts(matter) if value))


def _facts(matter: Matter) -> Iterator[tuple[str, str]]:
    ticket = matter.case.ticket
    header, vehicle, customer = ticket.header, ticket.header.vehicle, ticket.header.customer
    yield "vehicle", vehicle.label
    yield "plate", vehicle.plate
    yield "vin", vehicle.vin
    yield "odometer", _odometer(matter)
    yield "customer", customer.name
    if matter.reader != "payer":  # how to reach a customer is nobody's business but the shop's
        yield "phone", customer.phone
        yield "email", customer.email
        yield "address", customer.address
    yield "opened", matter.moment(ticket.opened)
    yield "promised", header.ready_by
    yield "closed", matter.moment(ticket.closed) if ticket.closed else ""
    yield "diagnosed", joined(dict.fromkeys(e.person for e in matter.entries if isinstance(e.fact, Found | Cause)))
    yield "repaired", joined(dict.fromkeys(e.fact.by or e.person for e in matter.entries if isinstance(e.fact, Did)))


def covers(matter: Matter) -> Facts:
    """Who else pays, by which approval, and what the customer bears of it first."""
    label, pairs = matter.label, []
    for cover in matter.terms.covers:
        payer = matter.payer(cover.payer, cover.name)
        pairs.append((label("approval", payer=payer), cover.approval))
        pairs.append((label("deductible.of", payer=payer), cover.deductible and _signed(matter, cover.deductible)))
    return Facts(tuple((name, value) for name, value in pairs if value))


def _signed(matter: Matter, typed: str) -> str:
    return f"{matter.case.settings.currency}{typed}" if typed[:1].isdigit() else typed


def _odometer(matter: Matter) -> str:
    header = matter.case.ticket.header
    came, left = header.odometer_in, header.odometer_out
    if came is None and left is None:
        return ""
    name = "odometer.both" if came and left else "odometer.in" if came else "odometer.out"
    return matter.label(name, came=came, left=left)
