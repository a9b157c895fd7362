"""What tickets were signed under, and their papers: each is what a row of the journal promises, and none is missing."""

import zlib
from dataclasses import dataclass, field
from hashlib import sha256
from typing import Any

from ticket.store.canonical import promise
from ticket.store.driver import Connection
from ticket.store.proof.finding import Findings
from ticket.store.proof.shape import has_table

_DIGEST = 64


@dataclass(slots=True)
class KeptThings:
    """What the journal promises.

    Attributes:
        things: each digest with the first row that rests on it.
        papers: each paper by its row and name (``customer/en``) with its promise.
        blanked: tickets whose papers a row says were blanked.
    """

    things: dict[str, int] = field(default_factory=dict)
    papers: dict[tuple[int, str], tuple[int | None, str]] = field(default_factory=dict)
    blanked: set[int] = field(default_factory=set)

    def note(self, seq: int, ticket: int | None, body: Any) -> None:
        """What one row promises."""
        for value in body.get("kept", {}).values():
            if isinstance(value, str) and len(value) == _DIGEST:
                self.things.setdefault(value, seq)
        for name, kept in body.get("papers", {}).items():
            self.papers[seq, name] = (ticket, kept)

    def compare(self, connection: Connection, found: Findings) -> None:
        """Everything kept against what was promised of it."""
        if not has_table(connection, "kept"):
            return
        self._things(connection, found)
        self._papers(connection, found)

    def _things(self, connection: Connection, found: Findings) -> None:
        held = set()
        for number, digest, kind, data in connection.execute("SELECT id, digest, kind, data FROM kept"):
            name = digest.decode(errors="replace")
            held.add(name)
            where = f"kept {number} ({kind.decode(errors='replace')})"
            if _unpacked_digest(data) != name:
                found.add(where, "is not what was signed under")
            elif name not in self.things:
                found.add(where, "no signature rests on it")
        for digest in sorted(self.things.keys() - held):
            found.add(f"journal {self.things[digest]}", f"what it was signed under is missing ({digest[:16]})")

    def _papers(self, connection: Connection, found: Findings) -> None:
        held = set()
        rows = connection.execute("SELECT id, ticket_id, seq, reader, language, salt, data, promise FROM paper")
        for number, ticket, seq, reader, language, salt, data, kept in rows:
            name = f"{reader.decode(errors='replace')}/{language.decode(errors='replace')}"
            held.add((seq, name))
            where = f"paper {number} ({name} of row {seq})"
            if self.papers.get((seq, name)) != (ticket, kept.decode(errors="replace")):
                found.add(where, "no row promises it so", seq)
            elif salt is None or data is None:
                if ticket not in self.blanked:
                    found.add(where, "it is gone, and no row says why", seq)
            elif promise(salt, data).hex().encode() != kept:
                found.add(where, "is not the paper that was signed", seq)
        for seq, name in sorted(self.papers.keys() - held):
            found.add(f"journal {seq}", f"its paper for {name} is missing", seq)


def _unpacked_digest(data: bytes) -> str:
    try:
        return sha256(zlib.decompress(data)).hexdigest()
    except zlib.error:
        return ""
