"""A printed head held against a journal: the page is written again from the row it names, and compared whole.

Its record alone would not do: put on another paper, it must not speak for what else stands there.
"""

import base64
from collections.abc import Iterator
from dataclasses import replace
from itertools import product

from ticket.job.case import PAPER_SIZES
from ticket.job.regex import Regex
from ticket.papers.head_sheet import Letter, head_sheet
from ticket.papers.sheet import Sheet
from ticket.store.kept_heads import Journal
from ticket.store.signed_heads import Head, head_of

DIGITS = 64  # of the record on a printed head; the papers of a ticket have fewer
_LANGUAGES = ("en", "es")  # that come with the program
_SIGNATURE = Regex(r"[A-Za-z0-9+/]{86}==")
_KEY = Regex(r"(?:[a-z2-7]{4}-){3}[a-z2-7]{4}")


def printed_heads(db: Journal, seq: int, words: list[str]) -> Iterator[tuple[Head, Sheet]]:
    """The pages that tell of a row, signed as the journal or the page says, or not signed.

    Args:
        db: the database.
        seq: of the row.
        words: of the page, as far as they could be read.
    """
    head = head_of(db, seq)
    if head is None:
        return
    scratch = bool(db.execute("SELECT json_extract(body, '$.scratch') FROM journal WHERE seq = 1").fetchone()[0])
    for one in (*_signed(db, head, "".join(words)), head):
        for size, language in product(PAPER_SIZES, _LANGUAGES):
            yield one, head_sheet(Letter(one.shop, size, language, scratch), one)


def _signed(db: Journal, head: Head, text: str) -> Iterator[Head]:
    kept = db.execute("SELECT key, sig FROM signature WHERE seq = ?", [head.seq]).fetchone()
    if kept:
        yield replace(head, key=str(kept[0]), sig=base64.b64encode(kept[1]).decode())
    key, signature = _KEY.search(text), _SIGNATURE.search(text)
    if key and signature:
        yield replace(head, key=key[0].replace("-", ""), sig=signature[0])
