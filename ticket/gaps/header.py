"""Questions about the header and about earlier tickets of the vehicle."""

from collections.abc import Iterator
from fractions import Fraction

from ticket.gaps.gap import ADVICE, BLOCKING, Gap
from ticket.gaps.look import each
from ticket.job.case import Case
from ticket.job.entry import refs_of
from ticket.job.kinds import Code, Did, Later, Says
from ticket.job.ticket import Ticket
from ticket.job.values import Quantity, Ref
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
    """An odometer only goes up, on a visit and between visits."""
    header = case.ticket.header
    came, left = _metres(header.odometer_in), _metres(header.odometer_out)
    if came is not None and left is not None and left < came:
        yield Gap(
            "odometer-backwards",
            BLOCKING,
            f"The odometer went back from {header.odometer_in} to {header.odometer_out}.",
        )
    for ticket in case.earlier:
        before = ticket.header.odometer_out or ticket.header.odometer_in
        then = _metres(before)
        if came is not None and then is not None and came < then and ticket.opened < case.ticket.opened:
            yield Gap(
                "odometer-backwards",
                ADVICE,
                f"The odometer reads {header.odometer_in}; on ticket {ticket.number} it read {before}."
                " Was it misread, or the instrument changed?",
            )
            return


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
