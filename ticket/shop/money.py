"""The money of a shop: its price list, its local rules, and the account of a ticket."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from fractions import Fraction
from functools import lru_cache

from ticket.job.errors import DataError, InputError, NotFoundError, StoreError
from ticket.job.json_places import uncommented
from ticket.job.ticket import Ticket
from ticket.money.amount import plain
from ticket.money.period import Hours, Work
from ticket.money.period import hours as labour
from ticket.money.price_markup import edge_faults
from ticket.money.prices import PriceList, prices_document, read_prices
from ticket.money.terms_of import terms_of
from ticket.rules.account import Account, account
from ticket.rules.charge_rules import fee_charges
from ticket.rules.estimate import Estimate
from ticket.rules.estimate import estimate as estimate_of
from ticket.rules.pack import Pack, field_words, load, pack_document, packaged, read_pack
from ticket.rules.taxes import tax_differences
from ticket.shop.masking import Mask
from ticket.shop.opening import Shop, document, documents, set_setting
from ticket.shop.signed_under import PRICES, list_for
from ticket.store.past_jobs import LabourDone

_PACK = "pack "

_read_pack = lru_cache(maxsize=64)(read_pack)


def prices(shop: Shop, ticket: Ticket | None = None) -> PriceList:
    """The shop's price list, for a signed ticket the one it was signed under; an empty one where none was taken in."""
    return list_for(shop, ticket)


def set_prices(shop: Shop, text: str, name: str = "price list") -> PriceList:
    """Take a price list in, whole or not at all; its rate classes become those a line may name.

    Raises:
        InputError: naming file, place and reason; nothing is changed.
    """
    try:
        taken = read_prices(text, name)
    except DataError as error:
        raise InputError(f"{error.path}: {error.reason}; nothing was changed.") from None
    known = field_words()
    for i, one in enumerate(taken.details.statements):
        if one.field not in known:
            where = f"{name}: details/statements/{i}/field"
            raise InputError(f"{where}: no field {one.field!r} of a paper is known; nothing was changed.")
    set_setting(shop, PRICES, uncommented(text))
    if taken.rates:
        set_setting(shop, "rates", [rate.name for rate in taken.rates])
    return taken


def price_doubts(taken: PriceList, rules: Pack) -> Iterator[str]:
    """What to look at in a price list: prices that fall at an edge, taxes and fees that the rules see otherwise."""
    for table in taken.tables:
        for edge in edge_faults(table):
            yield (
                f"Table {table.name}: a part that costs {plain(edge.edge)} sells for {plain(edge.price_at)}, less than"
                f" {plain(edge.price_below)} for one that costs a cent less."
            )
    for place in taken.places:
        yield from (f"Taxes of {place.name}: {one.text} ({one.source.words})." for one in tax_differences(rules, place))
    for fee, charge in fee_charges(rules, taken, {"itemised on estimate", "told in the estimate"}):
        if not charge.allowed:
            where = f" ({charge.source.words})" if charge.source else ""
            yield f"Fee {fee.name} may not be charged like this: {'; '.join(charge.unmet)}{where}."


def packs(shop: Shop) -> tuple[str, ...]:
    """Identities of all local rules at hand: those that come with the program, and the shop's own."""
    own = (key.removeprefix(_PACK) for key in documents(shop, _PACK))
    return tuple(sorted({*packaged(), *own}))


def find_pack(shop: Shop, identity: str) -> Pack:
    """Local rules by their identity. Raises :class:`NotFoundError` naming those there are."""
    own = document(shop, _PACK + identity)
    if own is not None:
        return _read_pack(own)
    if identity not in packaged():
        raise NotFoundError(f"There are no local rules {identity!r}; there are: {', '.join(packs(shop))}.")
    return load(identity)


def pack(shop: Shop) -> Pack:
    """The local rules the shop has chosen."""
    return find_pack(shop, shop.settings.rules)


def set_pack(shop: Shop, text: str, name: str = "rule pack") -> Pack:
    """Keep local rules of the shop's own, whole or not at all; the setting ``rules`` chooses them.

    Raises:
        InputError: naming file, row and reason, also for the identity of rules that come with the program.
    """
    own = checked_pack(text, name)
    set_setting(shop, _PACK + own.id, uncommented(text))
    return own


def checked_pack(text: str, name: str = "rule pack") -> Pack:
    """Rules of a shop's own in a text; raises as :func:`set_pack` does."""
    try:
        own = read_pack(text, name)
    except DataError as error:
        raise InputError(f"{error.path}: {error.reason}; nothing was changed.") from None
    if own.id in packaged():
        inherit = f'take another and let it say "inherits": "{own.id}"'
        raise InputError(f"{name}: id: {own.id!r} comes with the program; {inherit}; nothing was changed.")
    return own


def account_of(shop: Shop, ticket: Ticket) -> Account:
    """The account of a ticket that is at hand; to an auditor without names, though it is worked out with them."""
    if shop.hidden:
        whole = shop.store.ticket(ticket.number)
        return Mask(whole).part(account_of(replace(shop, hidden=False), whole))
    return account(
        ticket,
        prices(shop, ticket),
        pack(shop),
        terms_of(ticket),
        shop=shop.settings.shop,
        people=shop.people,
        zone=None,
        priced=document(shop, PRICES) is not None,
    )


def estimate(shop: Shop, number: int) -> Estimate:
    """Where the offers of a ticket stand, and how much room is left. Raises :class:`NotFoundError`."""
    ticket = shop.store.ticket(number)
    bare = replace(shop, hidden=False)
    found = estimate_of(ticket, account_of(bare, ticket), prices(shop, ticket))
    return Mask(ticket).part(found) if shop.hidden else found


def hours(
    shop: Shop, since: date | None, until: date | None, attended: Fraction | None = None
) -> tuple[Hours, tuple[Hours, ...], tuple[Hours, ...]]:
    """Labour of a period, both days included: all together, by person, and by rate class."""
    _ = shop.kept  # from here on days are those of the shop's zone
    try:
        done = tuple(map(_work, shop.store.jobs.labour(since, until)))
    except (ValueError, ZeroDivisionError):
        raise StoreError(
            f"what is kept of labour in {shop.store.path} is damaged; the tickets may be whole: run ticket audit, then"
            " ticket index --rebuild"
        ) from None
    people = sorted({one.person for one in done})
    rates = sorted({one.rate for one in done})
    return (
        labour("all", done, attended),
        tuple(labour(name, (one for one in done if one.person == name)) for name in people),
        tuple(labour(name, (one for one in done if one.rate == name)) for name in rates),
    )


def _work(done: LabourDone) -> Work:
    """Labour of one kind together, exactly."""
    return Work(
        person=done.person,
        rate=done.rate,
        hours=Fraction(done.hours) * done.times,
        minutes=done.minutes,
        sales=int(done.sales) * done.times,
    )


def bill(shop: Shop, number: int) -> Account:
    """The account of a ticket: bill, what was agreed, what the local rules say. Raises :class:`NotFoundError`."""
    return account_of(shop, shop.store.ticket(number))


def shown_prices(shop: Shop) -> dict[str, object]:
    """The price list as its document."""
    return prices_document(prices(shop))


def shown_pack(chosen: Pack) -> dict[str, object]:
    """Local rules as their document."""
    return pack_document(chosen)
