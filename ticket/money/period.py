"""Labour of a period: hours billed, hours clocked, what came in for them. Each measure is labelled by its formula."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import tzinfo
from fractions import Fraction

from ticket.job.entry import Entry
from ticket.job.kinds import Did
from ticket.job.numbers import exact
from ticket.job.ticket import Ticket
from ticket.money.bill import Bill
from ticket.money.labour_hours import clocked, effective_rate, efficiency, proficiency, utilisation


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """Labour of one person at one rate: hours billed, minutes by the clock (or ``None``), cents after discount."""

    person: str
    rate: str
    hours: Fraction
    minutes: int | None
    sales: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """A figure and the formula it is worked out by; ``unit`` is ``per hour`` (cents) or ``ratio``."""

    formula: str
    value: Fraction
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Hours:
    """Labour taken together; hours exact, sales in cents.

    Attributes:
        unclocked: billed hours of work that has no clock times; they stay out of what divides by the clock.
    """

    name: str
    billed: Fraction
    clocked: Fraction
    unclocked: Fraction
    sales: int
    measures: tuple[Measure, ...]


def labour_of(ticket: Ticket, made: Bill, zone: tzinfo | None = None) -> Iterator[tuple[Entry, Work]]:
    """Every living labour entry, as the bill of its ticket has it.

    Args:
        ticket: the ticket.
        made: its bill.
        zone: of the wall its clock times were read off; ``None`` for the one of this process.
    """
    lines = {line.no: line for line in made.lines if line.no}
    for entry in ticket.of_kind(Did):
        fact = entry.fact
        if isinstance(fact, Did):
            line = lines[entry.no]
            yield (
                entry,
                Work(
                    person=fact.by or entry.person,
                    rate=line.rate,
                    hours=exact(line.quantity) or Fraction(0),
                    minutes=clocked(fact.clock, entry.at, zone) if fact.clock else None,
                    sales=line.amount - line.discount,
                ),
            )


def hours(name: str, work: Iterable[Work], attended: Fraction | None = None) -> Hours:
    """Labour taken together. Minutes are summed as punched and never rounded one by one (29 CFR 785.48(b)).

    ``attended`` are the hours the people were there; without them nothing is told that divides by them.
    """
    done = tuple(work)
    with_clock = tuple(one for one in done if one.minutes is not None)
    billed = sum((one.hours for one in done), Fraction(0))
    on_clock = Fraction(sum(one.minutes or 0 for one in with_clock), 60)
    billed_on_clock = sum((one.hours for one in with_clock), Fraction(0))
    sales = sum(one.sales for one in done)
    measures = []
    if billed:
        measures.append(Measure(
            formula="labour sales / hours billed", value=effective_rate(sales, billed), unit="per hour",
        ))  # fmt: skip
    if on_clock:
        measures.append(Measure(
            formula="labour sales of clocked work / hours clocked",
            value=effective_rate(sum(one.sales for one in with_clock), on_clock), unit="per hour",
        ))  # fmt: skip
        measures.append(Measure(
            formula="hours billed of clocked work / hours clocked",
            value=efficiency(billed_on_clock, on_clock), unit="ratio",
        ))  # fmt: skip
    if attended:
        measures.append(
            Measure(formula="hours clocked / hours attended", value=utilisation(on_clock, attended), unit="ratio")
        )
        measures.append(
            Measure(formula="hours billed / hours attended", value=proficiency(billed, attended), unit="ratio")
        )
    return Hours(
        name=name, billed=billed, clocked=on_clock, unclocked=billed - billed_on_clock, sales=sales,
        measures=tuple(measures),
    )  # fmt: skip
