"""The price list a ticket was signed under: a later one changes no bill that was handed out."""

import json
from bisect import bisect_left
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ticket.shop.shop import Shop

PRICES = "prices"


class PricesThen:
    """The text of the price list by ticket, read once from the journal.

    Args:
        shop: the open shop.
        number: only this ticket will be asked for; every one where left out.
    """

    def __init__(self, shop: "Shop", number: int | None = None) -> None:
        self._now = shop.document(PRICES)
        self._signed = shop.store.signing_rows(number)
        self._lists = shop.store.values_of(PRICES) if self._signed else []

    def text(self, number: int) -> str | None:
        """The list that stood when the ticket was signed; today's for an open ticket, or where none stood yet."""
        row = self._signed.get(number)
        before = bisect_left(self._lists, row, key=lambda one: one[0]) if row else 0
        then = self._lists[before - 1][1] if before else ""
        return str(json.loads(then)) if then else self._now
