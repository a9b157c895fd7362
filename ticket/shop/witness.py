"""Telling witnesses: each signed row of the journal goes, as one line, to files that were named for it.

A witness that cannot be reached stops no work: what it missed is told it the next time. One that knows more than the
journal does is the first to see that its end was cut off or an older copy was put back.
"""

import json
from pathlib import Path
from typing import Any

from ticket.job.errors import InputError
from ticket.job.text import one_line
from ticket.machine.witness_file import append, in_time, last_line
from ticket.shop.opening import Shop
from ticket.store.signed_heads import Head, from_document


def tell_witnesses(shop: Shop) -> tuple[str, ...]:
    """Append what each witness has missed; a sentence for each that cannot be told, or that knows better."""
    return tuple(said for path in shop.settings.witness if (said := _tell(shop, Path(path))))


def reachable(paths: tuple[str, ...]) -> tuple[list[str], list[str]]:
    """The witnesses that can be read now, and a sentence for each that cannot."""
    good, told = [], []
    for path in paths:
        try:
            in_time(lambda path=path: last_line(Path(path)))  # type: ignore[misc]
            good.append(path)
        except InputError as error:
            told.append(f"The witness {one_line(path)} cannot be read: {error}.")
    return good, told


def _tell(shop: Shop, path: Path) -> str:
    shown = one_line(str(path))
    try:
        known = _last_known(shop, path)
        newest = shop.store.proofs.head()
        since = known.seq if known else 0
        if known is not None and (newest is None or shop.store.proofs.same_row(known) is False):
            restored = shop.store.proofs.restored_from(known.seq)
            since = -1 if restored is None else restored  # what a restore lost is no cut-off end: it is journaled
        if known is not None and since < 0:
            return (
                f"The witness {shown} knows row {known.seq} of {known.at[:16]}Z, which this journal does not hold: its"
                f" end was cut off, or an older copy was put back. Run ticket audit --against {shown}"
            )
        missed = shop.store.proofs.signed_since(since)
        if missed:
            lines = [json.dumps(head.document(), ensure_ascii=False) for head in missed]
            in_time(lambda: append(path, lines))
    except InputError as error:
        return f"The witness {shown} cannot be told: {error}. What it misses is told it the next time."
    return ""


def _last_known(shop: Shop, path: Path) -> Head | None:
    """The last head of this shop that a witness knows."""

    def look() -> Any:
        try:
            return last_line(path)
        except FileNotFoundError:
            return None

    head = from_document(in_time(look))
    return head if head is not None and head.shop == shop.store.proofs.uid() else None
