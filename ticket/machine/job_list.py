"""The list of jobs as it is read before the shop is opened: nothing heavy is loaded for it."""

from pathlib import Path

from ticket.machine import environment
from ticket.store.ticket_list import TicketList, open_tickets


def read_list(path: Path, *, every: bool = False) -> TicketList:
    """Open tickets, or every one, newest first. Raises :class:`~ticket.job.errors.NoShopError` where there is no shop.

    From then on every day is told in the zone of the shop.
    """
    found = open_tickets(path, every)
    environment.use_zone(found.zone)
    return found
