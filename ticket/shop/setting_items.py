"""Everything a shop may set, each as an item with a value to read and a line to type."""

import dataclasses
from collections.abc import Iterator
from dataclasses import dataclass

from ticket.job.case import Settings
from ticket.job.roles import ROLES
from ticket.shop import money, pricing
from ticket.shop.kept_settings import TERMS
from ticket.shop.opening import Shop
from ticket.story.sections.files import languages

ADD = "+"  # the end of the key of an item that adds something
PIN_OF = "pin/"  # and a name: somebody's PIN, which is typed without being shown and never a value

_SHOP = "The shop"
_DAILY = ("shop", "currency", "distance", "dates", "rates", "paper", "language")
"""What a shop sets in its first hour; everything else that it may set stands at the end."""
_TITLES = {
    "shop": "name on papers", "currency": "sign of money", "distance": "distances in", "dates": "dates like",
    "rates": "labour rate classes", "paper": "paper size", "comeback_days": "come-back within days",
    "rules": "local rules", "language": "language", "suggest": "command asked for wordings", "zone": "time zone",
    "units": "units on papers", "photos": "folder of new pictures", "pin_minutes": "a PIN is good for minutes",
    "lock_minutes": "lock screens after minutes", "witness": "witness of signed rows",
    "invoices": "numbers of invoices", "copies": "folder of daily copies",
    "extras": "folder of the shop's own",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Item:
    """One thing that can be set.

    Attributes:
        key: group and name, such as ``setting/paper`` or ``person/K. Orlo``.
        group: the heading it stands under.
        title: its name as it is shown.
        value: as it stands, and as it is typed again to change it.
        hint: what may be typed.
        journal: under which key the journal keeps its changes.
    """

    key: str
    group: str
    title: str
    value: str
    hint: str
    journal: str = ""


def items(shop: Shop) -> tuple[Item, ...]:
    """Everything that can be set, in the order it is shown."""
    of_the_shop = [*_settings(shop)]
    daily = [item for item in of_the_shop if item.group == _SHOP]
    seldom = [item for item in of_the_shop if item.group != _SHOP]
    return (*daily, *pricing_items(shop), *_people(shop), *_rules(shop), *_words(shop), *seldom)


def _settings(shop: Shop) -> Iterator[Item]:
    """One item a field of the settings, so that a new field needs no line here."""
    for item in dataclasses.fields(Settings):
        if item.name == "rules" or (item.name == "rates" and money.prices(shop).rates):
            continue  # the rules stand under a heading of their own; the price list has the classes
        value = getattr(shop.settings, item.name)
        choices = item.metadata.get("choices", ())
        choices = languages() if item.name == "language" else choices
        hint = f"one of: {', '.join(choices)}" if choices else "a whole number" if isinstance(value, int) else "text"
        shown = ", ".join(value) if isinstance(value, tuple) else str(value)
        title = _TITLES.get(item.name, item.name.replace("_", " "))
        group = _SHOP if item.name in _DAILY else "Records and machine"
        yield Item(f"setting/{item.name}", group, title, shown, hint, item.name)


def _people(shop: Shop) -> Iterator[Item]:
    known = shop.gate.known().promises
    roles = f"one of: {', '.join(ROLES)}"
    for person in shop.people:
        yield Item(f"person/{person.name}", "People", person.name, person.role, roles)
        has = "set" if person.name in known else "none"
        yield Item(f"{PIN_OF}{person.name}", "People", f"PIN of {person.name}", has, "typed on a line of its own")
    yield Item(f"person/{ADD}", "People", "add somebody", "", f"name, role ({', '.join(ROLES)})")


def pricing_items(shop: Shop) -> Iterator[Item]:
    """The simple things of the price list, and the file that takes in all of it."""
    for key, title, value, hint in pricing.lines(money.prices(shop)):
        yield Item(key, "Prices and tax", title, value, hint, "prices")
    parts = len(money.prices(shop).parts)
    yield Item("file/prices", "Prices and tax", f"take in a price list ({parts} parts now)", "", "path of a file",
               "prices")  # fmt: skip


def _rules(shop: Shop) -> Iterator[Item]:
    packs = ", ".join(money.packs(shop))
    yield Item("setting/rules", "Local rules", _TITLES["rules"], shop.settings.rules, f"one of: {packs}", "rules")
    yield Item("file/pack", "Local rules", "take in rules of the shop's own", "", "path of a file")


def _words(shop: Shop) -> Iterator[Item]:
    for term, plain in shop.kept.terms:
        yield Item(f"term/{term}", "Words and codes", term, plain, "plain words, or nothing to forget it", TERMS)
    yield Item(f"term/{ADD}", "Words and codes", "explain a term to customers", "", "VGT = turbo with moving vanes",
               TERMS)  # fmt: skip
    yield Item("file/codes", "Words and codes", "take in a list of codes", "", "path of a CSV file", "codes")
