"""What a signed ticket's papers are made of, kept by value under its digest; and the papers themselves."""

import json
import zlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from hashlib import sha256
from typing import Any

from sqlite_utils import Database

from ticket.job.codec import Json
from ticket.job.errors import StoreError
from ticket.job.ticket import Ticket
from ticket.store.canonical import canonical, promise


@dataclass(frozen=True, slots=True)
class Kept:
    """What is kept with a signature.

    Attributes:
        about: plain values that hold nothing of a customer: the program, the day, the zone, the language.
        things: by name; each is kept once, however many tickets rest on it. Nothing of a customer is in them.
        papers: the sheets as JSON values, by reader and language.
        layout: how a sheet becomes a paper.
    """

    about: Json
    things: Mapping[str, Any]
    papers: Mapping[tuple[str, str], Any]
    layout: int


KEEP = "keep"
"""The verb of a row that keeps papers for a ticket that was signed before papers were kept."""

Keeper = Callable[[Ticket], Kept]
"""Makes what is kept from the ticket as it will stand; in place of its seal stands what a sheet has there."""


@dataclass(frozen=True, slots=True)
class KeptPaper:
    """A paper as it was signed.

    Attributes:
        seq: the row that promises it.
        record: that row in print, 32 digits of its hash: what papers show.
        data: the sheet as JSON values; ``None`` where it was blanked because names were erased.
        later: it was kept after it was signed, so that one handed out before may be worded otherwise.
    """

    seq: int
    record: str
    reader: str
    language: str
    layout: int
    data: Any = field(repr=False)
    later: bool = False


def keep(db: Database, kept: Kept, ticket: int, seq: int, salts: Callable[[int], bytes]) -> Json:
    """Write it beside the row that is about to be written; what that row says of it."""
    digests = {name: _thing(db, name, thing) for name, thing in sorted(kept.things.items())}
    papers = {}
    for (reader, language), sheet in sorted(kept.papers.items()):
        salt, data = salts(16), zlib.compress(canonical(sheet), 9)
        promised = papers[f"{reader}/{language}"] = promise(salt, data).hex()
        db.execute(
            "INSERT INTO paper(ticket_id, seq, reader, language, layout, salt, data, promise)"
            " VALUES(?, ?, ?, ?, ?, ?, ?, ?)",
            [ticket, seq, reader, language, kept.layout, salt, data, promised],
        )
    return {"kept": kept.about | {"layout": kept.layout} | digests, "papers": papers}


def _thing(db: Database, name: str, thing: Any) -> str:
    data = canonical(thing)
    digest = sha256(data).hexdigest()
    if not db.execute("SELECT 1 FROM kept WHERE digest = ?", [digest]).fetchone():
        db.execute("INSERT INTO kept(digest, kind, data) VALUES(?, ?, ?)", [digest, name, zlib.compress(data, 9)])
    return digest


def papers(db: Database, ticket: int) -> tuple[KeptPaper, ...]:
    """The papers of a ticket's last seal that holds any.

    Raises:
        StoreError: one is not what was promised when it was signed.
    """
    row = db.execute("SELECT max(seq) FROM paper WHERE ticket_id = ?", [ticket]).fetchone()[0]
    return papers_of_row(db, row)


def papers_of_row(db: Database, row: int | None) -> tuple[KeptPaper, ...]:
    """The papers that were kept with a row that signed, or for it later. Raises as :func:`papers`."""
    rows = db.execute(
        "SELECT s.seq, lower(hex(s.hash)), p.reader, p.language, p.layout, p.salt, p.data, p.promise, j.verb, p.seq"
        " FROM paper AS p JOIN journal AS j ON j.seq = p.seq JOIN journal AS s"
        " ON s.seq = CASE j.verb WHEN :keep THEN json_extract(j.body, '$.seal') ELSE j.seq END"
        " WHERE p.seq = :row OR p.seq IN (SELECT seq FROM journal WHERE verb = :keep AND ticket_id ="
        " (SELECT ticket_id FROM journal WHERE seq = :row) AND json_extract(body, '$.seal') = :row) ORDER BY p.id",
        {"row": row, "keep": KEEP},
    ).fetchall()
    return tuple(_paper(*row) for row in rows)


def _paper(
    sealed: int, digest: str, reader: str, language: str, layout: int, salt: bytes | None, data: bytes | None,
    kept: str, verb: str, seq: int,
) -> KeptPaper:  # fmt: skip
    held = None
    if salt is not None and data is not None:
        if promise(salt, data).hex() != kept:
            raise StoreError("a signed paper was changed behind the journal: run ticket audit")
        held = json.loads(zlib.decompress(data))
    return KeptPaper(seq, f"{sealed}-{digest[:32]}", reader, language, layout, held, verb == KEEP)


def signed_under(db: Database, seq: int) -> Json:
    """What a row that signed says it rests on: plain values, and each thing in place of its digest."""
    row = db.execute("SELECT json_extract(body, '$.kept') FROM journal WHERE seq = ?", [seq]).fetchone()
    found: Json = json.loads(row[0]) if row and row[0] else {}
    return {name: _looked_up(db, value) if _is_digest(value) else value for name, value in found.items()}


def _is_digest(value: Any) -> bool:
    return isinstance(value, str) and len(value) == 64


def _looked_up(db: Database, digest: str) -> Any:
    row = db.execute("SELECT data FROM kept WHERE digest = ?", [digest]).fetchone()
    data = zlib.decompress(row[0]) if row else b""
    if sha256(data).hexdigest() != digest:
        raise StoreError("what a ticket was signed under is missing or was changed: run ticket audit")
    return json.loads(data)
