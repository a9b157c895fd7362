"""The price list of a shop: rates, price tables, parts, fees and taxes, as one document without code.

``schemas/price-list.json`` is generated from these declarations. Every number is text, as the shop wrote it.
"""

import itertools
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from ticket.job.codec import Json
from ticket.job.kinds import CONDITIONS
from ticket.job.numbers import exact
from ticket.job.values import PAYERS, SUMS_TOLD
from ticket.money import json_shapes
from ticket.money.json_shapes import choice, shaped, twice

FORMAT = "price-list-1"
FEES = ("supplies", "waste", "storage", "towing", "tire", "battery", "estimate", "inspection", "other")
LINES = ("labour", "fabrication", "part", "fluid", "sublet", "core", *FEES)
"""The classes of line a tax may fall on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rate:
    """A class of labour and its price for an hour; ``kind`` decides how it is taxed."""

    name: str = shaped("words")
    price: str = shaped("money")
    kind: str = choice("labour", "fabrication", default="labour")


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """Costs from ``start`` up to the next band's start, and the figure that makes a price of them."""

    start: str = shaped("money")
    value: str = shaped("number")


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceTable:
    """How a price follows from a cost, by half-open cost bands ``[start, next start)``.

    Attributes:
        basis: what the figure of a band is: ``times`` (price = cost x figure), ``markup`` (per cent of the
            cost) or ``margin`` (per cent of the price).
        hold: never sell a dearer part for less than the dearest of the band below.
    """

    name: str = shaped("words")
    basis: str = choice("times", "markup", "margin")
    bands: tuple[Band, ...]
    hold: bool = False

    def faults(self) -> Iterator[tuple[str, str]]:
        """Bands that do not begin at 0 or do not rise; a margin of all of the price."""
        starts = [exact(band.start) or Fraction(0) for band in self.bands]
        if not starts or starts[0]:
            yield "bands/0/start", "the first band starts at 0"
        for i, (before, after) in enumerate(itertools.pairwise(starts), 1):
            if after <= before:
                yield f"bands/{i}/start", "bands must rise"
        for i, band in enumerate(self.bands):
            if self.basis == "margin" and (exact(band.value) or 0) >= 100:
                yield f"bands/{i}/value", "a margin is less than 100 per cent of the price"


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A part the shop knows: its number, words, price or cost for one unit, and core charge."""

    number: str = shaped("words")
    text: str = ""
    price: str = shaped("money", default="")
    cost: str = shaped("money", default="")
    unit: str = "x"
    core: str = shaped("money", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Fee:
    """A charge that is neither part nor labour.

    Attributes:
        charge: what it is for; local rules ask for it by this word.
        amount: a sum of money, once, or for each piece of the parts ``each`` names.
        percent: per cent of the lines of the classes in ``of``, no more than ``cap``.
        each: words one of which must stand in the description of a part for the fee to fall on it.
        pays: whose lines it is counted on, and who pays it.
        law: the law that imposes it, where one does.
    """

    name: str = shaped("words")
    charge: str = choice(*FEES)
    amount: str = shaped("money", default="")
    percent: str = shaped("percent", default="")
    of: tuple[str, ...] = shaped(each=LINES, default=())
    cap: str = shaped("money", default="")
    each: tuple[str, ...] = shaped("words", default=())
    pays: str = choice(*PAYERS, default="customer")
    law: str = ""

    def faults(self) -> Iterator[tuple[str, str]]:
        """A fee is either an amount or a percentage, and a percentage has something to be taken of."""
        if bool(self.amount) == bool(self.percent):
            yield "amount", "give either an amount or a percentage"
        if self.percent and not self.of:
            yield "of", "per cent of what?"
        if self.percent and self.each:
            yield "each", "goes with an amount only"
        if self.cap and not self.percent:
            yield "cap", "goes with a percentage only"


@dataclass(frozen=True, slots=True, kw_only=True)
class TaxRate:
    """One tax: its name, its rate, and the classes of line it falls on."""

    name: str = shaped("words")
    percent: str = shaped("percent")
    on: tuple[str, ...] = shaped(each=LINES)


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """The taxes of one place and how they are worked out there.

    Attributes:
        per: rounding per ``invoice`` or per ``line``: the seller's election, never mixed.
        rates_are: ``combined`` (one rounding of the sum) or ``split`` (each tax rounded by itself).
        rounding: ``half up``, or ``down`` where the law lets tax be rounded down.
        core_before_tax: conditions of a part for which a returned core lowers what is taxed; for the others
            the core comes back after tax.
        exempt: payers who are not taxed.
    """

    name: str = shaped("words")
    taxes: tuple[TaxRate, ...] = ()
    per: str = choice("invoice", "line", default="invoice")
    rates_are: str = choice("combined", "split", default="combined")
    rounding: str = choice("half up", "down", default="half up")
    core_before_tax: tuple[str, ...] = shaped(each=CONDITIONS, default=())
    exempt: tuple[str, ...] = shaped(each=PAYERS, default=("shop",))

    def faults(self) -> Iterator[tuple[str, str]]:
        """Two taxes of one name."""
        yield from twice((f"taxes/{i}/name", tax.name) for i, tax in enumerate(self.taxes))


@dataclass(frozen=True, slots=True, kw_only=True)
class Statement:
    """Words that stand on every paper of the shop, and the field of a paper they fill, such as ``guarantee``.

    ``language`` is the one they are in, such as ``es``; words without one stand on papers of every language that
    has none of its own.
    """

    field: str = shaped("key")
    words: str = shaped("words")
    language: str = shaped("key", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Details:
    """What papers of some places must carry about the shop; ``statements`` fill what no entry of a ticket can."""

    address: str = ""
    phone: str = ""
    registration: str = ""
    tax_number: str = ""
    waste_id: str = ""
    statements: tuple[Statement, ...] = ()

    def faults(self) -> Iterator[tuple[str, str]]:
        """Two statements for one field in one language."""
        yield from twice((f"statements/{i}/field", (one.field, one.language)) for i, one in enumerate(self.statements))

    def stated(self, language: str) -> tuple[Statement, ...]:
        """The statements of a paper, one for each field: in its language, else in none, else in the first there is."""
        best: dict[str, Statement] = {}
        for one in sorted(self.statements, key=lambda one: 0 if one.language == language else 2 if one.language else 1):
            best.setdefault(one.field, one)
        return tuple(one for one in self.statements if best[one.field] is one)


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceList:
    """Everything the shop decides about money.

    Attributes:
        currency: ISO 4217 code.
        rates: classes of labour; the first is taken where a line names none.
        part_table: table for parts without a price but with a cost; empty for none.
        sublet_table: the same for work bought outside.
        place: the place taken where a ticket names none; empty with no places means no tax.
        quotes: whether the totals told to customers are ``with tax`` or ``before tax``.
    """

    currency: str = ""
    rates: tuple[Rate, ...] = ()
    tables: tuple[PriceTable, ...] = ()
    part_table: str = ""
    sublet_table: str = ""
    parts: tuple[Part, ...] = ()
    fees: tuple[Fee, ...] = ()
    places: tuple[Place, ...] = ()
    place: str = ""
    quotes: str = choice(*SUMS_TOLD, default=SUMS_TOLD[0])
    details: Details = Details()

    def faults(self) -> Iterator[tuple[str, str]]:
        """Names given twice, and names of something that is not there."""
        for group in ("rates", "tables", "fees", "places"):
            yield from twice((f"{group}/{i}/name", one.name) for i, one in enumerate(getattr(self, group)))
        yield from twice((f"parts/{i}/number", part.number) for i, part in enumerate(self.parts))
        for field in ("part_table", "sublet_table"):
            if getattr(self, field) and self.table(getattr(self, field)) is None:
                yield field, f"no table {getattr(self, field)!r}"
        if self.place and self.tax_place(self.place) is None:
            yield "place", f"no place {self.place!r}"

    def rate(self, name: str) -> Rate | None:
        """The rate class of that name, the first one for an empty name, or ``None``."""
        if not name:
            return self.rates[0] if self.rates else None
        return next((rate for rate in self.rates if rate.name == name), None)

    def table(self, name: str) -> PriceTable | None:
        """The price table of that name, or ``None``."""
        return next((table for table in self.tables if table.name == name), None)

    def part(self, number: str) -> Part | None:
        """The part of that number, or ``None``."""
        return next((part for part in self.parts if part.number == number), None) if number else None

    def where_taxed(self, named: str = "") -> str:
        """The name of the place whose taxes apply: the one named, the shop's, or the only one; empty where unsaid."""
        return named or self.place or (self.places[0].name if len(self.places) == 1 else "")

    def tax_place(self, name: str) -> Place | None:
        """The place of that name, or ``None``."""
        return next((place for place in self.places if place.name == name), None)


def read_prices(text: str, name: str = "price list") -> PriceList:
    """A price list from its JSON text. Raises :class:`DataError` naming place and reason."""
    return json_shapes.read(PriceList, text, name, FORMAT)


def prices_document(prices: PriceList) -> Json:
    """A price list as its document."""
    return json_shapes.document(prices, FORMAT)


def prices_schema() -> Json:
    """The JSON Schema of a price list."""
    return json_shapes.schema(PriceList, FORMAT, "Price list of a shop")


@lru_cache(maxsize=16)
def listed(text: str | None, told: str = "") -> PriceList:
    """The price list of a text, read once; an empty one for none.

    Args:
        text: of the list, as :func:`read_prices` takes it.
        told: how sums are told about one job (``Header.sums_told``); empty for as the list says.
    """
    found = PriceList() if text is None else read_prices(text)
    return replace(found, quotes=told) if told else found
