"""Everything a shop may set, as items with a value to read and a line to type: the settings screen shows them.

An item is changed by one typed text. Reading the text and writing what it means are two steps, so that a screen can
say what is wrong while it is typed and a mistake never reaches the journal.
"""

import dataclasses
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime

from ticket.faults.table import load_csv
from ticket.job.case import Settings
from ticket.job.codec import decode
from ticket.job.errors import DataError, InputError, TicketError
from ticket.job.text import clean, one_line
from ticket.job.ticket import ROLES, Person
from ticket.shop import billing, place, pricing
from ticket.shop.glossary import explain_term
from ticket.shop.kept import TERMS
from ticket.shop.outside import read_file
from ticket.shop.shop import Shop
from ticket.story.sections.files import known, languages

Write = Callable[[], None]
ADD = "+"  # the end of the key of an item that adds something

_TITLES = {
    "shop": "name on papers", "currency": "sign of money", "distance": "distances in", "dates": "dates like",
    "rates": "rate classes", "paper": "paper size", "comeback_days": "come-back within days", "rules": "local rules",
    "language": "language", "suggest": "command asked for wordings", "zone": "time zone", "units": "units",
    "photos": "folder of new pictures",
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


@dataclass(frozen=True, slots=True)
class Changed:
    """Who changed something last, and when; ``at`` carries a zone."""

    by: str
    at: datetime


def items(shop: Shop) -> tuple[Item, ...]:
    """Everything that can be set, in the order it is shown."""
    return (*_settings(shop), *_people(shop), *pricing_items(shop), *_rules(shop), *_words(shop))


def changes(shop: Shop) -> dict[str, Changed]:
    """Who changed each key of the journal last."""
    return {key: Changed(by, at) for key, by, at in shop.store.shop_changes()}


def flaw(shop: Shop, key: str, typed: str) -> str:
    """What is wrong with a text for an item, in one sentence; empty where nothing is. Writes nothing."""
    try:
        understood(shop, key, typed)
    except TicketError as error:
        return one_line(str(error))
    return ""


def put(shop: Shop, key: str, typed: str) -> None:
    """Change an item. Raises :class:`InputError` (or another error of ours) with one sentence; nothing is changed."""
    understood(shop, key, typed)()


def understood(shop: Shop, key: str, typed: str) -> Write:
    """What a text would do to an item, as a step that does it.

    Raises:
        InputError: the text will not do, and why.
    """
    group, _, name = key.partition("/")
    typed = clean(typed).strip()
    if group == "setting":
        return _setting(shop, name, typed)
    if group == "person":
        return _person(shop, name, typed)
    if group == "term":
        return _term(shop, name, typed)
    if group == "file":
        return _file(shop, name, typed)
    made = pricing.changed(billing.prices(shop), group, name, typed)
    return lambda: pricing.keep(shop, made)


# -- settings and people -----------------------------------------------------------------------------------------


def _settings(shop: Shop) -> Iterator[Item]:
    """One item a field of the settings, so that a new field needs no line here."""
    for item in dataclasses.fields(Settings):
        if item.name == "rules" or (item.name == "rates" and billing.prices(shop).rates):
            continue  # the rules stand under a heading of their own; the price list has the classes
        value = getattr(shop.settings, item.name)
        choices = item.metadata.get("choices", ())
        choices = languages() if item.name == "language" else choices
        hint = f"one of: {', '.join(choices)}" if choices else "a whole number" if isinstance(value, int) else "text"
        shown = ", ".join(value) if isinstance(value, tuple) else str(value)
        title = _TITLES.get(item.name, item.name.replace("_", " "))
        yield Item(f"setting/{item.name}", "The shop", title, shown, hint, item.name)


def setting_value(key: str, text: str) -> object:
    """A typed text as the value of a setting, checked by the decoder that reads the database.

    Raises:
        InputError: there is no such setting, or the text is none of its values.
    """
    names = [item.name for item in dataclasses.fields(Settings)]
    if key not in names:
        raise InputError(f"There is no setting {key!r}: {', '.join(names)}.")
    default = getattr(Settings(), key)
    value: object = text
    if isinstance(default, tuple):
        value = [part.strip() for part in text.split(",") if part.strip()]
    elif isinstance(default, int):
        if not text.isascii() or not text.isdigit() or len(text) > 9:
            raise InputError(f"{key} is a whole number, not {text!r}.")
        value = int(text)
    try:
        decode(Settings, {key: value})
    except DataError as error:
        raise InputError(f"{key} {error.reason}.") from None
    if key == "zone" and text and not place.known_zone(text):
        raise InputError(f"{text!r} is no time zone: name one such as America/Chicago, or none for the machine's own.")
    return value


def _setting(shop: Shop, name: str, typed: str) -> Write:
    if name == "rules":
        chosen = billing.find_pack(shop, typed)
        return lambda: shop.set_setting("rules", chosen.id)
    value = setting_value(name, typed)
    if name == "language":
        known(typed)
    return lambda: shop.set_setting(name, value)


def _people(shop: Shop) -> Iterator[Item]:
    roles = f"one of: {', '.join(ROLES)}"
    for person in shop.people:
        yield Item(f"person/{person.name}", "People", person.name, person.role, roles)
    yield Item(f"person/{ADD}", "People", "add somebody", "", f"name, role ({', '.join(ROLES)})")


def _person(shop: Shop, name: str, typed: str) -> Write:
    role = typed
    if name == ADD:
        name, comma, role = (part.strip() for part in typed.rpartition(","))
        if not comma:
            name, role = role, ROLES[0]
        if not name:
            raise InputError("Name the person, and the role behind a comma: K. Orlo, technician.")
    if role not in ROLES:
        raise InputError(f"{role!r} is no role: {', '.join(ROLES)}.")
    return lambda: shop.add_person(Person(name, role))


# -- prices, rules, words ----------------------------------------------------------------------------------------


def pricing_items(shop: Shop) -> Iterator[Item]:
    """The simple things of the price list, and the file that takes in all of it."""
    for key, title, value, hint in pricing.lines(billing.prices(shop)):
        yield Item(key, "Prices and tax", title, value, hint, "prices")
    parts = len(billing.prices(shop).parts)
    yield Item("file/prices", "Prices and tax", f"take in a price list ({parts} parts now)", "", "path of a file",
               "prices")  # fmt: skip


def _rules(shop: Shop) -> Iterator[Item]:
    packs = ", ".join(billing.packs(shop))
    yield Item("setting/rules", "Local rules", _TITLES["rules"], shop.settings.rules, f"one of: {packs}", "rules")
    yield Item("file/pack", "Local rules", "take in rules of the shop's own", "", "path of a file")


def _words(shop: Shop) -> Iterator[Item]:
    for term, plain in shop.terms:
        yield Item(f"term/{term}", "Words and codes", term, plain, "plain words, or nothing to forget it", TERMS)
    yield Item(f"term/{ADD}", "Words and codes", "explain a term to customers", "", "VGT = turbo with moving vanes",
               TERMS)  # fmt: skip
    yield Item("file/codes", "Words and codes", "take in a list of codes", "", "path of a CSV file", "codes")


def _term(shop: Shop, name: str, typed: str) -> Write:
    line = typed if name == ADD else f"{name} = {typed}"
    explain_term(shop, line, keep=False)
    return lambda: _done(explain_term(shop, line))


def _file(shop: Shop, name: str, typed: str) -> Write:
    if not typed:
        raise InputError("Name the file.")
    text = read_file(place.named(typed))
    if name == "prices":
        pricing.checked(text, typed)
        return lambda: _done(billing.set_prices(shop, text, typed))
    if name == "pack":
        billing.checked_pack(text, typed)
        return lambda: _done(billing.set_pack(shop, text, typed))
    load_csv(text)
    return lambda: _done(shop.import_codes(text))


def _done(_: object) -> None:
    """Let go of what a verb answers."""
