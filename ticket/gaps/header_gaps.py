"""Questions about the header and about earlier tickets of the vehicle."""

from collections.abc import Iterator

from ticket.followups.driving import Visit, model_year, visits_of
from ticket.followups.odometer import returned, visit_doubt
from ticket.gaps.gap import ADVICE, BLOCKING, Gap, Rule
from ticket.gaps.ticket_lookup import each
from ticket.job.case import Case
from ticket.job.kinds import Later
from ticket.job.ticket import ODOMETER_REASONS
from ticket.job.vin import check
from ticket.job.wall import local_day


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
    driven = returned(header.odometer_in, header.odometer_out)
    if driven is not None and driven < 0:
        yield Gap(
            "odometer-backwards",
            BLOCKING,
            f"The odometer went back from {header.odometer_in} to {header.odometer_out}.",
        )


def odometer_doubtful(case: Case) -> Iterator[Gap]:
    """The reading fits what earlier visits tell of the vehicle; what was perhaps meant is offered, never put in."""
    header = case.ticket.header
    typed = header.odometer_in
    if typed is None:
        return
    visit = Visit(local_day(case.ticket.opened), typed, header.odometer_reason)
    doubt = visit_doubt(visit, visits_of(case.earlier), model_year(header.vehicle))
    if doubt is not None:
        offers = " or ".join(f"{offer.value:,} ({offer.slip})" for offer in doubt.offers)
        meant = f" Perhaps meant: {offers}." if offers else ""
        than = {"lower": "less than", "too much": "far more than", "too little": "far less driven than"}[doubt.kind]
        question = f"The odometer reads {typed}, {than} fits the visit of {doubt.on} ({float(doubt.before):,.0f})."
        lawful = f" If it is right, say why: {', '.join(ODOMETER_REASONS)}." if doubt.kind == "lower" else ""
        yield Gap("odometer-doubtful", ADVICE, f"{question}{meant} Is it right?{lawful}")


def vin_doubtful(case: Case) -> Iterator[Gap]:
    """A vehicle number that cannot be one is asked about."""
    vin = case.ticket.header.vehicle.vin
    report = check(vin) if vin else None
    if report is not None and report.ok is False:
        meant = f" Perhaps meant: {', '.join(report.suggestions)}." if report.suggestions else ""
        yield Gap("vin-doubtful", ADVICE, f"Is the vehicle number right? {report.problems[0]}{meant}")


RULES: tuple[Rule, ...] = (
    vehicle_missing,
    customer_missing,
    odometer_missing,
    odometer_backwards,
    odometer_doubtful,
    vin_doubtful,
)
