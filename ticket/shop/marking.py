"""Marks on an entry that are not its fact: struck or standing, for everybody or for the shop only."""

from ticket.shop.shop import Shop


def put_back(shop: Shop, number: int, no: int) -> None:
    """Let a struck entry stand again. Raises an error of ours where it is not struck, or the ticket is signed."""
    shop.store.unstrike(number, no, shop.person)


def mark_shop_only(shop: Shop, number: int, no: int, *, shop_only: bool) -> None:
    """Keep an entry from the customer's copy, or let it on again. Raises an error of ours on a signed ticket."""
    shop.store.mark_shop_only(number, no, shop.person, shop_only=shop_only)
