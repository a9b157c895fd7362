"""What an auditor will look for on a ticket and not find."""

from ticket.job.kinds import Did, Found, Told, Used
from ticket.readings.measured_groups import groups
from ticket.story.context import Job


def missing(job: Job) -> list[str]:
    """The names of what is not recorded, in the order it is told; patterns ``t.gone.<name>`` say it."""
    gone: list[str] = []
    runs = [group.run for _, fact in job.each(Found) for group in groups(fact)]
    if any(run.limits is not None and not run.limits.source for run in runs):
        gone.append("source")
    if runs:
        gone.append("gauge")
    works = list(job.each(Did))
    if works and not all(fact.clock for _, fact in works):
        gone.append("clock")
    header = job.ticket.header
    if header.odometer_in is None:
        gone.append("odometer.in")
    if header.odometer_out is None:
        gone.append("odometer.out")
    contacts = list(job.each(Told))
    timed, taken = all(fact.at for _, fact in contacts), all(fact.by for _, fact in contacts)
    if not (timed and taken):
        gone.append("consent.by" if timed else "consent.at" if taken else "consent")
    if works and not contacts:
        gone.append("approval")
    if any(fact.pays == "warranty" for _, fact in job.each(Used)):
        gone.append("parts")
    return gone
