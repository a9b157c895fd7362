"""Tickets asked for in numbers: one whose rows cannot be read is left out, and noted in the shop's record."""

from collections.abc import Collection, Iterable, Iterator, Mapping

from ticket.job.errors import DamagedError
from ticket.job.ticket import Ticket
from ticket.shop.masking import masked
from ticket.shop.opening import Shop


def seen(shop: Shop, number: int) -> Ticket:
    """A ticket as whoever opened the shop may see it. Raises :class:`NotFoundError` and :class:`DamagedError`."""
    found = shop.store.ticket(number)
    return masked(found) if shop.hidden else found


def readable(shop: Shop, numbers: Iterable[int]) -> Iterator[Ticket]:
    """The tickets with these numbers; one whose rows cannot be read is left out and noted in ``damaged``."""
    for number in numbers:
        try:
            yield seen(shop, number)
        except DamagedError as error:
            shop.damaged[number] = str(error)


def readable_slim(shop: Shop, numbers: Iterable[int], fields: Mapping[str, Collection[str]]) -> tuple[Ticket, ...]:
    """The same for counts over thousands: newest first, only these fields by kind of entry are in them."""
    damaged: list[DamagedError] = []
    found = shop.store.slim(numbers, fields, damaged)
    shop.damaged |= {error.number: str(error) for error in damaged}
    return found
