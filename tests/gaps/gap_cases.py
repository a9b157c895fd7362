"""Small cases for the rules: lines of the notation with a header that asks nothing by itself."""

from dataclasses import replace
from datetime import date, timedelta

from support.tickets import ticket_of
from ticket.gaps.find import find_gaps
from ticket.job.case import Case, Settings
from ticket.job.ticket import Customer, Header, Ticket, Vehicle
from ticket.job.values import Quantity

HEADER = Header(Vehicle("Corvane Alder", plate="FEN-204"), Customer("Ada Fenn", "555-0134"), Quantity("100,214", "mi"))


def case_of(lines: str, *, header: Header = HEADER, earlier: tuple[Ticket, ...] = ()) -> Case:
    """A case of one ticket, its lines numbered from 1."""
    ticket = replace(ticket_of([line.strip() for line in lines.strip().splitlines()]), header=header)
    return Case(ticket, Settings(), date(2026, 3, 2), earlier)


def earlier_visit(lines: str, *, number: int, days_ago: int, odometer: str) -> Ticket:
    """A signed ticket of the same vehicle, so many days before."""
    ticket = ticket_of(lines.split("\n"))
    header = replace(HEADER, odometer_in=Quantity(odometer, "mi"))
    return replace(
        ticket, number=number, opened=ticket.opened - timedelta(days=days_ago), header=header, status="signed"
    )


def ids(case: Case) -> set[str]:
    """The names of the rules that ask something."""
    return {gap.id for gap in find_gaps(case)}
