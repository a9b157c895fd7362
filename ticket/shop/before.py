"""What this shop's jobs with a code turned out to be, and how past jobs are found and counted."""

from collections.abc import Iterable

from ticket.job.errors import InputError
from ticket.past.query import parse_query
from ticket.past.turned_out import TurnedOut, turned_out
from ticket.shop.shop import Shop
from ticket.store.search import CAP, Query

NEWEST = 200  # jobs that are read whole; more would teach little and cost a second


def before(shop: Shop, code: str, sub: str = "", *, but: Iterable[int] = ()) -> TurnedOut:
    """What jobs with a code and sub-code turned out to be; with any sub-code where none has that one.

    Args:
        shop: the open shop.
        code: in the notation searches use.
        sub: its sub-code; empty for any.
        but: tickets not to be counted, such as the one in hand.
    """
    left_out = frozenset(but)
    found = shop.store.find(Query(codes=((code, sub),), limit=CAP))
    numbers = [number for number in found.numbers if number not in left_out]
    exact = bool(numbers) or not sub
    if not exact:
        found = shop.store.find(Query(codes=((code, ""),), limit=CAP))
        numbers = [number for number in found.numbers if number not in left_out]
    tickets = tuple(shop.readable(numbers[:NEWEST]))
    read = {ticket.number for ticket in tickets}
    others = shop.store.of_vehicles(read) - read - left_out
    return turned_out(
        code, sub, tickets, tuple(shop.readable(sorted(others))),
        comeback_days=shop.settings.comeback_days, exact=exact, total=len(numbers),
    )  # fmt: skip


def asked_code(text: str) -> tuple[str, str]:
    """The one code a text asks for, in any written form. Raises :class:`InputError` where it holds none."""
    codes = parse_query(text).codes
    if not codes:
        raise InputError(f"{text!r} is no fault code: write it as the tool shows it, such as P0562-16.")
    return codes[0]
