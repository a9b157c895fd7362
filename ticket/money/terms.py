"""What is agreed about the money of one ticket beyond its entries: discount, deposit, covers, shares, overlap."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from ticket.job.numbers import exact
from ticket.job.values import PAYERS
from ticket.money.json_shapes import choice, shaped, twice
from ticket.money.prices import LINES


@dataclass(frozen=True, slots=True, kw_only=True)
class Overlap:
    """Hours cut from the labour of an entry because another job had done the same steps, and why."""

    no: int
    cut: str = shaped("number")
    reason: str = shaped("words")


@dataclass(frozen=True, slots=True, kw_only=True)
class CoreReturn:
    """An old part given back against its core charge: the entry of the new part, how many, and when."""

    no: int
    quantity: str = shaped("number", default="")
    date: str = shaped("date", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """What one payer bears of a line, in per cent."""

    payer: str = choice(*PAYERS)
    percent: str = shaped("percent")


@dataclass(frozen=True, slots=True, kw_only=True)
class Split:
    """The line of an entry borne by several payers; the shares make 100 per cent."""

    no: int
    shares: tuple[Share, ...]

    def faults(self) -> Iterator[tuple[str, str]]:
        """Shares that are not the whole, or a payer named twice."""
        yield from twice((f"shares/{i}/payer", share.payer) for i, share in enumerate(self.shares))
        if sum(exact(share.percent) or Fraction(0) for share in self.shares) != 100:
            yield "shares", "must make 100 per cent"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cover:
    """A payer beside the customer: who it is, and what the customer bears of the covered total first."""

    payer: str = choice("warranty", "contract")
    name: str = ""
    deductible: str = shaped("money", default="")
    approval: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """Everything about the money of one ticket that no entry holds.

    Attributes:
        place: where the tax is owed; empty for the shop's own place.
        discount: a sum taken off the customer's lines before tax.
        discount_percent: the same in per cent.
        discount_of: the classes of line it is taken of; empty for all but cores and fees.
        deposit: what the customer has paid already; a payment, so it changes no tax.
    """

    place: str = ""
    discount: str = shaped("money", default="")
    discount_percent: str = shaped("percent", default="")
    discount_of: tuple[str, ...] = shaped(each=LINES, default=())
    discount_reason: str = ""
    deposit: str = shaped("money", default="")
    overlaps: tuple[Overlap, ...] = ()
    cores: tuple[CoreReturn, ...] = ()
    splits: tuple[Split, ...] = ()
    covers: tuple[Cover, ...] = ()

    def faults(self) -> Iterator[tuple[str, str]]:
        """A discount given both ways or above the whole, or an entry or payer named twice."""
        if self.discount and self.discount_percent:
            yield "discount", "give either a sum or a percentage"
        if (exact(self.discount_percent) or 0) > 100:
            yield "discount_percent", "is more than the whole"
        for group in ("overlaps", "cores", "splits"):
            yield from twice((f"{group}/{i}/no", one.no) for i, one in enumerate(getattr(self, group)))
        yield from twice((f"covers/{i}/payer", cover.payer) for i, cover in enumerate(self.covers))
