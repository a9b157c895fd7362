"""Everything a shop may set: from its first day on, price list, rules, limits and codes among it.

An item is changed by one typed text. Reading the text and writing what it means are two steps, so that a screen can
say what is wrong while it is typed and a mistake never reaches the journal.
"""

import dataclasses
import json
from collections.abc import Callable, Collection
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from ticket.assist.limits_shelf import base_book, book_document, named_place, read_book, read_own, reads_back
from ticket.faults.table import load_csv
from ticket.job.case import Settings
from ticket.job.codec import decode
from ticket.job.errors import DataError, InputError, TicketError
from ticket.job.json_places import uncommented
from ticket.job.kinds import Found, Proof
from ticket.job.roles import ROLES
from ticket.job.text import clean, fold, one_line
from ticket.job.ticket import Person
from ticket.machine import environment
from ticket.machine.input_files import read_file
from ticket.money.invoice_series import series_of
from ticket.readings.limits_book import LimitRow, LimitsBook
from ticket.readings.limits_typed import Proposal, Typed, proposals
from ticket.readings.measured_groups import groups
from ticket.shop import money, pricing
from ticket.shop.glossary import explain_term
from ticket.shop.kept_settings import CODES, LIMITS, PAIRS
from ticket.shop.opening import Shop, add_person, document, set_setting
from ticket.shop.own_pin import may_set, recover, reset, set_pin, take_away
from ticket.shop.pairs import keep_pair
from ticket.shop.reading import code_table
from ticket.shop.rolling_copies import parse_copies
from ticket.shop.setting_items import ADD, PIN_OF, Item, items
from ticket.story.sections.files import known

if TYPE_CHECKING:
    from ticket.faults.table import Merge


__all__ = [
    "ADD", "ASKED", "PAIRS", "PIN_OF", "Changed", "Item", "add_person", "changes", "checked", "flaw", "import_codes",
    "items", "keep_pair", "keep_proposed", "may_set", "own_book", "proposed", "put", "recover", "reset", "set_limits",
    "set_pin", "set_setting", "start", "take_away",
]  # fmt: skip

ASKED = ("shop", "distance", "language")  # settings the first screen asks; all others have sensible defaults

Write = Callable[[], None]


@dataclass(frozen=True, slots=True)
class Changed:
    """Who changed something last, and when; ``at`` carries a zone."""

    by: str
    at: datetime


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
    if key.startswith(PIN_OF):
        raise InputError("A PIN is typed without being shown: on the settings screen, or ticket shop pin.")
    if group == "term":
        return _term(shop, name, typed)
    if group == "file":
        return _file(shop, name, typed)
    made = pricing.changed(money.prices(shop), group, name, typed)
    return lambda: pricing.keep(shop, made)


# -- settings and people -----------------------------------------------------------------------------------------


def setting_value(key: str, text: str) -> object:
    """A typed text as the value of a setting, checked by the decoder that reads the database.

    Raises:
        InputError: there is no such setting, or the text is none of its values.
    """
    names = [item.name for item in dataclasses.fields(Settings)]
    if key not in names:
        raise InputError(f"There is no setting {key!r}: {', '.join(names)}.")
    value = _typed(key, text)
    try:
        decode(Settings, {key: value})
    except DataError as error:
        raise InputError(f"{key} {error.reason}.") from None
    _check_names(key, text, value)
    return value


def _check_names(key: str, text: str, value: object) -> None:
    """Raise :class:`InputError` where a value names something that is not there, or not well enough."""
    if key == "witness" and isinstance(value, list) and not all(Path(one).is_absolute() for one in value):
        raise InputError("Name a witness by its whole path, such as /media/stick/heads.jsonl; several behind commas.")
    if key == "copies":
        parse_copies(text)
    if key == "zone" and text and not environment.known_zone(text):
        raise InputError(f"{text!r} is no time zone: name one such as America/Chicago, or none for the machine's own.")
    if key == "invoices":
        series_of(text, 2000)  # of any year


_ANSWERS = {"yes": True, "true": True, "on": True, "no": False, "false": False, "off": False}


def _typed(key: str, text: str) -> object:
    """A typed text as a list, a whole number or a text, whatever the setting holds."""
    default = getattr(Settings(), key)
    if isinstance(default, tuple):
        return [part.strip() for part in text.split(",") if part.strip()]
    if isinstance(default, bool):
        if fold(text) not in _ANSWERS:
            raise InputError(f"{key} is yes or no, not {text!r}.")
        return _ANSWERS[fold(text)]
    if not isinstance(default, int):
        return text
    if not text.isascii() or not text.isdecimal() or len(text) > 9:
        raise InputError(f"{key} is a whole number, not {text!r}.")
    return int(text)


def _setting(shop: Shop, name: str, typed: str) -> Write:
    if name == "rules":
        chosen = money.find_pack(shop, typed)
        return lambda: set_setting(shop, "rules", chosen.id)
    value = setting_value(name, typed)
    if name == "language":
        known(typed)
    return lambda: set_setting(shop, name, value)


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
    return lambda: add_person(shop, Person(name, role))


