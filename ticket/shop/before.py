"""What this shop's jobs with a code turned out to be, and how past jobs are found and counted."""

from collections.abc import Iterable

from ticket.job.errors import InputError
from ticket.past.query import parse_query
from ticket.past.turned_out import COUNTED, TurnedOut, turned_out
from ticket.shop.shop import Shop


def before(shop: Shop, code: str, sub: str = "", *, but: Iterable[int] = ()) -> TurnedOut:
    """What jobs with a code and sub-code turned out to be; with any sub-code where none has that one.

    Args:
        shop: the open shop.
        code: in the notation searches use.
        sub: its sub-code; empty for any.
        but: tickets not to be counted, such as the one in hand.
    """
    left_out = frozenset(but)
    numbers = set(shop.store.with_code(code, sub)) - left_out
    exact = bool(numbers) or not sub
    if not exact:
        numbers = set(shop.store.with_code(code)) - left_out
    others = shop.store.of_vehicles(numbers) - numbers - left_out
    return turned_out(
        code, sub, shop.readable_slim(numbers, COUNTED), shop.readable_slim(others, COUNTED),
        comeback_days=shop.settings.comeback_days, exact=exact,
    )  # fmt: skip


def asked_code(text: str) -> tuple[str, str]:
    """The one code a text asks for, in any written form. Raises :class:`InputError` where it holds none."""
    codes = parse_query(text).codes
    if not codes:
        raise InputError(f"{text!r} is no fault code: write it as the tool shows it, such as P0562-16.")
    return codes[0]
