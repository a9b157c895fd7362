"""What a ticket was signed under: a later price list or phrasebook changes nothing that was handed out."""

from functools import lru_cache
from typing import TYPE_CHECKING

from ticket.job.book_entry import NO_ENTRIES, Phrasebook
from ticket.job.ticket import Ticket
from ticket.money.prices import PriceList, listed
from ticket.shop.opening import document
from ticket.store.setting_then import text_at

if TYPE_CHECKING:
    from ticket.shop.opening import Shop

PRICES = "prices"


class PricesThen:
    """The text of the price list by ticket, read once from the journal.

    Args:
        shop: the open shop.
        number: only this ticket will be asked for; every one where left out.
    """

    def __init__(self, shop: "Shop", number: int | None = None) -> None:
        self._now = document(shop, PRICES)
        self._signed = shop.store.proofs.signing_rows(number)
        self._lists = shop.store.values_of(PRICES) if self._signed else []

    def text(self, number: int) -> str | None:
        """The list that stood when the ticket was signed; today's for an open ticket, or where none stood yet."""
        return text_at(self._signed.get(number), self._lists) or self._now


def list_for(shop: "Shop", ticket: Ticket | None = None) -> PriceList:
    """The shop's price list, for a signed ticket the one it was signed under; an empty one where none was taken in.

    Sums are told as the ticket's header says, where it says so.
    """
    signed = ticket is not None and ticket.status == "signed"
    text = PricesThen(shop, ticket.number).text(ticket.number) if ticket and signed else document(shop, PRICES)
    return listed(text, ticket.header.sums_told if ticket else "")


def book_for(shop: "Shop", ticket: "Ticket") -> Phrasebook:
    """The book that a ticket is told from: the shop's own; for a signed one as it stood when it was signed."""
    if ticket.status != "signed" or not shop.book.entries:
        return shop.book
    row = shop.store.proofs.signing_rows(ticket.number).get(ticket.number, 0)
    if not row:  # about to be signed, under the book of now
        return shop.book if ticket.seal else NO_ENTRIES
    return _then(shop.book, row)


@lru_cache(maxsize=256)
def _then(book: Phrasebook, row: int) -> Phrasebook:
    then = book.at_row(row)
    return book if then.entries == book.told else then