# -- prices, rules, words ----------------------------------------------------------------------------------------


def _term(shop: Shop, name: str, typed: str) -> Write:
    line = typed if name == ADD else f"{name} = {typed}"
    explain_term(shop, line, keep=False)
    return lambda: _done(explain_term(shop, line))


def _file(shop: Shop, name: str, typed: str) -> Write:
    if not typed:
        raise InputError("Name the file.")
    text = read_file(environment.named(typed))
    if name == "prices":
        pricing.checked(text, typed)
        return lambda: _done(money.set_prices(shop, text, typed))
    if name == "pack":
        money.checked_pack(text, typed)
        return lambda: _done(money.set_pack(shop, text, typed))
    load_csv(text)
    return lambda: _done(import_codes(shop, text))


def _done(_: object) -> None:
    """Let go of what a verb answers."""


def start(shop: Shop, person: str, settings: dict[str, str]) -> None:
    """Set what a new shop was asked, and who sits here; what is left out keeps its default.

    Args:
        shop: the open shop; from now on it works under the person's name.
        person: who starts it.
        settings: texts by the names in :data:`ASKED`.

    Raises:
        InputError: no name, or a setting that cannot be; nothing is written.
    """
    name, given = checked(person, settings)
    shop.person = name
    add_person(shop, Person(name))
    for key, value in given.items():
        set_setting(shop, key, value)


def checked(person: str, settings: dict[str, str]) -> tuple[str, dict[str, str]]:
    """The name and the settings that were given, cleaned. Arguments and errors as for :func:`start`."""
    name = clean(person).strip()
    if not name:
        raise InputError("Say who you are: every entry carries the name of who wrote it.")
    given = {key: clean(settings[key]).strip() for key in ASKED if settings.get(key, "").strip()}
    for key, value in given.items():
        try:
            decode(Settings, {key: value})
        except DataError as error:
            raise InputError(f"{key} {error.reason}.") from None
    if "language" in given:
        known(given["language"])
    return name, given


def import_codes(shop: Shop, text: str, accept: Collection[str] = ()) -> "Merge":
    """Take in the shop's own list of codes; a row that contradicts one that is there stays out.

    Args:
        shop: the open shop.
        text: CSV as ``schemas/code-table.json`` describes its rows.
        accept: codes whose new row may replace the one that is there.

    Raises:
        DataError: naming line and column; nothing is taken in.
    """
    from ticket.faults.table import load_csv, merge

    merged = merge(code_table(shop), load_csv(text), accept)
    if merged.added:
        own = {row[0]: row for row in shop.kept.codes}
        own |= {row.code: (row.code, row.plain, row.trade, row.area, row.source) for row in merged.added}
        set_setting(shop, CODES, list(own.values()))
    return merged


def own_book(shop: Shop) -> LimitsBook:
    """The shop's own rows; an empty book where none were taken in."""
    text = document(shop, LIMITS)
    return LimitsBook() if text is None else read_own(text)


def set_limits(shop: Shop, text: str, name: str = "limits book") -> LimitsBook:
    """Take the shop's own book in, whole or not at all.

    Raises:
        InputError: naming file, row, field and reason; nothing is changed.
    """
    try:
        book = read_book(text, name)
    except DataError as error:
        raise InputError(f"{named_place(error.path, name)}: {error.reason}; nothing was changed.") from None
    for i, row in enumerate(book.limits):
        if not reads_back(row):
            where = named_place(f"{name}: limits/{i}/source", name)
            raise InputError(
                f"{where}: per {row.source!r} cannot be read behind a reading; take plain words such as maker, shop or"
                " law, and put the rest into the citation; nothing was changed."
            )
    set_setting(shop, LIMITS, uncommented(text))
    return book


def keep_row(shop: Shop, row: LimitRow) -> LimitsBook:
    """Add a row to the shop's own book, as one journaled change."""
    book = LimitsBook(limits=(*own_book(shop).limits, row))
    return set_limits(shop, json.dumps(book_document(book), ensure_ascii=False, indent=1))


def proposed(shop: Shop) -> tuple[Proposal, ...]:
    """Limits that stand on the shop's tickets twice or more for a thing of a vehicle, and in no book yet."""
    typed = (
        Typed(ticket.number, entry.no, ticket.header.vehicle.label, group)
        for ticket in map(shop.store.ticket, shop.store.numbers())
        for entry in ticket.living
        if isinstance(entry.fact, Found | Proof)
        for group in groups(entry.fact)
    )
    return proposals(typed, (*own_book(shop).limits, *base_book().limits))


def keep_proposed(shop: Shop, number: int) -> LimitRow:
    """Take a proposal into the shop's own book by its number in the list; the row that was kept.

    Raises:
        InputError: there is no such proposal, or the book cannot hold it; nothing is changed.
    """
    found = proposed(shop)
    if not 0 < number <= len(found):
        there = f"there are {len(found)}" if found else "there is none"
        raise InputError(f"There is no proposal {number}, {there}: ticket shop limits --proposed lists them.")
    row = found[number - 1].row
    keep_row(shop, row)
    return row
