"""The simple things of a price list, each as one line to read and to type: rates, taxes, tables, how sums are told."""

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from ticket.job.errors import DataError, InputError
from ticket.job.regex import Regex
from ticket.money.prices import LINES, Band, Place, PriceList, PriceTable, Rate, TaxRate, prices_document, read_prices
from ticket.shop import money
from ticket.shop.opening import Shop

_TAX = Regex(r"(?:(?P<name>.*?)\s+)?(?P<percent>[0-9.]+)\s*%?\s+on\s+(?P<on>.+)\Z", re.S)
_TABLE = Regex(r"(?:(?P<name>.+?):\s*)?(?P<basis>times|markup|margin)\s*:\s*(?P<bands>.+)\Z", re.S)
_TAX_HINT = f"such as 7.25 on part, fluid; classes: {', '.join(LINES)}"
_TABLE_HINT = "such as markup: 0 = 60, 50 = 40 (per cent from these costs on); or times, or margin"
_LIST = ("quotes", "currency", "place", "part_table", "sublet_table")
_HERE = "here"  # the name of a place that nobody named


def lines(prices: PriceList) -> Iterator[tuple[str, str, str, str]]:
    """The simple things as (key, title, value as typed, hint)."""
    for rate in prices.rates:
        yield f"rate/{rate.name}", f"labour rate {rate.name}", rate.price, "price of an hour; nothing takes it away"
    yield "rate/+", "add a labour rate", "", "name and price of an hour, such as electrical 95.00"
    yield "list/quotes", "sums told to customers", prices.quotes, "one of: with tax, before tax"
    yield "list/currency", "currency", prices.currency, "ISO 4217 code, such as USD"
    places = ", ".join(place.name for place in prices.places)
    yield "list/place", "tax place", prices.place, f"one of: {places}; a new name begins one" if places else "its name"
    place = prices.tax_place(prices.where_taxed())
    for tax in place.taxes if place else ():
        yield f"tax/{tax.name}", f"tax {tax.name}", tax_words(tax), f"{_TAX_HINT}; nothing takes it away"
    yield "tax/+", "add a tax", "", f"its name, then {_TAX_HINT}"
    for table in prices.tables:
        yield f"table/{table.name}", f"table {table.name}", table_words(table), f"{_TABLE_HINT}; nothing takes it away"
    yield "table/+", "add a price table for parts", "", f"its name and a colon, then {_TABLE_HINT}"
    names = ", ".join(table.name for table in prices.tables)
    for field, title in (("part_table", "table for parts"), ("sublet_table", "table for outside work")):
        yield (
            f"list/{field}",
            title,
            getattr(prices, field),
            f"one of: {names}" if names else "no table yet",
        )


def tax_words(tax: TaxRate) -> str:
    """A tax as it is typed: ``7.25 on part, fluid``."""
    return f"{tax.percent} on {', '.join(tax.on)}"


def table_words(table: PriceTable) -> str:
    """A table as it is typed: ``markup: 0 = 60, 50 = 40``."""
    return f"{table.basis}: {', '.join(f'{band.start} = {band.value}' for band in table.bands)}"


def changed(prices: PriceList, group: str, name: str, typed: str) -> PriceList:
    """The price list with one of its lines typed anew.

    Raises:
        InputError: the text will not do, and why.
    """
    typed = " ".join(typed.split())  # a pasted run of blanks would cost the patterns its square
    if group == "rate":
        made = replace(prices, rates=_put(prices.rates, name, _rate(name, typed)))
    elif group == "tax":
        made = _taxed(prices, name, typed)
    elif group == "table":
        made = _tabled(prices, name, typed)
    elif name == "place" and typed and prices.tax_place(typed) is None:
        made = replace(prices, place=typed, places=(*prices.places, Place(name=typed)))
    elif name in _LIST:
        given: dict[str, Any] = {name: typed}
        made = replace(prices, **given)
    else:
        raise InputError(f"There is nothing called {name!r} in the price list.")
    try:
        return read_prices(document(made))
    except DataError as error:
        spots = [spot for spot in error.path.split("/") if not spot.isdecimal() and ":" not in spot]
        raise InputError(f"{spots[-1]}: {error.reason}." if spots else f"{error.reason}.") from None


def keep(shop: Shop, prices: PriceList) -> None:
    """Make it the shop's price list."""
    money.set_prices(shop, document(prices))


def document(prices: PriceList) -> str:
    """A price list as the text of its file."""
    return json.dumps(prices_document(prices), ensure_ascii=False, indent=1)


def checked(text: str, name: str = "price list") -> PriceList:
    """The price list in a text. Raises :class:`InputError` naming place and reason."""
    try:
        return read_prices(text, name)
    except DataError as error:
        raise InputError(f"{error.path}: {error.reason}.") from None


def _put(group: tuple[Any, ...], name: str, new: Any) -> tuple[Any, ...]:
    """A group with one of its members changed, added (``+``), or taken away (``None``)."""
    if name == "+":
        return (*group, new)
    return tuple(new if one.name == name else one for one in group if new is not None or one.name != name)


def _rate(name: str, typed: str) -> Rate | None:
    if name == "+":
        name, _, typed = typed.rpartition(" ")
        if not name.strip():
            raise InputError("Name the rate and its price for an hour: electrical 95.00.")
    return Rate(name=name.strip(), price=typed) if typed else None


def _taxed(prices: PriceList, name: str, typed: str) -> PriceList:
    place = prices.tax_place(prices.where_taxed()) or Place(name=prices.place or _HERE)
    tax = None
    if typed or name == "+":
        match = _TAX.match(typed)
        if match is None or (name == "+" and not match["name"]):
            raise InputError(f"Write {'the name of the tax, its' if name == '+' else 'the'} percentage and what it "
                             "falls on: 7.25 on part, fluid.")  # fmt: skip
        on = tuple(part.strip() for part in match["on"].split(",") if part.strip())
        tax = TaxRate(name=match["name"] if name == "+" else name, percent=match["percent"], on=on)
    place = replace(place, taxes=_put(place.taxes, name, tax))
    others = tuple(one for one in prices.places if one.name != place.name)
    return replace(prices, place=place.name, places=(*others, place))


def _tabled(prices: PriceList, name: str, typed: str) -> PriceList:
    table = None
    if typed or name == "+":
        match = _TABLE.match(typed)
        if match is None or (name == "+" and not match["name"]):
            raise InputError("Write how and from which cost on: markup: 0 = 60, 50 = 40.")
        bands = [part.partition("=") for part in match["bands"].split(",")]
        table = PriceTable(
            name=match["name"] if name == "+" else name,
            basis=match["basis"],
            bands=tuple(Band(start=start.strip(), value=value.strip()) for start, _, value in bands),
        )
    used: dict[str, Any] = {
        field: "" for field in ("part_table", "sublet_table") if table is None and getattr(prices, field) == name
    }
    return replace(prices, tables=_put(prices.tables, name, table), **used)
