"""The list of jobs as rows. Pure: light rows in, screen rows out."""

from collections.abc import Sequence

from ticket.screens.rows import Row, Span, columns, row
from ticket.shop.place import local_day
from ticket.store.light import TicketRow


def jobs_rows(jobs: Sequence[TicketRow], width: int, *, narrowed: bool = False) -> list[Row]:
    """One line a job: number, day opened, status, vehicle, customer; the year only where there is room."""
    if not jobs:
        return [row("No job fits what you typed." if narrowed else "No open ticket. Ctrl+N opens one.", "quiet")]
    status = max(len(job.status) for job in jobs)
    style = "%Y-%m-%d" if width > 100 else "%d %b"
    fixed = 5 + (10 if width > 100 else 6) + status + 2 * 4 + 1
    vehicle = max(12, (width - fixed) * 3 // 5)
    customer = max(8, width - fixed - vehicle)
    rows = []
    for job in jobs:
        spans = (
            Span(f"{job.number:>5}  ", "strong"),
            Span(f"{local_day(job.opened).strftime(style)}  ", "quiet"),
            Span(f"{job.status:<{status}}  "),
            Span(columns((job.vehicle or "vehicle not named", job.customer or "no name"), (vehicle, customer))),
        )
        rows.append(Row(spans, job.number))
    return rows
