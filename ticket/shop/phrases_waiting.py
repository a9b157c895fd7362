"""The notes that wait for a wording, on one ticket or on all open ones, worst first."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ticket.shop.phrases_kept import READER, spoken_in

if TYPE_CHECKING:
    from ticket.shop.shop import Shop
    from ticket.story.noted import Noted


@dataclass(frozen=True, slots=True)
class Waiting:
    """A note of a ticket."""

    ticket: int
    note: "Noted"


def waiting(shop: "Shop", number: int | None = None, language: str = "") -> tuple[Waiting, ...]:
    """The notes that wait, what a driver needs most first; of all open tickets where no number is given.

    Raises:
        NotFoundError: no such ticket.
    """
    numbers = [row.number for row in shop.store.rows(signed=False)] if number is None else [number]
    found = list(_waiting(shop, numbers, spoken_in(shop, language), one=number is not None))
    return tuple(sorted(found, key=lambda item: (item.note.rank, bool(item.note.unlisted), -item.ticket)))


def _waiting(shop: "Shop", numbers: Iterable[int], language: str, *, one: bool) -> Iterator[Waiting]:
    from ticket.job.errors import DamagedError
    from ticket.story.build import build
    from ticket.story.noted import notes

    for number in numbers:
        try:
            case = shop.case(number)
        except DamagedError as error:
            if one:
                raise
            shop.damaged[number] = str(error)
            continue
        yield from (Waiting(number, note) for note in notes(case, build(case, READER, language)))
