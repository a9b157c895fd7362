"""The whole small audit of one database."""

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from ticket.store.driver import Connection, Error
from ticket.store.proof.chain import Chain, walk
from ticket.store.proof.compared import compare_tickets
from ticket.store.proof.finding import Audit, Findings, Tell, untold
from ticket.store.proof.shape import check_pages, check_schema


def audit_connection(
    connection: Connection, *, scripts: Sequence[Path], views: tuple[str, ...], pictures: Mapping[str, tuple[str, ...]],
    tell: Tell = untold,
) -> tuple[Audit, Chain]:  # fmt: skip
    """Find all that differs, in one go and at one moment.

    Args:
        connection: an open database; nothing is written to it.
        scripts: the SQL files that make this program's tables, in their order.
        views: the SQL of its views.
        pictures: the fields of entries that name a picture, by kind.
        tell: is told how far it is.

    Returns:
        What was found, and the journal as it was walked.
    """
    found = Findings()
    before = connection.text_factory
    connection.text_factory = bytes  # bytes that are no UTF-8 are compared, not stumbled over
    began = not connection.in_transaction
    if began:
        connection.execute("BEGIN")
    try:
        _part("schema", lambda: check_schema(connection, found, scripts, views), found)
        check_pages(connection, found)
        chain = walk(connection, found, tell)
        _part("table identity", lambda: chain.customers.compare(connection, found), found)
        _part("settings and people", lambda: chain.shop.compare(connection, found), found)
        _part("PINs", lambda: chain.pins.compare(connection, found), found)
        _part("kept papers", lambda: chain.kept.compare(connection, found), found)
        compare_tickets(connection, found, pictures, tell)
    finally:
        connection.text_factory = before
        if began:
            connection.rollback()
    return found.audit(chain.last, chain.head), chain


def _part(name: str, check: Callable[[], None], found: Findings) -> None:
    """One part of the audit; where its rows cannot be read that is named, and the next part follows."""
    try:
        check()
    except (Error, ValueError, TypeError, AttributeError, KeyError) as error:
        found.add(name, f"it cannot be read: {error}")
