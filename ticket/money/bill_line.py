"""One line of a bill, and what stays unclear about it."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Portion:
    """What one payer bears of a line, in cents: the amount, the discount on it, and its tax if taxed by line."""

    payer: str
    amount: int
    discount: int = 0
    tax: int = 0

    @property
    def net(self) -> int:
        """The amount after discount, before tax."""
        return self.amount - self.discount


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of a bill; amounts in cents, quantities and prices as texts to print.

    Attributes:
        no: the entry it comes from; 0 for a fee.
        kind: its class, one of ``prices.LINES``; a returned core is a ``core`` with a negative amount.
        price: for one unit, or for an hour.
        pays: the one payer, or ``several``.
        of: for a core charge or its return, the entry of the part it belongs to.
        book: hours before overlap was cut; empty where none was.
        cut: hours cut, with ``reason``.
        clock: hours by the clock in tenths, where punches were kept.
        unpriced: no price is known, so the amount of 0 says nothing.
        shop_only: the entry is kept off the customer's copy.
    """

    no: int
    kind: str
    text: str
    amount: int
    quantity: str = ""
    unit: str = ""
    price: str = ""
    taxed: bool = False
    pays: str = "customer"
    discount: int = 0
    tax: int = 0
    shares: tuple[Portion, ...] = ()
    part: str = ""
    condition: str = ""
    rate: str = ""
    of: int = 0
    book: str = ""
    cut: str = ""
    reason: str = ""
    clock: str = ""
    unpriced: bool = False
    shop_only: bool = False

    def borne_by(self, payer: str) -> int:
        """What a payer bears of it after discount, before tax: 0.00 on the customer's copy of a free line."""
        return sum(share.net for share in self.shares if share.payer == payer)


@dataclass(frozen=True, slots=True)
class Doubt:
    """Something about a bill that a person should look at: the entry, a short id, and one sentence."""

    no: int
    about: str
    text: str
