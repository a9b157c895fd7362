"""Questions about the header and about earlier tickets of the vehicle."""

from collections.abc import Iterator
from fractions import Fraction

from ticket.followups.odometer import odometer_check
from ticket.followups.rate import rate
from ticket.gaps.gap import ADVICE, BLOCKING, Gap
from ticket.gaps.look import each
from ticket.job.case import Case
from ticket.job.entry import refs_of
from ticket.job.kinds import Code, Did, Later, Says
from ticket.job.ticket import Ticket
from ticket.job.values import Quantity, Ref
from ticket.job.vin import check
from ticket.readings.units import convert


def vehicle_missing(case: Case) -> Iterator[Gap]:
    """The ticket says which vehicle it is about."""
    if not case.ticket.header.vehicle.name:
        yield Gap("vehicle-missing", BLOCKING, "Which vehicle is it? Set its name, plate or identification number.")


def customer_missing(case: Case) -> Iterator[Gap]:
    """The ticket says whose vehicle it is."""
    if not case.ticket.header.customer.name:
        yield Gap("customer-missing", ADVICE, "Whose vehicle is it?")


def odometer_missing(case: Case) -> Iterator[Gap]:
    """The odometer was read at arrival; without it no distance can fall due."""
    if case.ticket.header.odometer_in is None:
        waits = any(fact.due and fact.due.distance for _, fact in each(case, Later))
        question = "What did the odometer read at arrival?"
        yield Gap("odometer-missing", BLOCKING if waits else ADVICE, question)


def odometer_backwards(case: Case) -> Iterator[Gap]:
    """An odometer only goes up during a visit."""
    header = case.ticket.header
    came, left = _metres(header.odometer_in), _metres(header.odometer_out)
    if came is not None and left is not None and left < came:
        yield Gap(
            "odometer-backwards",
            BLOCKING,
            f"The odometer went back from {header.odometer_in} to {header.odometer_out}.",
        )


def odometer_doubtful(case: Case) -> Iterator[Gap]:
    """The reading fits what earlier visits tell of the vehicle; what was perhaps meant is offered, never put in."""
    typed = case.ticket.header.odometer_in
    if typed is None or typed.value is None:
        return
    visits = []
    for ticket in case.earlier:
        reading = ticket.header.odometer_out or ticket.header.odometer_in
        value = reading.value if reading else None
        same_unit = None if reading is None or value is None else convert(value, reading.unit, typed.unit)
        if same_unit is not None:
            visits.append((ticket.opened.date(), same_unit))
    usual = rate(sorted(visits), typed.unit)
    doubt = odometer_check(typed.value, case.ticket.opened.date(), visits, usual, typed.unit)
    if doubt is not None:
        offers = " or ".join(f"{offer.value:,} ({offer.slip})" for offer in doubt.offers)
        meant = f" Perhaps meant: {offers}." if offers else ""
        than = {"lower": "less than", "too much": "far more than", "too little": "far less driven than"}[doubt.kind]
        question = f"The odometer reads {typed}, {than} fits the visit of {doubt.on} ({float(doubt.before):,.0f})."
        yield Gap("odometer-doubtful", ADVICE, f"{question}{meant} Is it right?")


def vin_doubtful(case: Case) -> Iterator[Gap]:
    """A vehicle number that cannot be one is asked about."""
    vin = case.ticket.header.vehicle.vin
    report = check(vin) if vin else None
    if report is not None and report.ok is False:
        meant = f" Perhaps meant: {', '.join(report.suggestions)}." if report.suggestions else ""
        yield Gap("vin-doubtful", ADVICE, f"Is the vehicle number right? {report.problems[0]}{meant}")


def _metres(reading: Quantity | None) -> Fraction | None:
    value = reading.value if reading else None
    return None if reading is None or value is None else convert(value, reading.unit, "m")


def _answers(ticket: Ticket) -> Iterator[Ref]:
    """Every entry of another ticket that a living entry of this one speaks of."""
    for entry in ticket.living:
        for _, ref in refs_of(entry.fact):
            if ref.ticket:
                yield ref


def earlier_waiting(case: Case) -> Iterator[Gap]:
    """Deferred work of an earlier visit is looked at or said to wait."""
    answered = set(_answers(case.ticket))
    for ticket in case.earlier:
        answered |= set(_answers(ticket))
    for ticket in case.earlier:
        if ticket.opened >= case.ticket.opened:
            continue
        for entry in ticket.living:
            fact = entry.fact
            if isinstance(fact, Later) and not fact.answer and Ref(entry.no, ticket.number) not in answered:
                name = f"{ticket.number}/{entry.no}"
                question = f"“{fact.text}” waits from ticket {name}. Was it looked at? Answer:"
                yield Gap("earlier-waiting", ADVICE, f"{question} later: {fact.text}; for {name}; done here")


def comeback_unlinked(case: Case) -> Iterator[Gap]:
    """The same code within the come-back window is said to be a come-back."""
    linked = {ref.ticket for ref in _answers(case.ticket)}
    said = any(fact.back_from for _, fact in each(case, Says))
    for ticket in case.earlier:
        days = (case.ticket.opened - ticket.opened).days
        if said or ticket.number in linked or not 0 <= days <= case.settings.comeback_days:
            continue
        before = {fact.code for fact in (e.fact for e in ticket.living) if isinstance(fact, Code)} - {"none"}
        worked = any(isinstance(entry.fact, Did) for entry in ticket.living)
        for entry, fact in each(case, Code):
            if fact.code in before and worked:
                yield Gap(
                    "comeback-unlinked",
                    ADVICE,
                    f"{fact.code} was on ticket {ticket.number} {days} days ago. Is this a come-back? "
                    f"Add to the complaint: ; back from {ticket.number}",
                    entry.no,
                )
                return
