"""A copy of a whole database, page by page, while everybody keeps working."""

from ticket.job.progress import tell
from ticket.store.driver import Connection

_PAGES = 4096
"""Pages of one step: 16 MB, well below what a person waits for."""


def copy_whole(source: Connection, target: Connection) -> None:
    """Copy what stands in a database at this moment into an empty one, and tell how far it is.

    A transaction that only reads holds the moment: without it every commit of another terminal between two steps would
    start the copy over.
    """
    began = not source.in_transaction
    if began:
        source.execute("BEGIN")
        source.execute("SELECT count(*) FROM sqlite_master").fetchone()
    try:
        source.backup(
            target, pages=_PAGES, progress=lambda _, left, total: tell("copy pages", total - left, total)
        )  # fmt: skip
    finally:
        if began:
            source.rollback()
