"""Holding what was kept elsewhere against a shop's file: records, papers, heads, documents, copies."""

import json
import re
import shlex
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from ticket.job.errors import DataError, InputError
from ticket.job.read_json import read_json
from ticket.job.text import one_line
from ticket.machine.input_files import open_plain, read_bytes, read_plain
from ticket.shop.held_document import against_document
from ticket.shop.held_papers import against_pdf, against_text
from ticket.store import signed_heads
from ticket.store.kept_heads import (
    RECORD,
    Journal,
    Verdict,
    all_verdicts,
    copy_verdict,
    foreign_verdict,
    keys_verdicts,
    opened_journal,
    record_verdict,
)
from ticket.store.proof.finding import Audit

_DATABASE = b"SQLite format 3\0"
_MOST = 64 * 1024 * 1024
_OF_SHOP = rb'ticket-shop(?:-1 |" content=")([0-9a-f]{32})'  # in a PDF; in the head of an HTML page


def verdicts(path: Path, kept: Sequence[str], audit: Callable[[Path], Audit]) -> list[Verdict]:
    """What a shop's file says to each of the things that were kept.

    Args:
        path: the shop's file; nothing of it is changed.
        kept: each a record as printed, or the name of a file: a paper, heads, public keys, a ticket document, a copy of
            the shop.
        audit: proves a copy.

    Raises:
        InputError: one is neither.
        StoreError: the shop's file cannot be read.
    """
    with opened_journal(path) as db:
        return [verdict for one in kept for verdict in _of_one(db, one, audit)]


def _may_be_read(path: Path) -> bool:
    """Whether something stands at a path; what is too long for a name is none."""
    try:
        return path.exists()
    except (OSError, ValueError):
        return False


def _of_one(db: Journal, kept: str, audit: Callable[[Path], Audit]) -> list[Verdict]:
    if (found := RECORD.fullmatch(kept.strip())) is not None:
        return [record_verdict(db, int(found[1]), found[2])]
    path = Path(kept)
    if not _may_be_read(path):
        raise InputError(f"{one_line(kept)} is no record (such as 40-768b561a16e04062) and no file.")
    with open_plain(path) as file:
        begins = read_bytes(file, one_line(kept), len(_DATABASE), whole=False)
    if begins == _DATABASE:  # as large as it may be
        with opened_journal(path) as copy:
            verdict = copy_verdict(db, copy)
        return [verdict, _whole(path, audit(path))]
    content = read_plain(path, _MOST)
    named = re.search(_OF_SHOP, content)
    shop = named[1].decode() if named else ""
    if (foreign := foreign_verdict(db, shop, "paper")) is not None:
        return [foreign]
    if content.startswith(b"%PDF"):
        return against_pdf(db, content, kept, ours=bool(shop))
    text = content.decode("utf-8-sig", "replace")
    if heads := list(_heads(text)):
        return all_verdicts(db, heads)
    if text.lstrip().startswith("{"):
        return _object(db, text, kept)
    return against_text(db, text, kept, ours=bool(shop))


def _heads(text: str) -> Iterator[signed_heads.Head]:
    """The heads of a file: one, or one a line."""
    for line in text.splitlines():
        if signed_heads.NAME in line:
            try:
                found = signed_heads.from_document(json.loads(line))
            except ValueError:
                continue
            if found is not None:
                yield found


def _object(db: Journal, text: str, kept: str) -> list[Verdict]:
    """The one object a file holds: public keys as ``ticket head --keys`` wrote them out, else a ticket document."""
    try:
        found = read_json(text)
    except DataError:
        found = None  # a document says itself what is wrong with it
    if isinstance(found, dict) and isinstance(found.get("keys"), list):
        return keys_verdicts(db, found)
    return against_document(db, text, kept)


def _whole(path: Path, found: Audit) -> Verdict:
    """What the audit of a copy says: its last row fits wherever only rows before it were changed."""
    if found.ok:
        return Verdict(True, "The copy audits whole.")
    count = len(found.differences) + found.more
    return Verdict(
        False,
        f"The copy itself is not whole: {count:,} difference{'s' * (count != 1)}, the first {found.differences[0]}."
        f" All of them: ticket audit --db {shlex.quote(str(path))}",
    )
